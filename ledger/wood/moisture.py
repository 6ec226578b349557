"""Water in wood: how much is in it, and what it comes to rest at in a shop's air.

Moisture content is in percent of oven-dry mass. A number from the equation is good to
about one percent of moisture content: oily rosewoods and ebonies lie 1 to 3 below it,
and wood that dries lies 1 to 2 above wood that takes up water.
"""

import math
from typing import Any

from ledger.errors import RefusedError
from ledger.wood.uncertainty import Estimate, require_measured

COLDEST, WARMEST = -1.2, 60.0  # deg C
DAMPEST = 0.95
# Standard uncertainty of what the equation says of one piece of wood.
U_EQUILIBRIUM = 1.0  # percent of moisture content


def equilibrium_moisture(*, temperature: float, humidity: float) -> float:
    """Return the moisture content [%] at which wood comes to rest.

    temperature  [deg C]  from -1.2 to 60
    humidity              relative, from 0 to 0.95

    Source: Wood Handbook, FPL-GTR-190 (2010), equation (4-5), metric coefficients.
    """
    if not COLDEST <= temperature <= WARMEST:
        raise RefusedError(
            f"the equation for wood at rest holds from {COLDEST:g} to {WARMEST:g} °C, "
            f"and {temperature:g} °C lies outside"
        )
    if not 0 <= humidity <= DAMPEST:
        raise RefusedError(
            f"the equation for wood at rest holds up to {DAMPEST * 100:g} %RH, and "
            f"{humidity * 100:g} %RH lies outside"
        )
    return float(water_at_rest(temperature, humidity))


def water_at_rest(t: Any, humidity: Any) -> Any:
    """Return the same for one number or for many, whether the equation holds or not.

    Source: Wood Handbook, FPL-GTR-190 (2010), equation (4-5), metric coefficients.
    """
    w = 349 + 1.29 * t + 0.0135 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    x = humidity * (0.805 + 0.000736 * t - 0.00000273 * t**2)
    first = k1 * x + 2 * k1 * k2 * x**2
    return 1800 / w * (x / (1 - x) + first / (1 + k1 * x + k1 * k2 * x**2))


def moisture_content(*, mass: Estimate, oven_dry: Estimate) -> Estimate:
    """Return the moisture content [%] of a piece from its mass now and oven-dry.

    mass, oven_dry  [kg]  the second after an oven of 103 deg C, until it lost no more

    Source: ASTM D4442, 3.1.2, the definition: 100 (m - m0) / m0.
    """
    require_measured(mass)
    require_measured(oven_dry)
    if oven_dry.value - mass.value > 2 * math.hypot(mass.u, oven_dry.u):
        raise RefusedError(
            f"oven-dry it weighs {oven_dry.value * 1000:g} g and before only "
            f"{mass.value * 1000:g} g: see which mass is which, and weigh again"
        )
    ratio = mass.value / oven_dry.value
    spread = math.hypot(mass.u / mass.value, oven_dry.u / oven_dry.value)
    return Estimate(value=100 * (ratio - 1), u=100 * ratio * spread)


def oven_dry_mass(*, mass: Estimate, moisture: Estimate) -> Estimate:
    """Return what a piece would weigh [kg] without any water.

    mass      [kg]  at that moisture content
    moisture  [%]   by a meter or from the oven

    Source: ASTM D4442, 3.1.2, solved for the oven-dry mass.
    """
    return mass_at(mass=mass, moisture=moisture, at=0.0)


def mass_at(*, mass: Estimate, moisture: Estimate, at: float) -> Estimate:
    """Return what a piece would weigh [kg] at another moisture content.

    mass          [kg]  at its moisture content now
    moisture, at  [%]   now, and the other

    Source: ASTM D4442, 3.1.2, for the same oven-dry mass twice.
    """
    require_measured(mass)
    require_content(moisture.value)
    require_content(at)
    value = mass.value * (100 + at) / (100 + moisture.value)
    spread = math.hypot(mass.u / mass.value, moisture.u / (100 + moisture.value))
    return Estimate(value=value, u=value * spread)


def require_content(moisture: float) -> None:
    """Refuse a moisture content [%] that no wood has.

    Source: wood holds no less than no water; green wood of light species holds up to
    some 250 %, Wood Handbook table 4-1, from memory.
    """
    if not 0 <= moisture <= 300:
        raise RefusedError(
            f"{moisture:g} % is no moisture content of wood, which has 0 to 300 % of "
            f"its oven-dry mass: read the meter again"
        )
