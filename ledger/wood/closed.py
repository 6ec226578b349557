"""A tapped plate by closed formulas: one modulus from each mode, each on its own.

They leave out that wood stretched along narrows across, and that no twist is pure: E
across reads up to 3 % high, E along up to 9 % near the critical ratio, and G by the
coefficient of a pure twist 9 to 16 % low. So they stand beside the full solution for
comparison, begin it, and take its place where a mode was not heard.
"""

import math
from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.bar import FREE_FREE_FIRST_MODE
from ledger.wood.elastic import Usual
from ledger.wood.sizes import Sizes
from ledger.wood.tapped import Figures, Tapped
from ledger.wood.twist import U_COEFFICIENT, twist_coefficient
from ledger.wood.uncertainty import Estimate, product

METHOD = "closed plate formulas/1"
PURE_TWIST = math.pi**2 / 12
TYPICAL_TWIST = Estimate(value=0.92, u=0)  # of half sets and joined plates, to begin
STEPS = 50
# What the formulas leave out, as a relative standard uncertainty of their figures. The
# mixing of modes falls with the square of the distance from the critical ratio.
# Source: comparison with the full solution, own.
U_ALONG, U_ACROSS, MIXING, U_CRITICAL = 0.003, 0.015, 0.0005, 0.06
MUCH = 0.01
# Where a / b is this close to the fourth root of E along / E across, modes mix.
CRITICAL = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedPlate:
    """What the closed formulas make of a plate, with what was measured as only doubt.

    e_along, e_across, g  [Pa]  g by the coefficient of a pure twist
    """

    e_along: Estimate | None
    e_across: Estimate | None
    g: Estimate | None
    method: str = METHOD


def closed_plate(
    sizes: Sizes,
    *,
    along: Estimate | None = None,
    across: Estimate | None = None,
    twist: Estimate | None = None,
) -> ClosedPlate:
    """Return the moduli of a plate by the closed formula of each mode [Hz].

    Good for a flat thin board of even thickness; what they err by is told above.

    Source: M. E. McIntyre and J. Woodhouse, On measuring wood properties,
    J. Catgut Acoust. Soc. 42-43 (1984-85) and Acta Metallurgica 36 (1988) 1397-1416;
    from memory; constants re-derived.
    """
    pure = Estimate(value=PURE_TWIST, u=0)
    return ClosedPlate(
        e_along=_bent(sizes, along, length=3, width=-1),
        e_across=_bent(sizes, across, length=-1, width=3),
        g=None if twist is None else twisted(sizes, twist, pure),
    )


def twisted(sizes: Sizes, twist: Estimate, coefficient: Estimate) -> Estimate:
    """Return G [Pa] from the twist mode [Hz] and its coefficient.

    Source: as for the closed formulas.
    """
    return product(
        1,
        (coefficient, 1),
        (sizes.mass, 1),
        (twist, 2),
        (sizes.length, 1),
        (sizes.width, 1),
        (sizes.thickness, -3),
    )


def by_closed_formulas(tapped: Tapped, usual: Usual) -> Figures:
    """Return what closed formulas can give of the tones that were heard.

    What they leave out is added to the uncertainty. G has the coefficient of the grid,
    for which it needs the other two modes. Where of the long and the cross mode one
    was not heard, how far they mix is taken from what such wood usually has.

    Source: comparison with the full solution, own.
    """
    sizes, twist = tapped.sizes, tapped.tones.get("twist")
    bare = closed_plate(sizes, **tapped.tones)
    mixed = _mixing(sizes, bare, usual)
    doubt = Estimate(value=1, u=U_ALONG + mixed)
    along = _doubted(bare.e_along, doubt.u)
    across = _doubted(bare.e_across, U_ACROSS + mixed)
    g, why = None, None
    if twist is not None and along and across:
        g, why = _shear_beside(sizes, twist, along, across)
    elif twist is not None:
        why = f"no shear modulus: it needs the {'cross' if along else 'long'} mode too"
    speed, ratio = _along_grain(sizes, tapped.tones.get("along"), doubt)
    return Figures(
        e_along=along,
        e_across=across,
        g=g,
        sound_speed=speed,
        radiation_ratio=ratio,
        method=METHOD,
        warnings=(*([why] if why else []), *_about_unheard(bare, mixed)),
    )


def _shear_beside(
    sizes: Sizes, twist: Estimate, e_along: Estimate, e_across: Estimate
) -> tuple[Estimate | None, str | None]:
    """Return G by the coefficient that belongs to the three together, or why not."""
    value = 1.0
    for _ in range(STEPS):
        g = twisted(sizes, twist, Estimate(value=value, u=0)).value
        try:
            new = twist_coefficient(
                p=e_along.value / g / sizes.aspect**2,
                q=e_across.value / g * sizes.aspect**2,
            )
        except RefusedError as fault:
            return None, f"no shear modulus: {fault}"
        if abs(new - value) < 1e-9:
            break
        value = new
    coefficient = Estimate(value=value, u=U_COEFFICIENT * value)
    return twisted(sizes, twist, coefficient), None


def _along_grain(
    sizes: Sizes, along: Estimate | None, doubt: Estimate
) -> tuple[Estimate | None, Estimate | None]:
    """Return sound speed and radiation ratio, in which thickness has its own part."""
    if along is None:
        return None, None
    constant = math.sqrt(FREE_FREE_FIRST_MODE)
    tone = ((along, 1), (doubt, 0.5))
    speed = product(constant, *tone, (sizes.length, 2), (sizes.thickness, -1))
    ratio = product(
        constant, *tone, (sizes.length, 3), (sizes.width, 1), (sizes.mass, -1)
    )
    return speed, ratio


def near_critical(
    sizes: Sizes, e_along: Estimate | None, e_across: Estimate | None
) -> bool:
    """Tell whether the long and the cross mode of a plate are near enough to mix.

    Source: comparison with the full solution, own.
    """
    return _from_critical(sizes, e_along, e_across) < CRITICAL


def _from_critical(
    sizes: Sizes, e_along: Estimate | None, e_across: Estimate | None
) -> float:
    """Return how far from the critical ratio a plate is, as a share of that ratio."""
    if e_along is None or e_across is None:
        return math.inf
    critical = critical_ratio(e_along=e_along.value, e_across=e_across.value)
    return abs(sizes.aspect / critical - 1)


def _mixing(sizes: Sizes, bare: ClosedPlate, usual: Usual) -> float:
    """Return how unsure two moduli are for modes that mix, whatever was measured."""
    if bare.e_along and bare.e_across:
        away = _from_critical(sizes, bare.e_along, bare.e_across)
    else:
        away = _from_usual(sizes, usual)
    return min(U_CRITICAL, MIXING / max(away, MIXING) ** 2)


def _from_usual(sizes: Sizes, usual: Usual) -> float:
    """Return how far from any critical ratio that such wood usually has."""
    low, high = (
        critical_ratio(
            e_along=1, e_across=usual.across_ratio * math.exp(way * usual.spreads[1])
        )
        for way in (1, -1)
    )
    return max(0.0, 1 - sizes.aspect / low, sizes.aspect / high - 1)


def _about_unheard(bare: ClosedPlate, mixed: float) -> tuple[str, ...]:
    """Say where a mode that was not heard leaves the other one open."""
    is_one_heard = (bare.e_along is None) != (bare.e_across is None)
    if mixed < MUCH or not is_one_heard:
        return ()
    heard, other = ("long", "cross") if bare.e_along else ("cross", "long")
    return (
        f"at this length over width the long and the cross mode may mix, so that the "
        f"{heard} mode alone is good to {mixed:.1%}: tap the {other} mode and the "
        f"twist too",
    )


def critical_ratio(*, e_along: float, e_across: float) -> float:
    """Return the a / b at which the long and the cross mode of a plate mix.

    e_along, e_across  [Pa], above zero

    Source: the two modes of a free plate have one frequency there; common practice.
    """
    return math.sqrt(math.sqrt(e_along / e_across))


def _bent(
    sizes: Sizes, frequency: Estimate | None, *, length: float, width: float
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


def _doubted(modulus: Estimate | None, share: float) -> Estimate | None:
    if modulus is None:
        return None
    return product(1, (modulus, 1), (Estimate(value=1, u=share), 1))
