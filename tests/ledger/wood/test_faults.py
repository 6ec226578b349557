"""Tests of what recorders do: cut peaks, gaps, and tones that nobody played."""

import math
from dataclasses import replace

import numpy as np
import pytest

from ledger.wood.faults import gap_in, is_clipped, made_by_overload
from ledger.wood.pencil import Tone
from ledger.wood.zoom import Real

RATE = 48_000


def ring(*, frequency: float = 100.0, seconds: float = 1.0, bits: int = 24) -> Real:
    """Return a decaying tone as a recorder of so many bits keeps it."""
    times = np.arange(round(seconds * RATE)) / RATE
    sound = 0.8 * np.exp(-3 * times) * np.sin(2 * math.pi * frequency * times)
    steps = 2.0 ** (bits - 1)
    return np.asarray(np.round(sound * steps) / steps, dtype=np.float64)


def tone(frequency: float, amplitude: float, decay: float) -> Tone:
    """Return a tone that is well known."""
    return Tone(
        frequency=frequency,
        u_frequency=0.002,
        decay=decay,
        u_decay=0.05,
        amplitude=amplitude,
        u_amplitude=0.001,
    )


def test_a_wave_that_was_cut_is_clipped_and_a_whole_one_is_not() -> None:
    """At full scale, or below it."""
    assert is_clipped(np.clip(2 * ring(), -1, 1), RATE)
    assert is_clipped(np.clip(ring(), -0.5, 0.5), RATE)
    assert not is_clipped(ring(), RATE)


@pytest.mark.parametrize("milliseconds", [2, 10, 50])
@pytest.mark.parametrize("value", [0.0, None])
def test_a_gap_is_found_whether_zeros_or_the_last_sample_fill_it(
    milliseconds: int, value: float | None
) -> None:
    """Recorders that miss a block write either."""
    sound = ring()
    # Near a zero of the wave, or on its slope.
    first = 9_640
    last = first + milliseconds * RATE // 1000
    sound[first:last] = sound[first] if value is None else value

    assert gap_in(sound, RATE) == pytest.approx(milliseconds / 1000, abs=1e-4)


@pytest.mark.parametrize("bits", [8, 16, 24])
@pytest.mark.parametrize("frequency", [30.0, 71.0, 200.0])
def test_coarse_samples_are_no_gap(bits: int, frequency: float) -> None:
    """Of eight bits a low tone stands still at each crest, and dies away in steps."""
    assert gap_in(ring(frequency=frequency, bits=bits), RATE) is None


def test_silence_after_the_ringing_is_no_gap() -> None:
    """A recorder's gate that closes when nothing is heard any more does no harm."""
    sound = ring(seconds=3.0)
    sound[RATE * 2 :] = 0

    assert gap_in(sound, RATE) is None


def test_sums_and_differences_of_louder_tones_are_known() -> None:
    """2 x 71.3 + 52.3 = 194.9 Hz, dying away as fast as all three together."""
    parents = [tone(71.3, 1.0, 2.0), tone(52.3, 0.8, 1.8)]
    made = tone(194.9, 0.05, 5.8)
    slow = replace(made, decay=1.0)
    aside = replace(made, frequency=197.0)
    loud = replace(made, amplitude=0.5)

    assert made_by_overload([*parents, made]) == (made,)
    for other in (slow, aside, loud):
        assert made_by_overload([*parents, other]) == ()
    assert made_by_overload([]) == ()


def test_the_modes_of_a_half_set_are_not_taken_for_overload() -> None:
    """Real modes beside each other stay what they are."""
    modes = [
        tone(71.291, 1.0, 2.04),
        tone(52.319, 0.8, 1.83),
        tone(150.511, 0.25, 7.9),
        tone(127.827, 0.2, 5.0),
    ]

    assert made_by_overload(modes) == ()
