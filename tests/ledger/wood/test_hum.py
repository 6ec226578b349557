"""Tests of mains hum: known by its multiples, and taken off where it is steady."""

import math
from dataclasses import replace

import numpy as np
import pytest

from ledger.wood.hum import hum_in, is_hum, mains_near
from ledger.wood.pencil import Tone
from ledger.wood.recording import Recording
from ledger.wood.tap import hear
from ledger.wood.zoom import zoom

TONE = Tone(
    frequency=200,
    u_frequency=0.001,
    decay=10,
    u_decay=0.01,
    amplitude=1,
    u_amplitude=0.01,
)


@pytest.mark.parametrize(
    ("frequency", "line"),
    [(50.1, 50), (59.9, 60), (150.2, 150), (52.3, None), (150.5, None), (7.0, None)],
)
def test_the_mains_are_known_by_their_multiples(
    frequency: float, line: float | None
) -> None:
    """50 and 60 Hz and what is a multiple of either, within a fraction of a hertz."""
    assert mains_near(frequency) == line


def test_hum_was_there_before_the_tap_and_hardly_decays() -> None:
    """At 50 Hz: as loud before, it is hum; silent before, it is a mode."""
    times = np.arange(24_000) / 48_000
    before = np.cos(2 * math.pi * 50 * times)
    loud = zoom(before, rate=48_000, low=30, high=400)
    silent = zoom(1e-3 * before, rate=48_000, low=30, high=400)
    tone = replace(TONE, frequency=50.05, decay=math.pi * 50.05 / 100)
    lasting = replace(tone, decay=math.pi * 50.05 / 400)

    assert is_hum(tone, loud)
    assert not is_hum(tone, silent)
    assert is_hum(lasting, silent)
    assert not is_hum(replace(tone, frequency=55.0), loud)


def test_steady_hum_is_followed_into_the_tap() -> None:
    """From one second of quiet in noise: a second later it is off by 2 % of itself."""
    times = np.arange(96_000) / 48_000
    hum = 0.1 * np.sin(2 * math.pi * 50.03 * times + 0.4)
    hum += 0.04 * np.sin(2 * math.pi * 150.09 * times + 2)
    noise = np.random.default_rng(1).normal(0, 0.01, len(times))
    quiet = zoom((hum + noise)[:48_000], rate=48_000, low=40, high=400)
    found = hum_in(quiet, times=times)

    assert np.max(np.abs(found - hum)) < 0.02 * 0.14


def test_what_still_rings_from_an_earlier_tap_is_no_hum() -> None:
    """A mode at 100 Hz with Q 90 decays by half in 0.2 s, and is left alone."""
    times = np.arange(48_000) / 48_000
    ringing = np.exp(-math.pi * 100 / 90 * times) * np.sin(2 * math.pi * 100 * times)
    noise = np.random.default_rng(2).normal(0, 0.001, len(times))
    quiet = zoom(ringing + noise, rate=48_000, low=40, high=400)

    assert not hum_in(quiet, times=times).any()


def test_a_steady_tone_that_is_no_multiple_of_the_mains_is_left_alone() -> None:
    """A fan at 73 Hz is not taken for hum."""
    times = np.arange(48_000) / 48_000
    quiet = zoom(np.sin(2 * math.pi * 73 * times), rate=48_000, low=40, high=400)

    assert not hum_in(quiet, times=times).any()


def test_a_moment_of_quiet_shows_no_hum() -> None:
    """A fifth of a second does not tell what is steady."""
    times = np.arange(9_600) / 48_000
    quiet = zoom(np.sin(2 * math.pi * 50 * times), rate=48_000, low=40, high=400)

    assert not hum_in(quiet, times=times).any()


def tapped(twist: float, *, apart: float) -> Recording:
    """Return five taps of a plate that rings on into the next one."""
    sound = np.random.default_rng(3).normal(0, 1e-4, round((0.8 + 5 * apart) * 8_000))
    for number in range(5):
        start = round((0.3 + number * apart) * 8_000)
        times = np.arange(len(sound) - start) / 8_000
        for hertz, q, loud in ((twist, 59.0, 0.2), (70.0, 100.0, 0.2)):
            decay = loud * np.exp(-np.pi * hertz / q * times)
            sound[start:] += decay * np.sin(2 * np.pi * hertz * times)
    return Recording(
        samples=sound[None, :], rate=8_000, bits=16, channels=1, container="WAV"
    )


@pytest.mark.parametrize(
    ("twist", "apart", "modes", "said"),
    [
        (50.0, 0.7, 1, "50.00 Hz dies away and was left out all the same"),
        (50.0, 1.0, 2, "50.00 Hz lies on mains hum of 50 Hz"),
        (50.5, 0.7, 2, ""),
    ],
)
def test_a_mode_on_the_mains_is_not_lost_in_silence(
    twist: float, apart: float, modes: int, said: str
) -> None:
    """What rings on from the tap before looks like hum; then somebody is told."""
    heard = hear(tapped(twist, apart=apart), band=(30.0, 225.0), modes=3)

    assert len(heard.modes) == modes
    assert [warning.startswith(said) for warning in heard.warnings] == [True] * bool(
        said
    )
