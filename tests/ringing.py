"""Recordings of taps for tests, made of decaying tones and a little noise.

    path = ringing.plate(folder / "top.wav")

`HALF` is a spruce half of 550 x 200 x 4.00 mm and 176.0 g, which rings at 71.29 Hz
along the grain, 150.51 Hz across and 52.32 Hz in twist.
"""

from pathlib import Path

import numpy as np
import soundfile

RATE = 8_000
# Frequency [Hz], quality factor, amplitude.
Tone = tuple[float, float, float]
PLATE: tuple[Tone, ...] = (
    (52.32, 90.0, 0.25),
    (71.29, 110.0, 0.35),
    (150.51, 80.0, 0.25),
)
BAR: tuple[Tone, ...] = ((342.6, 120.0, 0.6),)


def record(
    path: Path, tones: tuple[Tone, ...], *, taps: int = 5, seed: int = 7
) -> Path:
    """Write a recording of taps two seconds apart, in which these tones ring."""
    chance = np.random.default_rng(seed)
    quiet, length = RATE // 2, 2 * RATE
    sound = chance.normal(0, 2e-4, quiet + taps * length)
    times = np.arange(length) / RATE
    for tap in range(taps):
        for frequency, q, amplitude in tones:
            loud = amplitude * chance.uniform(0.9, 1.1)
            decay = np.exp(-np.pi * frequency / q * times)
            ring = loud * decay * np.sin(2 * np.pi * frequency * times)
            sound[quiet + tap * length :][:length] += ring
    soundfile.write(path, sound, RATE, subtype="PCM_24")
    return path


def plate(path: Path, *, taps: int = 5) -> Path:
    """Write a recording of the half."""
    return record(path, PLATE, taps=taps)


def bar(path: Path) -> Path:
    """Write a recording of a brace with one tone."""
    return record(path, BAR)
