"""Tests of density and of the three figures that are called so."""

import pytest

from ledger.errors import RefusedError
from ledger.wood.density import density, density_at, specific_gravity_at


def test_the_printed_example_of_density_at_a_moisture_is_met() -> None:
    """Wood Handbook equation 4-9: G 0.40 at 12 % is 448 kg/m3; quoted elsewhere."""
    assert density_at(specific_gravity=0.40, moisture=12) == pytest.approx(448)


@pytest.mark.parametrize(
    ("basic", "shrinkage", "printed"),
    [
        (0.37, 11.5, 0.397),  # Sitka spruce, table 0.40
        (0.33, 11.0, 0.353),  # Engelmann spruce, table 0.35
        (0.31, 6.8, 0.323),  # western redcedar, table 0.32
        (0.51, 12.8, 0.552),  # black walnut, table 0.55
        (0.47, 11.5, 0.505),  # black cherry, table 0.50
        (0.55, 13.3, 0.598),  # white ash, table 0.60
    ],
)
def test_basic_specific_gravity_leads_to_the_figure_at_twelve_percent(
    basic: float, shrinkage: float, printed: float
) -> None:
    """Wood Handbook tables 4-3 and 5-3a, to the half percent that they are rounded."""
    found = specific_gravity_at(basic=basic, shrinkage=shrinkage, moisture=12)

    assert found == pytest.approx(printed, abs=0.0006)


def test_green_wood_has_its_basic_specific_gravity() -> None:
    """At 30 % nothing has shrunk yet."""
    assert specific_gravity_at(basic=0.4, shrinkage=12, moisture=30) == 0.4


def test_a_half_set_has_the_density_of_its_mass_and_sizes() -> None:
    """550 x 200 x 4 mm of 176 g are 400 kg/m3."""
    found = density(mass=0.176, length=0.55, width=0.2, thickness=0.004)

    assert found == pytest.approx(400)


def test_what_was_not_measured_is_refused() -> None:
    """A size of nothing, a gravity of stone and a wet board have no such density."""
    with pytest.raises(RefusedError, match="the width of 0 is not above zero"):
        density(mass=0.176, length=0.55, width=0, thickness=0.004)
    with pytest.raises(RefusedError, match=r"specific gravity of 2\.6"):
        density_at(specific_gravity=2.6, moisture=12)
    with pytest.raises(RefusedError, match="moisture content of 31 %"):
        density_at(specific_gravity=0.4, moisture=31)
    with pytest.raises(RefusedError, match="shrinkage of 40 %"):
        specific_gravity_at(basic=0.4, shrinkage=40, moisture=12)
