"""What open orders wish for, and how far each board or pair is from it."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.craft.likeness import (
    MILLI,
    Candidate,
    noun_of,
    points_milli,
    ratio_ppm,
    trait_of,
    trait_words,
)
from ledger.craft.matching_policy import RATIOS, MatchingPolicy, Weight
from ledger.craft.pairs import Pairing
from ledger.craft.wanted import Fault, Wanted, faults_of
from ledger.errors import RefusedError
from ledger.ids import BoardId
from ledger.quantities import factor, percent
from ledger.scales import shown

# What a grade costs for each place after the one that is preferred, and a wish for a
# trait that the policy gives no points for: common practice, no source.
POINTS_A_GRADE = 10
POINTS_A_PERCENT = 1
POINTS_UNKNOWN = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Bounds that a trait keeps, in its small unit; an absent one is not asked."""

    trait: str
    least: int | None = None
    most: int | None = None

    def __post_init__(self) -> None:
        _require_trait(self.trait)


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """A value that a trait is wished to be near, in its small unit."""

    trait: str
    value: int

    def __post_init__(self) -> None:
        _require_trait(self.trait)
        if self.value < 1:
            raise RefusedError(
                f"{self.trait} near {self.value} is no wish; give a number above 0"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What one open order wants for one part, and by which day."""

    order: str
    due: str
    wanted: Wanted
    bands: tuple[Band, ...] = ()
    near: tuple[Near, ...] = ()

    @property
    def asks(self) -> tuple[Wanted, tuple[Band, ...]]:
        """What a unit must keep, which other orders may ask for as well."""
        return self.wanted, self.bands

    @property
    def likes(self) -> tuple[Wanted, frozenset[Band], tuple[tuple[str, int], ...]]:
        """Everything it wishes: orders with the same are like each other."""
        near = sorted((each.trait, each.value) for each in self.near)
        return self.wanted, frozenset(self.bands), tuple(near)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A board, or a pair with the points that its halves are apart."""

    boards: tuple[Candidate, ...]
    points_milli: int = 0

    @property
    def codes(self) -> tuple[BoardId, ...]:
        """The codes of its boards, in order."""
        return tuple(sorted(board.board for board in self.boards))

    @property
    def words(self) -> str:
        """Its codes as a sentence has them."""
        return " and ".join(map(str, self.codes))

    def mean(self, trait: str) -> int | None:
        """Return a trait's mean, rounded half up, or None where a board lacks it."""
        values = [trait_of(board, trait) for board in self.boards]
        known = [value for value in values if value is not None]
        if len(known) < len(values):
            return None
        return (2 * sum(known) + len(known)) // (2 * len(known))


def units_of(pairing: Pairing, boards: Sequence[Candidate]) -> list[Unit]:
    """Return the pairs that were made, ready to be offered to orders.

    Source: the pairing's own points.
    """
    known = {board.board: board for board in boards}
    return [
        Unit(
            boards=tuple(known[code] for code in pair.boards),
            points_milli=pair.likeness.points_milli,
        )
        for pair in pairing.pairs
    ]


def points_of(wish: Wish, unit: Unit, policy: MatchingPolicy) -> int:
    """Return what a unit that does would cost an order, in thousandths of a point.

    Source: the shop's policy; nature sets none.
    """
    near = sum(_points_off(each, _off(each, unit), policy) for each in wish.near)
    return unit.points_milli + near + _place(wish, unit) * POINTS_A_GRADE * MILLI


def wish_words(wish: Wish, unit: Unit) -> tuple[str, ...]:
    """Say how a unit meets what an order wishes, with both numbers.

    its halves are 4.2 points apart / density 412 kg/m³, 1.9 % off the 420 kg/m³ wished

    Source: the rule's own numbers.
    """
    told = []
    if len(unit.boards) > 1:
        halves = factor(unit.points_milli, places=1)
        told.append(f"its halves are {halves} points apart")
    told += [_nearness(near, unit) for near in wish.near]
    if wish.wanted.grades:
        place = _place(wish, unit)
        preferred = "" if place else " as preferred"
        told.append(f"graded {wish.wanted.grades[place]}{preferred}")
    return tuple(told)


def unit_faults(wish: Wish, unit: Unit) -> tuple[Fault, ...]:
    """Return every reason why a unit does not do for an order; none where it does.

    Source: the order's and the model's own limits; nature sets none.
    """
    if len(unit.boards) != wish.wanted.pieces:
        kind = "not a pair" if wish.wanted.pieces > 1 else "paired already"
        return (Fault(kind=kind, words=f"{unit.words} is {kind}"),)
    faults = [f for board in unit.boards for f in faults_of(board, wish.wanted)]
    for band in wish.bands:
        faults += _outside(band, unit)
    return tuple(faults)


def _off(near: Near, unit: Unit) -> int | None:
    value = unit.mean(near.trait)
    return None if value is None else ratio_ppm(value, near.value)


def _points_off(near: Near, apart: int | None, policy: MatchingPolicy) -> int:
    """Return what it costs that a unit is not just what was wished."""
    weight = policy.weight_of(near.trait) or Weight(
        trait=near.trait,
        points=POINTS_A_PERCENT,
        unknown_points=POINTS_UNKNOWN,
        most=None,
    )
    if apart is None:
        return weight.unknown_points * MILLI
    return points_milli(weight, apart)


def _place(wish: Wish, unit: Unit) -> int:
    """Return the place of a unit's grade among those wanted, of two the later one."""
    grades = wish.wanted.grades
    if not grades:
        return 0
    return max(grades.index(str(board.grade)) for board in unit.boards)


def _nearness(near: Near, unit: Unit) -> str:
    value, noun = unit.mean(near.trait), noun_of(near.trait)
    wished = trait_words(near.trait, near.value)
    if value is None:
        return f"nobody measured the {noun}, wished near {wished}"
    has = trait_words(near.trait, value)
    off = percent(ratio_ppm(value, near.value), places=1)
    return f"{noun} {has}, {off} off the {wished} wished"


def _outside(band: Band, unit: Unit) -> list[Fault]:
    value, noun = unit.mean(band.trait), noun_of(band.trait)
    if value is None:
        return [Fault(kind="not measured", words=f"nobody measured the {noun}")]
    here = trait_words(band.trait, value)
    if band.least is not None and value < band.least:
        limit = trait_words(band.trait, band.least)
        return [Fault(kind=f"below in {noun}", words=f"{noun} {here} is below {limit}")]
    if band.most is not None and value > band.most:
        limit = trait_words(band.trait, band.most)
        return [Fault(kind=f"above in {noun}", words=f"{noun} {here} is above {limit}")]
    return []


def _require_trait(trait: str) -> None:
    if trait not in RATIOS:
        raise RefusedError(
            f"{shown(trait)} is none of the traits {', '.join(RATIOS)}: choose one"
        )
