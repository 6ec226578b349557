"""Stiffness of a flat board that is held at its nodes and tapped.

a along the grain, b across, h thick; three modes give three moduli together:

    along   (2,0)  hold 0.224 a from both ends, tap the middle or an end
    across  (0,2)  hold 0.224 b from both edges, tap an edge
    twist   (1,1)  hold on the two centre lines, tap a corner

The full solution of the free plate (`ritz`) is inverted (`inversion`, `whole`); where a
mode was not heard, closed formulas (`closed`) give what they can, and say so. Thickness
rules the uncertainty of the moduli (power 3), sound speed has it to power 1, and the
radiation ratio not at all. Air moves with a thin plate (`air_load`), and is reckoned
with only where that is asked for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from ledger.wood import air_load
from ledger.wood.closed import (
    ClosedPlate,
    by_closed_formulas,
    closed_plate,
    critical_ratio,
    near_critical,
)
from ledger.wood.elastic import Usual, require_poisson, usual_stiffness
from ledger.wood.mistaken import another_naming, require_possible
from ledger.wood.sizes import Sizes, require_board
from ledger.wood.tapped import ALIKE, Tapped
from ledger.wood.uncertainty import Estimate, product, require_measured
from ledger.wood.whole import by_full_solution

# Below the first a plate is thick, and shears; below the second it is no plate.
THIN, THICK = 30.0, 10.0
# By what share a thick plate reads low, over the square of thickness over length (E/G
# 16) and over width (E/G 25 in rolling shear), and G over thickness over width.
# Source: Goens, to first order, (49.5 + 12.3 E / (5/6 G)) / 12; Saint-Venant's torsion.
SHEARS_ALONG, SHEARS_ACROSS, EDGES = 24.0, 35.0, 0.63
U_SHEARS = 0.6  # of that share: hardwoods shear less than half as much across the grain


@dataclass(frozen=True, slots=True, kw_only=True)
class RungPlate:
    """What a tapped board comes to; what needs a mode that was not heard is None.

    density                [kg/m3]
    e_along, e_across, g   [Pa]
    sound_speed            [m/s]         along the grain
    radiation_ratio        [m4/(kg s)]   along the grain
    poisson                nu_LC, as it was taken
    closed                 what the closed formulas make of the same tones
    """

    density: Estimate
    e_along: Estimate | None
    e_across: Estimate | None
    g: Estimate | None
    sound_speed: Estimate | None
    radiation_ratio: Estimate | None
    poisson: Estimate
    closed: ClosedPlate
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
    poisson: Estimate | None = None,
    with_air: bool = False,
    usual: Usual | None = None,
) -> RungPlate:
    """Return density, moduli, sound speed and radiation ratio of a tapped board.

    length, width, thickness  [m]   along the grain, across, and the mean thickness
    mass                      [kg]
    along, across, twist      [Hz]  the modes (2,0), (0,2) and (1,1), as far as heard
    poisson                   nu_LC; else that of the usual wood, else 0.35 +- 0.06
    with_air                  whether the air that moves with the plate is reckoned with
    usual                     what such wood usually has, to notice modes named wrongly

    Good for a flat board of even thickness, wider than ten times its thickness; shear
    across the thickness is left out, and lowers E across of 4 mm spruce by some 1 %.
    Of a board less than thirty times as wide as thick it is added to the uncertainty.

    Source: own Rayleigh-Ritz solution, inverted; uncertainties by JCGM 100:2008 (GUM),
    equation (12), with each input's part in all three moduli.
    """
    sizes = Sizes(length=length, width=width, thickness=thickness, mass=mass)
    require_board(sizes)
    usual = usual or usual_stiffness()
    said = (("along", along), ("across", across), ("twist", twist))
    heard = {name: tone for name, tone in said if tone is not None}
    for tone in heard.values():
        require_measured(tone)
    require_possible(sizes, heard, usual)
    require_poisson((poisson or usual.poisson).value)
    tapped = Tapped(
        sizes=sizes,
        tones=_in_vacuum(heard, sizes) if with_air else heard,
        poisson=poisson or usual.poisson,
    )
    full = by_full_solution(tapped) if tapped.is_complete else None
    found = full or by_closed_formulas(tapped, usual)
    offer = another_naming(sizes, heard, usual)
    low_along, low_across, low_g = _reads_low(sizes)
    return RungPlate(
        density=sizes.density,
        e_along=_doubted(found.e_along, low_along),
        e_across=_doubted(found.e_across, low_across),
        g=_doubted(found.g, low_g),
        sound_speed=_doubted(found.sound_speed, low_along / 2),
        radiation_ratio=_doubted(found.radiation_ratio, low_along / 2),
        poisson=tapped.poisson,
        closed=closed_plate(sizes, **tapped.tones),
        method=f"{found.method}, {air_load.METHOD}" if with_air else found.method,
        warnings=(
            *_about_thickness(sizes),
            *(_about_formulas(tapped) if full is None else ()),
            *found.warnings,
            *_about_modes(heard),
            *([offer] if offer else []),
        ),
    )


def _in_vacuum(heard: Mapping[str, Estimate], sizes: Sizes) -> dict[str, Estimate]:
    return {name: air_load.in_vacuum(name, tone, sizes) for name, tone in heard.items()}


def _times_thick(sizes: Sizes) -> float:
    return min(sizes.width.value, sizes.length.value) / sizes.thickness.value


def _reads_low(sizes: Sizes) -> tuple[float, float, float]:
    """Return by what share E along, E across and G of a thick board may read low."""
    if _times_thick(sizes) >= THIN:
        return 0.0, 0.0, 0.0
    h = sizes.thickness.value
    return (
        SHEARS_ALONG * (h / sizes.length.value) ** 2,
        SHEARS_ACROSS * (h / sizes.width.value) ** 2,
        EDGES / _times_thick(sizes),
    )


def _doubted(figure: Estimate | None, low: float) -> Estimate | None:
    if figure is None or not low:
        return figure
    return product(1, (figure, 1), (Estimate(value=1, u=U_SHEARS * low), 1))


def _about_thickness(sizes: Sizes) -> tuple[str, ...]:
    times = _times_thick(sizes)
    if times >= THIN:
        return ()
    if times < THICK:
        return (
            f"the board is less than {THICK:g} times as wide as thick: no thin plate, "
            f"and all moduli read low",
        )
    along, across, g = _reads_low(sizes)
    return (
        f"the board is only {times:.0f} times as wide as thick and shears: E along "
        f"may read {along:.1%} low, E across {across:.1%} and G {g:.1%}, which their "
        f"uncertainties hold",
    )


def _about_formulas(tapped: Tapped) -> tuple[str, ...]:
    """Say what there is to say of answers by closed formulas."""
    found = []
    if tapped.is_complete:
        found.append(
            "no plate of these sizes has these three tones, so each was reckoned for "
            "itself by the closed formulas: see which mode is which"
        )
    closed = closed_plate(tapped.sizes, **tapped.tones)
    along, across = closed.e_along, closed.e_across
    if along and across and near_critical(tapped.sizes, along, across):
        critical = critical_ratio(e_along=along.value, e_across=across.value)
        found.append(
            f"length over width is {tapped.sizes.aspect:.2f}, near the {critical:.2f} "
            f"at which long and cross mode mix: E along and E across may be wrong by "
            f"9 %; tap the twist too, for the full solution"
        )
    return tuple(found)


def _about_modes(heard: Mapping[str, Estimate]) -> tuple[str, ...]:
    """Warn of modes so close that one is easily taken for the other."""
    rising = sorted(heard.items(), key=lambda each: each[1].value)
    return tuple(
        f"the {one} and {two} modes lie {high.value / low.value - 1:.1%} apart: make "
        f"sure which is which by where the board is held and tapped"
        for (one, low), (two, high) in pairwise(rising)
        if high.value / low.value - 1 < ALIKE
    )
