"""Stiffness by bending under load: no sound, two supports, a weight in the middle.

A second way to Young's modulus, which shares nothing with a tap but the caliper. How
far the middle sinks with each newton more is what counts; where the line of loads and
readings misses zero, or bows, the supports settled or the gauge was not set to zero.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.bar import Measured, propagated
from ledger.wood.beam import SHEAR_COEFFICIENT, require_bar
from ledger.wood.spread import sure_by_spread
from ledger.wood.uncertainty import Estimate, require_measured
from ledger.wood.zoom import Real

METHOD = "three-point bending, slender/1"
METHOD_WITH_SHEAR = "three-point bending with shear/1"
# A line through fewer readings cannot show that it bows.
ENOUGH_TO_BOW = 4
# Deeper than this share of the span, the simple law begins to fail.
DEEPEST = 1 / 30
# Thicker than this share of the span, shear counts: 4 % if E / G is 25.
SLENDER = 30.0
# What shear adds to E, over the square of thickness over span, where E / G is 25; where
# nobody told E / G, half of it is doubt.
SHEARS = 30.0
# A miss below this share of the largest reading does not matter.
MATTERS = 0.03
# By how much the slope may change from the first load to the last.
BOWS = 0.1
SURELY = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One reading: the force [N] in the middle, and how far it sank there [m]."""

    force: Estimate
    sunk: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Flexed:
    """What a loaded bar or board comes to.

    youngs_modulus [Pa] in the direction of the span, stiffness [N/m] in the middle
    """

    youngs_modulus: Estimate
    stiffness: Estimate
    method: str
    warnings: tuple[str, ...]


def flexed(
    *,
    span: Estimate,
    width: Estimate,
    thickness: Estimate,
    loads: Sequence[Load],
    shear_ratio: Estimate | None = None,
) -> Flexed:
    """Return the stiffness of a board on two supports, along or across its grain.

    span                   [m]  between the supports
    width, thickness       [m]  across the span, and in the direction of the load
    loads                       one reading is taken from zero; of two or more only the
                                slope counts
    shear_ratio                 E / G in that direction, for a thick piece

    E = P L^3 / (48 I w) (1 + (h / L)^2 E / (k G)), I = b h^3 / 12, k = 5/6.

    Source: the simply supported beam, any handbook of strength of materials (Gere and
    Timoshenko, Mechanics of Materials, from memory); JCGM 100:2008, 5.1.2 and H.3 for
    the slope and its uncertainty.
    """
    shear = {"shear_ratio": shear_ratio} if shear_ratio else {}
    for each in (span, width, thickness, *shear.values()):
        require_measured(each)
    slender = thickness.value / span.value
    require_bar(
        slenderness=slender, shear_ratio=shear_ratio.value if shear_ratio else 0.0
    )
    compliance = compliance_of(loads)
    measured = {
        **{"span": span, "width": width, "thickness": thickness},
        **{"compliance": compliance, **shear},
    }
    if not shear:
        measured["left out"] = Estimate(value=1, u=SHEARS / 2 * slender**2)
    found = propagated(measured, _modulus)
    return Flexed(
        youngs_modulus=found["youngs_modulus"],
        stiffness=found["stiffness"],
        method=METHOD_WITH_SHEAR if shear_ratio else METHOD,
        warnings=(
            *_about_loads(loads, span.value),
            *_about_piece(slender, width.value / span.value, bool(shear_ratio)),
        ),
    )


def compliance_of(loads: Sequence[Load]) -> Estimate:
    """Return by how much the middle sinks with each newton [m/N].

    Source: JCGM 100:2008, H.3 (least squares); the reading's own uncertainty is the
    least that is believed.
    """
    if not loads:
        raise RefusedError("no load is told: give at least one, better five")
    for load in loads:
        require_measured(load.force)
    if len(loads) == 1:
        return _from_zero(loads[0])
    force = np.array([load.force.value for load in loads])
    sunk = np.array([load.sunk.value for load in loads])
    spread = float(np.sum((force - force.mean()) ** 2))
    if spread <= (0.05 * float(force.max())) ** 2:
        raise RefusedError(
            f"all loads are about {force.mean():.3g} N, and a slope needs different "
            f"ones: add weight in steps"
        )
    slope, start = np.polyfit(force, sunk, 1)
    if slope < 0:
        raise RefusedError(
            f"the middle rises by {-slope * 1e6:.3g} µm with each newton more instead "
            f"of sinking: see which reading belongs to which load, and the gauge's sign"
        )
    left = sunk - (slope * force + start)
    own = math.sqrt(max(_own(load, float(slope)) ** 2 for load in loads) / spread)
    u = max(own, _scatter(left, spread))
    if slope <= u:
        raise RefusedError(
            f"the middle sinks by {slope * 1e6:.3g} ± {u * 1e6:.3g} µm with each "
            f"newton, which may be nothing: load it more, or read a finer gauge"
        )
    return Estimate(value=float(slope), u=u)


def _scatter(left: Real, spread: float) -> float:
    """Return the uncertainty of a slope as the readings scatter about their line."""
    free = len(left) - 2
    if free == 0:
        return 0.0
    scatter = math.sqrt(float(np.sum(left**2)) / free / spread)
    return sure_by_spread(scatter, free=free)


def _from_zero(load: Load) -> Estimate:
    if load.sunk.value <= 0:
        raise RefusedError(
            f"under {load.force.value:.3g} N the middle sank by "
            f"{load.sunk.value * 1000:.3g} mm, and wood gives way: read the gauge again"
        )
    value = load.sunk.value / load.force.value
    return Estimate(value=value, u=_own(load, value) / load.force.value)


def _own(load: Load, slope: float) -> float:
    """Return the uncertainty of one reading [m], that of its load included."""
    return math.hypot(load.sunk.u, slope * load.force.u)


def _modulus(measured: Measured) -> Measured:
    span, width, thickness, compliance = (
        measured[name] for name in ("span", "width", "thickness", "compliance")
    )
    inertia = width * thickness**3 / 12
    shear = measured.get("shear_ratio", 0.0)
    factor = measured.get("left out", 1.0)
    factor += (thickness / span) ** 2 * shear / SHEAR_COEFFICIENT
    return {
        "youngs_modulus": factor * span**3 / (48 * inertia * compliance),
        "stiffness": 1 / compliance,
    }


def _about_loads(loads: Sequence[Load], span: float) -> Iterator[str]:
    """Say what the readings show beside their slope."""
    deepest = max(load.sunk.value for load in loads)
    if deepest > DEEPEST * span:
        yield (
            f"it sank by {deepest * 1000:.1f} mm, more than a thirtieth of the span: "
            f"load it less, the law holds for small bends"
        )
    if len(loads) < ENOUGH_TO_BOW:
        yield (
            f"{len(loads)} of at least {ENOUGH_TO_BOW} loads: whether the supports "
            f"settle cannot be seen"
        )
    if len(loads) > ENOUGH_TO_BOW - 2:
        yield from _about_line(loads, deepest)


def _about_line(loads: Sequence[Load], deepest: float) -> Iterator[str]:
    """Say where readings miss zero, or bow away from their line."""
    force = np.array([load.force.value for load in loads])
    sunk = np.array([load.sunk.value for load in loads])
    own = max(load.sunk.u for load in loads)
    _, start = np.polyfit(force, sunk, 1)
    spread = float(np.sqrt(np.mean(force**2) / np.sum((force - force.mean()) ** 2)))
    if abs(start) > max(SURELY * own * spread, MATTERS * deepest):
        yield (
            f"without load the line shows {start * 1000:.2f} mm: the piece settled on "
            f"its supports or the gauge was not at zero; only the slope is used"
        )
    if len(loads) < ENOUGH_TO_BOW:
        return
    bow, slope, _ = np.polyfit(force, sunk, 2)
    first, last = slope + 2 * bow * force.min(), slope + 2 * bow * force.max()
    height = abs(float(bow)) * float(np.ptp(force)) ** 2 / 4
    if height > SURELY * own and abs(last - first) > BOWS * abs(first + last) / 2:
        how = "less" if last < first else "more"
        yield (
            f"it gives way {how} with each load, {first * 1e6:.0f} and then "
            f"{last * 1e6:.0f} µm per newton: the supports settle or the piece rocks, "
            f"or it was bent too far; seat it with a first load and read again"
        )


def _about_piece(slender: float, wide: float, has_shear: bool) -> Iterator[str]:
    if not has_shear and slender > 1 / SLENDER:
        yield (
            f"the span is only {1 / slender:.0f} times the thickness and the piece "
            f"shears: give E/G, some 16 for spruce along the grain"
        )
    if wide > 1:
        yield (
            f"the piece is {wide:.1f} times as wide as the span and bends as a plate: "
            f"it reads stiffer by some percent"
        )
