"""Tests of a curve that comes to rest: its fit, and the interval of what it tells."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.wood.approach import (
    Curve,
    best,
    bounds,
    edge,
    fall_of,
    of_end,
    of_line,
    of_share,
    solved,
    when_left,
)

TIMES = np.array([0.0, 5.0, 12.0, 20.0, 33.0, 50.0, 70.0])


def curve(end: float, amplitude: float, constant: float, u: float = 1e-4) -> Curve:
    """Return readings that lie on a curve."""
    readings = end + amplitude * np.exp(-TIMES / constant)
    return Curve(times=TIMES, readings=readings, u=u)


@given(st.floats(0.05, 5), st.floats(0.005, 0.3), st.floats(4, 120))
def test_a_curve_is_found_again(end: float, share: float, constant: float) -> None:
    """Readings without scatter give back end, amplitude and time constant."""
    given_curve = curve(end, share * end, constant)
    found, chi2 = best(given_curve, of_line(given_curve))
    found_end, amplitude = solved(given_curve, constant)

    assert found == pytest.approx(constant, rel=0.01)
    assert chi2 < 1
    assert (found_end, amplitude) == pytest.approx((end, share * end))


def test_each_question_has_no_misfit_at_the_truth() -> None:
    """The end, and the share that is left at a time, fit where they are true."""
    truth = curve(0.4, 0.008, 30.0)
    at = np.array([30.0])
    left = 0.02 * math.exp(-45 / 30)

    assert of_line(truth)(at)[0] < 1e-9
    assert of_end(truth, 0.4)(at)[0] < 1e-9
    assert of_share(truth, left, 45.0)(at)[0] < 1e-9
    assert of_end(truth, 0.401)(at)[0] > 10
    assert of_share(truth, 2 * left, 45.0)(at)[0] > 10


def test_a_narrow_interval_is_that_of_the_linear_law() -> None:
    """With little scatter the profile is the covariance of least squares.

    The covariance is reckoned here from the derivatives of the curve.
    """
    truth = curve(0.4, 0.008, 20.0, u=1e-6)
    fall = np.exp(-TIMES / 20)
    slopes = np.stack([np.ones_like(TIMES), fall, 0.008 * fall * TIMES / 400], axis=1)
    u_end = math.sqrt(np.linalg.inv(slopes.T @ slopes)[0, 0]) * 1e-6

    low, high = bounds(truth, lambda end: of_end(truth, end), 0.4, 1e-6)

    assert high - 0.4 == pytest.approx(2 * u_end, rel=0.01)
    assert 0.4 - low == pytest.approx(2 * u_end, rel=0.01)


def test_a_slab_falls_as_its_series_says() -> None:
    """Root of time and four terms agree with 2,000 terms to 0.02 %, and invert."""
    fresh = Curve(times=TIMES, readings=TIMES, u=1.0, is_fresh=True)
    odd = np.arange(1, 4001, 2)
    for after in (0.0, 0.01, 0.1, 0.3, 0.39, 0.41, 0.6, 1.0, 3.0, 8.0):
        series = float((8 / math.pi**2 * np.exp(-(odd**2) * after) / odd**2).sum())

        assert fall_of(fresh, after) == pytest.approx(series, abs=2e-4)
        assert when_left(fresh, fall_of(fresh, after)) == pytest.approx(after, abs=1e-3)
    assert when_left(fresh, 1.5) == 0


def test_what_nothing_limits_has_no_edge() -> None:
    """Where chi-squared never rises enough, the interval is open."""
    assert edge(lambda value: -1.0, 0.0, 1.0) == math.inf
    assert edge(lambda value: -1.0, 0.0, -1.0) == -math.inf
    assert edge(lambda value: abs(value) - 3, 0.0, 0.01) == pytest.approx(3, abs=1e-3)
