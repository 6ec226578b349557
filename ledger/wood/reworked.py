"""What becomes of the tones of a plate that was worked, if its wood stayed as it was.

A tone of a thin plate goes with thickness and with the root of stiffness over density,
so that planing tells nothing new of wood that is the same all through:

    f2 / f1 = (h2 / h1)^(3/2) (m1 / m2)^(1/2)      length and width as they were

A plate that was cut as well is stiffer by its sizes: with its moduli the full solution
of the free plate says by how much, without them the closed formulas do.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.bar import propagated
from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    ODD_BOTH,
    TWIST,
    Moduli,
    Name,
    Parity,
    solved,
)
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate, require_measured

THINNED = "same moduli, thin plate/1"
CUT = "same moduli, Rayleigh-Ritz/1"
CUT_CLOSED = "same moduli, closed formulas/1"
SIDES = ("length", "width")
NAMES = (*SIDES, "thickness", "mass")
SHAPES: dict[str, tuple[Name, Parity]] = {
    "along": (ALONG, EVEN_BOTH),
    "across": (ACROSS, EVEN_BOTH),
    "twist": (TWIST, ODD_BOTH),
}
# By which power of length and of width a tone goes, by the closed formulas.
POWERS = {"along": (-2, 0), "across": (0, -2), "twist": (-1, -1), "bar": (-2, 0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reworked:
    """By what each tone is multiplied, and how that was found."""

    factors: dict[str, Estimate]
    method: str


def reworked(
    before: Sizes, after: Sizes, modes: Sequence[str], *, moduli: Moduli | None = None
) -> Reworked:
    """Return the factors by which tones change from one state of a plate to another.

    modes   along, across and twist of a plate, or the bending of a bar
    moduli  of the plate, where they are known; they matter only if it was cut

    Good for a flat plate of even thickness, before and after. What has the same value
    in both states was measured once, and its error falls out; what was measured twice
    counts as if each time were independent, so that the uncertainty is rather too wide.

    Source: omega^2 rho h = (stiffness of the mode) h^3 / 12, for a thin plate; own
    Rayleigh-Ritz solution; JCGM 100:2008, 5.1.2.
    """
    for name in NAMES:
        require_measured(getattr(before, name))
        require_measured(getattr(after, name))
    foreign = [mode for mode in modes if mode not in POWERS]
    if foreign:
        raise RefusedError(
            f"no rule says how the mode {foreign[0]} changes with the sizes: ask for "
            f"{', '.join(POWERS)}"
        )
    measured = _measured(before, after)
    is_cut = any(f"{side} after" in measured for side in SIDES)
    plate = moduli if is_cut and _is_plate(modes) else None

    def law(values: Mapping[str, float]) -> Mapping[str, float]:
        return _factors(values, before, modes, plate)

    cut = CUT if plate else CUT_CLOSED
    return Reworked(
        factors=propagated(measured, law), method=cut if is_cut else THINNED
    )


def _is_plate(modes: Sequence[str]) -> bool:
    return all(mode in SHAPES for mode in modes)


def _measured(before: Sizes, after: Sizes) -> dict[str, Estimate]:
    """Return what was measured twice, under its name before and after."""
    found: dict[str, Estimate] = {}
    for name in NAMES:
        first, second = getattr(before, name), getattr(after, name)
        if first.value != second.value:
            found |= {f"{name} before": first, f"{name} after": second}
    return found


def _factors(
    values: Mapping[str, float],
    before: Sizes,
    modes: Sequence[str],
    moduli: Moduli | None,
) -> dict[str, float]:
    old, new = (
        {
            name: values.get(f"{name} {when}", getattr(before, name).value)
            for name in NAMES
        }
        for when in ("before", "after")
    )
    ratio = {name: new[name] / old[name] for name in NAMES}
    even = math.sqrt(
        ratio["thickness"] ** 3 * ratio["length"] * ratio["width"] / ratio["mass"]
    )
    if moduli is None:
        return {
            mode: even
            * ratio["length"] ** POWERS[mode][0]
            * ratio["width"] ** POWERS[mode][1]
            for mode in modes
        }
    stiff, was = _stiffness(moduli, new, modes), _stiffness(moduli, old, modes)
    return {mode: even * math.sqrt(stiff[mode] / was[mode]) for mode in modes}


def _stiffness(
    moduli: Moduli, sizes: Mapping[str, float], modes: Sequence[str]
) -> dict[str, float]:
    """Return the stiffness of each mode, which is known by its shape."""
    found: dict[str, float] = {}
    for parity in {SHAPES[mode][1] for mode in modes}:
        all_of_it = solved(
            moduli, length=sizes["length"], width=sizes["width"], parity=parity
        )
        for mode in modes:
            name, own = SHAPES[mode]
            if own == parity:
                place = int(np.argmax(all_of_it.shares(name)))
                found[mode] = float(all_of_it.stiffness[place])
    return found
