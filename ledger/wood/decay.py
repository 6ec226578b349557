"""Damping read a second time, from the envelope: how fast a tone gets fainter.

The logarithm of a decaying tone's envelope falls along a straight line. The line is
laid from the start down to -30 dB, or to where noise takes over, and its slope is the
decay. It shares nothing with least squares on the waveform but the band, so that the
two check each other.
"""

import math

import numpy as np

from ledger.wood.pencil import Tone
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Complex, Real, Zoomed

DEEPEST_DB, LEAST_DB = 30.0, 10.0
# Above the noise floor by this factor, the envelope still shows the tone.
OUT_OF_FLOOR = 4.0


def envelope_q(own: Complex, *, tone: Tone, band: Zoomed) -> Estimate | None:
    """Return the apparent Q of a tone as its envelope shows it, with its uncertainty.

    own   the samples of the band without all other tones
    None where less than 10 dB of it stand out of the noise, or it does not get fainter.

    Source: Q = pi f / decay; see envelope_decay.
    """
    decay = envelope_decay(own, tone=tone, band=band)
    if decay is None or decay.value <= 0:
        return None
    q = math.pi * tone.frequency / decay.value
    return Estimate(value=q, u=q * decay.u / decay.value)


def envelope_decay(own: Complex, *, tone: Tone, band: Zoomed) -> Estimate | None:
    """Return the decay [1/s] of a tone's amplitude as its envelope shows it.

    own   the samples of the band without all other tones
    None where less than 10 dB of it stand out of the noise. A line is laid through the
    logarithm of the envelope from 0 to -30 dB, weighted by amplitude squared.

    Source: the logarithmic decrement, pi / Q = delta = ln(a1 / a2) per period; its
    uncertainty is that of a weighted straight line through what scatters about it.
    """
    times = np.arange(len(own)) / band.rate
    flat = own * np.exp(-2j * math.pi * (tone.frequency - band.centre) * times)
    width = max(1, round(band.rate / max(tone.decay, 1e-3) / 4))
    if len(flat) < 8 * width:
        return None
    edges = np.cumsum(np.concatenate([[0], flat]))
    envelope = np.abs(edges[width:] - edges[:-width]) / width
    floor = _rms(flat[-max(1, len(flat) // 5) :]) * math.sqrt(band.colour / width)
    level = max(envelope[0] * 10 ** (-DEEPEST_DB / 20), OUT_OF_FLOOR * floor)
    quiet = np.flatnonzero(envelope < level)
    count = int(quiet[0]) if len(quiet) else len(envelope)
    if count < 4 or envelope[count - 1] > envelope[0] * 10 ** (-LEAST_DB / 20):
        return None
    return _line(times[:count], envelope[:count], width=width)


def _line(times: Real, envelope: Real, *, width: int) -> Estimate:
    """Lay a line through the logarithm of an envelope, weighted by its square."""
    logs, weights = np.log(envelope), envelope**2
    slope, start = np.polyfit(times, logs, 1, w=envelope)
    left = logs - (slope * times + start)
    middle = np.average(times, weights=weights)
    spread = float(np.sum(weights * (times - middle) ** 2))
    power = float(np.sum(weights * left**2)) / max(1, len(times) - 2)
    # Neighbours share what they are the mean of: so many fewer are independent.
    return Estimate(value=-float(slope), u=math.sqrt(power / spread * width))


def _rms(samples: Complex) -> float:
    return float(np.sqrt(np.mean(np.abs(samples) ** 2))) if len(samples) else 0.0
