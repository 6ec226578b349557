"""Stiffness of a bar that hangs at its nodes and is tapped: braces, necks, sticks.

The first bending mode of a free bar has nodes 0.2242 of its length from each end. In a
thick bar wood shears, 8 to 10 times more easily than steel does for its stiffness, and
the simple formula reads low: by 0.1 % for a half set, 6 % for a brace of 300 x 15 mm,
23 % for a neck on edge. How easily it shears is told as E over G, or by a second tone
of the same bar: one in torsion, or the next in bending.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.beam import (
    MOST_SHEAR_RATIO,
    SLENDER_NUMBERS,
    frequency_number,
    node,
    root,
    torsion_constant,
)
from ledger.wood.uncertainty import Estimate, estimated, require_measured

# beta L of the first bending mode: cos x cosh x = 1.
FIRST_ROOT = 4.730040744862704
FREE_FREE_FIRST_MODE = 48 * math.pi**2 / FIRST_ROOT**4
# Up to here shear matters less than 4 %, if E / G is 25.
SLENDER = 30.0
# What shear adds to E, over the square of thickness over length, where E / G is 25;
# where nobody told E / G, half of it is doubt. Source: Goens, to first order.
SHEARS = 35.0
# The relative step by which it is seen how a result follows what was measured.
STEP = 1e-4
PASSES = 50
# E over G from two tones must be known better than this share of itself.
KNOWN_SHEAR = 0.5
# Of wood along and across the grain; beyond it one tone was taken for another.
LIKELY_SHEAR = (1.0, 60.0)

METHOD = "free bar, slender/1"
METHOD_WITH_SHEAR = "free bar, Timoshenko/1"
METHOD_WITH_TORSION = "free bar, Timoshenko, G from a torsion tone/1"
METHOD_WITH_SECOND = "free bar, Timoshenko, E/G from two bending tones/1"

Measured = Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class RungBar:
    """What a tapped bar comes to.

    density [kg/m3], youngs_modulus [Pa], sound_speed [m/s], radiation_ratio [m4/(kg s)]
    shear_modulus  [Pa] and shear_ratio, E / G, where a second tone tells them
    node           [m]  from each end, where the bar is held
    """

    density: Estimate
    youngs_modulus: Estimate
    sound_speed: Estimate
    radiation_ratio: Estimate
    shear_modulus: Estimate | None
    shear_ratio: Estimate | None
    node: float
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
    second: Estimate | None = None,
    torsion: Estimate | None = None,
) -> RungBar:
    """Return density, stiffness, sound speed and radiation ratio of a tapped bar.

    length, width, thickness  [m]   bent in the direction of thickness
    mass                      [kg]
    frequency                 [Hz]  of the first bending mode, held at its nodes
    shear_ratio                     E / G, some 10 to 25 for wood along the grain
    second                    [Hz]  of the second bending mode, instead of it
    torsion                   [Hz]  of the first torsional mode, instead of it

    Without one of the last three no shear is reckoned with, and what it may add to E,
    up to E / G of 25, is held by the uncertainty.

    Source: S. P. Timoshenko, Phil. Mag. 41 (1921) 744-746, from memory, see beam; the
    slender bar has 48 pi^2 / 4.730041^4 = 0.94641. JCGM 100:2008, 5.1.2, with
    sensitivities by differences.
    """
    told = {"shear_ratio": shear_ratio, "second": second, "torsion": torsion}
    extra = {name: each for name, each in told.items() if each is not None}
    if len(extra) > 1:
        raise RefusedError(
            "E/G is told twice: give E/G, a second bending tone or a torsion tone, "
            "and only one of them"
        )
    measured = {
        **{"length": length, "width": width, "thickness": thickness, "mass": mass},
        **{"frequency": frequency, **extra},
    }
    for each in measured.values():
        require_measured(each)
    slender = thickness.value / length.value
    if not extra:
        measured["left out"] = Estimate(value=1, u=SHEARS / 2 * slender**2)
    found = propagated(measured, _bar_of)
    ratio = found["shear_ratio"] if second or torsion else None
    if ratio is not None:
        _require_known(ratio, told="second" if second else "torsion")
    return RungBar(
        density=found["density"],
        youngs_modulus=found["youngs_modulus"],
        sound_speed=found["sound_speed"],
        radiation_ratio=found["radiation_ratio"],
        shear_modulus=found["shear_modulus"] if ratio else None,
        shear_ratio=ratio,
        node=length.value
        * node(slenderness=slender, shear_ratio=max(0, found["shear_ratio"].value)),
        method=_method(extra),
        warnings=() if extra else _without_shear(slender),
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

    slenderness  thickness over length, to 0.25
    shear_ratio  E / G

    Source: Timoshenko's beam, see beam; to first order it is that of E. Goens, Annalen
    der Physik 403 (1931) 649-678.
    """
    number = frequency_number(slenderness=slenderness, shear_ratio=shear_ratio, mode=1)
    return (SLENDER_NUMBERS[0] / number) ** 2


def shear_modulus(
    *, length: float, width: float, thickness: float, mass: float, torsion: float
) -> float:
    """Return the shear modulus [Pa] of a free bar of wood from its torsion tone.

    length, width, thickness  [m]   length at least three times the width
    mass                      [kg]
    torsion                   [Hz]  of the first torsional mode

    One G is meant for both faces; where they differ it lies between the two, closer to
    that of the wide face.

    Source: S. Timoshenko and J. N. Goodier, Theory of Elasticity, article 109, and the
    free rod, f = sqrt(G J / rho I) / 2 L; from memory.
    """
    polar = width * thickness * (width**2 + thickness**2) / 12
    heavy = mass / (length * width * thickness)
    twist = torsion_constant(width=width, thickness=thickness)
    return 4 * length**2 * torsion**2 * heavy * polar / twist


def shear_ratio_of_tones(*, slenderness: float, ratio: float) -> float:
    """Return E / G of a bar from the ratio of its two lowest bending tones.

    slenderness  thickness over length
    ratio        second tone over the first: 2.757 where nothing shears, less with shear

    Source: Timoshenko's beam, see beam.
    """
    least, most = (_tone_ratio(slenderness, shear) for shear in (MOST_SHEAR_RATIO, 0.0))
    if not least < ratio < most:
        raise RefusedError(
            f"the second tone is {ratio:.3f} times the first, and between {least:.3f} "
            f"and {most:.3f} are possible in so thick a bar: see that both are bending "
            f"tones in its thickness, or tell E/G"
        )
    return root(
        lambda shear: _tone_ratio(slenderness, shear) - ratio, 0.0, MOST_SHEAR_RATIO
    )


def propagated(
    measured: Mapping[str, Estimate], law: Callable[[Measured], Measured]
) -> dict[str, Estimate]:
    """Return each result of a law with its uncertainty, by central differences.

    Source: JCGM 100:2008 (GUM), 5.1.2 and 5.1.3, note 2.
    """
    values = {name: each.value for name, each in measured.items()}
    middle = law(values)
    slopes: dict[str, Measured] = {}
    for name, each in measured.items():
        if each.u > 0:
            above = law({**values, name: each.value * (1 + STEP)})
            below = law({**values, name: each.value * (1 - STEP)})
            slopes[name] = {
                key: (above[key] - below[key]) / (2 * STEP * (value or 1.0))
                for key, value in middle.items()
            }
    return {
        key: estimated(
            value, *((measured[name], slope[key]) for name, slope in slopes.items())
        )
        for key, value in middle.items()
    }


def _bar_of(measured: Measured) -> Measured:
    """Work out a bar from plain numbers."""
    sizes = {name: measured[name] for name in ("length", "width", "thickness", "mass")}
    length, width, thickness, mass = sizes.values()
    heavy = mass / (length * width * thickness)
    slender = thickness / length
    simple = youngs_modulus(
        density=heavy,
        frequency=measured["frequency"],
        length=length,
        thickness=thickness,
    )
    ratio, factor = measured.get("shear_ratio", 0.0), measured.get("left out", 1.0)
    if "torsion" in measured:
        shear = shear_modulus(**sizes, torsion=measured["torsion"])
        ratio = _consistent_ratio(simple / shear, slender)
    if "second" in measured:
        tones = measured["second"] / measured["frequency"]
        ratio = shear_ratio_of_tones(slenderness=slender, ratio=tones)
    if ratio > 0:
        factor = shear_factor(slenderness=slender, shear_ratio=ratio)
    modulus = factor * simple
    sound = math.sqrt(modulus / heavy)
    return {
        "density": heavy,
        "youngs_modulus": modulus,
        "sound_speed": sound,
        "radiation_ratio": sound / heavy,
        "shear_ratio": ratio,
        "shear_modulus": modulus / ratio if ratio > 0 else 0.0,
    }


def _consistent_ratio(simple: float, slender: float) -> float:
    """Return E / G where G is known and E follows from E / G; simple is E by G."""
    ratio = simple
    for _ in range(PASSES):
        latest = simple * shear_factor(slenderness=slender, shear_ratio=ratio)
        if abs(latest - ratio) < 1e-12 * latest:
            break
        ratio = latest
    return ratio


def _tone_ratio(slender: float, shear: float) -> float:
    one, two = (
        frequency_number(slenderness=slender, shear_ratio=shear, mode=mode)
        for mode in (1, 2)
    )
    return two / one


def _require_known(ratio: Estimate, *, told: str) -> None:
    """Refuse an E / G that two tones do not tell, or that no wood has."""
    least, most = LIKELY_SHEAR
    if ratio.u > KNOWN_SHEAR * ratio.value:
        raise RefusedError(
            f"the two tones leave E/G open, {ratio.value:.1f} ± {ratio.u:.1f}: in so "
            f"slender a bar tell E/G, or give a torsion tone"
        )
    if not least <= ratio.value <= most:
        raise RefusedError(
            f"E/G would be {ratio.value:.3g}, and wood has {least:g} to {most:g}: see "
            f"that the {told} tone is not another mode"
        )


def _method(extra: Mapping[str, Estimate]) -> str:
    if "torsion" in extra:
        return METHOD_WITH_TORSION
    if "second" in extra:
        return METHOD_WITH_SECOND
    return METHOD_WITH_SHEAR if extra else METHOD


def _without_shear(slender: float) -> tuple[str, ...]:
    if slender <= 1 / SLENDER:
        return ()
    return (
        f"the bar is only {1 / slender:.0f} times as long as thick and shears: "
        f"give E/G, some 16 for spruce along the grain",
    )
