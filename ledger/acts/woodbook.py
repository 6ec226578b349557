"""All wood that ever had a number, read once, as a year's balance asks for it.

Boards and sizes are plain rows, each table read in one question. Of the many weighings
only three of a board are read: the last before the year, the first, and the last.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

from sqlmodel import Session, col, func, select

from ledger.scales import shared
from ledger.views.allotting import Stay
from ledger.views.boards import Board, BoardParent
from ledger.views.builds import WeighedPart
from ledger.views.certificates import Certificate
from ledger.views.measures import Sizing, Weighing
from ledger.views.rows import columns_of, plain_rows
from ledger.views.shipments import Shipment, ShippedThing
from ledger.views.wood import Lot

UM3_IN_A_MM3 = 10**9
SIZES = ("length_um", "width_um", "thickness_um")
Shares = Mapping[str, Fraction]
# An entry, and what it gave: a mass, or three sizes.
Seen = tuple[int, tuple[int | None, ...]]


class Line(NamedTuple):
    """What a balance asks of a board."""

    code: str
    lot: str
    idx: int
    listed_mg: int | None
    became_idx: int | None
    rejected_idx: int | None
    returned_idx: int | None
    consumed_idx: int | None
    off_idx: int | None


class BuiltIn(NamedTuple):
    """By which entry a board went into an instrument, as which part, and if spoiled.

    `allotted` is the entry by which it was allotted to it.
    """

    idx: int
    allotted: int
    serial: str
    part: str
    is_spoiled: bool
    is_there: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodBook:
    """Boards in the order of their entries, and what was said of each of them.

    `parents` is what each piece came from, and what that weighed before [mg]. Masses
    [mg] are `opening_mg` before the first entry of the year, `first_mg` in the entry
    that numbered the board, and `last_mg` before the first entry after the year.
    """

    lines: Sequence[Line]
    lots: Mapping[str, Lot]
    parents: Mapping[str, Mapping[str, int]]
    opening_mg: Mapping[str, int]
    first_mg: Mapping[str, int]
    last_mg: Mapping[str, int]
    sized: Mapping[str, Sequence[Seen]]
    built_in: Mapping[str, BuiltIn]
    parts: Mapping[tuple[str, str], tuple[int, int]]
    shipped: Mapping[str, tuple[int, str]]

    def volume_mm3(self, code: str, before: int) -> int | None:
        """Return a board's volume by its sizes before an entry, where all are known."""
        length = width = thickness = 0
        for idx, (long, wide, thick) in self.sized.get(code, ()):
            if idx < before:
                length, width = long or length, wide or width
                thickness = thick or thickness
        um3 = length * width * thickness
        return (um3 + UM3_IN_A_MM3 // 2) // UM3_IN_A_MM3 if um3 else None


def read_woodbook(session: Session, *, since: int, until: int, size: int) -> WoodBook:
    """Read the whole book for the entries from `since` until before `until`."""
    boards = columns_of(Board, Line._fields).where(col(Board.struck_idx).is_(None))
    lines = [
        Line._make(row) for row in plain_rows(session, boards.order_by(col(Board.idx)))
    ]
    lots = {lot.code: lot for lot in session.exec(select(Lot)).all()}
    parents: dict[str, dict[str, int]] = defaultdict(dict)
    came = columns_of(BoardParent, ("piece", "parent", "mass_mg"))
    for piece, parent, mass_mg in plain_rows(session, came):
        parents[piece][parent] = mass_mg
    session.expunge_all()
    return WoodBook(
        lines=lines,
        lots=lots,
        parents=parents,
        opening_mg=_masses(session, before=since),
        first_mg=_first_masses(session),
        last_mg=_newest_masses(session)
        if until >= size
        else _masses(session, before=until),
        sized=_seen(session, Sizing, SIZES),
        built_in=_built_in(session, lines),
        parts=_parts(session),
        shipped=_shipped(session),
    )


def shares_in(book: WoodBook) -> dict[str, Shares]:
    """Return which species each board is of, and its share of each, by mass."""
    alone: dict[str, Shares] = {
        code: {lot.species: Fraction(1)} for code, lot in book.lots.items()
    }
    found: dict[str, Shares] = {}
    # From the trees down: whoever came from others comes after them.
    for line in book.lines:
        origins = book.parents.get(line.code)
        if origins is None:
            found[line.code] = alone[line.lot]
            continue
        several = [found[parent] for parent in origins]
        if all(shares == several[0] for shares in several):
            found[line.code] = several[0]
            continue
        went_in = sum(origins.values())
        whole: dict[str, Fraction] = defaultdict(Fraction)
        for parent, mass_mg in origins.items():
            for species, share in found[parent].items():
                whole[species] += share * Fraction(mass_mg, went_in)
        found[line.code] = dict(sorted(whole.items()))
    return found


def finished_in(book: WoodBook) -> dict[str, int]:
    """Return each board's share in the part that was weighed when done [mg].

    A part of which one board was never weighed is left out: nobody can share it. What
    the wood before it weighed is nothing of a board's.
    """
    of_part: dict[tuple[str, str], dict[str, int | None]] = defaultdict(dict)
    for code, built in book.built_in.items():
        part = built.serial, built.part
        if built.is_there and book.parts.get(part, (-1, 0))[0] > built.allotted:
            of_part[part][code] = book.last_mg.get(code)
    found: dict[str, int] = {}
    for part, boards in of_part.items():
        _, finished_mg = book.parts[part]
        masses = {code: mass for code, mass in boards.items() if mass is not None}
        if len(masses) < len(boards):
            continue
        if len(masses) == 1:
            found[next(iter(masses))] = finished_mg
            continue
        whole = sum(masses.values())
        shares = {code: Fraction(mass, whole) for code, mass in masses.items()}
        found |= shared(finished_mg, shares)
    return found


def _masses(session: Session, *, before: int) -> dict[str, int]:
    """Return what each board weighed last before an entry, as it happened."""
    if before == 0:
        return {}
    newest_first = (col(Weighing.moment).desc(), col(Weighing.idx).desc())
    place = func.row_number().over(partition_by=Weighing.board, order_by=newest_first)
    placed = (
        columns_of(Weighing, ("board", "mass_mg"))
        .add_columns(place.label("place"))
        .where(col(Weighing.struck_idx).is_(None), col(Weighing.idx) < before)
        .subquery()
    )
    query: Any = select(placed.c.board, placed.c.mass_mg).where(placed.c.place == 1)
    return dict(map(tuple, plain_rows(session, query)))


def _first_masses(session: Session) -> dict[str, int]:
    """Return what each board weighed in the entry that gave it its number."""
    first: Any = (
        select(Weighing.mass_mg)
        .where(
            col(Weighing.idx) == col(Board.idx), col(Weighing.board) == col(Board.code)
        )
        .scalar_subquery()
    )
    rows = plain_rows(session, select(Board.code, first))
    return {code: mass_mg for code, mass_mg in rows if mass_mg is not None}


def _newest_masses(session: Session) -> dict[str, int]:
    """Return what each board weighs now, as the view of boards has it."""
    query = columns_of(Board, ("code", "mass_mg")).where(
        col(Board.mass_mg).is_not(None)
    )
    return dict(map(tuple, plain_rows(session, query)))


def _seen(session: Session, view: Any, names: Sequence[str]) -> dict[str, list[Seen]]:
    """Return what entries gave of each board, as it happened; struck ones left out."""
    query = columns_of(view, ("board", "idx", *names)).where(view.struck_idx.is_(None))
    found: dict[str, list[Seen]] = defaultdict(list)
    for board, idx, *values in plain_rows(
        session, query.order_by(view.moment, view.idx)
    ):
        found[board].append((idx, tuple(values)))
    return found


def _built_in(session: Session, lines: Sequence[Line]) -> dict[str, BuiltIn]:
    """Return the boards that went into instruments: by a step, or by a certificate.

    A certificate closes a build: what was allotted to it by then is in it.
    """
    issued: dict[str, list[int]] = defaultdict(list)
    for serial, idx in plain_rows(session, columns_of(Certificate, ("serial", "idx"))):
        issued[serial].append(idx)
    consumed = {line.code: line.consumed_idx for line in lines}
    columns = ("idx", "board", "serial", "part", "ended_idx", "how")
    found: dict[str, BuiltIn] = {}
    stays = columns_of(Stay, columns).order_by(col(Stay.idx))
    for idx, board, serial, part, ended, how in plain_rows(session, stays):
        closed = [
            each
            for each in issued.get(serial, ())
            if each > idx and (ended is None or ended > each)
        ]
        used_up = consumed.get(board)
        if used_up is not None and used_up > idx and (ended is None or ended > used_up):
            closed.append(used_up)
        if closed:
            found[board] = BuiltIn(
                min(closed), idx, serial, part, how == "scrapped", ended is None
            )
    return found


def _parts(session: Session) -> dict[tuple[str, str], tuple[int, int]]:
    """Return the entry and the finished mass of each part; the newest one counts."""
    query = columns_of(WeighedPart, ("serial", "part", "idx", "mass_mg")).where(
        col(WeighedPart.struck_idx).is_(None)
    )
    rows = plain_rows(session, query.order_by(col(WeighedPart.idx)))
    return {(serial, part): (idx, mass_mg) for serial, part, idx, mass_mg in rows}


def _shipped(session: Session) -> dict[str, tuple[int, str]]:
    """Return by which entry a thing was planned to leave, and on which day."""
    query = select(ShippedThing.code, Shipment.idx, Shipment.moves_on).join(
        Shipment, col(Shipment.number) == col(ShippedThing.shipment)
    )
    rows = plain_rows(session, query.order_by(col(Shipment.idx)))
    return {code: (idx, moves_on) for code, idx, moves_on in rows}
