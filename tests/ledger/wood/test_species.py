"""Tests of what woods usually weigh."""

import pytest

from ledger.wood.species import Species, density_band, species


def reckoned(row: Species, printed: float) -> float:
    """Return the density at 12 % that a printed figure of some basis comes to.

    Below 30 % moisture volume shrinks evenly with it, so that at 12 % wood has shrunk
    by three fifths; and at 12 % it weighs 1.12 times what it would weigh dry.

    Source: Wood Handbook, FPL-GTR-190 (2010), ch. 4.
    """
    if row.basis == "air-dry density":
        return printed
    if row.basis == "basic specific gravity":
        assert row.volumetric_shrinkage is not None
        printed /= 1 - row.volumetric_shrinkage * (1 - 12 / 30) / 100
    return 1000 * 1.12 * printed


@pytest.mark.parametrize("row", species(), ids=lambda row: row.name)
def test_each_density_follows_from_its_printed_figure_and_basis(row: Species) -> None:
    """The three bases differ by an eighth, and none is taken for another."""
    assert row.basis in {
        "air-dry density",
        "basic specific gravity",
        "specific gravity at 12 %",
    }
    assert round(reckoned(row, row.printed_low)) == row.density_low
    assert round(reckoned(row, row.printed_high)) == row.density_high
    assert 300 < row.density_low <= row.density_high < 1300
    assert row.source
    assert row.confidence in {"read", "quoted", "memory"}


def test_a_species_is_found_however_it_is_written() -> None:
    """Letters large or small, with an author or without: one species, one band."""
    band = density_band("Picea sitchensis")

    assert band is not None
    assert (band.name, band.low, band.high) == ("Picea sitchensis", 336, 560)
    assert density_band("picea  SITCHENSIS (Bong.) Carr.") == band


def test_a_printed_range_is_widened() -> None:
    """Cocobolo of 993 to 1217 kg/m3 may be 10 % lighter or heavier than printed."""
    band = density_band("Dalbergia retusa")

    assert band is not None
    assert band.low == pytest.approx(min(0.9 * 993, 0.75 * 1105))
    assert band.high == pytest.approx(max(1.1 * 1217, 1.25 * 1105))


@pytest.mark.parametrize("name", ["Picea", "picea spp.", "Picea omorika"])
def test_of_a_species_not_in_the_table_the_genus_is_told(name: str) -> None:
    """The band then spans the genus, and is named for it."""
    band = density_band(name)

    assert band is not None
    assert band.name == "Picea"
    assert band.low < 300 < 580 < band.high


def test_a_genus_known_as_a_whole_is_found_by_any_of_its_species() -> None:
    """African mahogany is tabulated as Khaya spp."""
    whole, one = density_band("Khaya spp."), density_band("Khaya ivorensis")

    assert whole is not None
    assert one is not None
    assert (whole.low, whole.high) == (one.low, one.high)


@pytest.mark.parametrize("name", ["", "  ", "Quercus robur", "spp. Picea", "abies"])
def test_of_an_unknown_wood_nothing_is_told(name: str) -> None:
    """No band is better than a guessed one."""
    assert density_band(name) is None
