"""Density, and what the printed figures of density mean.

Three figures look alike and differ by an eighth: basic specific gravity (oven-dry mass
over green volume), specific gravity at 12 % (oven-dry mass over volume at 12 %), and
air-dry density over 1000 (water weighed with it). Their basis is part of the number.
"""

from ledger.errors import RefusedError

WATER = 1000.0  # kg/m3
FIBRE_SATURATION = 30.0  # percent


def density(*, mass: float, length: float, width: float, thickness: float) -> float:
    """Return the density [kg/m3] of a board at the moisture content it was weighed at.

    mass                      [kg]
    length, width, thickness  [m]

    Source: the definition of density.
    """
    for name, value in (
        ("mass", mass),
        ("length", length),
        ("width", width),
        ("thickness", thickness),
    ):
        if value <= 0:
            raise RefusedError(f"the {name} of {value:g} is not above zero: measure it")
    return mass / (length * width * thickness)


def density_at(*, specific_gravity: float, moisture: float) -> float:
    """Return the density [kg/m3], water included, at a moisture content.

    specific_gravity       oven-dry mass over the volume at that moisture, over water
    moisture          [%]  from 0 to 30

    Source: Wood Handbook, FPL-GTR-190 (2010), equation (4-9).
    """
    _require(specific_gravity, moisture)
    return WATER * specific_gravity * (1 + moisture / 100)


def specific_gravity_at(*, basic: float, shrinkage: float, moisture: float) -> float:
    """Return specific gravity at a moisture content from the basic one.

    basic           oven-dry mass over green volume, over water
    shrinkage  [%]  volumetric, from green to oven-dry
    moisture   [%]  from 0 to 30, where shrinking begins

    Source: Wood Handbook, FPL-GTR-190 (2010), ch. 4, volume linear in moisture below
    30 %; the number of its equation is from memory.
    """
    _require(basic, moisture)
    if not 0 <= shrinkage < 40:
        raise RefusedError(
            f"volumetric shrinkage of {shrinkage:g} % is that of no wood: below 40"
        )
    shrunk = shrinkage * (1 - moisture / FIBRE_SATURATION)
    return basic / (1 - shrunk / 100)


def _require(specific_gravity: float, moisture: float) -> None:
    if not 0 < specific_gravity < 1.6:
        raise RefusedError(
            f"a specific gravity of {specific_gravity:g} is that of no wood: below 1.6"
        )
    if not 0 <= moisture <= FIBRE_SATURATION:
        raise RefusedError(
            f"a moisture content of {moisture:g} % lies outside 0 to "
            f"{FIBRE_SATURATION:g} %, where volume follows moisture"
        )
