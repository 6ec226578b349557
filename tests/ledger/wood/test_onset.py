"""Tests of finding where somebody tapped."""

import numpy as np
import pytest

from ledger.wood.onset import onsets
from tests.vectors.wood.make import HALF, Session, played

RATES = [8_000, 44_100, 48_000, 96_000]


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("click", [0.0, 0.3])
def test_each_tap_is_found_within_some_milliseconds(rate: int, click: float) -> None:
    """With a knuckle's click or with a soft finger, at every rate."""
    at = (0.4, 2.4, 4.5)
    session = Session(
        seed=21, rate=rate, at=at, seconds=6, noise_db=30, click=click, modes=HALF
    )
    found = onsets(played(session), rate=rate, low=40, high=400)

    assert [start / rate for start in found] == pytest.approx(at, abs=0.012)


def test_a_second_click_is_heard_while_the_board_still_rings() -> None:
    """60 ms after the first, when no loudness below a kilohertz would show it."""
    session = Session(seed=22, rate=48_000, at=(0.4,), again=((0, 0.06),), seconds=2)
    found = onsets(played(session), rate=48_000, low=40, high=400)

    assert [start / 48_000 for start in found] == pytest.approx([0.4, 0.46], abs=0.003)


def test_a_recording_may_begin_with_the_tap() -> None:
    """Who cuts a file at the tap is heard as well."""
    session = Session(seed=23, rate=48_000, at=(0.0,), seconds=1.5)
    found = onsets(played(session), rate=48_000, low=40, high=400)

    assert [start / 48_000 for start in found] == pytest.approx([0.0], abs=0.005)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("seed", range(5))
def test_in_noise_and_hum_nobody_taps(rate: int, seed: int) -> None:
    """Ten seconds of either give no tap, at any rate."""
    chance = np.random.default_rng(seed)
    times = np.arange(10 * rate) / rate
    noise = chance.normal(0, 0.1, len(times))
    hum = 0.3 * np.sin(2 * np.pi * 50 * times) + 0.001 * noise

    assert onsets(noise, rate=rate, low=40, high=400) == ()
    assert onsets(hum, rate=rate, low=40, high=400) == ()


def test_a_moment_is_too_short_for_a_tap() -> None:
    """Less than 50 ms of sound are not listened to."""
    assert onsets(np.ones(100), rate=48_000, low=40, high=400) == ()
