"""Recordings of taps for tests, made of decaying tones and a little noise.

    path = ringing.plate(folder / "top.wav")

`HALF` is a spruce half of 550 x 200 x 4.00 mm and 176.0 g, which rings at 71.29 Hz
along the grain, 150.51 Hz across and 52.32 Hz in twist.
"""

import math
from pathlib import Path

import numpy as np
import numpy.typing as npt
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


def struck(
    tones: tuple[Tone, ...],
    *,
    rate: int,
    seconds: float,
    noise: float,
    chance: np.random.Generator,
    quiet: float = 0.3,
    unsteady: float = 0.0,
) -> npt.NDArray[np.float64]:
    """Return one tap of a board of oscillators, each driven by the same soft blow.

    tones    frequency [Hz] at which it rings down, Q = pi f / decay, amplitude
    noise    rms, the highest peak of the tap being 1
    quiet    [s] before the blow, which itself lasts 0.6 ms
    unsteady standard deviation of each frequency, as a share of it; a hundred times as
             much of each Q: nobody holds a board twice alike

    Each oscillator is a resonator of two poles that is stepped sample by sample; no
    sine and no exponential of time is evaluated.
    """
    count, before = round(seconds * rate), round(quiet * rate)
    blow = max(2, round(6e-4 * rate))
    force = [math.sin(math.pi * k / blow) for k in range(blow)]
    sound = np.zeros(count)
    for of_mode in tones:
        frequency, q, amplitude = of_mode
        # Where the board is hit decides how much of each mode rings.
        loud = amplitude * chance.uniform(0.7, 1.3)
        if unsteady:
            frequency *= 1 + unsteady * chance.standard_normal()
            q *= 1 + 100 * unsteady * chance.standard_normal()
        shrink = math.exp(-math.pi * frequency / q / rate)
        turn = 2 * shrink * math.cos(2 * math.pi * frequency / rate)
        gain = loud * math.sin(2 * math.pi * frequency / rate) / sum(force)
        latest, earlier = 0.0, 0.0
        for k in range(count):
            push = gain * force[k] if k < blow else 0.0
            latest, earlier = turn * latest - shrink**2 * earlier + push, latest
            sound[k] += latest
    sound /= np.max(np.abs(sound))
    whole = np.concatenate([np.zeros(before), sound])
    return np.asarray(0.5 * (whole + chance.normal(0, noise, len(whole))))
