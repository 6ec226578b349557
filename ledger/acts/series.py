"""A board that was tapped again and again as it was worked: expected against measured.

What is expected of a tap is what the wood of the tap before would do at today's sizes
and mass. What differs by more than was measured with is seen; what no wood does is
said, with what to look at.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import hypot

from sqlmodel import Session

from ledger.acts.boards import stored_board
from ledger.acts.stiffness import (
    GIGA,
    U_LENGTH_UM,
    U_MASS_MG,
    U_THICKNESS_UM,
    Rung,
    frequencies,
    rung,
)
from ledger.quantities import hertz, kilograms_per_cubic_metre, percent
from ledger.views.readings import Tapping, TapReading
from ledger.wood.elastic import GUESSED_POISSON
from ledger.wood.reworked import Reworked, reworked
from ledger.wood.ritz import Moduli
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate

PPM = 1_000_000
# A tone moves by some 1 % for each percent of moisture, and nobody's wood dries by five
# between two taps of a flat plate; common practice, no source.
LARGEST_CHANGE = 0.05
MODULI = ("e_along_gpa", "e_across_gpa", "g_gpa")


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a mode should be at, by the tap of entry `since`, and how far off it is.

    What has `u` in its name is a standard uncertainty; that of the difference holds
    both the measured tone's and the expected one's.
    """

    since: int
    millihertz: int
    u_millihertz: int
    difference_ppm: int
    u_difference_ppm: int
    method: str

    @property
    def is_met(self) -> bool:
        """Whether it differs by no more than was measured with (k = 2)."""
        return abs(self.difference_ppm) <= 2 * self.u_difference_ppm


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """One mode of one tap; what was never heard before has nothing to be expected."""

    reading: TapReading
    expected: Expected | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One tap of the series, and what is to be said of it."""

    tapping: Tapping
    tones: tuple[Tone, ...]
    notes: tuple[str, ...]


def series(session: Session, code: str) -> list[Stage]:
    """Return the taps of a board that count, the oldest first, each beside the last.

    A board that is pieces by now has the taps of its own time.
    """
    taps = list(reversed(rung(session, stored_board(session, code).code)))
    return [_stage(tap, taps[:number]) for number, tap in enumerate(taps)]


def _stage(tap: Rung, earlier: Sequence[Rung]) -> Stage:
    before = _heard_before(tap, earlier)
    since: dict[int, list[str]] = defaultdict(list)
    for mode, last in before.items():
        since[last.tapping.idx].append(mode)
    changes = {
        idx: _change(next(t for t in earlier if t.tapping.idx == idx), tap, modes)
        for idx, modes in since.items()
    }
    tones = tuple(
        Tone(
            reading=reading,
            expected=_expected(reading, before[reading.mode], changes)
            if reading.mode in before
            else None,
        )
        for reading in tap.readings
    )
    notes = (*_about_density(tap, earlier), *_about_jumps(tones))
    return Stage(tapping=tap.tapping, tones=tones, notes=notes)


def _heard_before(tap: Rung, earlier: Sequence[Rung]) -> dict[str, Rung]:
    """Return for each mode the newest tap before in which it was heard, held alike."""
    alike = [t for t in earlier if t.tapping.held_as == tap.tapping.held_as]
    found: dict[str, Rung] = {}
    for reading in tap.readings:
        for other in reversed(alike):
            if any(each.mode == reading.mode for each in other.readings):
                found[reading.mode] = other
                break
    return found


def _change(before: Rung, after: Rung, modes: Sequence[str]) -> Reworked:
    return reworked(
        _sizes(before.tapping),
        _sizes(after.tapping),
        modes,
        moduli=_moduli(before),
    )


def _expected(
    reading: TapReading, before: Rung, changes: dict[int, Reworked]
) -> Expected:
    change = changes[before.tapping.idx]
    last, now = (
        frequencies(readings)[reading.mode] for readings in (before.readings, [reading])
    )
    factor = change.factors[reading.mode]
    value = last.value * factor.value
    u = value * hypot(last.u / last.value, factor.u / factor.value)
    share = now.value / value
    return Expected(
        since=before.tapping.idx,
        millihertz=round(value * 1000),
        u_millihertz=round(u * 1000),
        difference_ppm=round((share - 1) * PPM),
        u_difference_ppm=round(share * hypot(now.u / now.value, u / value) * PPM),
        method=change.method,
    )


def _sizes(tapping: Tapping) -> Sizes:
    return Sizes(
        length=Estimate(value=tapping.length_um / 1e6, u=U_LENGTH_UM / 1e6),
        width=Estimate(value=tapping.width_um / 1e6, u=U_LENGTH_UM / 1e6),
        thickness=Estimate(value=tapping.thickness_um / 1e6, u=U_THICKNESS_UM / 1e6),
        mass=Estimate(value=tapping.mass_mg / 1e6, u=U_MASS_MG / 1e6),
    )


def _moduli(tap: Rung) -> Moduli | None:
    """Return the moduli of a plate of which all three modes were heard."""
    figures = tap.stiffness.figures
    if any(name not in figures for name in MODULI):
        return None
    along, across, shear = (figures[name].value * GIGA for name in MODULI)
    return Moduli(
        along=along, across=across, shear=shear, poisson=GUESSED_POISSON.value
    )


def _about_density(tap: Rung, earlier: Sequence[Rung]) -> Iterator[str]:
    """Say where mass and thickness do not go together: planing leaves the density."""
    if not earlier:
        return
    old, new = (_sizes(each.tapping).density for each in (earlier[-1], tap))
    ratio = new.value / old.value
    if abs(ratio - 1) > LARGEST_CHANGE + 2 * hypot(new.u, old.u) / old.value:
        was, became = (
            kilograms_per_cubic_metre(round(each.value * 1000), places=0)
            for each in (old, new)
        )
        yield (
            f"its density went from {was} to {became} since entry "
            f"{earlier[-1].tapping.idx}, and work does not change it: weigh and "
            f"measure it again"
        )


def _about_jumps(tones: Sequence[Tone]) -> Iterator[str]:
    """Say what no wood does: tones that look exchanged, and those that jumped."""
    jumped = [
        (tone.reading, tone.expected)
        for tone in tones
        if tone.expected and _jumped(tone.expected)
    ]
    for (one, of_one), (other, of_other) in combinations(jumped, 2):
        if _lies_at(one, of_other) and _lies_at(other, of_one):
            yield (
                f"the {one.mode} tone lies where {other.mode} was expected, and the "
                f"other way round: see which mode is which"
            )
            return
    for reading, expected in jumped:
        yield _jump_words(reading, expected)


def _jumped(expected: Expected) -> bool:
    wide = LARGEST_CHANGE * PPM + 2 * expected.u_difference_ppm
    return abs(expected.difference_ppm) > wide


def _lies_at(reading: TapReading, expected: Expected) -> bool:
    """Tell whether a tone lies where another was expected."""
    off = reading.frequency_millihertz - expected.millihertz
    wide = LARGEST_CHANGE * expected.millihertz + 2 * expected.u_millihertz
    return abs(off) <= wide


def _jump_words(reading: TapReading, expected: Expected) -> str:
    off = percent(abs(expected.difference_ppm), places=0)
    way = "above" if expected.difference_ppm > 0 else "below"
    return (
        f"the {reading.mode} tone is at "
        f"{hertz(reading.frequency_millihertz, places=1)}, {off} {way} the "
        f"{hertz(expected.millihertz, places=1)} of the same wood at these sizes: see "
        f"that thickness and mass are today's and that it was this mode; a check or an "
        f"uneven thickness does it too"
    )
