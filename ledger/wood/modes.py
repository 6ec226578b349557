"""What to expect before a plate is tapped: each mode, where to hold it, where to tap.

    52 Hz  twist   hold on both centre lines, tap a corner
    71 Hz  long    hold 123 mm from both ends, tap the middle or an end

The order depends on the blank: on a spruce half set a mode with two nodal lines across
the grain and one along it, (2,1), lies between the long mode and the cross mode.
"""

from dataclasses import dataclass
from itertools import pairwise

from ledger.wood.closed import CRITICAL, critical_ratio
from ledger.wood.elastic import Usual, require_poisson
from ledger.wood.ritz import (
    ACROSS,
    ALL,
    ALONG,
    METHOD,
    TWIST,
    Moduli,
    Name,
    hertz,
    solved,
)
from ledger.wood.sizes import Sizes, require_board
from ledger.wood.tapped import ALIKE

# Of the nodal lines of the first bending mode of a bar, from each end.
NODE = 0.2242
KNOWN: dict[Name, str] = {ALONG: "long", ACROSS: "cross", TWIST: "twist"}
OF_EACH = 12  # modes looked at of each symmetry


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedMode:
    """A mode to be expected, and how to ring it; others are told to be left alone.

    frequency  [Hz]  and how far from it the mode may lie, as a share
    lines            nodal lines across the grain, and along it
    """

    frequency: float
    give_or_take: float
    lines: Name
    name: str | None
    hold: str | None
    tap: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The modes of a blank by rising frequency, up to the last of the three needed."""

    modes: tuple[ExpectedMode, ...]
    moduli: Moduli
    method: str
    warnings: tuple[str, ...]


def usual_moduli(usual: Usual) -> Moduli:
    """Return what a wood usually has, as moduli [Pa].

    Source: usual_stiffness.
    """
    return Moduli(
        along=usual.e_along,
        across=usual.across_ratio * usual.e_along,
        shear=usual.shear_ratio * usual.e_along,
        poisson=usual.poisson.value,
    )


def expected_modes(
    sizes: Sizes, moduli: Moduli, *, give_or_take: float = 0.0
) -> Expected:
    """Return where the modes of a blank are to be expected, and what makes them hard.

    give_or_take  how far a frequency may lie from the one told, as a share

    Source: own Rayleigh-Ritz solution of the free orthotropic thin plate; nodal lines
    of a free bar, cos x cosh x = 1.
    """
    require_board(sizes)
    require_poisson(moduli.poisson)
    sides = {"length": sizes.length.value, "width": sizes.width.value}
    symmetries = [solved(moduli, **sides, parity=parity) for parity in ALL]
    rising = sorted(
        (_frequency(mode.stiffness, sizes), mode.name)
        for symmetry in symmetries
        for mode in symmetry.named(OF_EACH)
    )
    last = max(at for at, (_, lines) in enumerate(rising) if lines in KNOWN)
    needed = [
        (frequency, lines)
        for frequency, lines in rising
        if frequency < (1 + ALIKE) * rising[last][0]
    ]
    return Expected(
        modes=tuple(_mode(sizes, each, give_or_take) for each in needed),
        moduli=moduli,
        method=METHOD,
        warnings=(*_about_ratio(sizes, moduli), *_about_neighbours(needed)),
    )


def _frequency(stiffness: float, sizes: Sizes) -> float:
    return hertz(
        stiffness, thickness=sizes.thickness.value, density=sizes.density.value
    )


def _mode(sizes: Sizes, found: tuple[float, Name], give_or_take: float) -> ExpectedMode:
    frequency, lines = found
    ends, edges = (
        f"{NODE * side.value * 1000:.0f} mm" for side in (sizes.length, sizes.width)
    )
    how: dict[Name, tuple[str, str]] = {
        ALONG: (f"{ends} from both ends", "the middle or an end"),
        ACROSS: (f"{edges} from both edges", "the middle of an edge"),
        TWIST: ("on both centre lines", "a corner"),
    }
    hold, tap = how.get(lines, (None, None))
    return ExpectedMode(
        frequency=frequency,
        give_or_take=give_or_take,
        lines=lines,
        name=KNOWN.get(lines),
        hold=hold,
        tap=tap,
    )


def _about_ratio(sizes: Sizes, moduli: Moduli) -> tuple[str, ...]:
    critical = critical_ratio(e_along=moduli.along, e_across=moduli.across)
    if abs(sizes.aspect / critical - 1) >= CRITICAL:
        return ()
    return (
        f"length over width is {sizes.aspect:.2f}, near the {critical:.2f} at which "
        f"long and cross mode mix to a ring and a saddle: E along and E across will be "
        f"less sure than of a narrower or a longer piece",
    )


def _about_neighbours(rising: list[tuple[float, Name]]) -> tuple[str, ...]:
    """Say which of the three lie too close to another mode to be told apart by ear."""
    return tuple(
        f"{_called(one)} and {_called(other)} lie {high / low - 1:.1%} apart, too "
        f"close to tell by pitch: only holding and tapping tells which is which"
        for (low, one), (high, other) in pairwise(rising)
        if high / low - 1 < ALIKE and (one in KNOWN or other in KNOWN)
    )


def _called(lines: Name) -> str:
    if lines in KNOWN:
        return f"the {KNOWN[lines]} mode"
    return f"the mode ({lines[0]},{lines[1]})"
