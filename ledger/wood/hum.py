"""Mains hum: steady lines at multiples of 50 or 60 Hz, which go on whoever taps.

A line that is heard before a tap is followed into it and taken off, so that a mode
beside it, or even on it, is read as if nobody had left the lamp on.
"""

import math

import numpy as np

from ledger.wood.pencil import Tone, fit_tones
from ledger.wood.zoom import Real, Zoomed

MAINS = (50.0, 60.0)  # Hz
# A tone of a higher Q is no wood, and one that is steady beyond half of it is hum.
MOST_Q = 500.0
# Less quiet [s] does not show that a line is steady.
LEAST_QUIET = 0.25
# How far [Hz] grids stray, times the multiple, and how far a steady tone may seem to
# decay [1/s].
STRAYS, STEADY = 0.1, 0.4
STANDS_OUT = 5.0
# A line fainter than this beside the rest of the stretch is not looked at.
MAY_HUM = 2.0


def mains_near(frequency: float, *, within: float = 0.1) -> float | None:
    """Return the multiple of 50 or 60 Hz that a frequency lies on, if it lies on one.

    frequency, within  [Hz]; to `within`, one part in a thousand of the line is added

    Source: common practice, no source; grids keep within some 0.05 Hz of 50 or 60 Hz.
    """
    for mains in MAINS:
        line = max(1, round(frequency / mains)) * mains
        if abs(frequency - line) <= within + 0.001 * line:
            return line
    return None


def is_hum(tone: Tone, quiet: Zoomed) -> bool:
    """Tell whether a tone is the mains: it hardly decays, or was there before.

    quiet  the band just before the tap

    Source: common practice, no source; hum goes on, whoever taps.
    """
    if mains_near(tone.frequency, within=0.2 + 2 * tone.u_frequency) is None:
        return False
    if len(quiet.samples) < 0.2 * quiet.rate:
        return tone.q > MOST_Q / 4
    times = np.arange(len(quiet.samples)) / quiet.rate
    turn = np.exp(-2j * math.pi * (tone.frequency - quiet.centre) * times)
    window = np.hanning(len(times) + 2)[1:-1]
    before = abs(np.sum(quiet.samples * turn * window) / np.sum(window))
    return tone.q > MOST_Q / 2 or bool(before > 0.4 * tone.amplitude)


def hum_in(quiet: Zoomed, *, times: Real) -> Real:
    """Return the hum that is heard in a quiet stretch, at any times [s] from its start.

    Zeros where none stands out of it. What rings on from an earlier tap decays, and is
    told from hum by that.

    Source: least squares over steady and decaying tones; see ledger.wood.pencil.
    """
    hum = np.zeros(len(times))
    seconds = len(quiet.samples) / quiet.rate
    if seconds < LEAST_QUIET or not _may_hum(quiet):
        return hum
    tones = fit_tones(quiet, quiet_from=seconds).tones
    steady = [_is_steady(tone) for tone in tones]
    if not any(steady):
        return hum
    rates = np.array(
        [
            (0.0 if still else -tone.decay)
            + 2j * math.pi * (tone.frequency - quiet.centre)
            for tone, still in zip(tones, steady, strict=True)
        ]
    )
    heard = np.exp(np.outer(np.arange(len(quiet.samples)) / quiet.rate, rates))
    weights = np.linalg.lstsq(heard, quiet.samples, rcond=None)[0]
    for tone, still, rate, weight in zip(tones, steady, rates, weights, strict=True):
        if still:
            # Back to the first sample of the piece, and up from the zoomed band.
            turn = np.exp(2j * math.pi * tone.frequency * times - rate * quiet.start)
            hum += np.real(weight * turn)
    return hum


def _may_hum(quiet: Zoomed) -> bool:
    """Tell whether any multiple of the mains stands out of a stretch at all."""
    count, half = len(quiet.samples), quiet.rate / 2
    window = np.hanning(count + 2)[1:-1]
    lines = [
        mains * n - quiet.centre
        for mains in MAINS
        for n in range(1, int((quiet.centre + half) / mains) + 1)
        if abs(mains * n - quiet.centre) < half
    ]
    if not lines:
        return False
    turns = np.exp(-2j * math.pi * np.outer(lines, np.arange(count) / quiet.rate))
    heard = np.abs(turns @ (quiet.samples * window)) / window.sum()
    level = math.sqrt(float(np.mean(np.abs(quiet.samples) ** 2)))
    of_noise = level * math.sqrt(float(np.sum(window**2))) / float(window.sum())
    return bool(heard.max() > MAY_HUM * of_noise)


def _is_steady(tone: Tone) -> bool:
    """Tell whether a tone of a quiet stretch lies on the mains and goes on."""
    multiple = max(1.0, tone.frequency / MAINS[0])
    within = STRAYS * multiple + 2 * tone.u_frequency
    return (
        mains_near(tone.frequency, within=within) is not None
        and tone.amplitude > STANDS_OUT * tone.u_amplitude
        and abs(tone.decay) < STEADY + 3 * tone.u_decay
    )
