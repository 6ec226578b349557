"""How much wood moves across the grain when its moisture changes.

The size across the rings moves with the radial figure, along the rings with the
tangential one, about twice as much; boards between the two move in between. Along the
grain sound wood moves by a tenth of a percent from green to dry, and is not reckoned.
"""

import math
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.uncertainty import Estimate, require_measured

SATURATED = 30.0  # percent; the equations suppose it for every species
LINEAR_LOW, LINEAR_HIGH = 6.0, 14.0  # percent of moisture
# Relative standard uncertainties: within a species (from memory), of the linear rule.
U_SPECIES, U_LINEAR = 0.15, 0.05

LINEAR = "Wood Handbook, equation 13-2"
WIDE = "Wood Handbook, equation 13-3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """How much a size changes, and to what.

    change, size  [m]  below zero where it shrinks
    """

    change: Estimate
    size: Estimate
    method: str


def change_coefficient(shrinkage: float) -> float:
    """Return the dimensional change coefficient, per percent of moisture.

    shrinkage  [%]  radial or tangential, from green to oven-dry

    Source: Wood Handbook, FPL-GTR-190, table 13-5, which is S / (3000 - 20 S) to its
    last digit; re-derived.
    """
    if not 0 < shrinkage < 50:
        raise RefusedError(
            f"{shrinkage:g} % is no shrinkage of wood, which lies above 0 and below 50 "
            f"%: look at the table again"
        )
    return shrinkage / (3000 - 20 * shrinkage)


def shrinkage_between(*, radial: float, tangential: float, ring_angle: float) -> float:
    """Return the shrinkage of a size whose rings lie between the two cuts.

    radial, tangential  [%]
    ring_angle          [deg]  0 where the size runs across the rings, as the width of
                               a quartersawn board does, 90 where it runs along them

    Source: first order, re-derived: S_R cos^2 + S_T sin^2 of the angle.
    """
    if not 0 <= ring_angle <= 90:
        raise RefusedError(
            f"a ring angle lies between 0° (quartersawn) and 90° (flatsawn), and "
            f"{ring_angle:g}° does not: measure it at the end grain"
        )
    share = math.sin(math.radians(ring_angle)) ** 2
    return radial * (1 - share) + tangential * share


def movement(
    *, size: Estimate, shrinkage: float, before: Estimate, after: Estimate
) -> Movement:
    """Return how much a size across the grain changes with the moisture.

    size           [m]  at the first moisture
    shrinkage      [%]  of its direction, from green to oven-dry
    before, after  [%]  moisture contents; above 30 % wood keeps its size

    From 6 to 14 % by the coefficient, beyond by the wider equation. The uncertainty
    holds that of the moistures, 15 % for one piece among its species, and 5 % for the
    linear rule.

    Source: Wood Handbook, FPL-GTR-190 (2010), equations (13-2) and (13-3); the
    limit of 30 % from chapter 13.
    """
    require_measured(size)
    coefficient = change_coefficient(shrinkage)
    low, high = sorted((before.value, after.value))
    if low < 0 or high > SATURATED:
        raise RefusedError(
            f"the equation holds from 0 to {SATURATED:g} % of moisture, and "
            f"{low if low < 0 else high:g} % lies outside: above it wood keeps its size"
        )
    step = after.value - before.value
    is_linear = low >= LINEAR_LOW and high <= LINEAR_HIGH
    per_percent = (
        coefficient
        if is_linear
        else 1 / (SATURATED * 100 / shrinkage - SATURATED + before.value)
    )
    share = math.hypot(U_SPECIES, U_LINEAR if is_linear else 0.0)
    change = Estimate(
        value=size.value * per_percent * step,
        u=size.value
        * per_percent
        * math.hypot(before.u, after.u, share * step, step * size.u / size.value),
    )
    return Movement(
        change=change,
        size=Estimate(value=size.value + change.value, u=math.hypot(size.u, change.u)),
        method=LINEAR if is_linear else WIDE,
    )
