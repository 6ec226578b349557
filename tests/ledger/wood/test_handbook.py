"""Tests of what is printed of a species: rows, genera, and what nobody printed."""

import pytest

from ledger.wood.handbook import printed_of


def test_a_species_is_found_however_it_is_written() -> None:
    """Sitka spruce, Wood Handbook tables 4-3 and 5-3a; from memory and quoted."""
    found = printed_of("picea SITCHENSIS (Bong.)")

    assert found is not None
    assert (found.radial, found.tangential, found.volumetric) == (4.3, 7.5, 11.5)
    assert (found.moe_green, found.moe_12, found.meeting) == (8.5e9, 10.8e9, 27)


@pytest.mark.parametrize(
    ("name", "row"),
    [
        ("Khaya ivorensis", "Khaya spp."),
        ("Cedrela odorata", "Cedrela spp."),
        ("Khaya", "Khaya spp."),
    ],
)
def test_a_genus_stands_for_its_species_where_it_is_printed(
    name: str, row: str
) -> None:
    """African mahogany and cedar are printed as genera."""
    found = printed_of(name)

    assert found is not None
    assert found.name == row


@pytest.mark.parametrize("name", ["", "Picea", "Picea omorika", "Fantasia fictilis"])
def test_a_relative_is_never_taken_for_the_species(name: str) -> None:
    """What is not printed is not known."""
    assert printed_of(name) is None


def test_what_nobody_printed_is_none() -> None:
    """Cocobolo has two shrinkages and no modulus."""
    found = printed_of("Dalbergia retusa")

    assert found is not None
    assert (found.volumetric, found.moe_green, found.meeting) == (None, None, None)
