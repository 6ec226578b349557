"""Tests of what a scatter is worth: twice the uncertainty holds the truth."""

import numpy as np
import pytest

from ledger.wood.spread import sure_by_spread, uncertainty_of_mean


@pytest.mark.parametrize(
    ("free", "factor"), [(1, 13.97), (4, 2.87), (10, 2.28), (20, 2.13), (50, 2.05)]
)
def test_the_factors_are_those_of_the_guide(free: int, factor: float) -> None:
    """JCGM 100:2008, table G.2, column 95.45 %; beyond 10 within 1 %."""
    assert 2 * sure_by_spread(1, free=free) == pytest.approx(factor, rel=0.01)


def test_one_reading_has_its_own_uncertainty() -> None:
    """Nothing scatters yet."""
    assert uncertainty_of_mean([70.0], [0.2]) == 0.2


@pytest.mark.parametrize("count", [4, 5, 8])
@pytest.mark.parametrize("scatter", [0, 0.5, 1, 2, 10])
def test_twice_the_uncertainty_holds_the_truth(count: int, scatter: float) -> None:
    """4,000 means each, whatever share of the error each reading knows of itself."""
    chance = np.random.default_rng(3)
    means = chance.normal(0, np.hypot(1, scatter), (4000, count))
    inside = [
        abs(float(np.mean(row))) < 2 * uncertainty_of_mean(list(row), [1.0] * count)
        for row in means
    ]

    assert 0.94 < np.mean(inside) < 0.98


@pytest.mark.parametrize("scatter", [0, 1, 10])
def test_of_two_or_three_readings_rather_too_much_is_said_than_too_little(
    scatter: float,
) -> None:
    """Nobody can tell from two readings how far the next will lie."""
    chance = np.random.default_rng(4)
    for count in (2, 3):
        means = chance.normal(0, np.hypot(1, scatter), (3000, count))
        inside = [
            abs(float(np.mean(row))) < 2 * uncertainty_of_mean(list(row), [1.0] * count)
            for row in means
        ]
        assert np.mean(inside) > 0.94
