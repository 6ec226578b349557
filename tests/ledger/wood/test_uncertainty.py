"""Tests of the law of propagation, against an independent library."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from ledger.errors import RefusedError
from ledger.wood.uncertainty import Estimate, estimated, product, require_measured

POSITIVE = st.floats(0.01, 100)
SHARE = st.floats(1e-6, 0.05)
POWER = st.sampled_from([-3, -2, -1, 0, 1, 2, 3, 4])


@given(st.lists(st.tuples(POSITIVE, SHARE, POWER), min_size=1, max_size=5))
def test_products_of_powers_agree_with_an_independent_library(
    factors: list[tuple[float, float, int]],
) -> None:
    """The library `uncertainties` differentiates by itself and finds the same."""
    found = product(
        2.5, *((Estimate(value=v, u=v * share), p) for v, share, p in factors)
    )
    other = 2.5 * math.prod(
        ufloat(value, value * share) ** power for value, share, power in factors
    )
    value = getattr(other, "nominal_value", other)
    u = getattr(other, "std_dev", 0.0)

    assert found.value == pytest.approx(value)
    assert found.u == pytest.approx(u, abs=1e-12 * abs(value))


def test_a_side_squared_doubles_its_relative_uncertainty() -> None:
    """0.2 m known to half a percent gives an area known to one."""
    found = product(1, (Estimate(value=0.2, u=0.001), 2))

    assert found.value == pytest.approx(0.04)
    assert found.u == pytest.approx(0.0004)


def test_the_uncertainty_of_a_negative_value_is_positive() -> None:
    """A sensitivity is relative; the sign of the value is not."""
    found = estimated(-2.0, (Estimate(value=5, u=0.5), -1))

    assert found.value == -2.0
    assert found.u == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("value", "u"), [(math.nan, 0), (math.inf, 0), (1, -0.1), (1, math.nan)]
)
def test_what_is_no_number_is_no_measurement(value: float, u: float) -> None:
    """Neither a value that is none, nor an uncertainty below nothing."""
    with pytest.raises(RefusedError, match="no measurement"):
        Estimate(value=value, u=u)


@pytest.mark.parametrize("value", [0, -1])
def test_nothing_measured_is_zero_or_less(value: float) -> None:
    """A size, mass or frequency of nothing has no relative uncertainty."""
    with pytest.raises(RefusedError, match="not above zero"):
        require_measured(Estimate(value=value, u=1))
    with pytest.raises(RefusedError, match="not above zero"):
        product(1, (Estimate(value=value, u=1), 1))
