"""A piece without a label: which board it can be, and how sure that is."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.identifying import (
    Confidence,
    Distance,
    Measured,
    confidences,
    distance,
)

HALF = Measured(
    length_um=556_000, width_um=201_000, thickness_um=4_100, mass_mg=205_000
)


def test_distances_are_in_standard_uncertainties_of_two_readings() -> None:
    """Worked by hand: rules of 0.5 mm twice, and 2 % of water in 205 g."""
    found = Measured(length_um=557_000, mass_mg=209_100)
    away = distance(found, HALF).apart_milli

    assert away["length_um"] == pytest.approx(1000 / (0.5 * sqrt(2)), abs=3)
    assert away["mass_mg"] == pytest.approx(4.1 / sqrt(2 * 0.01 + 4.1**2) * 1000, abs=3)


@pytest.mark.parametrize(
    ("found", "fits"),
    [
        (Measured(length_um=556_000), False),
        (Measured(length_um=556_000, width_um=201_000), True),
        (Measured(length_um=558_100, width_um=201_000), True),
        (Measured(length_um=558_200, width_um=201_000), False),
    ],
)
def test_a_board_fits_by_two_measures_within_three(found: Measured, fits: bool) -> None:
    """One measure alone tells nothing, and one that is far off tells enough."""
    assert distance(found, HALF).fits is fits


def away(**apart: int) -> Distance:
    """Return a distance by its measures, in thousandths."""
    return Distance(apart_milli=dict(apart))


FOUR = {"length_um": 500, "width_um": 500, "thickness_um": 500, "mass_mg": 500}
THREE = dict.fromkeys(("length_um", "width_um", "mass_mg"), 500)


@pytest.mark.parametrize(
    ("others", "sure"),
    [
        ([FOUR], ["certain"]),
        ([THREE], ["likely"]),
        ([FOUR, FOUR], ["likely", "likely"]),
        ([FOUR, FOUR | {"mass_mg": 2_900}], ["likely", "doubtful"]),
        ([FOUR | {"mass_mg": 2_500}], ["doubtful"]),
        ([{"length_um": 0, "width_um": 0}], ["doubtful"]),
        ([FOUR, FOUR | {"width_um": 1_900, "mass_mg": 1_999}], ["likely", "likely"]),
        ([], []),
    ],
)
def test_how_sure_it_is_follows_a_stated_rule(
    others: list[dict[str, int]], sure: list[Confidence]
) -> None:
    """Certain is what fits alone, by all four measures, and well."""
    assert confidences([away(**each) for each in others]) == sure


SIZE = st.integers(1, 2_000_000)


@given(SIZE, SIZE, st.integers(0, 10**6))
def test_a_board_is_no_distance_from_itself_and_further_from_what_differs_more(
    length: int, width: int, more: int
) -> None:
    """A measure that nobody took on either side counts for nothing."""
    own = Measured(length_um=length, width_um=width)
    longer = Measured(length_um=length + more, width_um=width)
    longest = Measured(length_um=length + more + 1000, width_um=width, mass_mg=1)

    assert distance(own, own).total_milli == 0
    assert distance(longer, own).total_milli <= distance(longest, own).total_milli
    assert "mass_mg" not in distance(longest, own).apart_milli
