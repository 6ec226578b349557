"""Water in wood: what it comes to rest at in a shop's air.

Moisture content is in percent of oven-dry mass. A number from the equation is good to
about one percent of moisture content: oily rosewoods and ebonies lie 1 to 3 below it,
and wood that dries lies 1 to 2 above wood that takes up water.
"""

from ledger.errors import RefusedError

COLDEST, WARMEST = -1.2, 60.0  # deg C
DAMPEST = 0.95


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
    t = temperature
    w = 349 + 1.29 * t + 0.0135 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    x = humidity * (0.805 + 0.000736 * t - 0.00000273 * t**2)
    first = k1 * x + 2 * k1 * k2 * x**2
    return 1800 / w * (x / (1 - x) + first / (1 + k1 * x + k1 * k2 * x**2))
