"""Tests of bringing a band down to zero."""

import math

import numpy as np
import pytest

from ledger.errors import RefusedError
from ledger.wood.zoom import low_pass, zoom

RATE = 48_000.0
TIMES = np.arange(48_000) / RATE


def test_the_filter_keeps_its_band_and_stops_the_rest() -> None:
    """Within the width nothing changes by 0.1 %; beyond the transition all is gone."""
    weights = low_pass(width=150, transition=180, rate=RATE)
    frequencies = np.arange(0, 2000, 5.0)
    places = np.arange(len(weights)) - len(weights) // 2
    turns = np.exp(-2j * math.pi * np.outer(frequencies, places) / RATE)
    gains = np.abs(turns @ weights)

    assert np.max(np.abs(gains[frequencies <= 150] - 1)) < 1e-3
    assert np.max(gains[frequencies >= 330]) < 1.2e-4


@pytest.mark.parametrize("frequency", [100.0, 187.3, 250.0, 399.0])
def test_a_tone_in_the_band_keeps_amplitude_frequency_and_phase(
    frequency: float,
) -> None:
    """What was cos(2 pi f t + 1) is exp(i (2 pi (f - centre) t + 1)) afterwards."""
    sound = 0.7 * np.cos(2 * math.pi * frequency * TIMES + 1)
    band = zoom(sound, rate=RATE, low=100, high=400)
    times = band.start + np.arange(len(band.samples)) / band.rate
    # The mixing began at the first sample of the piece, the result starts later.
    mixed = 2 * math.pi * (frequency - band.centre) * times + 1

    assert band.rate == pytest.approx(600)
    assert np.max(np.abs(band.samples - 0.7 * np.exp(1j * mixed))) < 2e-3


@pytest.mark.parametrize("frequency", [700.0, 1200.0, 5000.0, 20_000.0])
def test_what_lies_far_from_the_band_is_gone(frequency: float) -> None:
    """No higher mode and no voice of a saw comes through."""
    sound = np.cos(2 * math.pi * frequency * TIMES)
    band = zoom(sound, rate=RATE, low=100, high=400)

    assert np.max(np.abs(band.samples)) < 3e-4


def test_a_band_says_how_quiet_it_makes_noise() -> None:
    """Noise power times its colour is that of white noise as strong as in the band."""
    noise = np.random.default_rng(1).normal(0, 1, 480_000)
    band = zoom(noise, rate=RATE, low=100, high=400)
    power = float(np.mean(np.abs(band.samples) ** 2))
    # Twice the real samples' density, over the zoomed rate, on both axes.
    expected = 4 * band.rate / RATE

    assert 1 < band.colour < 2
    assert power * band.colour == pytest.approx(expected, rel=0.1)


def test_a_piece_shorter_than_the_filter_gives_nothing() -> None:
    """No sample is made for which the filter reaches outside."""
    assert len(zoom(np.ones(50), rate=RATE, low=100, high=400).samples) == 0


@pytest.mark.parametrize(("low", "high"), [(0, 400), (400, 100), (100, 24_000)])
def test_a_band_outside_the_recording_is_refused(low: float, high: float) -> None:
    """It lies above zero, the right way round, and below half the rate."""
    with pytest.raises(RefusedError, match="does not lie between"):
        zoom(TIMES, rate=RATE, low=low, high=high)
