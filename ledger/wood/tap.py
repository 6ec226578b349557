"""A board is tapped: which modes it rings in, and how surely.

Each tap is heard by itself, and either gives its tones or a reason why not. What the
taps have in common are the modes; how far the taps differ is their uncertainty. The Q
found is the apparent one: air and the hands that hold the board take their share.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import mean, stdev

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.hit import Hit, Scene, hear_hit, mains_near, strength
from ledger.wood.onset import onsets
from ledger.wood.pencil import Tone
from ledger.wood.recording import Recording

# Counted up whenever the same recording may be read otherwise than before.
METHOD = "matrix pencil and least squares/1"
# Fewer taps say too little about how far taps differ.
ENOUGH_TAPS = 5
# How far from an expected frequency a mode may lie.
NEAR = 0.12
# By how much the readings of one mode may differ between taps.
SAME_MODE, SAME_MODE_HZ = 0.008, 0.3
# Beyond this share of Q, taps differ by more than wood does.
UNSTEADY_Q = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """What the taps agree on.

    frequency, u_frequency  [Hz], the mean and its standard uncertainty
    q, u_q                  the mean apparent quality factor, likewise
    taps                    in how many taps it was heard
    scatter                 standard deviation of one tap's frequency, as a share of
                            it; of a single tap nobody knows it
    expected                [Hz], what it was looked for as, if it was
    """

    frequency: float
    u_frequency: float
    q: float
    u_q: float
    taps: int
    scatter: float | None
    expected: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """All that a recording of taps tells; modes from the lowest up."""

    taps: tuple[Hit, ...]
    modes: tuple[Mode, ...]
    method: str
    warnings: tuple[str, ...]


def hear(
    recording: Recording,
    *,
    band: tuple[float, float],
    near: tuple[float, ...] | None = None,
    modes: int = 3,
) -> Heard:
    """Return the modes of a tapped board, or refuse with the reason of every tap.

    band   [Hz]  lowest and highest frequency, below half the rate of the recording
    near   [Hz]  expected frequencies: the closest mode within 12 % answers to each
    modes        how many, from the strongest down, where nothing is expected

    Source: JCGM 100:2008, 4.2, for the mean of taps and its uncertainty; for one tap
    see ledger.wood.hit.
    """
    taps = _taps(recording, band)
    used = [tap for tap in taps if tap.rejected is None]
    if not used:
        raise RefusedError(_no_tap(taps))
    groups = _groups(used)
    found = _expected(groups, near) if near else _strongest(groups, modes)
    missing = [f for f in near or () if f not in [mode.expected for mode in found]]
    if not found:
        heard = ", ".join(f"{_mode(group).frequency:.2f}" for group in groups)
        looked = f"{' or '.join(f'{f:g}' for f in missing)} Hz" if missing else "a mode"
        raise RefusedError(
            f"the taps do not agree on {looked}; heard are {heard} Hz: see where the "
            f"board is held and tapped"
        )
    return Heard(
        taps=taps,
        modes=tuple(sorted(found, key=lambda mode: mode.frequency)),
        method=METHOD,
        warnings=(*_about_taps(taps), *_about_modes(found), *_about_missing(missing)),
    )


def _taps(recording: Recording, band: tuple[float, float]) -> tuple[Hit, ...]:
    """Hear each tap, on the channel that is loudest."""
    low, high = band
    if not 0 < low < high < recording.rate / 2:
        raise RefusedError(
            f"a band from {low:g} to {high:g} Hz does not lie between 0 and half the "
            f"rate of {recording.rate} Hz: choose another"
        )
    levels = np.var(recording.samples, axis=1)
    sound = recording.samples[int(np.argmax(levels))]
    sound = sound - sound.mean()
    starts = onsets(sound, rate=recording.rate, low=low, high=high)
    scene = Scene(
        sound=sound,
        rate=recording.rate,
        low=low,
        high=high,
        starts=(*starts, len(sound)),
    )
    return tuple(hear_hit(scene, number) for number in range(len(starts)))


def _no_tap(taps: Sequence[Hit]) -> str:
    if not taps:
        return (
            "no tap stands out of the noise: tap harder, come closer with the "
            "microphone, or find what else is heard"
        )
    reasons = "; ".join(
        f"at {_listed(times)} s {reason}" for reason, times in _rejected(taps).items()
    )
    return f"none of {len(taps)} taps can be used: {reasons}; record again"


def _rejected(taps: Sequence[Hit]) -> dict[str, list[float]]:
    """Return for each reason the times of the taps that it ruled out."""
    found: dict[str, list[float]] = {}
    for tap in taps:
        if tap.rejected is not None:
            found.setdefault(tap.rejected, []).append(tap.at)
    return found


def _listed(times: Sequence[float]) -> str:
    """Return times in words, not more than five of them."""
    shown = ", ".join(f"{time:.2f}" for time in times[:5])
    return f"{shown} and {len(times) - 5} more" if len(times) > 5 else shown


def _groups(taps: Sequence[Hit]) -> list[list[Tone]]:
    """Put together what is one mode in several taps; most of the taps must have it."""
    readings = sorted(
        ((tone, number) for number, tap in enumerate(taps) for tone in tap.tones),
        key=lambda reading: reading[0].frequency,
    )
    groups: list[dict[int, Tone]] = []
    for tone, number in readings:
        latest = groups[-1] if groups else {}
        if latest and number not in latest and _is_same(tone, latest.values()):
            latest[number] = tone
        else:
            groups.append({number: tone})
    return [list(group.values()) for group in groups if 2 * len(group) >= len(taps)]


def _is_same(tone: Tone, others: Iterable[Tone]) -> bool:
    middle = mean(other.frequency for other in others)
    return tone.frequency - middle <= max(SAME_MODE_HZ, SAME_MODE * middle)


def _weight(group: Sequence[Tone]) -> float:
    return mean(strength(tone) for tone in group)


def _strongest(groups: Sequence[list[Tone]], count: int) -> list[Mode]:
    return [_mode(group) for group in sorted(groups, key=_weight, reverse=True)[:count]]


def _expected(groups: Sequence[list[Tone]], near: Sequence[float]) -> list[Mode]:
    """Return for each expected frequency the closest mode that is not too faint."""
    found: list[Mode] = []
    for frequency in sorted(near):
        taken = {mode.frequency for mode in found}
        close = [
            (_mode(group), _weight(group))
            for group in groups
            if _mode(group).frequency not in taken
            and abs(_mode(group).frequency / frequency - 1) <= NEAR
        ]
        loudest = max((weight for _, weight in close), default=0.0)
        loud = [mode for mode, weight in close if weight >= 0.1 * loudest]
        if loud:
            nearest = min(loud, key=lambda mode: abs(mode.frequency - frequency))
            found.append(replace(nearest, expected=frequency))
    return found


def _mode(group: Sequence[Tone]) -> Mode:
    frequencies = [tone.frequency for tone in group]
    middle = mean(frequencies)
    return Mode(
        frequency=middle,
        u_frequency=_uncertainty(frequencies, [tone.u_frequency for tone in group]),
        q=mean(tone.q for tone in group),
        u_q=_uncertainty([tone.q for tone in group], [tone.u_q for tone in group]),
        taps=len(group),
        scatter=stdev(frequencies) / middle if len(group) > 1 else None,
    )


def _uncertainty(values: Sequence[float], fitted: Sequence[float]) -> float:
    """Return the standard uncertainty of a mean, no less than the fits alone give."""
    alone = math.sqrt(sum(u**2 for u in fitted)) / len(values)
    if len(values) == 1:
        return alone
    return max(alone, stdev(values) / math.sqrt(len(values)))


def _about_taps(taps: Sequence[Hit]) -> Iterator[str]:
    used = sum(tap.rejected is None for tap in taps)
    for reason, times in _rejected(taps).items():
        yield f"not used is what sounds at {_listed(times)} s: {reason}"
    if used < ENOUGH_TAPS:
        yield (
            f"{used} of at least {ENOUGH_TAPS} taps: how far taps differ is not well "
            f"known"
        )


def _about_modes(modes: Sequence[Mode]) -> Iterator[str]:
    for mode in modes:
        line = mains_near(mode.frequency)
        if line is not None:
            yield (
                f"{mode.frequency:.2f} Hz lies on mains hum of {line:g} Hz: see that "
                f"it is the board"
            )
        if mode.taps > 1 and mode.u_q * math.sqrt(mode.taps) > UNSTEADY_Q * mode.q:
            yield (
                f"Q of {mode.frequency:.2f} Hz differs from tap to tap by more than "
                f"{UNSTEADY_Q:.0%}: hold the board at its nodes, always alike"
            )


def _about_missing(frequencies: Sequence[float]) -> Iterator[str]:
    for frequency in frequencies:
        yield f"no mode is heard within {NEAR:.0%} of {frequency:g} Hz"
