"""A country where a taxon does not grow is odd: it is told, and it frees nothing."""

import pytest

from ledger.trade.coverage import ASK, NOT_NEEDED
from ledger.trade.law import compiled
from ledger.trade.origins import odd_origins, odd_words, origin_words
from ledger.trade.tables import names
from tests.ledger.trade.asking import answered

ODD = "GB"


def test_an_origin_is_told_in_a_line() -> None:
    """Known, one of several, or not known at all."""
    assert origin_words("MG", ()) == "from MG"
    assert origin_words(None, ("ID", "MG")) == (
        "of Indonesia (ID) or Madagascar (MG), nobody knows which"
    )
    assert origin_words(None, ()) == "of no known origin"


def test_a_country_where_it_does_not_grow_is_named() -> None:
    """With where it grows, and what to do."""
    assert odd_origins("Pterocarpus soyauxii", ["CM", ODD], compiled()) == (
        "the table has Pterocarpus soyauxii growing in Africa, and not in the United "
        "Kingdom (GB): ask once more"
    )


@pytest.mark.parametrize(
    ("species", "country"),
    [
        ("Pterocarpus soyauxii", "CM"),
        ("Swietenia macrophylla", "FJ"),
        ("Khaya spp.", "CM"),
        ("Osyris lanceolata", ODD),
        ("Acer unknownum", ODD),
    ],
)
def test_nothing_is_odd_that_the_table_has_or_knows_nothing_of(
    species: str, country: str
) -> None:
    """It may grow there, is planted there, or its range is not in the table."""
    assert odd_origins(species, [country], compiled()) == ""


def test_a_genus_grows_where_its_species_do() -> None:
    """The table has its range by them alone."""
    assert "and not in the United Kingdom (GB)" in odd_words(
        names()["Khaya spp."], [ODD], compiled()
    )


@pytest.mark.parametrize("origin", ["GB", "IN"])
@pytest.mark.parametrize(
    "taxon",
    [
        "Khaya ivorensis",
        "Afzelia africana",
        "Cedrela odorata",
        "Cedrela spp.",
        "Diospyros perrieri",
        "Pterocarpus soyauxii",
    ],
)
def test_an_odd_country_of_harvest_is_asked_about(taxon: str, origin: str) -> None:
    """It may be the dealer's, and the reason names it."""
    found = answered(
        taxon=taxon,
        form="sawn_wood",
        date="2026-02-01",
        legs=["US", "JP"],
        purpose="sale",
        origin=origin,
    )

    assert found.answer == ASK and f"({origin}): ask once more" in found.why
    assert found.is_listed


def test_a_plantation_that_the_table_has_is_of_no_listed_population() -> None:
    """Mahogany of Fiji: the listing is of the Neotropics alone."""
    found = answered(
        taxon="Swietenia macrophylla",
        form="sawn_wood",
        date="2026-02-01",
        legs=["US", "JP"],
        purpose="sale",
        origin="FJ",
    )

    assert found.answer == NOT_NEEDED


@pytest.mark.parametrize("taxon", sorted(names()))
def test_no_odd_country_frees_what_is_not_free_of_an_unknown_one(taxon: str) -> None:
    """Whatever the table lists, sawn, on a day after the last meeting."""
    told = {
        "taxon": taxon,
        "form": "sawn_wood",
        "date": "2026-04-01",
        "legs": ["NZ", "JP"],
        "purpose": "sale",
    }
    unknown = answered(**told)
    for origin in ("GB", "IN", "MG", "CM", "BR"):
        if odd_origins(taxon, [origin], compiled()) and unknown.answer != NOT_NEEDED:
            assert answered(**told, origin=origin).answer != NOT_NEEDED
