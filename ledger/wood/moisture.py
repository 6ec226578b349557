"""Water in wood: what it comes to rest at in a shop's air, and what that weighs.

Moisture content is in percent of oven-dry mass. A number from the equation is good to
about one percent of moisture content: oily rosewoods and ebonies lie 1 to 3 below it,
and wood that dries lies 1 to 2 above wood that takes up water.
"""

from ledger.errors import RefusedError

COLDEST, WARMEST = -1.2, 60.0  # deg C
DAMPEST = 0.95
WETTEST = 200.0  # percent


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


def moisture_content(*, mass: float, oven_dry_mass: float) -> float:
    """Return the moisture content [%] of wood whose oven-dry mass is known.

    mass, oven_dry_mass  [kg], or both in any other unit

    Source: ASTM D4442, 3.1.2 (definition on the oven-dry basis).
    """
    if not 0 < oven_dry_mass <= mass:
        raise RefusedError(
            f"oven-dry wood of {oven_dry_mass:g} cannot have weighed {mass:g}: weigh "
            f"both again"
        )
    return 100 * (mass - oven_dry_mass) / oven_dry_mass


def oven_dry_mass(*, mass: float, moisture: float) -> float:
    """Return what wood would weigh without water, in the unit of its mass.

    mass      above zero
    moisture  [%]  from 0 to 200

    Source: ASTM D4442, 3.1.2, solved for the oven-dry mass.
    """
    if mass <= 0:
        raise RefusedError(f"a mass of {mass:g} is not above zero: weigh again")
    _require_moisture(moisture)
    return mass / (1 + moisture / 100)


def mass_at(*, mass: float, moisture: float, new_moisture: float) -> float:
    """Return what wood would weigh at another moisture content, in the same unit.

    mass                    above zero
    moisture, new_moisture  [%]  from 0 to 200

    Source: ASTM D4442, 3.1.2, used twice.
    """
    _require_moisture(new_moisture)
    dry = oven_dry_mass(mass=mass, moisture=moisture)
    return dry * (1 + new_moisture / 100)


def _require_moisture(moisture: float) -> None:
    if not 0 <= moisture <= WETTEST:
        raise RefusedError(
            f"a moisture content of {moisture:g} % lies outside 0 to {WETTEST:g} %: "
            f"measure again"
        )
