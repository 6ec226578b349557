"""Tests of the coefficient of the twist mode."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.twist import GRID, STEPS, twist_coefficient

RATIO = st.floats(0.02, 40)


def test_the_grid_is_met_at_its_own_steps() -> None:
    """At a step there is nothing to interpolate."""
    for row, p in enumerate(STEPS):
        for column, q in enumerate(STEPS):
            assert twist_coefficient(p=p, q=q) == pytest.approx(GRID[row][column])


@given(RATIO, RATIO)
def test_a_plate_may_be_turned_round(p: float, q: float) -> None:
    """Length and width have the same say, but for what Poisson's ratio does."""
    other = twist_coefficient(p=q, q=p)

    assert twist_coefficient(p=p, q=q) == pytest.approx(other, abs=0.02)


@given(RATIO, RATIO)
def test_the_stiffer_the_plate_the_purer_the_twist(p: float, q: float) -> None:
    """The coefficient falls towards that of the pure twist, and never reaches it."""
    found = twist_coefficient(p=p, q=q)

    assert found > math.pi**2 / 12
    assert twist_coefficient(p=1.2 * p, q=q) <= found
    assert twist_coefficient(p=p, q=1.2 * q) <= found


def test_beyond_the_grid_the_last_step_holds_and_below_it_nothing() -> None:
    """Above 40 the coefficient hardly moves; below 0.02 a mode was mistaken."""
    assert twist_coefficient(p=1, q=400) == twist_coefficient(p=1, q=40)
    with pytest.raises(RefusedError, match=r"below 0\.02"):
        twist_coefficient(p=0.019, q=1)
