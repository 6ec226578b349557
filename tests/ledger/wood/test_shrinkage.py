"""Tests of movement across the grain: the handbook's table and its worked example."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.shrinkage import change_coefficient, movement, shrinkage_between
from ledger.wood.uncertainty import Estimate

# Shrinkage of tables 4-3 and coefficient of table 13-5, Wood Handbook FPL-GTR-190.
TABLE = [
    *((4.4, 0.00151), (7.3, 0.00256), (4.9, 0.00169), (7.8, 0.00274)),
    *((6.6, 0.00230), (9.3, 0.00330), (3.7, 0.00126), (7.1, 0.00248)),
    *((4.8, 0.00165), (9.9, 0.00353), (5.5, 0.00190), (11.9, 0.00431)),
]


def exact(value: float) -> Estimate:
    """Return a number that is known exactly."""
    return Estimate(value=value, u=0.0)


@pytest.mark.parametrize(("shrinkage", "coefficient"), TABLE)
def test_the_table_of_coefficients_is_met_to_its_last_digit(
    shrinkage: float, coefficient: float
) -> None:
    """Table 13-5 is S / (3000 - 20 S); shrinkages and coefficients read there."""
    assert round(change_coefficient(shrinkage), 5) == coefficient


def test_the_worked_example_of_the_handbook_is_met() -> None:
    """A flatsawn board of 232 mm from 8 to 11 % becomes 233.7 mm; the result is read.

    Its coefficient of 0.00245, white fir, is from memory; so is S = 7.0 %.
    """
    shrinkage = 3000 * 0.00245 / (1 + 20 * 0.00245)
    found = movement(
        size=exact(0.232), shrinkage=shrinkage, before=exact(8.0), after=exact(11.0)
    )

    assert found.change.value == pytest.approx(0.001705, abs=1e-6)
    assert round(found.size.value * 1000, 1) == 233.7
    assert found.method == "Wood Handbook, equation 13-2"


def test_the_wider_equation_is_met() -> None:
    """100 mm of 8.6 % from 20 to 8 % lose 3.54 mm; reckoned separately."""
    found = movement(
        size=exact(0.1), shrinkage=8.6, before=exact(20.0), after=exact(8.0)
    )

    assert found.change.value == pytest.approx(-0.0035415, abs=1e-7)
    assert found.method == "Wood Handbook, equation 13-3"


@given(st.floats(1, 15), st.floats(6, 14), st.floats(6, 14))
def test_the_linear_rule_stays_near_the_wider_equation(
    shrinkage: float, before: float, after: float
) -> None:
    """Within 6 to 14 % they differ by 5 % of the change, as the handbook says."""
    linear = change_coefficient(shrinkage) * (after - before)
    wide = (after - before) / (3000 / shrinkage - 30 + before)

    assert abs(linear - wide) <= 0.051 * abs(wide) + 1e-12


@given(st.floats(0, 90))
def test_rings_between_the_cuts_move_between_them(angle: float) -> None:
    """Quartersawn moves least, flatsawn most, where the tangential figure is larger."""
    found = shrinkage_between(radial=4.3, tangential=7.5, ring_angle=angle)

    assert 4.3 <= found <= 7.5 + 1e-12


def test_the_ends_of_the_ring_angle_are_the_two_cuts() -> None:
    """0 is across the rings, 90 along them, 45 the mean."""
    found = [
        shrinkage_between(radial=4.0, tangential=8.0, ring_angle=angle)
        for angle in (0, 45, 90)
    ]

    assert found == pytest.approx([4.0, 6.0, 8.0])


def test_the_uncertainty_holds_the_moistures_and_the_species() -> None:
    """Unsure moistures count alone where nothing changes; then the species does too."""
    wet = Estimate(value=8.0, u=1.0)
    still = movement(size=exact(0.2), shrinkage=7.5, before=wet, after=exact(8.0))
    moved = movement(
        size=exact(0.2), shrinkage=7.5, before=exact(12.0), after=exact(8.0)
    )
    coefficient = change_coefficient(7.5)

    assert still.change.u == pytest.approx(0.2 * coefficient)
    assert moved.change.u / abs(moved.change.value) == pytest.approx(0.158, abs=1e-3)


@pytest.mark.parametrize(
    ("shrinkage", "before", "after", "why"),
    [
        (7.5, 31.0, 8.0, "31 % lies outside"),
        (7.5, 8.0, -1.0, "-1 % lies outside"),
        (0.0, 9.0, 8.0, "no shrinkage of wood"),
        (60.0, 9.0, 8.0, "no shrinkage of wood"),
    ],
)
def test_what_no_wood_does_is_refused(
    shrinkage: float, before: float, after: float, why: str
) -> None:
    """Each with its number and its limit."""
    with pytest.raises(RefusedError, match=why):
        movement(
            size=exact(0.2),
            shrinkage=shrinkage,
            before=exact(before),
            after=exact(after),
        )


@pytest.mark.parametrize("angle", [-1.0, 91.0])
def test_a_ring_angle_lies_in_a_quarter_turn(angle: float) -> None:
    """Beyond it was measured from another face."""
    with pytest.raises(RefusedError, match="ring angle"):
        shrinkage_between(radial=4.0, tangential=8.0, ring_angle=angle)
