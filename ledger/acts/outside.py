"""What has left this machine, and whether the log still holds it.

Every head that is signed or seen here is kept in the account of whoever works, never in
the shop's folder (`ledger.log.seen`). A shop's folder that was replaced by an older
copy is found out by the next command of anybody who worked with it since: reading goes
on, nothing is said and no head is signed.

What proves more than the log holds, and was signed by the log's own key, is kept in
SHOP/evidence as well, for every other account.
"""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from functools import partial
from hashlib import sha256
from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import merkle, queries, seen, seenlists, tiles
from ledger.log.checkpoint import Checkpoint, NoteKey, verified_checkpoint
from ledger.log.entry import parse_record
from ledger.log.keys import PublicKey
from ledger.log.seen import Left, Seen, SignedHead
from ledger.log.standing import Closed, Standing, apply
from ledger.log.store import Store
from ledger.views.standing import governing_rows

EVIDENCE, WITNESSES = "evidence", "witnesses"
DAY = len("2026-01-09")
BEGINS = b'"kind":"shop.continued/'
HERE = "kept in this account on this machine"
NEXT = (
    "nothing is recorded on it: bring back the newest backup, or close this log and go "
    "on in a new one with flitchbook shop continue"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A signed head that the log must still hold, and where it was kept."""

    signed: SignedHead
    where: str

    @property
    def of_day(self) -> str:
        """The day of the head as people say it, and where it was kept."""
        day = f"of {weekday(self.signed.day)}, " if self.signed.day else ""
        return f"{day}{self.where}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """That a log does not hold what a kept head proves.

    size  the number of entries that are here
    """

    kept: Kept
    proven: Checkpoint
    size: int

    @property
    def missing(self) -> int:
        """How many entries are missing; 0 where the history is another."""
        return max(self.proven.size - self.size, 0)

    def __str__(self) -> str:
        if not self.missing:
            return (
                f"this ledger holds another history: its first {self.proven.size:,} "
                f"entries are not those of a checkpoint {self.kept.of_day}"
            )
        are = "entry is" if self.missing == 1 else "entries are"
        return (
            f"this ledger ends at {self.size:,}; a checkpoint {self.kept.of_day}, "
            f"proves {self.proven.size:,} existed: {self.missing:,} {are} missing"
        )


def weekday(day: str) -> str:
    """Return a day with its name: Friday 2026-01-09."""
    try:
        return f"{date.fromisoformat(day):%A} {day}"
    except ValueError:
        return day


def find_gap(store: Store, folder: Path, state: Path | None) -> Gap | None:
    """Return what a kept head proves that this log does not hold, or None.

    The head that proves most is told. Costs one look at a small file and, where the
    newest kept head is not in the table of checkpoints, as many reads as the tree is
    high.
    """
    closed = closed_volumes(store)
    heads = [
        kept
        for kept in kept_heads(store, folder, state)
        if not is_given_up(closed, kept.signed.head)
    ]
    if not heads:
        return None
    with store.reading() as session:
        size = queries.head(session.connection()).size
        newest = queries.newest_note(session.connection())
        signed = newest[1] if newest is not None else None
        found = [
            Gap(kept=kept, proven=kept.signed.head, size=size)
            for kept in heads
            if kept.signed.head.size > size
            or (kept.signed.note != signed and not _holds(session, kept.signed.head))
        ]
    return max(found, key=lambda gap: gap.proven.size, default=None)


def is_given_up(closed: Iterable[Closed], head: Checkpoint) -> bool:
    """Tell whether a head speaks of a volume that was closed since as far as it went.

    What it proves is lost and was said to be: nobody is kept from work for it.
    """
    return any(
        head.origin == each.origin and (head.size > each.size or not each.lost)
        for each in closed
    )


def require_no_gap(store: Store, folder: Path, state: Path | None) -> None:
    """Refuse to go on with a log that does not hold what a kept head proves."""
    gap = find_gap(store, folder, state)
    if gap is not None:
        raise TamperError(f"{gap}; {NEXT}")


def kept_heads(store: Store, folder: Path, state: Path | None) -> tuple[Kept, ...]:
    """Return every head that this account, or the shop's folder, holds against a log.

    A damaged file of this account holds nothing; `trouble` tells of it.
    """
    heads = [Kept(signed=signed, where=HERE) for signed in _seen(store, state).heads]
    places = (folder / EVIDENCE, folder / WITNESSES)
    paths = [path for place in places for path in sorted(place.glob("*.note"))]
    if paths:
        keys = log_keys(store)
        heads += [kept for path in paths for kept in _in_folder(path, keys)]
    return tuple(heads)


def trouble(store: Store, state: Path | None) -> str | None:
    """Say why nothing can be remembered in this account, or None where it can."""
    origin = origin_of(store)
    if state is None or origin is None:
        return None
    try:
        seen.remember(state, origin, lambda known: known)
    except LedgerError as fault:
        return f"what left this machine is not remembered in this account: {fault}"
    return None


def set_damage_aside(store: Store, state: Path | None) -> str | None:
    """Put a damaged file of this account aside and say so, once; None without damage.

    What it held is not lost: it lies beside the new one.
    """
    origin = origin_of(store)
    if state is None or origin is None:
        return None
    try:
        seen.read(state, origin)
    except TamperError as fault:
        aside = seen.set_aside(state, origin)
        kept = f"it is kept as {aside}" if aside else "it stays where it is"
        return (
            f"{fault}: what this account had seen of the log is not known any more, "
            f"{kept}; hold a paper against the log with flitchbook record audit "
            f"--against"
        )
    except RefusedError:
        return None
    return None


def learn(store: Store, folder: Path, state: Path | None) -> None:
    """Remember the newest head that the log's own table holds, if it is newer.

    Its day is that of its newest entry. Nothing is learnt from a log that does not hold
    what is remembered already.
    """
    newest = store.newest_checkpoint()
    known = _seen(store, state).newest
    if state is None or newest is None or (known and known.note == newest[1]):
        return
    for key in log_keys(store):
        try:
            head = verified_checkpoint(newest[1], [key])
        except LedgerError:
            continue
        if known and known.head.size >= head.size:
            return
        with store.reading() as session:
            is_held = 0 < head.size == newest[0] and _holds(session, head)
        if is_held and find_gap(store, folder, state) is None:
            day = parse_record(store.record(head.size - 1)).entry.at[:DAY]
            see(state, SignedHead(key=key, note=newest[1], day=day))
        return


def see(state: Path | None, signed: SignedHead) -> None:
    """Remember a head that was signed or seen, where this account can be written to."""
    _remember(state, signed.head.origin, lambda known: known.with_newest(signed))


def leave(state: Path | None, head: Checkpoint, *, day: str, how: str) -> None:
    """Remember that a head left this machine: on which paper, or to whom."""
    left = Left(size=head.size, root=head.root.hex(), day=day, how=how)
    _remember(state, head.origin, lambda known: known.with_left(left))


def begin_anew(state: Path | None, origin: str) -> None:
    """Set aside what was remembered of an origin under which a log is founded anew."""
    if state is not None:
        seen.set_aside(state, origin)
        seenlists.forget(state, origin)


def hold_against(
    store: Store, folder: Path, state: Path | None, note: str, day: str
) -> Gap | None:
    """Keep a head that proves more than the log holds; return what it proves.

    From then on nothing is recorded until the log holds it. None where the log holds
    it, or where the log's own key did not sign it: that accuses nobody.
    """
    for key in log_keys(store):
        try:
            head = verified_checkpoint(note, [key])
        except LedgerError:
            continue
        signed = SignedHead(key=key, note=note, day=day)
        with store.reading() as session:
            size = queries.head(session.connection()).size
            if _holds(session, head) or is_given_up(closed_volumes(store), head):
                return None
        _keep_evidence(folder / EVIDENCE, signed)
        _remember(state, head.origin, partial(Seen.with_against, signed=signed))
        kept = Kept(signed=signed, where="that was held against it")
        return Gap(kept=kept, proven=head, size=size)
    return None


def newest_left(store: Store, state: Path | None) -> Left | None:
    """Return the newest head that left, as this account knows, if the log has it."""
    left = _seen(store, state).left
    return left if left is not None and holds(store, left) else None


def holds(store: Store, left: Left) -> bool:
    """Tell whether a head that left is one of this log."""
    origin = origin_of(store) or ""
    head = Checkpoint(origin=origin, size=left.size, root=bytes.fromhex(left.root))
    with store.reading() as session:
        return _holds(session, head)


def origin_of(store: Store) -> str | None:
    """Return the origin of a log's newest volume; None before its founding."""
    rows = _beginnings(store)
    with suppress(LedgerError):  # a damaged one is an audit's to name
        return parse_record(rows[-1]).entry.origin if rows else None
    return None


def closed_volumes(store: Store) -> tuple[Closed, ...]:
    """Return the volumes that were closed because their newest entries are lost."""
    standing = Standing()
    for data in _beginnings(store):
        with suppress(LedgerError):
            entry = parse_record(data).entry
            apply(standing, entry.index, entry.event)
    return tuple(standing.closed)


def _beginnings(store: Store) -> list[bytes]:
    """Return the records with which the volumes of a log begin, the founding first."""
    rows: list[bytes] = []
    with store.reading() as session:
        founding = queries.record(session.connection(), 0)
        with suppress(SQLAlchemyError):  # views that cannot be read name no volume
            rows = [data for _, data in governing_rows(session) if BEGINS in data]
    return [*([founding] if founding else []), *rows]


def log_keys(store: Store) -> tuple[NoteKey, ...]:
    """Return every key that the log's heads were signed with, the newest first."""
    rows: list[bytes] = []
    with store.reading() as session:
        founding = queries.record(session.connection(), 0)
        with suppress(SQLAlchemyError):  # views that cannot be read name no other key
            rows = [
                data
                for _, data in governing_rows(session)
                if b'"log.key-' in data or BEGINS in data
            ]
    keys = []
    for data in filter(None, (founding, *rows)):
        with suppress(LedgerError, KeyError, TypeError):
            entry = parse_record(data).entry
            said = entry.event.get("log", entry.event)
            keys.append(NoteKey(entry.origin, PublicKey.parse(said["public"])))
    return tuple(reversed(keys))


def _holds(session: Session, head: Checkpoint) -> bool:
    """Tell whether the log's first entries have a head's root, out of the tiles."""
    connection = session.connection()
    if head.size > queries.head(connection).size:
        return False

    def node(level: int, number: int) -> bytes:
        return tiles.node(level, number, lambda *at: queries.tile(connection, *at))

    return merkle.edge_root(merkle.edge_at(head.size, node)) == head.root


def _seen(store: Store, state: Path | None) -> Seen:
    if state is None or not state.is_dir():
        return Seen()
    origin = origin_of(store)
    try:
        return Seen() if origin is None else seen.read(state, origin)
    except LedgerError:
        return Seen()


def _remember(state: Path | None, origin: str, change: seen.Change) -> None:
    """Change what is remembered; where that cannot be, an audit tells of it."""
    if state is None:
        return
    try:
        seen.remember(state, origin, change)
    except LedgerError:
        return


def _in_folder(path: Path, keys: tuple[NoteKey, ...]) -> Iterator[Kept]:
    """Yield what a note in the shop's folder holds, if one of the log's keys signed."""
    try:
        note = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return
    for key in keys:
        with suppress(LedgerError):
            verified_checkpoint(note, [key])
            yield Kept(
                signed=SignedHead(key=key, note=note, day=_day_of(path)),
                where=f"kept in {path.parent.name} in the shop's folder",
            )
            return


def _day_of(path: Path) -> str:
    """Return the day in a note's name; nothing where it has none."""
    day = path.name[:DAY]
    with suppress(ValueError):
        return date.fromisoformat(day).isoformat()
    return ""


def _keep_evidence(folder: Path, signed: SignedHead) -> None:
    data = signed.note.encode("utf-8")
    if list(folder.glob(f"*-{sha256(data).hexdigest()[:16]}.note")):
        return
    name = f"{signed.day}-{signed.head.size}-{sha256(data).hexdigest()[:16]}.note"
    try:
        folder.mkdir(exist_ok=True)
        seen.write_over(folder / name, data)
    except OSError:
        # A copy on a medium that takes no writing: this account remembers it.
        return
