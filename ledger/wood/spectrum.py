"""The picture of a tap: how loud each frequency is, over all taps that are used.

It shows where modes lie, and no number is taken from it: frequencies and Q come from
the waveform itself.
"""

import math
from dataclasses import dataclass

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.hit import ATTACK, SKIP
from ledger.wood.recording import Recording
from ledger.wood.tap import taps_in
from ledger.wood.zoom import Real, zoom

LONGEST = 2.0  # s of each tap
MOST_POINTS = 1200
FAINTEST_DB = -80.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spectrum:
    """Frequencies [Hz] from the lowest up, and levels [dB]."""

    frequencies: tuple[float, ...]
    levels_db: tuple[float, ...]
    taps: int


def spectrum(recording: Recording, *, band: tuple[float, float]) -> Spectrum:
    """Return the mean spectrum of the used taps, the loudest frequency being 0 dB.

    band  [Hz]  lowest and highest frequency, below half the rate of the recording

    Source: the mean of power spectra (Bartlett), each tap made equally loud; the end of
    each fades as half a cosine.
    """
    sound, taps = taps_in(recording, band)
    starts = [round(tap.at * recording.rate) for tap in taps]
    ends = [*starts[1:], len(sound)][: len(starts)]
    powers = [
        _power(sound[start:end], recording.rate, band)
        for tap, start, end in zip(taps, starts, ends, strict=True)
        if tap.rejected is None
    ]
    if not powers:
        raise RefusedError(
            "no tap of the recording can be used, so there is no picture of it: see "
            "why with flitchbook calc tap"
        )
    mean = np.mean(powers, axis=0)
    levels = 10 * np.log10(np.maximum(mean / mean.max(), 10 ** (FAINTEST_DB / 10)))
    hertz = np.linspace(*band, MOST_POINTS)
    return Spectrum(
        frequencies=tuple(float(f) for f in hertz),
        levels_db=tuple(round(float(level), 3) for level in levels),
        taps=len(powers),
    )


def _power(piece: Real, rate: int, band: tuple[float, float]) -> Real:
    """Return the power of a tap at evenly spaced frequencies of the band."""
    attack = np.abs(piece[: math.ceil(ATTACK * rate)])
    skipped = int(np.argmax(attack)) + math.ceil(SKIP * rate)
    zoomed = zoom(piece[skipped:], rate=rate, low=band[0], high=band[1])
    samples = zoomed.samples[: math.ceil(LONGEST * zoomed.rate)]
    fading = (1 + np.cos(np.linspace(0, math.pi, len(samples)))) / 2
    times = np.arange(len(samples)) / zoomed.rate
    offsets = np.linspace(*band, MOST_POINTS) - zoomed.centre
    turns = np.exp(-2j * math.pi * np.outer(offsets, times))
    power = np.abs(turns @ (samples * fading)) ** 2
    return np.asarray(power / power.max(), dtype=np.float64)
