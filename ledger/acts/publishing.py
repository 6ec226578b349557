"""The tree laid out for any host of plain files: hash tiles and the newest checkpoint.

Whoever has a proof of yesterday holds it against the log of today without asking the
shop, and a log that forgot or changed something no longer fits what it laid out before.
Tiles hold hashes only. What was said lies in entry bundles, and those are never laid
out: they would publish the shop's whole business.

A run adds what is new and changes nothing that is there. The checkpoint follows its
tiles, so that whoever reads meanwhile finds all that it speaks of; a tile in part goes
once the whole one is there.

Source: C2SP tlog-tiles.
"""

import re
import shutil
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from ledger.acts.folders import require_apart
from ledger.acts.heads import sign_head
from ledger.acts.outside import NEXT, hold_against
from ledger.acts.shop import Shop
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import merkle, tiles
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    parse_checkpoint,
    parse_note,
    verified_checkpoint,
)
from ledger.log.strokes import drop_unfinished, write_over
from ledger.log.tiles import TileReader

CHECKPOINT = "checkpoint"
PARTS = "tile/**/*.p"
# Every file of the folder, and what a power cut left of one.
LAID = re.compile(
    r"(checkpoint|tile/[0-9]+/(x[0-9]{3}/)*[0-9]{3}(\.p/[0-9]+)?)(\.[^/]+\.part)?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """What a run did: up to which head, from which, how many tiles came and went.

    `before` is the size that the folder held, 0 where it held none; `dropped` counts
    the tiles in part that went because they are whole by now.
    """

    size: int
    root: bytes
    before: int
    written: int
    dropped: int


def lay_out(shop: Shop, folder: Path, *, compare_all: bool = False) -> LaidOut:
    """Bring a folder up to the newest head, which is signed for it.

    compare_all  whether every tile that is there is read again, and not the new alone

    Raises RefusedError where the folder holds another log or any other file, or would
    publish the shop's own, and TamperError where it holds another history of this
    log, or tiles that do not fit its own checkpoint. What the log's own key signed of
    more than the log holds is kept as evidence.
    """
    require_apart(folder, shop.folder)
    _require_kept(shop, folder)
    _require_alone(folder)
    note = sign_head(shop)
    standing = shop.standing()
    keys = [NoteKey(standing.origin, key) for key in (standing.log_key,) if key]
    return bring_up(folder, note, shop.store.tile, keys=keys, compare_all=compare_all)


def bring_up(
    folder: Path,
    note: str,
    tile: TileReader,
    *,
    keys: Collection[NoteKey],
    compare_all: bool = False,
) -> LaidOut:
    """Bring a folder up to a signed head out of the log's own tiles.

    tile  the log's tiles, which may hold more than that head speaks of
    keys  those that sign heads of this log
    """
    head = parse_checkpoint(parse_note(note))
    before = _require_own_start(folder, head, tile, keys)
    drop_unfinished(folder)
    drop_unfinished(folder, "tile/**/*")
    written = 0
    for level, number, width in tiles.between(0 if compare_all else before, head.size):
        hashes = tile(level, number)[: width * merkle.HASH_SIZE]
        written += _lay(folder / tiles.path(level, number, width), hashes)
    write_over(folder / CHECKPOINT, note.encode("utf-8"), is_public=True)
    return LaidOut(
        size=head.size,
        root=head.root,
        before=before,
        written=written,
        dropped=_drop_parts(folder),
    )


def _require_kept(shop: Shop, folder: Path) -> None:
    """Keep what a folder proves that the log does not hold, and refuse to go on."""
    known = _held(folder)
    if known is None:
        return
    gap = hold_against(shop.store, shop.folder, shop.state, known[1], shop.today())
    if gap is not None:
        raise TamperError(f"{folder}: {gap}; {NEXT}")


def _require_alone(folder: Path) -> None:
    """Refuse a folder with a file that is none of these, for all of it is given out."""
    for path in folder.rglob("*"):
        place = path.relative_to(folder).as_posix()
        if not path.is_dir() and not LAID.fullmatch(place):
            raise RefusedError(
                f"{folder} holds {place}, which is no tile and would be given out with "
                f"them: name a new folder"
            )


def _require_own_start(
    folder: Path, head: Checkpoint, tile: TileReader, keys: Collection[NoteKey]
) -> int:
    """Return the size that a folder holds, once it is known to be our own beginning."""
    known = _held(folder)
    if known is None:
        return 0
    held, note = known
    if held.origin != head.origin:
        raise RefusedError(
            f"{folder} holds the log {held.origin}, and this is {head.origin}: name "
            f"another folder"
        )
    if held.size > head.size:
        raise _longer(folder, held, _is_signed(note, keys), head.size)
    if _root(held.size, lambda *at: _laid(folder, held.size, *at)) != held.root:
        raise TamperError(
            f"the tiles in {folder} are not those of its own checkpoint of "
            f"{held.size} entries: lay the log out in a new folder"
        )
    if _root(held.size, tile) != held.root:
        raise TamperError(
            f"{folder} holds another history of {held.size} entries than this log of "
            f"{head.size}: keep both, and run flitchbook record audit --against "
            f"{folder / CHECKPOINT}"
        )
    return held.size


def _held(folder: Path) -> tuple[Checkpoint, str] | None:
    """Return the checkpoint that a folder holds, if it holds any."""
    path = folder / CHECKPOINT
    if folder.exists() and not folder.is_dir():
        raise RefusedError(f"{folder} is a file: name a folder")
    if not path.exists():
        return None
    try:
        note = path.read_text(encoding="utf-8")
        return parse_checkpoint(parse_note(note)), note
    except (OSError, UnicodeDecodeError, LedgerError):
        raise RefusedError(
            f"{path} is no checkpoint of a log: name another folder"
        ) from None


def _is_signed(note: str, keys: Collection[NoteKey]) -> bool:
    try:
        verified_checkpoint(note, keys)
    except TamperError:
        return False
    return True


def _longer(folder: Path, held: Checkpoint, is_ours: bool, size: int) -> LedgerError:
    """Say what it means that a folder holds more entries than the log."""
    if is_ours:
        return TamperError(
            f"{folder} holds {held.size} entries of this log, signed, and here are "
            f"{size}: the newest are missing here; put back the newest copy before "
            f"anything else"
        )
    return RefusedError(
        f"{folder / CHECKPOINT} speaks of {held.size} entries, this log has {size}, "
        f"and its key did not sign that: name another folder"
    )


def _laid(folder: Path, size: int, level: int, number: int) -> bytes:
    """Return a tile of a folder, the whole one or that of a tree of this size."""
    rest = (size >> merkle.TILE_HEIGHT * level) - number * merkle.TILE_WIDTH
    width = min(rest, merkle.TILE_WIDTH)
    for place in (tiles.path(level, number, width), tiles.path(level, number)):
        if (folder / place).is_file():
            return (folder / place).read_bytes()
    return b""


def _root(size: int, tile: TileReader) -> bytes | None:
    """Return the root that tiles make, or None where they make none."""
    try:
        return tiles.root_of(size, tile)
    except (OSError, TamperError):
        return None


def _lay(path: Path, hashes: bytes) -> bool:
    """Write a tile where none is, and tell whether it was written."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_over(path, hashes, is_public=True)
        return True
    if path.is_file() and path.read_bytes() == hashes:
        return False
    raise TamperError(
        f"{path} is there and is no tile of this log: lay it out in a new folder"
    )


def _drop_parts(folder: Path) -> int:
    """Drop the tiles in part that are whole by now, and tell how many."""
    dropped = 0
    for parts in sorted(folder.glob(PARTS)):
        if parts.with_suffix("").is_file():
            dropped += sum(1 for _ in parts.iterdir())
            shutil.rmtree(parts)
    return dropped
