"""Scientific names: accepted, synonyms, misspelt, and names of the trade."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import NotFoundError, RefusedError
from ledger.trade.names import (
    meant_by,
    read_genus,
    read_name,
    scientific_name,
    slips,
)
from ledger.trade.tables import names, trade_names


@pytest.mark.parametrize(
    ("typed", "accepted"),
    [
        ("Dalbergia latifolia", "Dalbergia latifolia"),
        ("  dalbergia   LATIFOLIA ", "Dalbergia latifolia"),
        ("Caesalpinia echinata", "Paubrasilia echinata"),
        ("Afrormosia elata", "Pericopsis elata"),
        ("Acer sp.", "Acer spp."),
        ("Dalbergia palo-escrito", "Dalbergia palo-escrito"),
    ],
)
def test_a_scientific_name_is_read_and_a_synonym_followed(
    typed: str, accepted: str
) -> None:
    """However it is typed."""
    assert scientific_name(typed) == accepted


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("Dalbergia latifola", "Dalbergia latifolia"),
        ("Dalbergia nigre", "Dalbergia nigra"),
        ("Swietenia macrophyla", "Swietenia macrophylla"),
        ("Picea abys", "Picea abies"),
    ],
)
def test_a_misspelt_name_is_offered_and_never_guessed(typed: str, offered: str) -> None:
    """Three names at most."""
    reading = read_name(typed)

    assert reading.name is None
    assert reading.offers[0] == offered and len(reading.offers) <= 3
    with pytest.raises(NotFoundError, match=offered):
        scientific_name(typed)


@pytest.mark.parametrize("typed", ["rosewood", "Rosewood", " ROSEWOOD "])
def test_rosewood_is_refused_with_what_it_may_mean(typed: str) -> None:
    """Six taxa, of Appendix I, of Appendix II and of none."""
    with pytest.raises(RefusedError, match=r"trade name that may mean Dalbergia spp\."):
        scientific_name(typed)

    assert {"Dalbergia nigra", "Machaerium spp."} <= set(read_name(typed).offers)


def test_every_trade_name_is_refused_with_names_that_can_be_read() -> None:
    """What is offered for it can be typed."""
    for trade in trade_names().values():
        reading = read_name(trade.trade_name)
        assert reading.name is None
        assert reading.offers == trade.may_mean
        assert all(read_name(name).name is not None for name in reading.offers)


@pytest.mark.parametrize(
    "typed", ["", "   ", "ローズウッド", "x" * 10_000, "\x00", "any"]
)
def test_what_is_no_name_is_answered_in_one_short_sentence(typed: str) -> None:
    """Nothing is offered where nothing is near."""
    reading = read_name(typed)

    assert reading.name is None and reading.offers == ()
    assert 0 < len(reading.reason) < 200


@pytest.mark.parametrize(
    ("typed", "name", "species"),
    [
        ("Sequoia", "Sequoia spp.", ["Sequoia sempervirens"]),
        ("prunus sp", "Prunus spp.", ["Prunus serotina", "Prunus avium"]),
        (
            " Caesalpinia  spp. ",
            "Caesalpinia spp.",
            ["Paubrasilia echinata", "Libidibia ferrea"],
        ),
        ("Picea", "Picea spp.", ["Picea spp."]),
        ("Lobatus", "Lobatus spp.", ["Strombus gigas"]),
    ],
)
def test_a_genus_is_read_as_the_species_that_the_table_has(
    typed: str, name: str, species: list[str]
) -> None:
    """By their accepted names; one that is a name of its own as itself."""
    genus = read_genus(typed)

    assert genus is not None
    assert (genus.name, [each.name for each in genus.species]) == (name, species)
    assert [each.name for each in meant_by(typed)] == species


@pytest.mark.parametrize(
    "typed", ["", "spp.", "Nusquama", "Picea abies", "Picea abies spp.", "maple"]
)
def test_what_is_no_genus_alone_is_not_read_as_one(typed: str) -> None:
    """A species, a word of the trade, nothing at all."""
    assert read_genus(typed) is None


def test_a_slip_of_a_name_is_asked_about_once() -> None:
    """A name of the table, a genus, and what is like nothing are no slips."""
    texts = ["Dalbergia nigar", "Dalbergia nigra", "Dalbergia nigar", "Cedrela", "zzz"]
    (note,) = slips(texts)

    assert note.startswith("Dalbergia nigar is in no table here: is Dalbergia nigra ")
    assert note.endswith(" meant?")


@given(st.text(max_size=80))
def test_no_text_breaks_the_reading_and_only_names_are_read(typed: str) -> None:
    """What is read is in the table, letter for letter but case and spaces."""
    reading = read_name(typed)
    meant = meant_by(typed)

    assert (reading.name is None) == bool(reading.reason)
    assert reading.name is None or meant == (reading.name,)
    assert all(name.name in names() for name in meant)
    if reading.name is not None:
        assert " ".join(typed.split()).casefold().rstrip(".") in {
            name.casefold().rstrip(".").replace(" spp", ending)
            for name in names()
            for ending in (" spp", " sp")
        }
