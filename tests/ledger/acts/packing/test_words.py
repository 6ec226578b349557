"""The words of five languages are told apart."""

import pytest

from ledger.acts.packing.words import (
    HEADERS,
    KINDS,
    MEANINGS,
    SCALES,
    SCIENTIFIC,
    TOTALS,
    begins_with,
    is_scientific,
    plain,
    unit_named,
)


def test_words_are_compared_without_accents_and_marks() -> None:
    """Umlauts, accents and full stops fall away; sizes stay apart from mass."""
    assert plain("  Länge, (roh) ") == "lange roh"
    assert plain("Épaisseur") == "epaisseur"
    assert plain("Q.tà") == "q ta"
    assert (plain("Maße"), plain("Masse")) == ("masze", "masse")


def test_every_header_is_plain_and_means_something_known() -> None:
    """A header with an accent in it would never be found."""
    known = {*MEANINGS, "position"}

    assert [name for name in HEADERS if plain(name) != name] == []
    assert {meaning for meaning, _ in HEADERS.values()} <= known
    assert [word for word in KINDS if plain(word) != word] == []


@pytest.mark.parametrize(
    ("written", "meaning", "unit"),
    [
        ("mm", "length", "mm"),
        ("MM.", "length", "mm"),
        ("Zoll", "width", "in"),
        ("”", "thickness", '"'),
        ("Kilo", "mass", "kg"),
        ("lbs.", "mass", "lbs"),
        ("bd. ft.", "volume", "bdft"),
        ("BF", "volume", "bdft"),
        ("kg", "length", None),
        ("", "mass", None),
    ],
)
def test_a_unit_is_known_by_its_many_names(
    written: str, meaning: str, unit: str | None
) -> None:
    """A unit of another quantity is none."""
    assert unit_named(written, SCALES[meaning]) == unit


def test_a_word_counts_only_whole() -> None:
    """Totara is no total."""
    assert begins_with("TOTAL: 24 sets", TOTALS)
    assert not begins_with("Totara", TOTALS)


def test_a_genus_makes_a_name_scientific() -> None:
    """A trade name of two words is not taken for one."""
    assert SCIENTIFIC.search("Fichte (Picea abies)")
    assert SCIENTIFIC.search("Platanus × hispanica")
    assert not SCIENTIFIC.search("Bigleaf maple")


@pytest.mark.parametrize(
    ("name", "is_latin"),
    [
        ("Khaya ivorensis", True),
        ("Picea abies", True),
        ("Acer saccharum", True),
        ("Dalbergia inventissima", True),
        ("Khaya boards", False),
        ("Acer back", False),
        ("Picea tops", False),
    ],
)
def test_a_species_is_told_from_words_that_follow_a_genus(
    name: str, is_latin: bool
) -> None:
    """Latin endings: common practice, no source; known names come from their table."""
    assert is_scientific(name) is is_latin
