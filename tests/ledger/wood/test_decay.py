"""Tests of damping read from the envelope."""

import math
from dataclasses import replace

import numpy as np
import pytest

from ledger.wood.decay import envelope_decay, envelope_q
from ledger.wood.pencil import Tone
from ledger.wood.zoom import Zoomed, zoom

TONE = Tone(
    frequency=200,
    u_frequency=0.001,
    decay=10,
    u_decay=0.01,
    amplitude=1,
    u_amplitude=0.01,
)


def struck(*, q: float, seed: int, noise: float = 0.01, seconds: float = 1.0) -> Zoomed:
    """Return the band of a tone of 200 Hz that dies away in noise."""
    times = np.arange(round(48_000 * seconds)) / 48_000
    chance = np.random.default_rng(seed)
    sound = np.exp(-math.pi * 200 / q * times) * np.cos(2 * math.pi * 200 * times)
    sound += chance.normal(0, noise, len(times))
    return zoom(sound, rate=48_000, low=100, high=400)


def test_the_envelope_tells_the_same_decay_or_nothing() -> None:
    """A decay of 10/s is read from the envelope; from noise none is."""
    times = np.arange(48_000) / 48_000
    chance = np.random.RandomState(9)
    sound = np.exp(-10 * times) * np.cos(2 * math.pi * 200 * times)
    sound += chance.normal(0, 0.01, len(times))
    band = zoom(sound, rate=48_000, low=100, high=400)
    noise = zoom(chance.normal(0, 1, 48_000), rate=48_000, low=100, high=400)

    found = envelope_decay(band.samples, tone=TONE, band=band)

    assert found is not None
    assert found.value == pytest.approx(10, rel=0.03)
    assert envelope_decay(noise.samples, tone=TONE, band=noise) is None
    assert envelope_decay(band.samples[:20], tone=TONE, band=band) is None


@pytest.mark.parametrize(
    ("q", "seconds"), [(110, 0.5), (60, 0.5), (60, 4.0), (30, 4.0)]
)
def test_the_envelope_stops_at_the_noise(q: float, seconds: float) -> None:
    """A record of 4 s, mostly noise, is read as well as one of half a second.

    A fit that runs on into the noise reads a Q of 50 as 92; own simulation, computed.
    """
    band = struck(q=q, seed=5, seconds=seconds)
    tone = replace(TONE, decay=math.pi * 200 / q)
    found = envelope_q(band.samples, tone=tone, band=band)

    assert found is not None
    assert found.value == pytest.approx(q, rel=0.03)
    assert 0 < found.u < 0.05 * q


def test_the_envelope_knows_how_sure_it_is() -> None:
    """Of 200 tones in noise, twice the uncertainty holds the truth in nine of ten."""
    tone = replace(TONE, decay=math.pi * 200 / 60)
    inside = 0
    for seed in range(200):
        band = struck(q=60, seed=seed, noise=0.03, seconds=0.6)
        found = envelope_q(band.samples, tone=tone, band=band)
        assert found is not None
        inside += abs(found.value - 60) < 2 * found.u

    assert inside >= 180


def test_what_does_not_get_fainter_has_no_q() -> None:
    """Hum goes on."""
    times = np.arange(48_000) / 48_000
    band = zoom(np.cos(2 * math.pi * 200 * times), rate=48_000, low=100, high=400)

    assert envelope_q(band.samples, tone=TONE, band=band) is None
