"""Tests of peaks that an overloaded recorder presses without cutting them."""

import math

import numpy as np
import pytest

from ledger.wood.overload import Pressing, pressed, pressing_in, shift, told_share
from ledger.wood.pencil import fit_tones
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Real, zoom
from tests.ledger.wood import rough

TONES = ((93.0, 60.0, 0.7), (187.3, 60.0, 1.0), (251.0, 45.0, 0.5))
PULLS = ((0.0, -2.0),)


def heard_in(sound: Real) -> Pressing:
    """Return how much one ringing tap seems pressed."""
    band = zoom(sound, rate=rough.RATE, low=30, high=400)
    fit = fit_tones(band, quiet_from=0.8)
    tones = [t for t in fit.tones if t.amplitude > 0.05]
    pressing = pressing_in(fit, tones, band=band)
    assert pressing is not None
    assert len(pressing.pulls) == len(tones)
    return pressing


def ringing(seed: int) -> Real:
    """Return one tap of three modes with a hundredth of a percent of noise."""
    chance = np.random.default_rng(seed)
    sound = rough.rung(TONES, seconds=1.2, chance=chance)
    return np.asarray(sound + 1e-4 * chance.standard_normal(len(sound)))


def of(value: float, u: float, *, peak: float = 1.0) -> Pressing:
    """Return a tap pressed so much."""
    return Pressing(share=Estimate(value=value, u=u), peak=peak, pulls=PULLS)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("bend", [0.01, 0.03])
def test_a_cube_that_was_taken_off_is_found_again(seed: int, bend: float) -> None:
    """Of y = x - b x^3 the b is told to a tenth, by one tap."""
    sound = ringing(seed)
    found = heard_in(np.asarray(sound - bend * sound**3))

    assert found.share.value / found.peak**2 == pytest.approx(bend, rel=0.1)
    assert found.share.value > 10 * found.share.u


@pytest.mark.parametrize("seed", range(5))
def test_a_tap_that_was_not_pressed_shows_nothing(seed: int) -> None:
    """Within four standard uncertainties, which are small."""
    found = heard_in(ringing(seed))

    assert abs(found.share.value) < 4 * found.share.u
    assert found.share.u < 1e-3


def test_the_pull_tells_how_far_pressed_peaks_move_a_decay() -> None:
    """The first-order shift is what the fit of a pressed tap is wrong by, to 15 %."""
    chance = np.random.default_rng(3)
    sound = rough.rung(((187.3, 60.0, 1.0),), seconds=1.2, chance=chance)
    band = zoom(sound - 0.02 * sound**3, rate=rough.RATE, low=30, high=400)
    fit = fit_tones(band, quiet_from=0.8)
    tone = max(fit.tones, key=lambda each: each.amplitude)
    pressing = pressing_in(fit, (tone,), band=band)

    assert pressing is not None
    moved = tone.decay - math.pi * 187.3 / 60
    expected = pressing.pulls[0][1] * 0.02 * pressing.peak**2
    assert moved < 0
    assert moved == pytest.approx(expected, rel=0.15)


def test_tones_of_another_fit_have_no_pull() -> None:
    """Neither has a fit without any tone."""
    band = zoom(ringing(1), rate=rough.RATE, low=30, high=400)
    fit = fit_tones(band, quiet_from=0.8)

    assert pressing_in(fit, fit.tones[:1], band=band, made=fit.tones[:1]) is None


def test_all_taps_together_tell_how_much_peaks_of_full_scale_are_pressed() -> None:
    """A tap half as loud is pressed a quarter as much."""
    both = pressed([of(0.04, 0.01), of(0.01, 0.0025, peak=0.5)])

    assert both is not None
    assert both.value == pytest.approx(0.04)
    assert both.u == pytest.approx(0.01 / math.sqrt(2))
    assert pressed([]) is None
    assert told_share([of(0.04, 0.01)]) == pytest.approx(0.04)
    assert told_share([of(0.02, 0.01)]) == 0
    assert told_share([]) == 0


def test_a_shift_counts_whole_once_it_is_suspected() -> None:
    """Below one and a half standard uncertainties nothing is added."""
    assert shift(PULLS, Estimate(value=0.02, u=0.01)) == pytest.approx((0.0, -0.04))
    assert shift(PULLS, Estimate(value=0.01, u=0.01)) == (0, 0)
    assert shift(PULLS, Estimate(value=-0.05, u=0.01)) == (0, 0)
    assert shift((), Estimate(value=0.02, u=0.01)) == (0, 0)
    assert shift(PULLS, None) == (0, 0)
