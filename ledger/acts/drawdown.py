"""How much of a paper is used: by which lots, and what remains of each of its lines.

A lot draws a paper that it names once, with all that came in, whatever became of it
later. Counted is what was received: pieces as they were counted when they came in, a
set of two halves as one; mass by the first weighing here, volume by the first sizes.
Where nobody here measured, what the sawyer wrote stands in, and is told apart.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from ledger.acts.permits import UNITS, permit_unit
from ledger.acts.shop import Shop
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.craft.fitting import is_of
from ledger.craft.policy import binomial
from ledger.errors import NotFoundError
from ledger.views.boards import Board, set_of
from ledger.views.family import family, firsts_of
from ledger.views.materials import Material, MaterialDocument
from ledger.views.measures import Sizing, Weighing
from ledger.views.permits import PermitRow, permit_rows
from ledger.views.wood import Document, Lot, joins_of, lots_with

UM3_IN_A_MM3 = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """An amount of several pieces, and how sure it is.

    Of so many pieces it was measured here, of so many the sawyer wrote it, of so many
    nobody knows it; those count for nothing. A set of two halves is one piece.
    """

    amount: int
    measured: int
    listed: int
    unknown: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What a lot drew of a paper, by which of its lines, and where the wood went.

    `amounts` are by the units of a permit, and so is the wood of the line that each is
    drawn by, as far as the paper has one. Of the pieces `unlabelled` have no number
    yet, and `returned` boards went back to the sawyer.
    """

    lot: str
    species: str
    received_on: str
    sawyer: str | None
    drawn_by: Mapping[str, str]
    amounts: Mapping[str, Known]
    unlabelled: int
    returned: int
    serials: tuple[str, ...]
    entries: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineUse:
    """A line of a paper: what it was issued for, what is used and what remains.

    `remains` below zero is over-drawn. Of `unknown` pieces nobody knows how much they
    are in this unit, so that more may be used than is told.
    """

    number: int
    species: str
    unit: str
    permitted: int
    as_written: str | None
    used: Known
    remains: int
    lots: tuple[str, ...]
    entry: int

    @property
    def is_over(self) -> bool:
        """Whether more was received than the paper was issued for."""
        return self.remains < 0

    @property
    def is_sure(self) -> bool:
        """Whether all of it was measured here."""
        return not (self.used.unknown or self.used.listed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A paper, its lines, the lots that drew it, and what it does not name."""

    document: Document
    lines: tuple[LineUse, ...]
    draws: tuple[Draw, ...]
    batches: tuple[Material, ...]

    @property
    def not_named(self) -> tuple[Draw, ...]:
        """The lots of a species that no line of the paper names."""
        return tuple(draw for draw in self.draws if self.lines and not draw.drawn_by)


def used_of(shop: Shop, document: str) -> Used:
    """Tell how much of a paper is used, by which lots, and what remains.

    Raises NotFoundError where it is not on file.
    """
    with shop.store.reading() as session:
        paper = session.get(Document, document)
        if paper is None:
            raise NotFoundError(
                f"there is no document {document}: file it with flitchbook document "
                f"file"
            )
        rows = permit_rows(session, document)
        lots = lots_with(session, document)
        draws = tuple(
            _draw(shop, session, lot, rows, joins_of(session, lot.code)[document].idx)
            for lot in lots
        )
        lines = tuple(_use(row, draws) for row in rows)
        batches = tuple(_batches(session, document))
        session.expunge_all()
    return Used(document=paper, lines=lines, draws=draws, batches=batches)


def line_for(species: str, named: Iterable[str]) -> str | None:
    """Return which of the named woods a species is: itself first, then its genus."""
    fitting = [name for name in named if is_of(species, name)]
    own = binomial(species)
    return min(fitting, key=lambda name: binomial(name) != own, default=None)


def _draw(
    shop: Shop, session: Session, lot: Lot, rows: Sequence[PermitRow], joined: int
) -> Draw:
    codes = firsts_of(session, lot.code)
    boards = _by_code(session, codes)
    weighed, volumes = _first_masses(session, codes), _first_volumes(session, codes)
    masses = {board.code: _mass(board, weighed) for board in boards}
    sets = _sets(codes)
    unlabelled = max(lot.boards - len(sets), 0)
    kin = family(session, codes, "pieces").boards.values()
    opening = shop.vault.get(lot.supplier, SUPPLIER_NAME) if lot.supplier else None
    by_unit = {
        unit: [row.species for row in rows if permit_unit(row) == unit]
        for unit in UNITS
    }
    drawn_by = {unit: line_for(lot.species, named) for unit, named in by_unit.items()}
    counted = Known(
        amount=len(sets) + unlabelled,
        measured=len(sets),
        listed=unlabelled,
        unknown=0,
    )
    return Draw(
        lot=lot.code,
        species=lot.species,
        received_on=lot.received_on,
        sawyer=opening.value if opening else None,
        drawn_by={unit: line for unit, line in drawn_by.items() if line is not None},
        amounts={
            "pieces": counted,
            "mass_mg": _known(sets, masses, unlabelled),
            "volume_mm3": _known(sets, volumes, unlabelled),
        },
        unlabelled=unlabelled,
        returned=sum(board.returned_idx is not None for board in boards),
        serials=tuple(sorted({each.serial for each in kin if each.serial})),
        entries=tuple(sorted({lot.idx, joined, *(board.idx for board in boards)})),
    )


def _sets(codes: Iterable[str]) -> list[list[str]]:
    """Return boards by their numbers: two halves of a set together."""
    sets: dict[str, list[str]] = defaultdict(list)
    for code in codes:
        sets[set_of(code)].append(code)
    return list(sets.values())


def _by_code(session: Session, codes: Sequence[str]) -> list[Board]:
    query = select(Board).where(col(Board.code).in_(codes))
    found = {board.code: board for board in session.exec(query).all()}
    return [found[code] for code in codes]


def _first_masses(session: Session, codes: Sequence[str]) -> dict[str, int]:
    """Return what each board weighed when it first lay on the scale here."""
    query = (
        select(Weighing.board, Weighing.mass_mg)
        .where(col(Weighing.board).in_(codes), col(Weighing.struck_idx).is_(None))
        .order_by(col(Weighing.moment).desc(), col(Weighing.idx).desc())
    )
    return dict(session.exec(query).all())


def _first_volumes(session: Session, codes: Sequence[str]) -> dict[str, Any]:
    """Return each board's volume by its first sizes, and whether it is measured."""
    query = select(Sizing).where(
        col(Sizing.board).in_(codes), col(Sizing.struck_idx).is_(None)
    )
    # What was measured here comes before what the sawyer wrote.
    own_first = (col(Sizing.is_listed), col(Sizing.moment), col(Sizing.idx))
    first: dict[str, dict[str, tuple[int, bool]]] = defaultdict(dict)
    for row in session.exec(query.order_by(*own_first)).all():
        for name in ("length_um", "width_um", "thickness_um"):
            size = getattr(row, name)
            if size is not None:
                first[row.board].setdefault(name, (size, not row.is_listed))
    volumes = {}
    for code, sizes in first.items():
        if len(sizes) == 3:
            length, width, thickness = (size for size, _ in sizes.values())
            mm3 = (length * width * thickness + UM3_IN_A_MM3 // 2) // UM3_IN_A_MM3
            volumes[code] = mm3, all(is_own for _, is_own in sizes.values())
    return volumes


def _mass(board: Board, weighed: Mapping[str, int]) -> tuple[int, bool] | None:
    if board.code in weighed:
        return weighed[board.code], True
    return None if board.listed_mg is None else (board.listed_mg, False)


def _known(
    sets: Sequence[Sequence[str]],
    told: Mapping[str, tuple[int, bool] | None],
    unlabelled: int,
) -> Known:
    """Add up what is known of each set: the amount, and if all was measured here."""
    amount = measured = listed = 0
    for codes in sets:
        halves = [each for each in map(told.get, codes) if each is not None]
        amount += sum(part for part, _ in halves)
        if len(halves) == len(codes):
            is_own = all(is_own for _, is_own in halves)
            measured, listed = measured + is_own, listed + (not is_own)
    unknown = len(sets) - measured - listed + unlabelled
    return Known(amount=amount, measured=measured, listed=listed, unknown=unknown)


def _use(row: PermitRow, draws: Sequence[Draw]) -> LineUse:
    unit = permit_unit(row)
    permitted: int = getattr(row, unit)
    drawn = [draw for draw in draws if draw.drawn_by.get(unit) == row.species]
    parts = [draw.amounts[unit] for draw in drawn]
    used = Known(
        amount=sum(part.amount for part in parts),
        measured=sum(part.measured for part in parts),
        listed=sum(part.listed for part in parts),
        unknown=sum(part.unknown for part in parts),
    )
    return LineUse(
        number=row.position,
        species=row.species,
        unit=unit,
        permitted=permitted,
        as_written=row.as_written,
        used=used,
        remains=permitted - used.amount,
        lots=tuple(draw.lot for draw in drawn),
        entry=row.idx,
    )


def _batches(session: Session, document: str) -> Iterator[Material]:
    query = (
        select(Material)
        .join(MaterialDocument, col(MaterialDocument.batch) == col(Material.batch))
        .where(
            col(MaterialDocument.document) == document,
            col(MaterialDocument.struck_idx).is_(None),
        )
    )
    yield from session.exec(query.order_by(col(Material.batch))).all()
