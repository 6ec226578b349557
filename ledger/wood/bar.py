"""Stiffness of a bar that hangs at its nodes and is tapped: braces, necks, sticks.

The first bending mode of a free bar has nodes 0.2242 of its length from each end. In a
thick bar wood shears, 8 to 10 times more easily than steel does for its stiffness, and
the simple formula reads low: by 0.1 % for a half set, 6 % for a brace of 300 x 15 mm.
"""

import math
from dataclasses import dataclass

from ledger.wood.density import density
from ledger.wood.uncertainty import Estimate, estimated, require_measured

# beta L of the first bending mode: cos x cosh x = 1.
FIRST_ROOT = 4.730040744862704
FREE_FREE_FIRST_MODE = 48 * math.pi**2 / FIRST_ROOT**4
SHEAR_COEFFICIENT = 5 / 6
# To first order in (h / L)^2: rotation of the sections, and shear.
ROTATION, SHEAR = 49.48 / 12, 12.30 / 12
# Beyond this the first-order correction is itself in doubt.
LARGEST_CORRECTION = 0.10
# Up to here shear matters less than 4 %, if E / G is 25.
SLENDER = 30.0
NO_SHEAR = Estimate(value=1.0, u=0.0)

METHOD = "first bending mode of a free bar (Euler-Bernoulli)"
METHOD_WITH_SHEAR = "first bending mode of a free bar (Goens, first order in shear)"


@dataclass(frozen=True, slots=True, kw_only=True)
class RungBar:
    """What a tapped bar comes to.

    density [kg/m3], youngs_modulus [Pa], sound_speed [m/s], radiation_ratio [m4/(kg s)]
    """

    density: Estimate
    youngs_modulus: Estimate
    sound_speed: Estimate
    radiation_ratio: Estimate
    method: str
    warnings: tuple[str, ...]


def rung_bar(
    *,
    length: Estimate,
    width: Estimate,
    thickness: Estimate,
    mass: Estimate,
    frequency: Estimate,
    shear_ratio: Estimate | None = None,
) -> RungBar:
    """Return density, stiffness, sound speed and radiation ratio of a tapped bar.

    length, width, thickness  [m]   bent in the direction of thickness
    mass                      [kg]
    frequency                 [Hz]  of the first bending mode, held at its nodes
    shear_ratio                     E / G, some 10 to 25 for wood along the grain;
                                    without it no shear is reckoned with

    Source: the free-free beam (48 pi^2 / 4.730041^4 = 0.94641); with shear, E. Goens,
    Annalen der Physik 403 (1931) 649-678, from memory, to first order; coefficients
    re-derived.
    """
    shear = shear_ratio or NO_SHEAR
    for measured in (length, width, thickness, mass, frequency, shear):
        require_measured(measured)
    slender = thickness.value / length.value
    ratio = shear_ratio.value if shear_ratio else 0.0
    factor = shear_factor(slenderness=slender, shear_ratio=ratio) if shear_ratio else 1
    heavy = density(length=length, width=width, thickness=thickness, mass=mass)
    modulus = factor * youngs_modulus(
        density=heavy.value,
        frequency=frequency.value,
        length=length.value,
        thickness=thickness.value,
    )
    sound = math.sqrt(modulus / heavy.value)
    # How the factor itself follows thickness, length and E / G.
    bent = 2 * (factor - 1) / factor
    sheared = SHEAR / SHEAR_COEFFICIENT * slender**2 * ratio / factor
    return RungBar(
        density=heavy,
        youngs_modulus=estimated(
            modulus,
            *((mass, 1), (frequency, 2), (width, -1), (shear, sheared)),
            *((length, 3 - bent), (thickness, bent - 3)),
        ),
        sound_speed=estimated(
            sound,
            *((frequency, 1), (shear, sheared / 2)),
            *((length, 2 - bent / 2), (thickness, bent / 2 - 1)),
        ),
        radiation_ratio=estimated(
            sound / heavy.value,
            *((mass, -1), (frequency, 1), (width, 1), (shear, sheared / 2)),
            *((length, 3 - bent / 2), (thickness, bent / 2)),
        ),
        method=METHOD_WITH_SHEAR if shear_ratio else METHOD,
        warnings=_warnings(slender, factor, shear_ratio),
    )


def youngs_modulus(
    *, density: float, frequency: float, length: float, thickness: float
) -> float:
    """Return Young's modulus [Pa] of a slender bar that rings freely in its first mode.

    density    [kg/m3]  at the moisture content of the test
    frequency  [Hz]     first bending mode
    length     [m]      in the direction of bending
    thickness  [m]

    Source: J. Woodhouse, Euphonics, section 10.3.1, equation (6).
    """
    return FREE_FREE_FIRST_MODE * density * frequency**2 * length**4 / thickness**2


def shear_factor(*, slenderness: float, shear_ratio: float) -> float:
    """Return by how much Young's modulus exceeds what the slender formula gives.

    slenderness  thickness over length, to about 0.1
    shear_ratio  E / G

    Source: E. Goens, Annalen der Physik 403 (1931) 649-678, from memory, to first
    order, with a shear coefficient of 5/6; coefficients re-derived.
    """
    return 1 + slenderness**2 * (ROTATION + SHEAR * shear_ratio / SHEAR_COEFFICIENT)


def _warnings(
    slender: float, factor: float, shear_ratio: Estimate | None
) -> tuple[str, ...]:
    if factor - 1 > LARGEST_CORRECTION:
        return (
            f"shear and rotation add {(factor - 1) * 100:.0f} %, too much for a "
            f"first-order correction: cut a longer or thinner bar",
        )
    if shear_ratio is None and slender > 1 / SLENDER:
        return (
            f"the bar is only {1 / slender:.0f} times as long as thick and shears: "
            f"give E/G, some 16 for spruce along the grain",
        )
    return ()
