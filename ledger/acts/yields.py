"""How much of a lot's wood is in instruments: finished parts over what they came from.

Counted are the boards that came in and of which everything that was allotted became a
part that was weighed; what still lies in the rack of such a board counts as wood that
was needed. A part that was glued of several boards is shared by their masses.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter

from sqlmodel import Session, col

from ledger.views.boards import BoardParent, PlainBoard
from ledger.views.builds import WeighedPart
from ledger.views.family import Family
from ledger.views.rows import columns_of, plain_rows

# An instrument and its part.
Part = tuple[str, str]
# What is whole is an int: most parts are of one board, which came in as it is.
Share = Fraction | int
Shares = dict[str, dict[str, Share]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """Finished mass of parts, and mass of the boards that they came from."""

    finished_mg: int
    wood_mg: int

    @property
    def ppm(self) -> int | None:
        """The share that was finished, or None where nothing was weighed."""
        return self.finished_mg * 1_000_000 // self.wood_mg if self.wood_mg else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartBook:
    """The parts of all instruments, and what pieces came from, read once for all lots.

    `weighed` is the newest finished mass of each part [mg], `boards` what each part is
    of and their masses [mg], and `came_from` the boards that went into each piece, with
    what they weighed before [mg].
    """

    weighed: Mapping[Part, int]
    boards: Mapping[Part, Mapping[str, int | None]]
    came_from: Mapping[str, Sequence[tuple[str, int]]]


def read_parts(session: Session, every_board: Iterable[PlainBoard]) -> PartBook:
    """Read what yields are reckoned from; the boards were read before, all of them."""
    return PartBook(
        weighed=_weighed(session),
        boards=_allotted(every_board),
        came_from=_came_from(session),
    )


def yield_of(book: PartBook, kin: Family, first_mg: Mapping[str, int]) -> Yield:
    """Return the yield of boards that came in, over all that became of them.

    first_mg  what each of them weighed when it came
    """
    used = {c: (b.serial, b.part) for c, b in kin.boards.items() if b.serial and b.part}
    shares = _shares(kin, book.came_from, first_mg)
    finished: dict[str, list[tuple[int, int]]] = defaultdict(list)
    unfinished: set[str] = set()
    for code, (serial, part) in used.items():
        mass_mg = book.weighed.get((serial, part))
        if mass_mg is None:
            unfinished |= set(shares[code])
            continue
        own, of_all = _own_share(code, book.boards[serial, part])
        for first, share in shares[code].items():
            its = mass_mg * own * share.numerator
            finished[first].append((its, of_all * share.denominator))
    counted = [first for first in finished if first not in unfinished]
    return Yield(
        finished_mg=_added_up(each for first in counted for each in finished[first]),
        wood_mg=sum(first_mg[first] for first in counted),
    )


def _weighed(session: Session) -> dict[Part, int]:
    """Return the newest finished mass of each part [mg]."""
    query = columns_of(WeighedPart, ("serial", "part", "mass_mg")).where(
        col(WeighedPart.struck_idx).is_(None)
    )
    rows = plain_rows(session, query.order_by(col(WeighedPart.idx)))
    return {(serial, part): mass_mg for serial, part, mass_mg in rows}


def _allotted(every_board: Iterable[PlainBoard]) -> dict[Part, dict[str, int | None]]:
    """Return the boards of each part, and what each of them weighs [mg]."""
    found: dict[Part, dict[str, int | None]] = defaultdict(dict)
    for board in every_board:
        if board.serial and board.part:
            found[board.serial, board.part][board.code] = board.mass_mg
    return found


def _came_from(session: Session) -> dict[str, list[tuple[str, int]]]:
    """Return what went into each piece, and what it weighed before [mg]."""
    query = columns_of(BoardParent, ("piece", "parent", "mass_mg"))
    found: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for piece, parent, mass_mg in plain_rows(session, query):
        found[piece].append((parent, mass_mg))
    return found


def _own_share(code: str, masses: Mapping[str, int | None]) -> tuple[int, int]:
    """Return how much of a part one of its boards has, of how much: by mass, or alike.

    As one of one, one of two alike, or 410 of 900 mg.
    """
    known = [mass for mass in masses.values() if mass]
    if len(masses) == 1 or len(known) < len(masses):
        return 1, len(masses)
    return masses[code] or 0, sum(known)


def _added_up(shares: Iterable[tuple[int, int]]) -> int:
    """Return the sum of shares, each so much of so much, and round it once.

    The boards of one part are shares of the same: most of them add up to it.
    """
    shared: dict[int, int] = defaultdict(int)
    for its, of_all in shares:
        shared[of_all] += its
    whole = sum(its // of_all for of_all, its in shared.items())
    rest = sum(Fraction(its % n, n) for n, its in shared.items() if its % n)
    return round(whole + rest)


def _shares(
    kin: Family,
    came_from: Mapping[str, Sequence[tuple[str, int]]],
    first_mg: Mapping[str, int],
) -> Shares:
    """Return how much of each piece is of which board that came in, by mass.

    What is of another lot, or of a board that nobody weighed, has no share here.
    """
    shares: Shares = {}
    # Whoever came from others comes after them.
    for board in sorted(kin.boards.values(), key=attrgetter("idx")):
        if board.code not in came_from:
            shares[board.code] = {board.code: 1}
            continue
        origins = came_from[board.code]
        if len(origins) == 1:
            shares[board.code] = shares.get(origins[0][0], {})
            continue
        went_in = sum(mass_mg for _, mass_mg in origins)
        whole: dict[str, Share] = defaultdict(int)
        for parent, mass_mg in origins:
            for first, share in shares.get(parent, {}).items():
                whole[first] += share * Fraction(mass_mg, went_in)
        shares[board.code] = dict(whole)
    return {
        code: {first: share for first, share in each.items() if first in first_mg}
        for code, each in shares.items()
    }
