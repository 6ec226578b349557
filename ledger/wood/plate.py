"""Stiffness of a flat board that is held at its nodes and tapped, by closed formulas.

a along the grain, b across, h thick; each mode gives one modulus:

    along   (2,0)  hold 0.224 a from both ends, tap the middle or an end
    across  (0,2)  hold 0.224 b from both edges, tap an edge
    twist   (1,1)  hold on the two centre lines, tap a corner

Thickness rules the uncertainty of the moduli (power 3), sound speed has it to power 1,
and the radiation ratio not at all. Air moves with a thin plate and is not reckoned
with: moduli of a light top read some 4 to 9 % low for it.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from ledger.errors import RefusedError
from ledger.wood.bar import FREE_FREE_FIRST_MODE
from ledger.wood.density import density
from ledger.wood.twist import U_COEFFICIENT, twist_coefficient
from ledger.wood.uncertainty import Estimate, product, require_measured

METHOD = "closed plate formulas"
# Where a / b is this close to the fourth root of E along / E across, modes mix.
CRITICAL = 0.15
# Modes this close are easily taken for one another.
ALIKE = 0.06
THIN = 10.0
STEPS = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class RungPlate:
    """What a tapped board comes to; what needs a mode that was not heard is None.

    density                [kg/m3]
    e_along, e_across, g   [Pa]
    sound_speed            [m/s]         along the grain
    radiation_ratio        [m4/(kg s)]   along the grain
    """

    density: Estimate
    e_along: Estimate | None
    e_across: Estimate | None
    g: Estimate | None
    sound_speed: Estimate | None
    radiation_ratio: Estimate | None
    method: str
    warnings: tuple[str, ...]


def rung_plate(
    *,
    length: Estimate,
    width: Estimate,
    thickness: Estimate,
    mass: Estimate,
    along: Estimate | None = None,
    across: Estimate | None = None,
    twist: Estimate | None = None,
    coefficient: Estimate | None = None,
) -> RungPlate:
    """Return density, moduli, sound speed and radiation ratio of a tapped board.

    length, width, thickness  [m]   along the grain, across, and the mean thickness
    mass                      [kg]
    along, across, twist      [Hz]  the modes (2,0), (0,2) and (1,1), as far as heard
    coefficient                     of the twist mode, where it is known better

    Good for a flat board of even thickness, wider than ten times its thickness. E
    along reads right to 0.3 % on half sets and sides; see the warnings otherwise.

    Source: M. E. McIntyre and J. Woodhouse, On measuring wood properties,
    J. Catgut Acoust. Soc. 42-43 (1984-85) and Acta Metallurgica 36 (1988) 1397-1416;
    from memory; constants re-derived.
    """
    for measured in (length, width, thickness, mass):
        require_measured(measured)
    sizes = _Sizes(length=length, width=width, thickness=thickness, mass=mass)
    e_along = _modulus(sizes, along, length=3, width=-1)
    e_across = _modulus(sizes, across, length=-1, width=3)
    g, about_g = _shear(sizes, twist, e_along, e_across, coefficient)
    return RungPlate(
        density=density(length=length, width=width, thickness=thickness, mass=mass),
        e_along=e_along,
        e_across=e_across,
        g=g,
        sound_speed=_sound_speed(sizes, along),
        radiation_ratio=_radiation_ratio(sizes, along),
        method=METHOD,
        warnings=(
            *_about_shape(sizes, e_along, e_across),
            *_about_modes(along=along, across=across, twist=twist),
            *about_g,
        ),
    )


def critical_ratio(*, e_along: float, e_across: float) -> float:
    """Return the a / b at which the long and the cross mode of a plate mix.

    e_along, e_across  [Pa], above zero

    Source: the two modes of a free plate have one frequency there; common practice.
    """
    return math.sqrt(math.sqrt(e_along / e_across))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sizes:
    length: Estimate
    width: Estimate
    thickness: Estimate
    mass: Estimate

    @property
    def aspect(self) -> float:
        return self.length.value / self.width.value


def _modulus(
    sizes: _Sizes, frequency: Estimate | None, *, length: float, width: float
) -> Estimate | None:
    """Return 0.9464 m f^2 times powers of length and width, over thickness cubed."""
    if frequency is None:
        return None
    return product(
        FREE_FREE_FIRST_MODE,
        (sizes.mass, 1),
        (frequency, 2),
        (sizes.length, length),
        (sizes.width, width),
        (sizes.thickness, -3),
    )


def _sound_speed(sizes: _Sizes, along: Estimate | None) -> Estimate | None:
    if along is None:
        return None
    constant = math.sqrt(FREE_FREE_FIRST_MODE)
    return product(constant, (along, 1), (sizes.length, 2), (sizes.thickness, -1))


def _radiation_ratio(sizes: _Sizes, along: Estimate | None) -> Estimate | None:
    """Return the sound speed over the density, in which thickness cancels."""
    if along is None:
        return None
    return product(
        math.sqrt(FREE_FREE_FIRST_MODE),
        (along, 1),
        (sizes.length, 3),
        (sizes.width, 1),
        (sizes.mass, -1),
    )


def _shear(
    sizes: _Sizes,
    twist: Estimate | None,
    e_along: Estimate | None,
    e_across: Estimate | None,
    coefficient: Estimate | None,
) -> tuple[Estimate | None, tuple[str, ...]]:
    """Return the shear modulus, or why there is none."""
    if twist is None:
        return None, ()
    if coefficient is None:
        if e_along is None or e_across is None:
            lacking = "long" if e_along is None else "cross"
            return None, (f"no shear modulus: it needs the {lacking} mode too",)
        try:
            coefficient = _coefficient(sizes, twist, e_along.value, e_across.value)
        except RefusedError as fault:
            return None, (f"no shear modulus: {fault}",)
    return _twisted(sizes, twist, coefficient), ()


def _twisted(sizes: _Sizes, twist: Estimate, coefficient: Estimate) -> Estimate:
    return product(
        1,
        (coefficient, 1),
        (sizes.mass, 1),
        (twist, 2),
        (sizes.length, 1),
        (sizes.width, 1),
        (sizes.thickness, -3),
    )


def _coefficient(
    sizes: _Sizes, twist: Estimate, e_along: float, e_across: float
) -> Estimate:
    """Find the coefficient that belongs to the shear modulus which it leads to."""
    value = 1.0
    for _ in range(STEPS):
        guess = Estimate(value=value, u=0)
        g = _twisted(sizes, twist, guess).value
        new = twist_coefficient(
            p=e_along / g / sizes.aspect**2, q=e_across / g * sizes.aspect**2
        )
        if abs(new - value) < 1e-9:
            break
        value = new
    return Estimate(value=value, u=U_COEFFICIENT * value)


def _about_shape(
    sizes: _Sizes, e_along: Estimate | None, e_across: Estimate | None
) -> tuple[str, ...]:
    found = []
    if min(sizes.width.value, sizes.length.value) < THIN * sizes.thickness.value:
        found.append(
            f"the board is less than {THIN:g} times as wide as thick: no thin plate, "
            f"and all moduli read low"
        )
    if e_along and e_across:
        critical = critical_ratio(e_along=e_along.value, e_across=e_across.value)
        if abs(sizes.aspect / critical - 1) < CRITICAL:
            found.append(
                f"length over width is {sizes.aspect:.2f}, near the {critical:.2f} at "
                f"which long and cross mode mix: E along may read 9 % high and E "
                f"across 6 % low"
            )
    return tuple(found)


def _about_modes(**modes: Estimate | None) -> tuple[str, ...]:
    """Warn of modes so close that one is easily taken for the other."""
    heard = [(name, mode.value) for name, mode in modes.items() if mode is not None]
    heard.sort(key=lambda each: each[1])
    return tuple(
        f"the {one} and {two} modes lie {high / low - 1:.1%} apart: make sure which "
        f"is which by where the board is held and tapped"
        for (one, low), (two, high) in pairwise(heard)
        if high / low - 1 < ALIKE
    )
