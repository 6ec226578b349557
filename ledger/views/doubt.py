"""What a doubt reaches: wood at any depth, batches, steps, and instruments.

It is followed both ways. Downwards it tells all that rests on what is in doubt; upwards
it tells of one board or instrument which doubts cover it, and costs no more than the
wood that board came from.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from sqlalchemy import ColumnElement
from sqlmodel import Session, and_, col, or_, select

from ledger.views.boards import Board, boards_in, boards_named
from ledger.views.builds import SignedStep, StepGauge, StepMaterial
from ledger.views.family import Family, Member, family, firsts_of
from ledger.views.graduations import graduated_by
from ledger.views.holds import Hold, clearings_of, open_holds
from ledger.views.materials import Calibration, Material, MaterialDocument
from ledger.views.orders import Concession
from ledger.views.people import PersonKey
from ledger.views.rows import columns_of, plain_rows
from ledger.views.service import Service, ServiceMaterial
from ledger.views.wood import Lot, LotDocument

# So many boards are named to the database at once.
AT_ONCE = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What a doubt begins with; of gauges and keys, from which moment on.

    `placed` is the entry by which it was said, after which no day of a person's counts.
    `cleared` are the lots, boards, batches and instruments that were cleared of it, and
    `cleared_at` by which entry: an instrument only of what was in it then.
    """

    lots: frozenset[str] = frozenset()
    boards: frozenset[str] = frozenset()
    batches: frozenset[str] = frozenset()
    gauges: dict[str, str] = field(default_factory=dict)
    keys: frozenset[str] = frozenset()
    since: str = ""
    placed: int = 0
    cleared: frozenset[str] = frozenset()
    cleared_at: Mapping[str, int] = field(default_factory=dict)

    def is_after(self, serial: str, index: int | None) -> bool:
        """Tell whether an entry about an instrument is newer than its clearing."""
        return index is not None and index > self.cleared_at.get(serial, -1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """How a doubt reaches an instrument: by boards in it, and by entries about it."""

    boards: tuple[str, ...]
    entries: tuple[int, ...]


def source_of(
    session: Session,
    hold: Hold,
    *,
    cleared_at: Mapping[str, int] | None = None,
    as_of: int | None = None,
) -> Source:
    """Return what a doubt begins with, without what was cleared of it.

    With `cleared_at` it is as it was when that and no more was cleared, each by its
    newest entry; with `as_of` a paper in doubt is of what it was of then.
    """
    if cleared_at is None:
        cleared_at = {row.code: row.idx for row in clearings_of(session, hold.hold)}
    halves = (f"{code}.{half}" for code in cleared_at for half in "AB")
    cleared = {*cleared_at, *halves}
    lots, boards, batches, keys = (frozenset[str]() for _ in range(4))
    gauges: dict[str, str] = {}
    since = hold.since or ""
    match hold.on:
        case "document":
            lots, batches = _with_document(session, hold.code, as_of)
            gauges = _calibrated_by(session, hold.code)
        case "supplier":
            lots, batches = _from_supplier(session, hold.code)
        case "lot":
            lots = frozenset({hold.code})
        case "board":
            boards = frozenset(b.code for b in boards_named(session, hold.code))
        case "batch":
            batches = frozenset({hold.code})
        case "gauge":
            gauges = {hold.code: since}
        case "person":
            of_person = select(PersonKey.key).where(col(PersonKey.subject) == hold.code)
            keys = frozenset(session.exec(of_person).all())
    return Source(
        lots=lots - cleared,
        boards=boards - cleared,
        batches=batches - cleared,
        gauges={code: day for code, day in gauges.items() if code not in cleared},
        keys=keys,
        since=since,
        placed=hold.idx,
        cleared=frozenset(cleared),
        cleared_at=cleared_at,
    )


def regrouped(session: Session, hold: Hold) -> list[int]:
    """Return the entries that changed of which lots and batches a paper in doubt is."""
    if hold.on != "document":
        return []
    found = set()
    for view in (LotDocument, MaterialDocument):
        query = select(view.idx, view.struck_idx).where(col(view.document) == hold.code)
        for joined, struck in session.exec(query).all():
            found |= {joined} if struck is None else {joined, struck}
    return sorted(found)


def reached(session: Session, source: Source) -> dict[str, Member]:
    """Return all wood that a doubt reaches, sawn and glued at any depth, by code."""
    firsts = [code for lot in sorted(source.lots) for code in firsts_of(session, lot)]
    firsts += sorted(source.boards)
    boards: dict[str, Member] = {}
    nexts: dict[str, tuple[str, ...]] = {}
    for start in range(0, len(firsts), AT_ONCE):
        kin = family(session, firsts[start : start + AT_ONCE], "pieces")
        boards |= kin.boards
        nexts |= kin.next_of
    return {code: boards[code] for code in _walked(firsts, nexts, source.cleared)}


def covers(source: Source, kin: Family, code: str) -> bool:
    """Tell whether a doubt reaches a board; `kin` is what it came from."""
    for each in _walked([code], kin.next_of, source.cleared):
        is_first = each not in kin.next_of
        if each in source.boards or (is_first and kin.boards[each].lot in source.lots):
            return True
    return False


def instruments(
    session: Session, source: Source, boards: Iterable[Member]
) -> dict[str, Touched]:
    """Return the instruments that a doubt reaches, by their wood or by their steps."""
    wood: dict[str, list[str]] = defaultdict(list)
    for board in boards:
        if board.serial and source.is_after(board.serial, board.allotted_idx):
            wood[board.serial].append(board.code)
    said = entries_by(session, source)
    serials = sorted(wood.keys() | said.keys())
    return {
        serial: Touched(
            boards=tuple(wood.get(serial, ())),
            entries=tuple(sorted(said.get(serial, ()))),
        )
        for serial in serials
    }


def entries_by(
    session: Session, source: Source, serials: Collection[str] | None = None
) -> dict[str, set[int]]:
    """Return the entries of instruments that used a batch, a gauge or a key in doubt.

    With `serials` only those of these instruments. What an instrument was cleared of is
    left out.
    """
    found: dict[str, set[int]] = defaultdict(set)
    for of, index in (
        *_by_batch(session, source, serials),
        *_by_gauge(session, source, serials),
        *_by_key(session, source, serials),
    ):
        if source.is_after(of, index):
            found[of].add(index)
    return found


def doubts_in(
    session: Session, *, serial: str | None = None, boards: Sequence[str] = ()
) -> Iterator[tuple[Hold, str]]:
    """Yield each open doubt in an instrument or in boards, and in which of them."""
    holds = open_holds(session)
    if not holds:
        return
    within = boards_in(session, serial) if serial else []
    kin = family(session, [*boards, *(board.code for board in within)], "parents")
    for hold in holds:
        source = source_of(session, hold)
        asked = [code for code in boards if code in kin.boards]
        found = next((code for code in asked if covers(source, kin, code)), None)
        if found is not None:
            yield hold, found
        if serial is None:
            continue
        fresh = (b.code for b in within if source.is_after(serial, b.allotted_idx))
        if any(covers(source, kin, code) for code in fresh) or any(
            entries_by(session, source, [serial])
        ):
            yield hold, serial


def first_doubts(session: Session, serials: Collection[str]) -> dict[str, Hold]:
    """Return the first open doubt in each of these instruments that has any.

    It is the first of `doubts_in`, but as much is asked for all of them as for one.
    """
    holds = open_holds(session)
    if not (holds and serials):
        return {}
    columns = columns_of(Board, ("serial", "code", "allotted_idx"))
    in_any = columns.where(col(Board.serial).in_(serials))
    within: dict[str, list[tuple[str, int | None]]] = defaultdict(list)
    for serial, code, allotted in plain_rows(session, in_any):
        within[serial].append((code, allotted))
    codes = [code for boards in within.values() for code, _ in boards]
    kin = Family(boards={}, next_of={})
    for start in range(0, len(codes), AT_ONCE):
        some = family(session, codes[start : start + AT_ONCE], "parents")
        kin.boards.update(some.boards)
        kin.next_of.update(some.next_of)
    found: dict[str, Hold] = {}
    for hold in holds:
        source = source_of(session, hold)
        said = entries_by(session, source, serials)
        for serial in serials:
            own = within[serial]
            fresh = (code for code, by in own if source.is_after(serial, by))
            if serial in said or any(covers(source, kin, code) for code in fresh):
                found.setdefault(serial, hold)
    return found


def doubts_of(
    session: Session, *, batches: Sequence[str] = (), gauges: Sequence[str] = ()
) -> Iterator[tuple[Hold, str]]:
    """Yield each open doubt in batches and gauges, and in which of them."""
    if not (batches or gauges):
        return
    for hold in open_holds(session):
        source = source_of(session, hold)
        yield from ((hold, code) for code in batches if code in source.batches)
        yield from ((hold, code) for code in gauges if code in source.gauges)


def _walked(
    starts: Iterable[str], nexts: dict[str, tuple[str, ...]], cleared: frozenset[str]
) -> Iterator[str]:
    """Yield each member of a family once, and nothing that was cleared or came of it.

    What also came from wood that nobody cleared is reached by that.
    """
    # A stack and no recursion: an offcut of an offcut may lie any depth down.
    waiting, seen = list(starts)[::-1], set(cleared)
    while waiting:
        code = waiting.pop()
        if code in seen:
            continue
        seen.add(code)
        yield code
        waiting += reversed(nexts.get(code, ()))


def _by_batch(
    session: Session, source: Source, serials: Collection[str] | None
) -> Iterator[tuple[str, int]]:
    if not source.batches:
        return
    for view in (StepMaterial, ServiceMaterial):
        query = select(view.serial, view.idx).where(
            col(view.batch).in_(source.batches), col(view.struck_idx).is_(None)
        )
        if serials is not None:
            query = query.where(col(view.serial).in_(serials))
        yield from plain_rows(session, query)


def _by_gauge(
    session: Session, source: Source, serials: Collection[str] | None
) -> Iterator[tuple[str, int]]:
    for gauge, since in source.gauges.items():
        query = (
            select(StepGauge.serial, StepGauge.idx)
            .join(SignedStep, col(SignedStep.idx) == col(StepGauge.idx))
            .where(
                col(StepGauge.gauge) == gauge,
                col(StepGauge.struck_idx).is_(None),
                col(SignedStep.at) >= since,
            )
        )
        if serials is not None:
            query = query.where(col(StepGauge.serial).in_(serials))
        yield from session.exec(query).all()
        plates = graduated_by(session, gauge, since=since, placed=source.placed)
        yield from (row for row in plates if serials is None or row[0] in serials)


def _by_key(
    session: Session, source: Source, serials: Collection[str] | None
) -> Iterator[tuple[str, int]]:
    """Yield what the keys of a person signed of instruments, from a moment on.

    By when it was entered: when it is said to have happened is the person's own word.
    """
    if not source.keys:
        return
    signed = select(SignedStep.serial, SignedStep.idx).where(
        col(SignedStep.key).in_(source.keys),
        col(SignedStep.struck_idx).is_(None),
        col(SignedStep.at) >= source.since,
    )
    conceded = select(Concession.serial, Concession.idx).where(
        col(Concession.key).in_(source.keys),
        col(Concession.struck_idx).is_(None),
        col(Concession.at) >= source.since,
    )
    served = select(Service.serial, Service.idx).where(
        col(Service.key).in_(source.keys),
        col(Service.struck_idx).is_(None),
        or_(col(Service.day) >= source.since[:10], col(Service.idx) > source.placed),
    )
    if serials is not None:
        signed = signed.where(col(SignedStep.serial).in_(serials))
        conceded = conceded.where(col(Concession.serial).in_(serials))
        served = served.where(col(Service.serial).in_(serials))
    for query in (signed, conceded, served):
        yield from session.exec(query).all()


def _with_document(
    session: Session, code: str, as_of: int | None
) -> tuple[frozenset[str], frozenset[str]]:
    """Return what a paper is of: today, or after an entry."""
    lots = select(LotDocument.lot).where(col(LotDocument.document) == code)
    batches = select(MaterialDocument.batch).where(
        col(MaterialDocument.document) == code
    )
    of_lots, of_batches = (
        query.where(_stood(view, as_of))
        for query, view in ((lots, LotDocument), (batches, MaterialDocument))
    )
    return (
        frozenset(session.exec(of_lots).all()),
        frozenset(session.exec(of_batches).all()),
    )


def _stood(
    view: type[LotDocument] | type[MaterialDocument], as_of: int | None
) -> ColumnElement[bool]:
    """Return the condition that a row stands, or stood after an entry."""
    struck = col(view.struck_idx)
    if as_of is None:
        return struck.is_(None)
    return and_(col(view.idx) <= as_of, or_(struck.is_(None), struck > as_of))


def _from_supplier(
    session: Session, subject: str
) -> tuple[frozenset[str], frozenset[str]]:
    lots = select(Lot.code).where(col(Lot.supplier) == subject)
    batches = select(Material.batch).where(col(Material.supplier) == subject)
    return frozenset(session.exec(lots).all()), frozenset(session.exec(batches).all())


def _calibrated_by(session: Session, document: str) -> dict[str, str]:
    """Return the gauges that a paper says were right, and since which day it says so.

    Of several calibrations on one paper the first one counts.
    """
    query = select(Calibration).where(
        col(Calibration.document) == document, col(Calibration.struck_idx).is_(None)
    )
    rows = session.exec(query.order_by(col(Calibration.day).desc())).all()
    return {row.gauge: row.day for row in rows}
