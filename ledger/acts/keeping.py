"""Older copies of the shop taken away from a folder, to make room for newer ones.

Only a copy goes that this shop noted as whole, under its own name, and that still ends
at the head which was noted, in this log. Whatever else lies there stays: nobody here
knows what it is worth.
"""

import shutil
from pathlib import Path
from typing import NamedTuple

from ledger.acts.backups import Backup, is_of_this_log, note_gone, noted_backups
from ledger.acts.layout import LEDGER
from ledger.acts.shop import Shop
from ledger.errors import LedgerError, RefusedError
from ledger.log.store import Store
from ledger.log.strokes import UNFINISHED

# What is on its way out, and no copy any more if the power goes meanwhile.
GOING = ".going"


class Room(NamedTuple):
    """What was taken away, and what looks like a copy and was left, with why."""

    removed: list[str]
    left: list[tuple[str, str]]


def make_room(shop: Shop, folder: Path, *, keep: int) -> Room:
    """Take away the oldest copies of this log beyond `keep`; the newest stays.

    The newest is the one with most entries: a copy's own time is that of a clock.

    Raises RefusedError where none is to be kept.
    """
    if keep < 1:
        raise RefusedError(f"--keep {keep} would leave no copy: keep 1 or more")
    noted = {made.name: made for made in noted_backups(shop.folder)}
    ours: list[Backup] = []
    room = Room([], [])
    for path in sorted(folder.glob("flitchbook-*")):
        if path.name.endswith(GOING) or not path.is_dir() or path.is_symlink():
            continue
        why = _why_not(shop, path, noted.get(path.name))
        if why:
            room.left.append((path.name, why))
        else:
            ours.append(noted[path.name])
    ours.sort(key=lambda made: (made.size, made.at, made.name))
    for made in ours[:-keep]:
        _take_away(folder / made.name)
        note_gone(shop, made.name)
        room.removed.append(made.name)
    return room


def _why_not(shop: Shop, path: Path, noted: Backup | None) -> str:
    """Say why a folder may not be taken away, or nothing where it may."""
    if path.name.endswith(UNFINISHED):
        return "it was never finished"
    if noted is None:
        return "this shop has no note of it"
    if is_of_this_log(shop, noted) is not True:
        return "its note is not of this log"
    try:
        store = Store.open(f"sqlite:///{path / LEDGER}", for_audit=True)
        head = store.head()
        store.close()
    except (LedgerError, OSError) as fault:
        return f"it cannot be read ({fault})"
    if (head.size, head.root.hex()) != (noted.size, noted.root):
        return "it does not end where it was noted to end"
    return ""


def _take_away(path: Path) -> None:
    going = path.with_name(f"{path.name}{GOING}")
    shutil.rmtree(going, ignore_errors=True)
    path.rename(going)
    shutil.rmtree(going)
