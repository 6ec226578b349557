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
from ledger.wood.doubts import about_taps, no_tap, too_pressed
from ledger.wood.hit import Hit, Scene, hear_hit, strength
from ledger.wood.hum import mains_near
from ledger.wood.onset import onsets
from ledger.wood.overload import MOST_PRESSED, pressed, shift, told_share
from ledger.wood.pencil import Tone
from ledger.wood.recording import Recording
from ledger.wood.spread import uncertainty_of_mean
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Real

# Counted up whenever the same recording may be read otherwise than before.
METHOD = "matrix pencil and least squares/3"
# How far from an expected frequency a mode may lie.
NEAR = 0.12
# By how much the readings of one mode may differ between taps.
SAME_MODE, SAME_MODE_HZ = 0.008, 0.3
# Beyond this share of Q, taps differ by more than wood does.
UNSTEADY_Q = 0.25
# By how much two ways to Q may differ, beside their uncertainties.
OTHER_Q = 0.03
# The loudness of a channel is judged in stretches of this length [s], and beyond so
# many decibels of contrast another does not matter.
STRETCH, CONTRAST_DB = 0.02, 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """What the taps agree on.

    frequency, u_frequency  [Hz], the mean and its standard uncertainty
    q, u_q                  the mean apparent quality factor, likewise
    taps                    in how many taps it was heard
    scatter                 standard deviation of one tap's frequency, as a share of
                            it; of a single tap nobody knows it
    q_scatter               standard deviation of one tap's Q, likewise
    expected                [Hz], what it was looked for as, if it was
    envelope_q              Q a second time, from the envelope, where that shows one
    """

    frequency: float
    u_frequency: float
    q: float
    u_q: float
    taps: int
    scatter: float | None
    expected: float | None = None
    envelope_q: Estimate | None = None
    q_scatter: float | None = None


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
    _, taps = taps_in(recording, band)
    used = [tap for tap in taps if tap.rejected is None]
    if sum(tap.doubtful for tap in taps) >= max(1, len(used)) or not used:
        raise RefusedError(no_tap(taps))
    by = pressed([tap.pressing for tap in used if tap.pressing])
    share = told_share([tap.pressing for tap in used if tap.pressing])
    if share > MOST_PRESSED:
        raise RefusedError(too_pressed(share))
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
    found = [_with_envelope(_less_sure(mode, used, by), used) for mode in found]
    return Heard(
        taps=taps,
        modes=tuple(sorted(found, key=lambda mode: mode.frequency)),
        method=METHOD,
        warnings=(
            *about_taps(taps, share=share),
            *_about_modes(found),
            *_about_missing(missing),
        ),
    )


def taps_in(
    recording: Recording, band: tuple[float, float]
) -> tuple[Real, tuple[Hit, ...]]:
    """Return each tap, and the channel: that in which taps stand out, or else another.

    band  [Hz]  lowest and highest frequency, below half the rate of the recording

    Source: ledger.wood.onset and ledger.wood.hit; which channel is heard first is the
    house's own choice.
    """
    low, high = band
    if not 0 < low < high < recording.rate / 2:
        raise RefusedError(
            f"a band from {low:g} to {high:g} Hz does not lie between 0 and half the "
            f"rate of {recording.rate} Hz: choose another"
        )
    heard: tuple[Real, tuple[Hit, ...]] = (np.zeros(0), ())
    for sound in _channels(recording):
        taps = _taps_of(sound, recording.rate, band)
        if any(tap.rejected is None for tap in taps):
            return sound, taps
        heard = heard if heard[1] else (sound, taps)
    return heard


def _taps_of(sound: Real, rate: int, band: tuple[float, float]) -> tuple[Hit, ...]:
    starts = onsets(sound, rate=rate, low=band[0], high=band[1])
    scene = Scene(
        sound=sound,
        rate=rate,
        low=band[0],
        high=band[1],
        starts=(*starts, len(sound)),
    )
    return tuple(hear_hit(scene, number) for number in range(len(starts)))


def _channels(recording: Recording) -> list[Real]:
    """Return the channels that hear anything, from the one in which taps stand out."""
    stretch = max(1, round(STRETCH * recording.rate))
    ranked: list[tuple[float, float, int]] = []
    sounds = [_centred(sound) for sound in recording.samples]
    for number, sound in enumerate(sounds):
        whole = sound[: len(sound) // stretch * stretch].reshape(-1, stretch)
        power = np.sort(np.mean(whole**2, axis=1)) if len(whole) else np.zeros(1)
        if power[-1] > 0:
            quiet = max(float(power[len(power) // 5]), 1e-20)
            contrast = min(CONTRAST_DB, 10 * math.log10(float(power[-1]) / quiet))
            ranked.append((round(contrast), float(power[-1]), number))
    return [sounds[number] for *_, number in sorted(ranked, reverse=True)]


def _centred(sound: Real) -> Real:
    """Take a constant off, as the quieter half of the samples shows it."""
    # The mean of all would be moved by a loud tap, and the quiet then be no longer.
    low, high = np.percentile(sound, (25, 75))
    middle = sound[(sound >= low) & (sound <= high)]
    return np.asarray(sound - middle.mean(), dtype=np.float64)


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
    return [list(group.values()) for group in groups if 2 * len(group) > len(taps)]


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
    frequencies, qs = [t.frequency for t in group], [t.q for t in group]
    middle = mean(frequencies)
    return Mode(
        frequency=middle,
        u_frequency=uncertainty_of_mean(
            frequencies, [tone.u_frequency for tone in group]
        ),
        q=mean(qs),
        u_q=uncertainty_of_mean(qs, [tone.u_q for tone in group]),
        taps=len(group),
        scatter=stdev(frequencies) / middle if len(group) > 1 else None,
        q_scatter=stdev(qs) / mean(qs) if len(group) > 1 else None,
    )


def _less_sure(mode: Mode, used: Sequence[Hit], by: Estimate | None) -> Mode:
    """Add to a mode's uncertainties what pressed peaks do to it in every tap alike."""
    pulls = [
        (pull[0] * tap.pressing.peak**2, pull[1] * tap.pressing.peak**2)
        for tap in used
        if tap.pressing
        for tone, pull in zip(tap.tones, tap.pressing.pulls, strict=True)
        if abs(tone.frequency / mode.frequency - 1) < SAME_MODE
    ]
    hertz, decay = shift(pulls, by)
    of_q = decay * mode.q / (math.pi * mode.frequency)
    return replace(
        mode,
        u_frequency=math.hypot(mode.u_frequency, hertz),
        u_q=math.hypot(mode.u_q, mode.q * of_q),
    )


def _with_envelope(mode: Mode, used: Sequence[Hit]) -> Mode:
    """Add to a mode the Q that the envelopes of its taps show."""
    shown: list[Estimate] = []
    for tap in used:
        for tone, envelope in zip(tap.tones, tap.envelopes, strict=True):
            is_it = abs(tone.frequency / mode.frequency - 1) < SAME_MODE
            if is_it and envelope is not None:
                shown.append(envelope)
    if not shown:
        return mode
    values = [each.value for each in shown]
    u = uncertainty_of_mean(values, [each.u for each in shown])
    return replace(mode, envelope_q=Estimate(value=mean(values), u=u))


def _about_modes(modes: Sequence[Mode]) -> Iterator[str]:
    for mode in modes:
        line = mains_near(mode.frequency)
        if line is not None:
            yield (
                f"{mode.frequency:.2f} Hz lies on mains hum of {line:g} Hz: see that "
                f"it is the board"
            )
        if (mode.q_scatter or 0) > UNSTEADY_Q:
            yield (
                f"Q of {mode.frequency:.2f} Hz differs from tap to tap by more than "
                f"{UNSTEADY_Q:.0%}: hold the board at its nodes, always alike"
            )
        other = mode.envelope_q
        if other is not None and abs(other.value - mode.q) > max(
            OTHER_Q * mode.q, 3 * math.hypot(other.u, mode.u_q)
        ):
            yield (
                f"Q of {mode.frequency:.2f} Hz is {mode.q:.0f} by least squares and "
                f"{other.value:.0f} by the envelope: it does not die away evenly"
            )


def _about_missing(frequencies: Sequence[float]) -> Iterator[str]:
    for frequency in frequencies:
        yield f"no mode is heard within {NEAR:.0%} of {frequency:g} Hz"
