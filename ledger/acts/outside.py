"""What has left this machine, and whether the log still holds it.

Every head that is signed or seen here, and the one after each turn, is kept in the
account of whoever works, never in the shop's folder (`ledger.log.seen`). A shop's
folder that was replaced by an older copy is found out by the next command of anybody
who worked with it since: reading goes on, nothing is said and no head is signed.

What proves more than the log holds, and was signed by the log's own key, is kept in
SHOP/evidence as well, for every other account.
"""

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from datetime import date
from functools import partial
from hashlib import sha256
from pathlib import Path

from sqlmodel import Session

from ledger.acts.gaps import Gap as Gap  # what is found here
from ledger.acts.gaps import Kept as Kept
from ledger.acts.layout import EVIDENCE, WITNESSES
from ledger.acts.tenures import (
    ended_before,
    lineage,
    origin_of,
    signed_too_late,
    signer,
)
from ledger.acts.tenures import log_keys as log_keys  # whoever keeps heads asks for it
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import queries, seen, seenlists, tiles
from ledger.log.checkpoint import Checkpoint, verified_checkpoint
from ledger.log.entry import parse_record
from ledger.log.seen import Left, Seen, Sighting, SignedHead
from ledger.log.standing import Closed, Standing
from ledger.log.store import Store
from ledger.log.strokes import write_over

DAY = len("2026-01-09")
HOLD_A_PAPER = "hold a paper against the log with flitchbook record audit --against"
HERE = "kept in this account on this machine"
NEXT = (
    "nothing is recorded on it: bring back the newest backup, or the missing entries "
    "with flitchbook record put-back; where none are left, close this log and go on "
    "with flitchbook shop continue"
)


def find_gap(store: Store, folder: Path, state: Path | None) -> Gap | None:
    """Return what a kept head proves that this log does not hold, or None.

    The head that proves most is told, a signed one before one that was only seen.
    Costs one look at a small file and, for each head, as many reads as the tree is
    high.
    """
    return _gap(store, lineage(store), folder, state)


def _gap(store: Store, known: Standing, folder: Path, state: Path | None) -> Gap | None:
    heads = [
        kept
        for kept in _kept(known, folder, state)
        if not is_given_up(known.closed, kept.signed.head)
    ]
    if not heads:
        return None
    with store.reading() as session:
        size = queries.head(session.connection()).size
        found = [
            Gap(kept=kept, proven=kept.signed.head, size=size)
            for kept in heads
            if not _holds(session, kept.signed.head.size, kept.signed.head.root)
        ]
    return max(
        found, key=lambda gap: (gap.proven.size, gap.kept.is_signed), default=None
    )


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

    A damaged file of this account holds nothing; `trouble` tells of it. What a replaced
    key of the log signed beyond its time is not among them: `signed_by_ended` tells it.
    """
    return _kept(lineage(store), folder, state)


def _kept(known: Standing, folder: Path, state: Path | None) -> tuple[Kept, ...]:
    mine = _seen(known.origin, state)
    heads = [
        Kept(signed=signed, where=HERE)
        for signed in mine.heads
        if ended_before(known, signed.key, signed.head) is None
    ]
    if mine.sighted is not None and all(
        kept.signed.head != mine.sighted.head for kept in heads
    ):
        heads.append(Kept(signed=mine.sighted, where=HERE))
    heads += [kept for path in _notes(folder) for kept in _in_folder(path, known)]
    return tuple(heads)


def signed_by_ended(store: Store, folder: Path, state: Path | None) -> Iterator[str]:
    """Yield what lies here that a replaced key of the log signed beyond its time."""
    known = lineage(store)
    mine = [(HERE, signed.note) for signed in _seen(known.origin, state).heads]
    for where, note in (*mine, *((str(p), _text(p)) for p in _notes(folder))):
        late = signed_too_late(known, note)
        if late is not None:
            yield f"{where}: {late}"


def look(
    store: Store,
    folder: Path,
    state: Path | None,
    *,
    is_signing: bool,
    tell: Callable[[str], None],
) -> Gap | None:
    """Return what is missing of the log; where nothing is, its newest head is learnt.

    tell  is told before all else what is amiss with this account's memory
    """
    known = lineage(store)
    amiss = about_account(known.origin, state, is_signing=is_signing)
    if amiss is not None:
        tell(amiss)
    gap = _gap(store, known, folder, state)
    if gap is None:
        _learn(store, known, folder, state)
    return gap


def about_account(origin: str, state: Path | None, *, is_signing: bool) -> str | None:
    """Say what is amiss with this account's memory: to whoever signs, each time."""
    told = set_damage_aside(origin, state)
    if told is not None or state is None or not is_signing:
        return told
    # A folder that can be made is made when there is something to remember.
    there = next(path for path in (state, *state.absolute().parents) if path.exists())
    can_be_made = there != state and there.is_dir() and os.access(there, os.W_OK)
    return None if can_be_made else _trouble(origin, state)


def trouble(store: Store, state: Path | None) -> str | None:
    """Say why nothing is remembered in this account, or was before; None if all is."""
    return _trouble(lineage(store).origin, state)


def _trouble(origin: str, state: Path | None) -> str | None:
    if state is None or not origin:
        return None
    try:
        seen.remember(state, origin, lambda known: known)
    except LedgerError as fault:
        return f"what left this machine is not remembered in this account: {fault}"
    lost = seen.damaged(state, origin)
    if not lost:
        return None
    return (
        f"what this account had seen of the log was damaged, and is kept as "
        f"{lost[-1]}: {HOLD_A_PAPER}"
    )


def settle(store: Store, state: Path | None) -> None:
    """Ask no more for a paper after damage: one was held against the log, and fits."""
    origin = origin_of(store)
    if state is not None and origin is not None:
        seen.settle(state, origin)


def set_damage_aside(origin: str, state: Path | None) -> str | None:
    """Put a damaged file of this account aside and say so, once; None without damage.

    What it held is not lost: it lies beside the new one.
    """
    if state is None or not origin:
        return None
    try:
        seen.read(state, origin)
    except TamperError as fault:
        aside = seen.set_aside(state, origin, is_damaged=True)
        kept = f"it is kept as {aside}" if aside else "it stays where it is"
        return (
            f"{fault}: what this account had seen of the log is not known any more, "
            f"{kept}; {HOLD_A_PAPER}"
        )
    except RefusedError:
        return None
    return None


def learn(store: Store, folder: Path, state: Path | None) -> None:
    """Remember the newest head that the log's own table holds, if it is newer.

    Its day is that of its newest entry. Nothing is learnt from a log that does not hold
    what is remembered already.
    """
    _learn(store, lineage(store), folder, state)


def _learn(store: Store, log: Standing, folder: Path, state: Path | None) -> None:
    newest, known = store.newest_checkpoint(), _seen(log.origin, state).newest
    if state is None or newest is None or (known and known.note == newest[1]):
        return
    key = signer(log, newest[1])
    if key is None:
        return
    head = verified_checkpoint(newest[1], [key])
    if known and known.head.size >= head.size:
        return
    with store.reading() as session:
        is_held = 0 < head.size == newest[0] and _holds(session, head.size, head.root)
    if is_held and _gap(store, log, folder, state) is None:
        see(state, SignedHead(key=key, note=newest[1], day=day_of(store, head.size)))


def day_of(store: Store, size: int) -> str:
    """Return the day of the newest of so many entries."""
    return parse_record(store.record(size - 1)).entry.at[:DAY]


def sight(store: Store, state: Path | None) -> None:
    """Remember the head of the log as it stands, signed or not, after a turn."""
    origin = origin_of(store)
    if state is None or origin is None:
        return
    here = store.head()
    head = Checkpoint(origin=origin, size=here.size, root=here.root)
    known = _seen(origin, state).sighted
    if known is None or known.head.size < head.size:
        sighting = Sighting(head=head, day=day_of(store, head.size))
        _remember(state, origin, lambda seen: seen.with_sighted(sighting))


def newest_day(store: Store, state: Path | None) -> str:
    """Return the day of the newest signed head that this account saw, or nothing."""
    newest = _seen(origin_of(store), state).newest
    return newest.day if newest is not None else ""


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
    it, or where the log's own key of that size did not sign it: that accuses nobody.
    """
    known = lineage(store)
    key = signer(known, note)
    if key is None:
        return None
    head = verified_checkpoint(note, [key])
    signed = SignedHead(key=key, note=note, day=day)
    with store.reading() as session:
        size = queries.head(session.connection()).size
        if _holds(session, head.size, head.root) or is_given_up(known.closed, head):
            return None
    _keep_evidence(folder / EVIDENCE, signed)
    _remember(state, head.origin, partial(Seen.with_against, signed=signed))
    kept = Kept(signed=signed, where="that was held against it")
    return Gap(kept=kept, proven=head, size=size)


def newest_left(store: Store, state: Path | None) -> Left | None:
    """Return the newest head that left, as this account knows, if the log has it."""
    left = _seen(origin_of(store), state).left
    return left if left is not None and holds(store, left) else None


def holds(store: Store, left: Left) -> bool:
    """Tell whether a head that left is one of this log."""
    with store.reading() as session:
        return _holds(session, left.size, bytes.fromhex(left.root))


def _holds(session: Session, size: int, root: bytes) -> bool:
    """Tell whether the log's first entries have a head's root, out of the tiles."""
    connection = session.connection()
    if size > queries.head(connection).size:
        return False
    return tiles.root_of(size, lambda *at: queries.tile(connection, *at)) == root


def _seen(origin: str | None, state: Path | None) -> Seen:
    if state is None or not origin or not state.is_dir():
        return Seen()
    try:
        return seen.read(state, origin)
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


def _notes(folder: Path) -> list[Path]:
    """Return the notes that lie in a shop's folder."""
    places = (folder / EVIDENCE, folder / WITNESSES)
    return [path for place in places for path in sorted(place.glob("*.note"))]


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def _in_folder(path: Path, known: Standing) -> Iterator[Kept]:
    """Yield what a note in the shop's folder holds, if the log's key signed it."""
    note = _text(path)
    key = signer(known, note)
    if key is not None:
        yield Kept(
            signed=SignedHead(key=key, note=note, day=_day_of(path)),
            where=f"kept in {path.parent.name} in the shop's folder",
        )


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
        write_over(folder / name, data)
    except OSError:
        # A copy on a medium that takes no writing: this account remembers it.
        return
