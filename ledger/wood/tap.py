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
from ledger.wood.hit import Hit, Scene, hear_hit, strength
from ledger.wood.hum import mains_near
from ledger.wood.onset import onsets
from ledger.wood.pencil import Tone
from ledger.wood.recording import Recording
from ledger.wood.spread import uncertainty_of_mean
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Real

# Counted up whenever the same recording may be read otherwise than before.
METHOD = "matrix pencil and least squares/2"
# Fewer taps say too little about how far taps differ.
ENOUGH_TAPS = 5
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
        raise RefusedError(_no_tap(taps, len(used)))
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
    found = [_with_envelope(mode, used) for mode in found]
    return Heard(
        taps=taps,
        modes=tuple(sorted(found, key=lambda mode: mode.frequency)),
        method=METHOD,
        warnings=(
            *_about_taps(taps),
            *_about_hum(taps),
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


def _no_tap(taps: Sequence[Hit], used: int) -> str:
    if not taps:
        return (
            "no tap stands out of the noise: tap harder, come closer with the "
            "microphone, or find what else is heard"
        )
    reasons = "; ".join(
        f"at {_listed(times)} s {reason}" for reason, times in _rejected(taps).items()
    )
    count = f"only {used}" if used else "none"
    return f"{count} of {len(taps)} taps can be used: {reasons}; record again"


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


def _about_taps(taps: Sequence[Hit]) -> Iterator[str]:
    used = sum(tap.rejected is None for tap in taps)
    for reason, times in _rejected(taps).items():
        yield f"not used is what sounds at {_listed(times)} s: {reason}"
    if used < ENOUGH_TAPS:
        yield (
            f"{used} of at least {ENOUGH_TAPS} taps: how far taps differ is not well "
            f"known"
        )


def _about_hum(taps: Sequence[Hit]) -> Iterator[str]:
    """Warn of what may be a mode of the wood and was taken for hum, line by line."""
    lines: dict[float, list[float]] = {}
    for tap in taps:
        for frequency in tap.hum:
            line = mains_near(frequency, within=1.0)
            if line is not None:
                lines.setdefault(line, []).append(frequency)
    for line, heard in sorted(lines.items()):
        if 2 * len(heard) >= len(taps):
            yield (
                f"{mean(heard):.2f} Hz dies away and was left out all the same, for it "
                f"lies on mains hum of {line:g} Hz: if it is the board, wait until it "
                f"is silent before each tap"
            )


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
