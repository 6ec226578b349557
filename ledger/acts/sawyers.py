"""What became of each sawyer's wood: how much, how good, and in how many instruments.

Each board that came in is counted once, by what became of it: sent back, rejected, in
an instrument as a whole or in part, else sawn or glued, ready, or still resting. Grades
and radiation ratios are of boards and pieces alike, a piece standing for the board that
it was sawn from. What was struck counts for nothing.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from statistics import median, quantiles
from typing import Any, NamedTuple, TypeVar

from sqlmodel import Session, col, exists, select

from ledger.acts.newest_taps import Heard, Progress, newest_bare
from ledger.acts.resting import readiness_of
from ledger.acts.shop import Shop
from ledger.acts.suppliers import named
from ledger.acts.woodmap import state_of
from ledger.acts.yields import PartBook, Yield, read_parts, yield_of
from ledger.craft.seasoning import Verdict
from ledger.views.boards import Board, BoardParent, PlainBoard, plain_boards
from ledger.views.builds import Build
from ledger.views.family import Family, every_family, part_of
from ledger.views.grading import Grading, Rejection
from ledger.views.measures import Weighing
from ledger.views.rows import columns_of, plain_rows
from ledger.views.wood import Lot, Supplier

Value = TypeVar("Value")
RACK, USED = "in the rack", "in an instrument"
FATES = (
    "ready",
    "resting",
    "in an instrument",
    "sawn or glued",
    "rejected",
    "returned",
)
OLD_STOCK = "old stock, of no sawyer on record"
FEWEST_FOR_QUARTILES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The middle of several numbers and their quartiles, which a few do not have."""

    number: int
    median_milli: int
    quartiles_milli: tuple[int, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """The house's grade by its rule, beside the sawyer's own grade, word for word."""

    grade: str
    rule: str
    supplier_grade: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTold:
    """What became of one lot.

    `came` is how many boards or sets came in, `boards` how many are numbered, each half
    of a set for itself. `mass_mg` is what `weighed` of them weighed when they came.
    `faults` are those of boards and of pieces; of a rejected one there may be several.
    `ratios_milli` are radiation ratios [m4/(kg s)], by `methods`.
    """

    lot: str
    idx: int
    species: str
    received_on: str
    came: int
    boards: int
    mass_mg: int
    weighed: int
    fates: Mapping[str, int]
    rejected_pieces: int
    faults: Mapping[str, int]
    grades: Mapping[Graded, int]
    supplier_grades: Mapping[str, int]
    ratios_milli: tuple[int, ...]
    methods: frozenset[str]
    made: Yield
    instruments: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SawyerTold:
    """One sawyer's lots, in the order of their codes; old stock may be nobody's."""

    name: str
    is_known: bool
    lots: tuple[LotTold, ...]

    @property
    def instruments(self) -> dict[str, str]:
        """The model of each instrument in which there is wood of these lots."""
        return {s: model for lot in self.lots for s, model in lot.instruments.items()}

    @property
    def made(self) -> Yield:
        """The yield over all lots."""
        return Yield(
            finished_mg=sum(lot.made.finished_mg for lot in self.lots),
            wood_mg=sum(lot.made.wood_mg for lot in self.lots),
        )

    @property
    def ratios(self) -> dict[str, Spread]:
        """The radiation ratios by species."""
        found: dict[str, list[int]] = {}
        for lot in self.lots:
            found.setdefault(lot.species, []).extend(lot.ratios_milli)
        return {name: spread_of(each) for name, each in found.items() if each}

    def counted(self, what: str) -> Counter[str]:
        """Add up `fates`, `faults` or `supplier_grades` over all lots."""
        found: Counter[str] = Counter()
        for lot in self.lots:
            found.update(getattr(lot, what))
        return found

    @property
    def grades(self) -> Counter[Graded]:
        """The house's grades over all lots, each beside the sawyer's."""
        found: Counter[Graded] = Counter()
        for lot in self.lots:
            found.update(lot.grades)
        return found


def by_sawyer(
    shop: Shop,
    session: Session,
    supplier: Supplier | None = None,
    *,
    progress: Progress | None = None,
) -> list[SawyerTold]:
    """Return what became of every sawyer's wood, or of one's alone.

    Wood that no sawyer is known for comes last. `progress` is told tap by tap. Each
    view is read once, however many lots there are.
    """
    query = select(Lot).order_by(col(Lot.code))
    if supplier is not None:
        query = query.where(col(Lot.supplier) == supplier.subject)
    rows = session.exec(query).all()
    book = _read(session, supplier, shop.today(), progress)
    lots = [(lot.supplier, _lot(book, lot)) for lot in rows]
    names = {row.subject: name for row, name in named(shop, session)}
    found = []
    for subject in (*names, None):
        own = tuple(told for owner, told in lots if _known(owner, names) == subject)
        if own or (supplier is not None and subject == supplier.subject):
            name = names.get(subject, OLD_STOCK) if subject else OLD_STOCK
            told = SawyerTold(name=name, is_known=subject is not None, lots=own)
            found.append(told)
    return found


def spread_of(values_milli: Sequence[int]) -> Spread:
    """Return the median of some numbers, and the quartiles of four or more."""
    quartiles = None
    if len(values_milli) >= FEWEST_FOR_QUARTILES:
        low, _, high = quantiles(values_milli, n=4, method="inclusive")
        quartiles = (round(low), round(high))
    return Spread(
        number=len(values_milli),
        median_milli=round(median(values_milli)),
        quartiles_milli=quartiles,
    )


def _known(subject: str | None, names: Mapping[str, str]) -> str | None:
    """Return whose lot it is, as far as the vault still has the name."""
    return subject if subject in names else None


class _Grade(NamedTuple):
    grade: str
    rule: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Book:
    """What is told of lots, read once: boards and faults by lot, the rest by board."""

    kin: Family
    boards: Mapping[str, Sequence[PlainBoard]]
    verdicts: Mapping[str, Verdict]
    first_mg: Mapping[str, int]
    heard: Mapping[str, Heard]
    grades: Mapping[str, Mapping[str, _Grade]]
    faults: Mapping[str, Sequence[str]]
    models: Mapping[str, str]
    parts: PartBook


def _read(
    session: Session, supplier: Supplier | None, today: str, progress: Progress | None
) -> _Book:
    theirs: list[Any] = [col(Board.struck_idx).is_(None)]
    own: set[str] | None = None
    if supplier is not None:
        lots = select(Lot.code).where(col(Lot.supplier) == supplier.subject)
        theirs.append(col(Board.lot).in_(lots))
        own = set(session.exec(lots).all())
    every = plain_boards(session)
    boards = [
        board
        for board in every
        if board.struck_idx is None and (own is None or board.lot in own)
    ]
    of_lot: dict[str, list[PlainBoard]] = defaultdict(list)
    for board in boards:
        of_lot[board.lot].append(board)
    parts = read_parts(session, every)
    firsts = [board for board in boards if board.code not in parts.came_from]
    rack = [board for board in firsts if state_of(board) == RACK]
    codes = {board.code for board in boards}
    builds = columns_of(Build, ("serial", "model")).order_by(col(Build.idx))
    return _Book(
        kin=every_family(session, every),
        boards=of_lot,
        verdicts=readiness_of(session, rack, today=today) if rack else {},
        first_mg=_first_masses(session, theirs),
        heard=newest_bare(session, codes, progress=progress),
        grades=_newest_grades(session, theirs),
        faults=_faults(session, theirs),
        models=dict(map(tuple, plain_rows(session, builds))),
        parts=parts,
    )


def _lot(book: _Book, lot: Lot) -> LotTold:
    boards = {board.code: board for board in book.boards.get(lot.code, ())}
    firsts = [b for b in boards.values() if b.code not in book.parts.came_from]
    kin = part_of(book.kin, [board.code for board in firsts])
    first_mg = {
        b.code: book.first_mg[b.code] for b in firsts if b.code in book.first_mg
    }
    heard = {code: book.heard[code] for code in boards if code in book.heard}
    ratios = {code: round(each.radiation_ratio * 1000) for code, each in heard.items()}
    serials = {board.serial for board in kin.boards.values() if board.serial}
    return LotTold(
        lot=lot.code,
        idx=lot.idx,
        species=lot.species,
        received_on=lot.received_on,
        came=lot.boards,
        boards=len(firsts),
        mass_mg=sum(first_mg.values()),
        weighed=len(first_mg),
        fates=_fates(firsts, kin, book.verdicts),
        rejected_pieces=sum(b.rejected_idx is not None for b in boards.values())
        - sum(b.rejected_idx is not None for b in firsts),
        faults=Counter(book.faults.get(lot.code, ())),
        grades=Counter(_grades(book.grades.get(lot.code, {}), boards, kin)),
        supplier_grades=Counter(b.supplier_grade for b in firsts if b.supplier_grade),
        ratios_milli=tuple(_of_pieces(ratios, kin).values()),
        methods=frozenset(each.method for each in heard.values()),
        made=yield_of(book.parts, kin, first_mg),
        instruments={s: m for s, m in book.models.items() if s in serials},
    )


def _first_masses(session: Session, theirs: Iterable[Any]) -> dict[str, int]:
    """Return what each board that came in weighed when it first lay on the scale."""
    first: Any = (
        select(Weighing.mass_mg)
        .where(
            col(Weighing.board) == col(Board.code), col(Weighing.struck_idx).is_(None)
        )
        .order_by(col(Weighing.moment), col(Weighing.idx))
        .limit(1)
        .scalar_subquery()
    )
    is_piece = exists().where(col(BoardParent.piece) == col(Board.code))
    query = select(Board.code, first).where(*theirs, ~is_piece)
    return {code: mg for code, mg in plain_rows(session, query) if mg is not None}


def _fates(
    boards: Sequence[PlainBoard], kin: Family, verdicts: Mapping[str, Verdict]
) -> Counter[str]:
    """Count the boards that came in, each by what became of it."""
    used = _used(kin)
    found: Counter[str] = Counter()
    for board in boards:
        state = state_of(board)
        if state == RACK:
            state = "ready" if verdicts[board.code] else "resting"
        elif board.became_idx is not None and board.code in used:
            state = USED
        found[state] += 1
    return found


def _used(kin: Family) -> set[str]:
    """Return the boards of which something is in an instrument."""
    found: set[str] = set()
    # Pieces come after what they came from.
    for member in sorted(kin.boards.values(), key=attrgetter("idx"), reverse=True):
        pieces = kin.next_of.get(member.code, ())
        if member.serial or any(piece in found for piece in pieces):
            found.add(member.code)
    return found


def _faults(session: Session, theirs: Iterable[Any]) -> dict[str, list[str]]:
    """Return what was wrong with boards and pieces, by the newest word of each."""
    query = (
        select(Board.lot, Rejection.faults)
        .join(Board, col(Board.rejected_idx) == col(Rejection.idx))
        .where(*theirs)
    )
    by_number = query.order_by(col(Board.idx), col(Board.code))
    found: dict[str, list[str]] = defaultdict(list)
    for lot, faults in session.exec(by_number).all():
        found[lot] += faults.split("\n")
    return found


def _newest_grades(
    session: Session, theirs: Iterable[Any]
) -> dict[str, dict[str, _Grade]]:
    """Return by lot the newest grade of each board that has one, by whomever."""
    columns: Any = (Board.lot, Grading.board, Grading.grade)
    columns += (Grading.policy, Grading.version)
    query = (
        select(*columns)
        .join(Board, col(Board.code) == col(Grading.board))
        .where(*theirs, col(Grading.struck_idx).is_(None))
    )
    by_time = query.order_by(col(Grading.moment), col(Grading.idx))
    found: dict[str, dict[str, _Grade]] = defaultdict(dict)
    for lot, board, grade, policy, version in plain_rows(session, by_time):
        found[lot][board] = _Grade(grade, f"{policy} {version}")
    return found


def _grades(
    newest: Mapping[str, _Grade], boards: Mapping[str, PlainBoard], kin: Family
) -> Iterable[Graded]:
    """Return the newest grade of each board; pieces stand for theirs."""
    theirs = _supplier_grades(boards, kin)
    for code, (grade, rule) in _of_pieces(newest, kin).items():
        yield Graded(grade=grade, rule=rule, supplier_grade=theirs.get(code))


def _supplier_grades(boards: Mapping[str, PlainBoard], kin: Family) -> dict[str, str]:
    """Return the sawyer's grade of each board; a piece has that of its board."""
    found = {c: b.supplier_grade for c, b in boards.items() if b.supplier_grade}
    for member in sorted(kin.boards.values(), key=attrgetter("idx")):
        for piece in kin.next_of.get(member.code, ()):
            if member.code in found:
                found.setdefault(piece, found[member.code])
    return found


def _of_pieces(found: Mapping[str, Value], kin: Family) -> dict[str, Value]:
    """Leave out the boards whose own pieces were judged too; none counts twice."""
    return {
        code: value
        for code, value in found.items()
        if not any(piece in found for piece in kin.next_of.get(code, ()))
    }
