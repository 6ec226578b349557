"""How alike two boards are: their kin, and every difference with what it costs."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import isqrt
from typing import Any

from ledger.craft.grading_policy import STRENGTHS
from ledger.craft.matching_policy import RATIOS, MatchingPolicy, Weight
from ledger.errors import RefusedError
from ledger.ids import BoardId
from ledger.quantities import (
    factor,
    gigapascals,
    kilograms_per_cubic_metre,
    millimetres,
    percent,
)
from ledger.scales import in_a_row, shown

MILLI = 1_000
KIN_WORDS = {
    "one_board": "halves of one board",
    "neighbours": "neighbours in the billet",
    "one_lot": "of one lot",
    "strangers": "of two lots",
}
# Beyond these a number is a slip of the pen, and no trait of wood.
LARGEST_TRAIT = 10**12
# A point is for a per cent, 10 000 ppm, of a number; for a step; for a unit of colour.
# In tenths of a thousandth of a point that is so much for each ppm, step, milli-unit.
TENTHS = {"figure": 10_000, "colour": 10}

Edge = tuple[int, int]
Lab = tuple[int, int, int]
Row = tuple[Callable[[Any, Any], int], int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A board as it stands on the rack; what nobody measured is absent.

    `waits` are the reasons for which it is not ready, none where it is. `along_pa` and
    `across_pa` are moduli along and across the grain; `radiation_ratio_milli` [1000
    m4/(kg s)]; `lab_milli` is its colour, CIE L*, a*, b* by 1000.
    """

    board: BoardId
    species: str
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None
    grade: str | None = None
    waits: tuple[str, ...] = ()
    density_gram_per_m3: int | None = None
    along_pa: int | None = None
    across_pa: int | None = None
    radiation_ratio_milli: int | None = None
    ring_width_um: int | None = None
    figure: str | None = None
    lab_milli: Lab | None = None

    def __post_init__(self) -> None:
        for trait in RATIOS:
            value = trait_of(self, trait)
            if value is not None and not 0 < value <= LARGEST_TRAIT:
                raise RefusedError(
                    f"{trait} of board {self.board} is {value}, which no wood has: "
                    f"measure it again"
                )
        if self.figure is not None and self.figure not in STRENGTHS:
            raise RefusedError(
                f"figure {shown(self.figure)} of board {self.board} is not one of "
                f"{', '.join(STRENGTHS)}"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """How far two boards are apart in one trait, and what that costs.

    `apart` is in ppm of their mean, in steps, or in milli-units of colour; it is absent
    where nobody measured one of them.
    """

    trait: str
    apart: int | None
    points_milli: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """What two boards are to each other, and all that it costs to pair them.

    `against` has every reason for which they are no pair, none where they are one.
    """

    kin: str
    differences: tuple[Difference, ...]
    points_milli: int
    against: tuple[str, ...]


def kin_of(one: BoardId, other: BoardId) -> str:
    """Return what two boards are to each other by their codes alone.

    Source: the shop numbers the boards of a billet in the order in which they were
    sawn; common practice, no source.
    """
    if one.lot != other.lot:
        return "strangers"
    between = abs(one.number - other.number)
    return ("one_board", "neighbours")[between] if between < 2 else "one_lot"


def trait_of(board: Candidate, trait: str) -> int | None:
    """Return what was measured of a board in one trait that is a number.

    Source: the shop's own measurements.
    """
    match trait:
        case "density":
            return board.density_gram_per_m3
        case "along":
            return board.along_pa
        case "across":
            return board.across_pa
        case "radiation ratio":
            return board.radiation_ratio_milli
        case _:
            return board.ring_width_um


def ratio_ppm(one: int, other: int) -> int:
    """Return by how much two numbers differ [ppm of their mean], rounded down.

    Source: the definition.
    """
    return abs(one - other) * 2_000_000 // (one + other)


def colour_milli(one: Lab, other: Lab) -> int:
    """Return how far two colours are apart, in thousandths of a unit.

    Source: the colour difference of CIE 1976 (L*a*b*), CIE 15 (from memory).
    """
    return isqrt(sum((a - b) ** 2 for a, b in zip(one, other, strict=True)))


def points_milli(weight: Weight, apart: int) -> int:
    """Return what a difference costs, in thousandths of a point.

    Source: the shop's policy; nature sets none.
    """
    return weight.points * apart * TENTHS.get(weight.trait, 1) // 10


def costs_between(
    boards: Sequence[Candidate], edges: Iterable[Edge], policy: MatchingPolicy
) -> dict[Edge, int]:
    """Return what each pair of boards, named by their places, costs in milli-points.

    Boards that are no pair are left out. It says the same as `likeness`, for many.

    Source: the shop's policy; nature sets none.
    """
    rows = tuple(_row(weight) for weight in policy.weights)
    traits = [[_value(board, w.trait) for w in policy.weights] for board in boards]
    kin = {name: points * MILLI for name, points in policy.kin.items()}
    costs = {}
    for edge in edges:
        one, other = edge
        first = kin.get(kin_of(boards[one].board, boards[other].board))
        if first is not None:
            rest = _sum(rows, traits[one], traits[other])
            if rest is not None:
                costs[edge] = first + rest
    return costs


def likeness(one: Candidate, other: Candidate, policy: MatchingPolicy) -> Likeness:
    """Return what two boards are to each other, what it costs, and what is against it.

    Source: the shop's policy; nature sets none.
    """
    kin = kin_of(one.board, other.board)
    against = []
    if kin not in policy.kin:
        against.append(f"boards {KIN_WORDS[kin]} are no pair by {policy.name}")
    differences = []
    for weight in policy.weights:
        trait = weight.trait
        apart = _apart(trait, one, other)
        if apart is not None and weight.most is not None and apart > weight.most:
            far, most = (_apart_words(trait, value) for value in (apart, weight.most))
            against.append(f"{noun_of(trait)} {far} apart, more than {most}")
        cost = weight.unknown_points * MILLI
        if apart is not None:
            cost = points_milli(weight, apart)
        differences.append(Difference(trait=trait, apart=apart, points_milli=cost))
    points = policy.kin.get(kin, 0) * MILLI + sum(d.points_milli for d in differences)
    return Likeness(
        kin=kin,
        differences=tuple(differences),
        points_milli=points,
        against=tuple(against),
    )


def _row(weight: Weight) -> Row:
    """Return how far two are apart, what that costs a tenth, the most, the unknown."""
    most = LARGEST_TRAIT if weight.most is None else weight.most
    cost = weight.points * TENTHS.get(weight.trait, 1)
    return MEASURES[weight.trait], cost, most, weight.unknown_points * MILLI


def _sum(rows: Sequence[Row], ones: Sequence[Any], others: Sequence[Any]) -> int | None:
    total = 0
    for (measure, cost, most, unknown), one, other in zip(
        rows, ones, others, strict=True
    ):
        if one is None or other is None:
            total += unknown
        else:
            apart = measure(one, other)
            if apart > most:
                return None
            total += cost * apart // 10
    return total


def _steps(one: str, other: str) -> int:
    return abs(STRENGTHS.index(one) - STRENGTHS.index(other))


MEASURES: dict[str, Callable[[Any, Any], int]] = {
    **dict.fromkeys(RATIOS, ratio_ppm),
    "figure": _steps,
    "colour": colour_milli,
}


def _apart(trait: str, one: Candidate, other: Candidate) -> int | None:
    here, there = _value(one, trait), _value(other, trait)
    return None if here is None or there is None else MEASURES[trait](here, there)


def _value(board: Candidate, trait: str) -> Any:
    if trait == "figure":
        return board.figure
    return board.lab_milli if trait == "colour" else trait_of(board, trait)


def likeness_words(one: Candidate, other: Candidate, like: Likeness) -> tuple[str, ...]:
    """Say what two boards are to each other, and every difference with its numbers.

    halves of one board / density 412 and 418 kg/m³, 1.4 % apart

    What nobody measured comes last, all that one board lacks, or both, together.

    Source: the rule's own numbers.
    """
    told = [KIN_WORDS[like.kin]]
    lacking: dict[str, list[str]] = {}
    for difference in like.differences:
        trait = difference.trait
        if difference.apart is not None:
            told.append(_told(one, other, trait, difference.apart))
            continue
        boards = (b.board for b in (one, other) if _value(b, trait) is None)
        lacking.setdefault(" and ".join(map(str, boards)), []).append(noun_of(trait))
    told += [
        f"nobody measured the {in_a_row(nouns)} of {boards}"
        for boards, nouns in lacking.items()
    ]
    return tuple(told)


def trait_words(trait: str, value: int) -> str:
    """Print a trait that is a number, in its unit.

    Source: the house's manner of speaking.
    """
    printers: dict[str, Callable[[int], str]] = {
        "density": lambda v: kilograms_per_cubic_metre(v, places=0),
        "along": lambda v: gigapascals(v, places=2),
        "across": lambda v: gigapascals(v, places=3),
        "radiation ratio": lambda v: factor(v, places=2),
        "ring width": lambda v: millimetres(v, places=2),
    }
    return printers[trait](value)


def noun_of(trait: str) -> str:
    """Return what a trait is called in a sentence.

    Source: the house's manner of speaking.
    """
    return f"stiffness {trait}" if trait in ("along", "across") else trait


def _told(one: Candidate, other: Candidate, trait: str, apart: int) -> str:
    noun = noun_of(trait)
    if trait == "figure":
        return f"figure {one.figure}" + (f" and {other.figure}" if apart else "")
    if trait == "colour":
        return f"colour {factor(apart, places=1)} apart (CIE 1976)"
    here, there = (trait_words(trait, _value(board, trait)) for board in (one, other))
    return f"{noun} {here} and {there}, {percent(apart, places=1)} apart"


def _apart_words(trait: str, apart: int) -> str:
    """Print how far two are apart, to the last digit, as a broken limit needs it."""
    if trait == "figure":
        return f"{apart} step" if apart == 1 else f"{apart} steps"
    return factor(apart) if trait == "colour" else percent(apart)
