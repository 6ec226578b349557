"""Boards whose wood is known, measured and tapped, exactly or by chance."""

import math

import numpy as np

from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    ODD_BOTH,
    TWIST,
    Moduli,
    hertz,
    solved,
)
from ledger.wood.uncertainty import Estimate

HALF = {"length": 0.55, "width": 0.2, "thickness": 0.004}
SIDE = {"length": 0.82, "width": 0.125, "thickness": 0.0025}
TOP = {"length": 0.55, "width": 0.4, "thickness": 0.003}
SPRUCE = {"density": 400, "along": 11e9, "across": 0.85e9, "shear": 0.75e9}
CEDAR = {"density": 370, "along": 8.5e9, "across": 0.80e9, "shear": 0.75e9}
MAHOGANY = {"density": 540, "along": 10e9, "across": 1.1e9, "shear": 0.9e9}
ROSEWOOD = {"density": 850, "along": 12e9, "across": 3.0e9, "shear": 1.8e9}


def exact(value: float) -> Estimate:
    """Return a number without uncertainty."""
    return Estimate(value=value, u=0)


def measured(
    moduli: Moduli,
    density: float,
    sizes: dict[str, float],
    chance: np.random.Generator | None = None,
) -> dict[str, Estimate]:
    """Measure and tap a plate with common tools, a little wrongly each time."""
    sides = {"length": sizes["length"], "width": sizes["width"]}
    bent = solved(moduli, **sides, parity=EVEN_BOTH)
    twisted = solved(moduli, **sides, parity=ODD_BOTH)
    stiffness = {
        "along": bent.stiffness[int(np.argmax(bent.shares(ALONG)))],
        "across": bent.stiffness[int(np.argmax(bent.shares(ACROSS)))],
        "twist": twisted.stiffness[int(np.argmax(twisted.shares(TWIST)))],
    }
    tones = {
        name: hertz(float(each), thickness=sizes["thickness"], density=density)
        for name, each in stiffness.items()
    }
    mass = {"mass": density * math.prod(sizes.values())}
    us = {"length": 0.0005, "width": 0.0005, "thickness": 0.00005, "mass": 0.0001}
    return {
        name: Estimate(
            value=value + (chance.normal(0, us.get(name, 0.2)) if chance else 0),
            u=us.get(name, 0.2),
        )
        for name, value in (sizes | mass | tones).items()
    }
