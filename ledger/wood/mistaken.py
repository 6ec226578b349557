"""Modes named for one another: noticed by moduli that no such wood has, and offered.

Which mode is which is told by how a board was held and tapped, and never changed here.
But a long mode named cross makes E across absurd, and another naming of the very same
tones may make all three moduli usual. Then that is said.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import permutations

from ledger.errors import RefusedError
from ledger.wood.closed import TYPICAL_TWIST, ClosedPlate, closed_plate, twisted
from ledger.wood.elastic import Usual
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate

Modes = Mapping[str, Estimate]
# No wood is stiffer or softer. Source: common practice; a factor of two or more
# beyond the densest and the lightest woods of the Wood Handbook.
POSSIBLE = {
    "E along": (0.1e9, 60e9),
    "E across": (0.01e9, 20e9),
    "G": (0.01e9, 15e9),
}
MODE_OF = {"E along": "along", "E across": "across", "G": "twist"}
# In standard deviations of the wood's usual stiffness.
UNUSUAL, USUAL = 2.5, 1.7


@dataclass(frozen=True, slots=True, kw_only=True)
class _Naming:
    """One way to name the tones, what it leads to, and how odd that would be."""

    words: str
    moduli: dict[str, float]
    oddity: float

    @property
    def told(self) -> str:
        """The moduli in words."""
        each = [f"{name} {_gpa(pa)}" for name, pa in self.moduli.items()]
        return f"{' and '.join((', '.join(each[:-1]), each[-1]))} GPa"


def another_naming(sizes: Sizes, modes: Modes, usual: Usual) -> str | None:
    """Say which other naming of the same tones is usual, where the one given is not.

    modes  [Hz]  by name: along, across, twist; two of them or three

    Source: usual_stiffness; the limits are common practice, no source.
    """
    given = _naming(sizes, modes, usual, "") if modes else None
    offer = _offer(sizes, modes, usual)
    if given is None or offer is None:
        return None
    return f"as named, {given.told} would be unusual for {usual.name}; {offer}"


def require_possible(sizes: Sizes, modes: Modes, usual: Usual) -> None:
    """Refuse a tone that would make a modulus which no wood has.

    modes  [Hz]  by name: along, across, twist

    Source: POSSIBLE, common practice.
    """
    for name, pascals in _moduli(sizes, modes).items():
        low, high = POSSIBLE[name]
        if low <= pascals <= high:
            continue
        mode = MODE_OF[name]
        way, limit = ("more", high) if pascals > high else ("less", low)
        offer = _offer(sizes, modes, usual)
        raise RefusedError(
            f"{modes[mode].value:g} Hz as the {mode} mode would make {name} "
            f"{_gpa(pascals)} GPa, and no wood has {way} than {_gpa(limit)}; "
            + (offer or "see the decimal point, the sizes, and which mode is which")
        )


def _offer(sizes: Sizes, modes: Modes, usual: Usual) -> str | None:
    """Return the one other naming that is usual, where the one given is not."""
    if len(modes) < 2 or _naming(sizes, modes, usual, "").oddity <= UNUSUAL:
        return None
    other = min(_others(sizes, modes, usual), key=lambda each: each.oddity)
    if other.oddity > USUAL:
        return None
    return (
        f"{other.words} would make {other.told}: hold and tap again, and see which is "
        f"which"
    )


def _others(sizes: Sizes, modes: Modes, usual: Usual) -> Iterator[_Naming]:
    """Yield every other naming of the tones, and the board turned round."""
    names = list(modes)
    for order in permutations(names):
        if list(order) == names:
            continue
        renamed = {new: modes[old] for new, old in zip(order, names, strict=True)}
        moved = [
            f"{modes[old].value:g} Hz as the {new} mode"
            for new, old in zip(order, names, strict=True)
            if new != old
        ]
        yield _naming(sizes, renamed, usual, " and ".join(moved))
    yield _naming(sizes.turned, modes, usual, "length and width exchanged")


def _naming(sizes: Sizes, modes: Modes, usual: Usual, words: str) -> _Naming:
    moduli = _moduli(sizes, modes)
    along = moduli.get("E along", usual.e_along)
    of_along, of_ratio = usual.spreads
    odd = [abs(math.log(along / usual.e_along)) / of_along]
    for name, ratio in (("E across", usual.across_ratio), ("G", usual.shear_ratio)):
        if name in moduli:
            odd.append(abs(math.log(moduli[name] / along / ratio)) / of_ratio)
    return _Naming(words=words, moduli=moduli, oddity=max(odd))


def _moduli(sizes: Sizes, modes: Modes) -> dict[str, float]:
    """Return roughly what the tones lead to [Pa], by the closed formulas."""
    closed: ClosedPlate = closed_plate(
        sizes, along=modes.get("along"), across=modes.get("across")
    )
    twist = modes.get("twist")
    found = {
        "E along": closed.e_along,
        "E across": closed.e_across,
        "G": None if twist is None else twisted(sizes, twist, TYPICAL_TWIST),
    }
    return {name: each.value for name, each in found.items() if each is not None}


def _gpa(pascals: float) -> str:
    """Print a modulus in GPa to three digits, and never with an exponent."""
    value = pascals / 1e9
    return f"{value:.0f}" if value >= 1000 else f"{value:.3g}"
