"""How much of a lot's wood is in instruments: finished parts over what they came from.

Counted are the boards that came in and of which everything that was allotted became a
part that was weighed; what still lies in the rack of such a board counts as wood that
was needed. A part that was glued of several boards is shared by their masses.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter

from sqlmodel import Session, col, select

from ledger.views.boards import Board, BoardParent, origins_of
from ledger.views.builds import WeighedPart
from ledger.views.family import Family

# An instrument and its part.
Part = tuple[str, str]
Shares = dict[str, dict[str, Fraction]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """Finished mass of parts, and mass of the boards that they came from."""

    finished_mg: int
    wood_mg: int

    @property
    def ppm(self) -> int | None:
        """The share that was finished, or None where nothing was weighed."""
        return self.finished_mg * 1_000_000 // self.wood_mg if self.wood_mg else None


def yield_of(session: Session, kin: Family, first_mg: Mapping[str, int]) -> Yield:
    """Return the yield of boards that came in, over all that became of them.

    first_mg  what each of them weighed when it came
    """
    used = {c: (b.serial, b.part) for c, b in kin.boards.items() if b.serial and b.part}
    parts = {(serial, part) for serial, part in used.values() if serial and part}
    serials = {serial for serial, _ in parts}
    weighed = _weighed(session, serials)
    beside = _allotted(session, serials)
    shares = _shares(kin, origins_of(session, kin.boards), first_mg)
    finished: dict[str, Fraction] = defaultdict(Fraction)
    unfinished: set[str] = set()
    for code, (serial, part) in used.items():
        mass_mg = weighed.get((str(serial), str(part)))
        if mass_mg is None:
            unfinished |= set(shares[code])
            continue
        own = _own_share(code, beside[str(serial), str(part)])
        for first, share in shares[code].items():
            finished[first] += mass_mg * own * share
    counted = [first for first in finished if first not in unfinished]
    return Yield(
        finished_mg=round(sum((finished[first] for first in counted), Fraction())),
        wood_mg=sum(first_mg[first] for first in counted),
    )


def _weighed(session: Session, serials: Collection[str]) -> dict[Part, int]:
    """Return the newest finished mass of each part [mg]."""
    query = select(WeighedPart).where(
        col(WeighedPart.serial).in_(serials), col(WeighedPart.struck_idx).is_(None)
    )
    rows = session.exec(query.order_by(col(WeighedPart.idx))).all()
    return {(row.serial, row.part): row.mass_mg for row in rows}


def _allotted(session: Session, serials: Collection[str]) -> dict[Part, list[Board]]:
    """Return the boards of each part, also those of other lots."""
    query = select(Board).where(col(Board.serial).in_(serials))
    found: dict[Part, list[Board]] = defaultdict(list)
    for board in session.exec(query).all():
        found[str(board.serial), str(board.part)].append(board)
    return found


def _own_share(code: str, boards: Iterable[Board]) -> Fraction:
    """Return which share of a part one of its boards has: by mass, else alike."""
    masses = {board.code: board.mass_mg for board in boards}
    known = [mass for mass in masses.values() if mass]
    if len(known) < len(masses):
        return Fraction(1, len(masses))
    return Fraction(masses[code] or 0, sum(known))


def _shares(
    kin: Family, origins: Iterable[BoardParent], first_mg: Mapping[str, int]
) -> Shares:
    """Return how much of each piece is of which board that came in, by mass.

    What is of another lot, or of a board that nobody weighed, has no share here.
    """
    came_from: dict[str, list[BoardParent]] = defaultdict(list)
    for origin in origins:
        came_from[origin.piece].append(origin)
    shares: Shares = {}
    # Whoever came from others comes after them.
    for board in sorted(kin.boards.values(), key=attrgetter("idx")):
        if board.code not in came_from:
            shares[board.code] = {board.code: Fraction(1)}
            continue
        went_in = sum(origin.mass_mg for origin in came_from[board.code])
        whole: dict[str, Fraction] = defaultdict(Fraction)
        for origin in came_from[board.code]:
            for first, share in shares.get(origin.parent, {}).items():
                whole[first] += share * Fraction(origin.mass_mg, went_in)
        shares[board.code] = dict(whole)
    return {
        code: {first: share for first, share in each.items() if first in first_mg}
        for code, each in shares.items()
    }
