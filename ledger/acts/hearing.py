"""Recordings listened to, of boards and of instruments in the making.

Which mode is which is said by whoever held and tapped the thing, and never guessed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil, isfinite
from pathlib import Path

from ledger.errors import NotFoundError, RefusedError
from ledger.events.board import Mode, Reading
from ledger.log import attachments
from ledger.wood import tap as ear
from ledger.wood.recording import read_recording

# How far from what was expected a mode may lie.
NEAR = 0.15
# A second mode within this of what was expected leaves it open which one is meant.
EITHER = 0.02
MOST_MODES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What can be heard of a thing: what it is called, its modes, how they are told."""

    noun: str
    modes: tuple[Mode, ...]
    options: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A recording with its modes named: its digest, the band [mHz], what was read."""

    sha256: str
    low_millihertz: int
    high_millihertz: int
    method: str
    readings: tuple[Reading, ...]
    warnings: tuple[str, ...]


def band_around(
    expected: Mapping[Mode, int], usual: tuple[int, int]
) -> tuple[int, int]:
    """Return the band around what is expected [mHz]; the usual one for nothing."""
    if not expected:
        return usual
    return min(expected.values()) * 3 // 5, max(expected.values()) * 3 // 2


def listen(path: Path, band: tuple[int, int]) -> ear.Heard:
    """Return every mode of a recording in a band [mHz]; nothing is recorded.

    Raises RefusedError for what is no recording, and where no tap can be used.
    """
    low, high = band
    if not 0 < low < high:
        raise RefusedError(
            f"a band from {low / 1000:g} to {high / 1000:g} Hz holds nothing: give the "
            f"lower edge first"
        )
    hertz = (low / 1000, high / 1000)
    return ear.hear(read_recording(path), band=hertz, modes=MOST_MODES)


def heard_in(
    path: Path, band: tuple[int, int], expected: Mapping[Mode, int], rung: Rung
) -> Named:
    """Listen to a recording in a band [mHz], and say which mode is which.

    Raises NotFoundError where there is none, and RefusedError where it stays open.
    """
    if not path.is_file():
        raise NotFoundError(f"there is no file {path}: name a recording")
    digest = attachments.digest_of(path)
    heard = listen(path, band)
    named = which_is_which(heard.modes, expected, rung)
    low, high = band
    return Named(
        sha256=digest,
        low_millihertz=low,
        high_millihertz=high,
        method=heard.method,
        readings=tuple(reading_of(name, mode) for name, mode in named.items()),
        warnings=heard.warnings,
    )


def reading_of(name: Mode, mode: ear.Mode) -> Reading:
    """Return what was heard of a mode as the log keeps it; doubts are rounded up."""
    scatter = None if mode.scatter is None else ceil(mode.scatter * 1_000_000)
    return Reading(
        mode=name,
        frequency_millihertz=round(mode.frequency * 1000),
        uncertainty_millihertz=ceil(mode.u_frequency * 1000),
        q_milli=round(mode.q * 1000),
        q_uncertainty_milli=ceil(mode.u_q * 1000) if isfinite(mode.u_q) else None,
        taps=mode.taps,
        scatter_ppm=scatter,
    )


def which_is_which(
    modes: Sequence[ear.Mode], expected: Mapping[Mode, int], rung: Rung
) -> dict[Mode, ear.Mode]:
    """Return the mode that answers to each expected one [mHz], the lowest first.

    Raises RefusedError where that is open; the answer says what was heard.
    """
    foreign = [name for name in expected if name not in rung.modes]
    if foreign:
        raise RefusedError(
            f"{rung.noun} has the modes {', '.join(rung.modes)}, and no {foreign[0]}"
        )
    if not expected:
        return _only_mode(modes, rung)
    found = {name: _nearest(name, mhz, modes) for name, mhz in expected.items()}
    for (one, first), (two, second) in combinations(found.items(), 2):
        if first is second:
            raise RefusedError(
                f"{one} and {two} both come nearest to {first.frequency:.2f} Hz: say "
                f"better where each lies; {_heard(modes)}"
            )
    for name, mhz in expected.items():
        others = [mode for mode in modes if mode not in found.values()]
        _require_alone(name, mhz / 1000, found[name], others)
        _require_apart(name, found[name], modes)
    return dict(sorted(found.items(), key=lambda each: each[1].frequency))


def _only_mode(modes: Sequence[ear.Mode], rung: Rung) -> dict[Mode, ear.Mode]:
    if len(modes) == len(rung.modes) == 1:
        return {rung.modes[0]: modes[0]}
    raise RefusedError(
        f"{_heard(modes)}: say with {rung.options} roughly where each mode lies, by "
        f"how {rung.noun} was held and tapped; nothing was recorded"
    )


def _nearest(name: Mode, mhz: int, modes: Sequence[ear.Mode]) -> ear.Mode:
    expected = mhz / 1000
    close = [m for m in modes if abs(m.frequency / expected - 1) <= NEAR]
    if not close:
        raise RefusedError(
            f"no mode is heard within {NEAR:.0%} of {expected:g} Hz for {name}; "
            f"{_heard(modes)}"
        )
    return min(close, key=lambda mode: abs(mode.frequency - expected))


def _require_alone(
    name: Mode, expected: float, chosen: ear.Mode, others: Sequence[ear.Mode]
) -> None:
    """Refuse where another mode might as well be the one that is meant."""
    off = abs(chosen.frequency - expected)
    for other in others:
        other_off = abs(other.frequency - expected)
        if (
            other_off <= max(2 * off, EITHER * expected)
            and other_off <= NEAR * expected
        ):
            raise RefusedError(
                f"both {chosen.frequency:.2f} and {other.frequency:.2f} Hz may be the "
                f"{name} of some {expected:g} Hz: say better where it lies, or tap "
                f"where only one of them rings"
            )


def _require_apart(name: Mode, chosen: ear.Mode, modes: Sequence[ear.Mode]) -> None:
    for other in modes:
        apart = abs(other.frequency - chosen.frequency)
        widths = chosen.frequency / chosen.q + other.frequency / other.q
        sure = 3 * (chosen.u_frequency + other.u_frequency)
        if other is not chosen and apart < max(widths / 2, sure):
            raise RefusedError(
                f"{name} at {chosen.frequency:.2f} Hz and a mode at "
                f"{other.frequency:.2f} Hz lie too close to tell apart: hold and tap "
                f"the board so that only one of them rings"
            )


def _heard(modes: Sequence[ear.Mode]) -> str:
    each = ", ".join(f"{mode.frequency:.2f} Hz (Q {mode.q:.0f})" for mode in modes)
    return f"heard {'is' if len(modes) == 1 else 'are'} {each}"
