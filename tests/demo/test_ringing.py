"""Recordings in whole numbers are heard as what they were made of."""

import math
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from demo import ringing, tops
from demo.ringing import ONE, Tone
from ledger.acts.hearing import listen

HALF = (
    Tone(millihertz=51_169, q=63, loud=28),
    Tone(millihertz=69_275, q=84, loud=34),
    Tone(millihertz=146_959, q=56, loud=24),
)
# Of HALF with seed 7. Whole numbers make the same bytes everywhere.
DIGEST = "3ca33ba36c7323ba5e1e843bb543b42ceadf81121d821316cd4a544f466e0e04"
LARGEST = 60_000


def test_a_recording_is_the_same_bytes_everywhere(tmp_path: Path) -> None:
    """Another seed is another recording; the same one is the same."""
    one, again, other = (
        ringing.write(tmp_path / f"{n}.wav", HALF, seed=seed).read_bytes()
        for n, seed in enumerate((7, 7, 8))
    )

    assert sha256(one).hexdigest() == sha256(again).hexdigest() == DIGEST
    assert other != one and len(one) == len(other) <= LARGEST


def test_a_recording_is_read_by_another_library(tmp_path: Path) -> None:
    """One channel, 16 bits, 8 kHz, 3.6 s, nothing clipped."""
    path = ringing.write(tmp_path / "taps.wav", HALF, seed=1)
    told = soundfile.info(path)
    read, _ = soundfile.read(path, dtype="int16")

    assert (told.samplerate, told.channels, told.subtype) == (8_000, 1, "PCM_16")
    assert read.tolist() == ringing.samples(HALF, seed=1)
    assert 10_000 < np.abs(read.astype(int)).max() < 32_767


@pytest.mark.parametrize(
    "ring",
    [
        *(ring for top in tops.TOPS for ring in top.rings or ()),
        *(ring for _, ring in tops.PLANED.values()),
        *(stage.ring for stage in tops.VOICES),
    ],
)
def test_what_was_put_in_is_heard(tmp_path: Path, ring: tops.Ring) -> None:
    """Of every recording of the story: 0.05 Hz, Q within 3 %, in all five taps."""
    path = ringing.write(tmp_path / "taps.wav", ring.tones, seed=3)
    low, high = min(ring.expected.values()), max(ring.expected.values())
    heard = listen(path, (low * 3 // 5, high * 3 // 2))
    asked = ring.tones[: len(ring.modes)]

    for tone in asked:
        mode = min(heard.modes, key=lambda m: abs(m.frequency - tone.millihertz / 1000))
        assert mode.frequency == pytest.approx(tone.millihertz / 1000, abs=0.05)
        assert mode.q == pytest.approx(tone.q, rel=0.03)
        assert mode.taps == ringing.TAPS


@given(st.integers(0, ONE))
@settings(max_examples=200)
def test_the_series_are_those_of_any_library(angle: int) -> None:
    """Cosine, sine and exponential up to 1, to the fourteenth place.

    Source: the mathematical functions of the platform, by floating point.
    """
    x = angle / ONE

    assert ringing._cosine(angle) / ONE == pytest.approx(math.cos(x), abs=1e-13)
    assert ringing._sine(angle) / ONE == pytest.approx(math.sin(x), abs=1e-13)
    assert ringing._shrink(angle) / ONE == pytest.approx(math.exp(-x), abs=1e-13)


def test_pi_is_pi() -> None:
    """As near as so many bits can be."""
    assert abs(ringing.PI / ONE - math.pi) < 1e-14
