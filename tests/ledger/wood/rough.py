"""Sessions of taps that went wrong: a loud room, another thing that knocks, overload.

Oscillators are stepped as rotations of a plane; no sine of time and no exponential of
it is evaluated, and no code is shared with the ear.
"""

import math

import numpy as np

from ledger.wood.recording import Recording
from ledger.wood.zoom import Real
from tests.ringing import Tone

RATE = 8_000


def rung(
    tones: tuple[Tone, ...], *, seconds: float, chance: np.random.Generator
) -> Real:
    """Return one tap, its highest peak being 1."""
    sound = np.zeros(round(seconds * RATE))
    for frequency, q, amplitude in tones:
        angle = 2 * math.pi * frequency / RATE
        lost = math.pi * frequency / q / RATE
        step = complex(math.cos(angle), math.sin(angle)) * (1 - lost + lost**2 / 2)
        begin = 2 * math.pi * chance.uniform()
        start = complex(math.cos(begin), math.sin(begin))
        turns = np.multiply.accumulate(np.full(len(sound), step))
        sound += amplitude * chance.uniform(0.7, 1.3) * (start * turns).imag
    return np.asarray(sound / np.max(np.abs(sound)), dtype=np.float64)


def session(
    tones: tuple[Tone, ...],
    *,
    taps: int,
    chance: np.random.Generator,
    pause: float = 1.4,
) -> Real:
    """Return taps after half a second of silence, each a little less loud than 1."""
    parts = [np.zeros(RATE // 2)]
    for _ in range(taps):
        tap = rung(tones, seconds=pause, chance=chance)
        parts.append(chance.uniform(0.7, 1.0) * tap)
    return np.asarray(np.concatenate(parts), dtype=np.float64)


def kept(sound: Real) -> Recording:
    """Return a sound as a recorder of 16 bits keeps it."""
    samples = np.round(np.clip(sound, -1, 1) * 2**15) / 2**15
    return Recording(
        samples=samples[None, :], rate=RATE, bits=16, channels=1, container="WAV"
    )


def room(count: int, *, decibels: float, chance: np.random.Generator) -> Real:
    """Return noise so far below a peak of 1, louder below 500 Hz than above."""
    white = chance.standard_normal(count + 8)
    # The running mean of nine samples has its first zero at 889 Hz.
    low = np.convolve(white, np.full(9, 1 / 9), "valid")
    noise = low / float(np.std(low))
    return np.asarray(10 ** (-decibels / 20) * noise, dtype=np.float64)


def bent(sound: Real, *, gain: float) -> Real:
    """Return what an overloaded amplifier makes of a sound: no peak is cut level."""
    pressed = np.tanh(gain * sound)
    return np.asarray(0.8 * pressed / np.max(np.abs(pressed)), dtype=np.float64)
