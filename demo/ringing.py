"""Recordings of taps that never were, reckoned in whole numbers only.

A board rings here as a few resonators of two poles: every sample is so much of the
last one less so much of the one before, and a tap pushes them. Nothing is a fraction,
so that a recording has the same bytes on every machine:

    y[n] = (near * y[n-1] - far * y[n-2]) >> BITS

    near = 2 r cos(2 pi f / rate),  far = r^2,  r = exp(-pi f / (Q rate))
"""

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

RATE = 8_000  # samples a second
TAPS = 5
BETWEEN = 5_600  # samples from tap to tap, 0.7 s
QUIET = 800  # samples before the first
BITS = 48
ONE = 1 << BITS
PI = 884_279_719_003_555  # pi times ONE
TERMS = 24
LOUDEST = 20_000  # of the 32 767 that a sample can hold
# By how much the taps differ: in loudness [percent], and in frequency [ppm].
LOUD = (100, 84, 93, 106, 88)
SHIFTS_PPM = (0, 160, -140, 60, -80)
NOISE = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """One mode of a board: where it lies, how long it rings, and how loud [percent]."""

    millihertz: int
    q: int
    loud: int = 100


@dataclass(slots=True)
class Noise:
    """A microphone's own noise: the same each time, from a seed.

    Source: the linear congruence of ISO/IEC 9899:1999, 7.20.2.2.
    """

    state: int

    def __call__(self) -> int:
        """Return the next sample, from -NOISE to NOISE."""
        self.state = (self.state * 1_103_515_245 + 12_345) % (1 << 31)
        return (self.state >> 16) % (2 * NOISE + 1) - NOISE


def write(path: Path, tones: Sequence[Tone], *, seed: int) -> Path:
    """Write a recording of taps, 16 bits and one channel, and return its path.

    Source: IBM and Microsoft, Multimedia Programming Interface and Data Specifications
    1.0 (1991), RIFF.
    """
    sound = samples(tones, seed=seed)
    data = struct.pack(f"<{len(sound)}h", *sound)
    form = struct.pack("<HHIIHH", 1, 1, RATE, 2 * RATE, 2, 16)
    body = b"WAVE" + _chunk(b"fmt ", form) + _chunk(b"data", data)
    path.write_bytes(_chunk(b"RIFF", body))
    return path


def samples(tones: Sequence[Tone], *, seed: int) -> list[int]:
    """Return the samples of taps in which these tones ring."""
    noise = Noise(seed)
    sound = [noise() for _ in range(QUIET)]
    rings = [_ring(tone) for tone in tones]
    sound += [noise() + sum(each) for each in zip(*rings, strict=True)]
    return sound


def _ring(tone: Tone) -> list[int]:
    """Return what one mode sounds like, tap after tap; it rings on into the next."""
    sound: list[int] = []
    latest = earlier = 0
    for loud, shift in zip(LOUD, SHIFTS_PPM, strict=True):
        near, far, push = _resonator(tone, shift)
        latest += push * loud * tone.loud // 10_000
        for _ in range(BETWEEN):
            sound.append(latest >> BITS)
            latest, earlier = (near * latest - far * earlier) >> BITS, latest
    return sound


def _resonator(tone: Tone, shift_ppm: int) -> tuple[int, int, int]:
    """Return both weights of a resonator, and the push that makes it ring full."""
    millihertz = tone.millihertz * (1_000_000 + shift_ppm) // 1_000_000
    angle = 2 * PI * millihertz // (1_000 * RATE)
    decay = PI * millihertz // (1_000 * RATE * tone.q)
    shrink = _shrink(decay)
    near = 2 * shrink * _cosine(angle) >> BITS
    far = shrink * shrink >> BITS
    # A push of one rings with 1 / sin of the angle.
    return near, far, LOUDEST * _sine(angle)


def _shrink(decay: int) -> int:
    """Return exp(-decay), both times ONE, by its series."""
    term = total = ONE
    for n in range(1, TERMS):
        term = -(term * decay >> BITS) // n
        total += term
    return total


def _cosine(angle: int) -> int:
    """Return the cosine of an angle below 1, both times ONE, by its series."""
    return _series(ONE, angle, first=1)


def _sine(angle: int) -> int:
    """Return the sine of an angle below 1, both times ONE, by its series."""
    return _series(angle, angle, first=2)


def _series(term: int, angle: int, *, first: int) -> int:
    total = term
    for n in range(first, TERMS, 2):
        term = -((term * angle >> BITS) * angle >> BITS) // (n * (n + 1))
        total += term
    return total


def _chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data
