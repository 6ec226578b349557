"""A tapped plate by the full solution: three moduli together, with uncertainties.

Each tone tells a mode's stiffness, omega^2 12 rho / h^2, with density and thickness in
all three: what is wrong in them is wrong in every modulus alike. So the sensitivities
of the modes to everything measured are taken through the inversion as a whole.
"""

import math

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.closed import TYPICAL_TWIST, closed_plate, critical_ratio, twisted
from ledger.wood.inversion import Heard, Inverted, inverted, settled
from ledger.wood.ritz import METHOD, Mode, Moduli, Numbers
from ledger.wood.tapped import NAMES, Figures, Tapped
from ledger.wood.uncertainty import Estimate, estimated

FITTED = "least squares on mixed modes"
# A mode with less of the shape it is named for is half another one.
PURE = 0.8
# By how many percent density follows length, width, thickness, mass, and the rest.
DENSITY = np.array([-1.0, -1, -1, 1, 0, 0, 0, 0])


def by_full_solution(tapped: Tapped) -> Figures | None:
    """Return the figures of a plate of which all three modes were heard.

    None where no plate has these tones: some were taken for others.

    Source: own Rayleigh-Ritz solution, inverted; JCGM 100:2008 (GUM), equation (12).
    """
    heard = _heard(tapped)
    inputs = _inputs(tapped)
    try:
        first = inverted(heard, _start(tapped))
        noise = _sensitivities(first, tapped) * [each.u / each.value for each in inputs]
        done = settled(heard, first, noise)
    except RefusedError:
        return None
    if done is None:
        return None
    found, gains = done
    along, across, shear = gains @ _sensitivities(found, tapped)
    moduli, weight = found.moduli, tapped.sizes.density.value
    e_along = _estimated(moduli.along, inputs, along)
    return Figures(
        e_along=e_along,
        e_across=_estimated(moduli.across, inputs, across),
        g=_estimated(moduli.shear, inputs, shear),
        sound_speed=_estimated(
            math.sqrt(moduli.along / weight), inputs, (along - DENSITY) / 2
        ),
        radiation_ratio=_estimated(
            math.sqrt(moduli.along / weight**3), inputs, (along - 3 * DENSITY) / 2
        ),
        method=f"{METHOD}, {FITTED}" if first.is_mixed else METHOD,
        warnings=_about_mixing(tapped, first, e_along),
    )


def _heard(tapped: Tapped) -> Heard:
    """Return the stiffness of the modes by their tones."""
    sizes = tapped.sizes
    scale = 12 * sizes.density.value * (2 * math.pi / sizes.thickness.value) ** 2
    along, across, twist = (scale * tapped.tones[name].value ** 2 for name in NAMES)
    return Heard(
        along=along,
        across=across,
        twist=twist,
        length=sizes.length.value,
        width=sizes.width.value,
        poisson=tapped.poisson.value,
    )


def _inputs(tapped: Tapped) -> tuple[Estimate, ...]:
    """Return everything measured, in the order of the columns of sensitivities."""
    sizes = tapped.sizes
    tones = (tapped.tones[name] for name in NAMES)
    bulk = (sizes.length, sizes.width, sizes.thickness, sizes.mass)
    return (*bulk, *tones, tapped.poisson)


def _start(tapped: Tapped) -> Moduli:
    """Return the moduli by the closed formulas, to begin with."""
    closed = closed_plate(tapped.sizes, **tapped.tones)
    shear = twisted(tapped.sizes, tapped.tones["twist"], TYPICAL_TWIST)
    along, across = (
        math.nan if each is None else each.value
        for each in (closed.e_along, closed.e_across)
    )
    return Moduli(
        along=along, across=across, shear=shear.value, poisson=tapped.poisson.value
    )


def _sensitivities(found: Inverted, tapped: Tapped) -> Numbers:
    """Return by how many percent each mode misses for a percent of each input."""
    by_length, by_width, by_poisson = found.by_sizes.T
    ones = np.ones(len(NAMES))
    sizes = (-ones - by_length, -ones - by_width, -3 * ones, ones)
    tones = tuple(2 * np.eye(len(NAMES)))
    return np.column_stack([*sizes, *tones, -by_poisson * tapped.poisson.value])


def _estimated(value: float, inputs: tuple[Estimate, ...], parts: Numbers) -> Estimate:
    powers = (float(each) for each in parts)
    return estimated(value, *zip(inputs, powers, strict=True))


def _about_mixing(
    tapped: Tapped, first: Inverted, e_along: Estimate
) -> tuple[str, ...]:
    """Say where modes mix, and what that makes of the answer."""
    if first.is_mixed:
        moduli = first.moduli
        critical = critical_ratio(e_along=moduli.along, e_across=moduli.across)
        return (
            f"length over width is {tapped.sizes.aspect:.2f}, near the {critical:.2f} "
            f"at which long and cross mode mix: fitted by least squares, the lower "
            f"tone taken for the {_lower(tapped)} mode as named, and E along known to "
            f"{e_along.u / e_along.value:.1%}",
        )
    named: tuple[tuple[str, Mode], ...] = (
        ("long", first.along),
        ("cross", first.across),
        ("twist", first.twist),
    )
    return tuple(
        f"the {name} mode is only {mode.share:.0%} itself and mixes with another at "
        f"nearly its frequency: see that its own tone was heard"
        for name, mode in named
        if mode.share < PURE
    )


def _lower(tapped: Tapped) -> str:
    along, across = tapped.tones["along"].value, tapped.tones["across"].value
    return "long" if along < across else "cross"
