"""Density: mass over volume, worked out here and nowhere else."""

from ledger.wood.uncertainty import Estimate, product


def density(
    *, length: Estimate, width: Estimate, thickness: Estimate, mass: Estimate
) -> Estimate:
    """Return the density [kg/m3] of a board at the moisture content it was weighed at.

    length, width, thickness  [m]   above zero, like the mass
    mass                      [kg]

    Source: the definition of density.
    """
    return product(1, (mass, 1), (length, -1), (width, -1), (thickness, -1))
