"""Density and specific gravity of one wood at one moisture and at another.

Specific gravity is always oven-dry mass over the mass of as much water as its volume
holds; what differs is at which moisture the volume was taken: green ("basic"), at 12 %,
or oven-dry. Air-dry density over that of water is none of them: it has its water in it.
"""

import math
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.moisture import require_content
from ledger.wood.uncertainty import Estimate, require_measured

WATER = 1000.0  # kg/m3
# Below it wood shrinks; the tables suppose the same for every species.
SATURATED = 30.0
GENERIC = 26.5
# Relative standard uncertainties: of a printed shrinkage for a piece, of the rule.
U_PRINTED, U_GENERIC = 0.15, 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Gravity:
    """A specific gravity, and the moisture [%] at which its volume was taken."""

    value: Estimate
    moisture: float

    @property
    def basis(self) -> str:
        """The basis in words."""
        if self.moisture >= SATURATED:
            return "oven-dry mass, green volume (basic)"
        if self.moisture == 0:
            return "oven-dry mass and volume"
        return f"oven-dry mass, volume at {self.moisture:g} %"


def specific_gravity(*, density: Estimate, moisture: Estimate) -> Gravity:
    """Return the specific gravity of a board, its volume taken as it is now.

    density   [kg/m3]  with its water in it
    moisture  [%]

    Source: Wood Handbook, FPL-GTR-190, equation (4-9), solved for G; number of the
    equation from memory.
    """
    require_measured(density)
    require_content(moisture.value)
    value = density.value / (WATER * (1 + moisture.value / 100))
    spread = math.hypot(density.u / density.value, moisture.u / (100 + moisture.value))
    return Gravity(
        value=Estimate(value=value, u=value * spread), moisture=moisture.value
    )


def density_of(*, gravity: float, moisture: float) -> float:
    """Return the density [kg/m3] of wood whose specific gravity is known there.

    gravity       its volume taken at that moisture
    moisture  [%]

    Source: Wood Handbook, FPL-GTR-190, equation (4-9); number from memory.
    """
    return WATER * gravity * (1 + moisture / 100)


def density_at(
    *,
    density: Estimate,
    moisture: Estimate,
    at: float,
    volumetric: float | None = None,
) -> Estimate:
    """Return the density [kg/m3] that a board would have at another moisture.

    density       [kg/m3]  now
    moisture, at  [%]      now, and the other; both up to 30
    volumetric    [%]      shrinkage of the species, green to oven-dry; where it is
                           unknown, 26.5 times the basic specific gravity stands for
                           it, too much for rosewoods

    Source: Wood Handbook, FPL-GTR-190, equation (4-9) and chapter 4 on shrinkage,
    S_x = S_0 (1 - x / 30); from memory.
    """
    _require_below_saturation(moisture.value)
    _require_below_saturation(at)
    gravity = specific_gravity(density=density, moisture=moisture).value.value
    shrinkage = _volumetric(gravity, moisture.value, volumetric)
    now, then = (_swollen(shrinkage.value, x) for x in (moisture.value, at))
    value = density.value * (100 + at) / (100 + moisture.value) * now / then
    by_moisture = shrinkage.value / 3000 / now - 1 / (100 + moisture.value)
    by_shrinkage = (
        (1 - at / SATURATED) / then - (1 - moisture.value / SATURATED) / now
    ) / 100
    spread = math.hypot(
        density.u / density.value,
        by_moisture * moisture.u,
        by_shrinkage * shrinkage.u,
    )
    return Estimate(value=value, u=value * spread)


def _volumetric(gravity: float, moisture: float, printed: float | None) -> Estimate:
    """Return the shrinkage of a species, or of wood so heavy."""
    if printed is not None:
        return Estimate(value=printed, u=U_PRINTED * printed)
    basic = gravity / (1 + GENERIC / 100 * gravity * (1 - moisture / SATURATED))
    return Estimate(value=GENERIC * basic, u=U_GENERIC * GENERIC * basic)


def _swollen(shrinkage: float, moisture: float) -> float:
    """Return the volume at a moisture as a share of the green volume."""
    return 1 - shrinkage / 100 * (1 - moisture / SATURATED)


def _require_below_saturation(moisture: float) -> None:
    if not 0 <= moisture <= SATURATED:
        raise RefusedError(
            f"the rule for shrinkage holds from 0 to {SATURATED:g} %, and "
            f"{moisture:g} % lies outside: above it wood keeps its size"
        )
