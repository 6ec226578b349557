"""Tests of density and specific gravity: printed figures, and there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from ledger.errors import RefusedError
from ledger.wood.gravity import (
    Gravity,
    density_at,
    density_of,
    specific_gravity,
)
from ledger.wood.uncertainty import Estimate


def exact(value: float) -> Estimate:
    """Return a number that is known exactly."""
    return Estimate(value=value, u=0.0)


def test_the_worked_example_is_met() -> None:
    """G 0.40 at 12 % is 448 kg/m3: a published example of equation 4-9, quoted."""
    found = specific_gravity(density=exact(448.0), moisture=exact(12.0))

    assert density_of(gravity=0.40, moisture=12) == pytest.approx(448)
    assert found.value.value == pytest.approx(0.40)
    assert found.basis == "oven-dry mass, volume at 12 %"


def gravity_at(basic: float, at: float, volumetric: float | None) -> Gravity:
    """Return the gravity at a moisture of wood whose basic gravity is known."""
    wet = exact(1_300 * basic)
    density = density_at(
        density=wet, moisture=exact(30.0), at=at, volumetric=volumetric
    )
    return specific_gravity(density=density, moisture=exact(at))


@pytest.mark.parametrize(
    ("basic", "volumetric", "at_12"),
    [
        (0.37, 11.5, 0.397),
        (0.33, 11.0, 0.353),
        (0.31, 6.8, 0.323),
        (0.51, 12.8, 0.552),
        (0.47, 11.5, 0.505),
        (0.55, 13.3, 0.598),
    ],
)
def test_a_basic_gravity_becomes_that_at_twelve_percent(
    basic: float, volumetric: float, at_12: float
) -> None:
    """Six American woods of table 5-3a, reckoned separately; within 0.01 of it."""
    green = Gravity(value=exact(basic), moisture=30.0)
    found = gravity_at(basic, 12, volumetric)

    assert green.basis == "oven-dry mass, green volume (basic)"
    assert found.value.value == pytest.approx(at_12, abs=6e-4)


def test_where_no_shrinkage_is_printed_a_rule_stands_for_it() -> None:
    """26.5 times the basic gravity: 19.9 % for 0.75, far above rosewood's 8.5 %."""
    ruled = gravity_at(0.75, 0, None)
    printed = gravity_at(0.75, 0, 8.5)

    assert ruled.value.value == pytest.approx(0.75 / (1 - 0.265 * 0.75))
    assert printed.value.value == pytest.approx(0.75 / (1 - 0.085))
    assert ruled.value.u > printed.value.u
    assert ruled.basis == "oven-dry mass and volume"


@given(st.floats(100, 1300), st.floats(0, 30), st.floats(0, 30), st.floats(4, 20))
def test_a_density_there_and_back_is_the_same(
    density: float, moisture: float, at: float, shrinkage: float
) -> None:
    """The way to another moisture has a way back."""
    there = density_at(
        density=exact(density), moisture=exact(moisture), at=at, volumetric=shrinkage
    )
    back = density_at(
        density=exact(there.value),
        moisture=exact(at),
        at=moisture,
        volumetric=shrinkage,
    )

    assert back.value == pytest.approx(density)


def test_the_uncertainty_agrees_with_another_library() -> None:
    """Density, moisture and a shrinkage known to 15 %, by the law of propagation."""
    rho, m, s = ufloat(400, 5.1), ufloat(8.0, 1.0), ufloat(11.5, 0.15 * 11.5)
    judged = rho * 1.12 / (1 + m / 100)
    judged *= (1 - s / 100 * (1 - m / 30)) / (1 - s / 100 * (1 - 12 / 30))
    found = density_at(
        density=Estimate(value=400, u=5.1),
        moisture=Estimate(value=8.0, u=1.0),
        at=12,
        volumetric=11.5,
    )

    assert found.value == pytest.approx(judged.nominal_value)
    assert found.u == pytest.approx(judged.std_dev)


@pytest.mark.parametrize(("moisture", "at"), [(31.0, 12.0), (12.0, 31.0)])
def test_beyond_saturation_the_rule_is_refused(moisture: float, at: float) -> None:
    """Above 30 % wood keeps its size, and the rule says nothing."""
    with pytest.raises(RefusedError, match="31 % lies outside"):
        density_at(density=exact(400.0), moisture=exact(moisture), at=at)
