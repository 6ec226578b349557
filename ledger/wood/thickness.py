"""How thick a plate must be for a frequency that the shop has stated.

A top or a back is taken for a rectangle of its own wood, as long as the body and as
wide as its lower bout, clamped all round, flat and without braces. The thickness is the
one at which such a plate would sound the stated frequency. That frequency is the shop's
own number: there is no usual one here, and it says nothing of what is heard.

The full solution for a clamped plate lies within 1.5 % of this one for spruce, cedar
and rosewood. Shops found their frequencies with moduli as they were read in air, so the
rule takes moduli that are not corrected for the air that moves with a plate.
"""

import math
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.sizes import HEAVIEST, LIGHTEST
from ledger.wood.uncertainty import Estimate, require_measured

METHOD = "clamped rectangle, one term of Rayleigh (Gore)"
# Poisson's ratios along and across, as the rule has them.
POISSON_CROSS, POISSON_PRODUCT = 0.05, 0.02
# With the shape (1 - x^2)^2 (1 - y^2)^2; see the test that derives them.
MIXED = 4 / 7
FRONT = 2 * math.pi * math.sqrt(12 * (1 - POISSON_PRODUCT) / 504)
POISSON_SHARE = MIXED * POISSON_CROSS
SHEAR_SHARE = 2 * MIXED * (1 - POISSON_PRODUCT)
# Power of the thickness in a modulus and in a density that were found with it.
MODULUS_POWER, DENSITY_POWER = 3.0, 1.0
SLENDEREST, WIDEST = 0.4, 1.2
THINNEST, THICKEST = 1.5e-3, 8e-3  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """The thickness [m] that the rule gives, and what to bear in mind."""

    thickness: Estimate
    method: str
    warnings: tuple[str, ...]


def thickness_for(
    *,
    frequency: Estimate,
    length: Estimate,
    width: Estimate,
    density: Estimate,
    e_along: Estimate,
    e_across: Estimate,
    g: Estimate,
    measured_at: Estimate | None = None,
) -> Thickness:
    """Return the thickness at which a plain clamped plate sounds a stated frequency.

    frequency             [Hz]     stated by the shop
    length, width         [m]      of the body, and of its lower bout
    density               [kg/m3]
    e_along, e_across, g  [Pa]     as read, not corrected for air
    measured_at           [m]      the thickness at which density and moduli were found;
                                   its own error then counts once and not four times

    Source: T. Gore and G. Gilet, Contemporary Acoustic Guitar Design and Build, volume
    1, chapter 4.5, from memory; every constant re-derived.
    """
    inputs = (frequency, length, width, density, e_along, e_across, g)
    for each in (*inputs, *((measured_at,) if measured_at else ())):
        require_measured(each)
    _require_outline(length.value, width.value)
    _require_wood(density.value, e_along.value, e_across.value)
    ratio = length.value / width.value
    along, across = e_along.value, ratio**4 * e_across.value
    poisson = ratio**2 * POISSON_SHARE * e_along.value
    shear = ratio**2 * SHEAR_SHARE * g.value
    stiffness = along + across + poisson + shear
    value = (
        FRONT * frequency.value * length.value**2 * math.sqrt(density.value / stiffness)
    )
    mixed = (2 * across + poisson + shear) / stiffness
    u_thickness = measured_at.u / measured_at.value if measured_at else 0.0
    u_moduli = [
        share / stiffness / 2 * _without(modulus, MODULUS_POWER * u_thickness)
        for share, modulus in (
            (along + poisson, e_along),
            (across, e_across),
            (shear, g),
        )
    ]
    spread = math.hypot(
        frequency.u / frequency.value,
        (2 - mixed) * length.u / length.value,
        mixed * width.u / width.value,
        _without(density, DENSITY_POWER * u_thickness) / 2,
        *u_moduli,
        u_thickness,
    )
    return Thickness(
        thickness=Estimate(value=value, u=value * spread),
        method=METHOD,
        warnings=_warnings(value),
    )


def _without(found: Estimate, share: float) -> float:
    """Return a relative uncertainty without the part that came from the thickness."""
    return math.sqrt(max(0.0, (found.u / found.value) ** 2 - share**2))


def _require_outline(length: float, width: float) -> None:
    if not SLENDEREST <= width / length <= WIDEST:
        raise RefusedError(
            f"a body {length * 1000:g} mm long and {width * 1000:g} mm wide is none "
            f"that the rule was made for: give the length of the body and the width of "
            f"its lower bout"
        )


def _require_wood(density: float, e_along: float, e_across: float) -> None:
    """Refuse figures that no wood has: in other units, or one taken for another."""
    if not LIGHTEST <= density <= HEAVIEST:
        raise RefusedError(
            f"a density of {density:g} kg/m³ has no wood, which lies within "
            f"{LIGHTEST:g} to {HEAVIEST:g}: see the units"
        )
    if e_across >= e_along:
        raise RefusedError(
            f"E across of {e_across / 1e9:.3g} GPa is not below E along of "
            f"{e_along / 1e9:.3g} GPa, and in wood it is: see which is which"
        )


def _warnings(thickness: float) -> tuple[str, ...]:
    if THINNEST <= thickness <= THICKEST:
        return ()
    return (
        f"{thickness * 1000:.2f} mm is no usual thickness of a plate, which has "
        f"{THINNEST * 1000:g} to {THICKEST * 1000:g} mm: look at the frequency and the "
        f"moduli again",
    )
