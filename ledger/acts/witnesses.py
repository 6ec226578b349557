"""The witnesses of a shop: who they are, what each is given, and what each signed.

They lie beside the log and are no part of it, in SHOP/witnesses: the known ones, and of
each the newest head that it signed, as a whole note. A head that another person keeps
and signed is outside this machine.
"""

import json
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from ledger.acts import outside
from ledger.acts.heads import sign_head
from ledger.acts.layout import WITNESSES
from ledger.acts.shop import Shop
from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError
from ledger.log import merkle
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from ledger.log.cosignature import (
    Request,
    WitnessKey,
    cosignature_lines,
    cosigned_at,
    with_lines,
)
from ledger.log.seen import Left
from ledger.log.strokes import write_over

FOLDER = WITNESSES
KNOWN = "known.json"
FORMAT = "flitchbook-witnesses/1"
NAME = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Witness:
    """A witness as the shop calls it, and the key by which it signs."""

    name: str
    key: WitnessKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Cosigned:
    """A head that a witness signed, and when, in UTC."""

    name: str
    head: Checkpoint
    at: datetime

    @property
    def day(self) -> str:
        """The day on which it was signed."""
        return f"{self.at:%Y-%m-%d}"

    @property
    def left(self) -> Left:
        """The head as one that is outside this machine."""
        root = self.head.root.hex()
        return Left(size=self.head.size, root=root, day=self.day, how=_how(self.name))


def add(folder: Path, name: str, key: WitnessKey) -> Witness:
    """Let a shop know a witness; refused where the name is another's."""
    if NAME.match(name) is None:
        raise RefusedError(
            f"{name!r} is no name for a witness: up to 40 small letters, digits and "
            f"hyphens, such as harbour-notary"
        )
    before = known(folder)
    for each in before:
        if each.name == name and each.key != key:
            raise RefusedError(
                f"{name} is known here with another key, {each.key}: name this one "
                f"otherwise"
            )
        if each.key == key and each.name != name:
            raise RefusedError(f"this key is known here as {each.name}")
    added = Witness(name=name, key=key)
    if added not in before:
        rows = [{"name": w.name, "key": str(w.key)} for w in (*before, added)]
        (folder / FOLDER).mkdir(mode=0o700, exist_ok=True)
        data = json.dumps({"format": FORMAT, "witnesses": rows}, indent=1)
        write_over(folder / FOLDER / KNOWN, data.encode())
    return added


def known(folder: Path) -> tuple[Witness, ...]:
    """Return the witnesses that a shop knows, in the order they came."""
    path = folder / FOLDER / KNOWN
    if not path.exists():
        return ()
    try:
        said = json.loads(path.read_text(encoding="utf-8"))
        if said["format"] != FORMAT:
            raise ValueError
        return tuple(
            Witness(name=row["name"], key=WitnessKey.parse(row["key"]))
            for row in said["witnesses"]
        )
    except (ValueError, KeyError, TypeError, RecursionError, RefusedError):
        raise TamperError(
            f"{path} is damaged: put back its copy, or remove it and add the witnesses "
            f"again"
        ) from None


def named(folder: Path, name: str) -> Witness:
    """Return the witness of a name."""
    found = next((w for w in known(folder) if w.name == name), None)
    if found is None:
        raise NotFoundError(
            f"no witness {name!r} is known here: flitchbook record witness list shows "
            f"them, and flitchbook record witness add adds one"
        )
    return found


def newest_cosigned(folder: Path, witness: Witness) -> Cosigned | None:
    """Return the newest head that a witness signed; TamperError for a damaged note."""
    path = _note_of(folder, witness)
    try:
        note = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError):
        raise TamperError(f"{path} cannot be read") from None
    seconds = cosigned_at(note, witness.key)
    if seconds is None:
        raise TamperError(f"{path} is not signed by {witness.name}")
    return _cosigned(witness, note, seconds)


def give(shop: Shop, witness: Witness, since: int | None = None) -> Request:
    """Return what a witness is given: a head, and that it goes on from the last.

    since  the size that the witness signed last; None: as the shop knows it
    """
    note = sign_head(shop)
    head = parse_checkpoint(parse_note(note))
    last = newest_cosigned(shop.folder, witness) if since is None else None
    if last is not None and last.head.origin != head.origin:
        last = None  # of a volume that was closed: a witness begins the next anew
    old = since if since is not None else last.head.size if last is not None else 0
    if not 0 <= old <= head.size:
        raise RefusedError(
            f"{witness.name} signed for {old} entries, and this log has {head.size}: "
            f"hold what it has against the log with flitchbook record audit --against"
        )
    path = merkle.consistency_path(old, head.size, shop.store.node) if old else ()
    return Request(old=old, path=path, note=note)


def take(shop: Shop, witness: Witness, reply: str) -> Cosigned:
    """Keep what a witness signed: its lines of signature, or a whole note.

    Raises TamperError where the reply is not by this witness, or speaks of entries
    that this log does not hold: then it is kept as evidence, and nothing is recorded
    any more.
    """
    lines = cosignature_lines(reply)
    note = reply if not reply.startswith("— ") else _note_under(shop, witness, lines)
    seconds = cosigned_at(note, witness.key)
    if seconds is None:
        raise TamperError(f"{witness.name} did not sign this: ask for its own reply")
    cosigned = _cosigned(witness, note, seconds)
    gap = outside.hold_against(shop.store, shop.folder, shop.state, note, shop.today())
    if gap is not None:
        raise TamperError(f"{gap}; {outside.NEXT}")
    if not outside.holds(shop.store, cosigned.left):
        raise TamperError(
            f"{witness.name} signed a head that is not of this log: nothing is kept"
        )
    _keep(shop.folder, witness, note, cosigned)
    outside.leave(shop.state, cosigned.head, day=cosigned.day, how=_how(witness.name))
    return cosigned


def newest_left(shop: Shop) -> Left | None:
    """Return the newest head that a witness of the shop has, if the log holds it."""
    found = []
    for witness in known(shop.folder):
        cosigned = newest_cosigned(shop.folder, witness)
        if cosigned is not None and outside.holds(shop.store, cosigned.left):
            found.append(cosigned.left)
    return max(found, key=lambda left: left.size, default=None)


def _note_under(shop: Shop, witness: Witness, lines: tuple[str, ...]) -> str:
    """Return the shop's own note that lines of signature stand under, with them."""
    for _, note in reversed(list(shop.store.checkpoints())):
        try:
            whole = with_lines(note, lines)
            if cosigned_at(whole, witness.key) is not None:
                return whole
        except TamperError:
            continue
    raise TamperError(
        f"{witness.name} signed no checkpoint of this log with that: see that the "
        f"reply is the one to what was given"
    )


def _cosigned(witness: Witness, note: str, seconds: int) -> Cosigned:
    try:
        at = datetime.fromtimestamp(seconds, UTC)
    except (ValueError, OverflowError, OSError):
        raise TamperError(
            f"{witness.name} signed at {seconds} s since 1970, which is no time"
        ) from None
    return Cosigned(name=witness.name, head=parse_checkpoint(parse_note(note)), at=at)


def _keep(folder: Path, witness: Witness, note: str, cosigned: Cosigned) -> None:
    """Keep a whole note, unless a newer one is kept."""
    try:
        before = newest_cosigned(folder, witness)
    except LedgerError:
        before = None
    this = (cosigned.head.size, cosigned.at)
    if before is None or (before.head.size, before.at) < this:
        (folder / FOLDER).mkdir(mode=0o700, exist_ok=True)
        write_over(_note_of(folder, witness), note.encode("utf-8"))


def _note_of(folder: Path, witness: Witness) -> Path:
    return folder / FOLDER / f"{witness.name}.note"


def _how(name: str) -> str:
    return f"signed by witness {name} on"
