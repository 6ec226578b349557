"""Whether a piece that was found can be a board on record: by its sizes and its mass.

    found 556 x 201 x 4.1 mm and 205 g, on record 557 x 201 x 4.1 mm and 204 g:
    2 standard uncertainties away at most, so it fits

Wood takes up and gives off water while it lies: its mass and its sizes across the grain
move with that, and a difference within it says nothing against a board.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import isqrt
from typing import Literal

Confidence = Literal["certain", "likely", "doubtful"]
MEASURES = ("length_um", "width_um", "thickness_um", "mass_mg")
# Rule, calliper and bench scale, each read twice: on record, and now.
U_ONCE = {
    "length_um": 500,
    "width_um": 500,
    "thickness_um": 50,
    "mass_mg": 100,
}
# So much of itself a measure moves by two points of moisture content [ppm].
MOVES_PPM = {
    "length_um": 0,
    "width_um": 3_000,
    "thickness_um": 3_000,
    "mass_mg": 20_000,
}
MILLION = 1_000_000
# Coverage factors: about 95 % and 99.7 % of readings lie within [thousandths].
NEAR_MILLI = 2_000
FAR_MILLI = 3_000
# Fewer measures than these tell too little of which board it is.
ENOUGH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What is known of a piece by its sizes and its mass; None is not known."""

    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None
    mass_mg: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """How far a board on record is from what was found, in standard uncertainties.

    `apart_milli` has each measure that is known of both [thousandths].
    """

    apart_milli: dict[str, int]

    @property
    def most_milli(self) -> int:
        """The greatest of them."""
        return max(self.apart_milli.values(), default=0)

    @property
    def total_milli(self) -> int:
        """All of them together, as the root of the sum of their squares."""
        return isqrt(sum(apart**2 for apart in self.apart_milli.values()))

    @property
    def fits(self) -> bool:
        """Whether at least two measures are known, and none is too far away."""
        return len(self.apart_milli) > 1 and self.most_milli <= FAR_MILLI


def distance(found: Measured, known: Measured) -> Distance:
    """Return how far what was found is from a board on record.

    Source: uncertainties of rule, calliper and scale are common practice, no source;
    water of two points of the dry mass moves that mass by 2 %, and the size across the
    grain by 0.3 % (Wood Handbook, FPL-GTR-282, chapters 4 and 13, for spruce about
    0.15 % a point).
    """
    return Distance(apart_milli=dict(_apart(found, known)))


def confidences(distances: Iterable[Distance]) -> list[Confidence]:
    """Return how sure each board that fits is, the nearest one first.

    Certain is what fits alone, with all four measures known and none further than two
    standard uncertainties; likely is what has three known within as many, and no other
    that is nearer by more than two altogether; all else that fits is doubtful.

    Source: coverage factors of two and three, JCGM 100:2008, G.1; the rest is common
    practice, no source.
    """
    each = list(distances)
    nearest = min((d.total_milli for d in each), default=0)
    return [_confidence(d, nearest, is_alone=len(each) == 1) for d in each]


def _confidence(found: Distance, nearest: int, *, is_alone: bool) -> Confidence:
    known, is_near = len(found.apart_milli), found.most_milli <= NEAR_MILLI
    if is_near and is_alone and known == len(MEASURES):
        return "certain"
    if is_near and known >= ENOUGH and found.total_milli - nearest <= NEAR_MILLI:
        return "likely"
    return "doubtful"


def _apart(found: Measured, known: Measured) -> Iterator[tuple[str, int]]:
    for name in MEASURES:
        own, other = getattr(found, name), getattr(known, name)
        if own is not None and other is not None:
            moves = other * MOVES_PPM[name] // MILLION
            # Read twice, and moved in between.
            u = isqrt(2 * U_ONCE[name] ** 2 + moves**2)
            yield name, abs(own - other) * 1000 // u
