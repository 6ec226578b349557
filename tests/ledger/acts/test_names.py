"""Names are taken as people write them, and nothing else is."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.names import (
    LONGEST_NAME,
    breadth,
    checked_arrival,
    checked_country,
    checked_day,
    checked_name,
    checked_words,
    harvest_country,
    is_same,
    kept_reason,
    meant_words,
    nearest,
    place_from,
)
from ledger.errors import RefusedError
from ledger.log.encoding import canonical
from tests.skerrymoor import Loft


@given(st.text(max_size=210))
def test_a_name_that_is_taken_can_be_committed_to(text: str) -> None:
    """Either it is refused, or it has canonical bytes, and no space around it."""
    try:
        name = checked_name(text)
    except RefusedError:
        return

    assert canonical({"v": name})
    assert name == name.strip() == text.strip()
    assert 0 < len(name) <= breadth(name) <= LONGEST_NAME


@pytest.mark.parametrize(
    "name",
    [
        'Oluwaseun "Seun" Adeyemi-Brandt',
        "Tadhg Mac Giolla",
        "O'Brien",
        "荒川 健二",
        "Æ",
    ],
)
def test_people_are_called_as_they_are_called(name: str) -> None:
    """Quotation marks, apostrophes, any script."""
    assert checked_name(f"\t{name} ") == name


@given(st.dates())
def test_every_day_is_a_day(day: date) -> None:
    """Leap days too; no day is no fault."""
    checked_day(day.isoformat())
    checked_day(None)

    assert len(day.isoformat()) == 10


@pytest.mark.parametrize(
    "text",
    [
        "",
        "today",
        "2026-02-29",
        "2100-02-29",
        "2026-13-01",
        "2026-1-5",
        "20260105",
        "2026-W02-1",
        "2026-01-05\n",
        " 2026-01-05",
        "2026-01-05T08:00:00Z",
        "\u0662\u0660\u0662\u0666-01-05",
        "0000-01-01",
        "9" * 5000,
    ],
)
def test_what_is_no_day_is_refused(text: str) -> None:
    """The answer shows how one is written."""
    with pytest.raises(RefusedError, match="is no day such as 2026-11-21"):
        checked_day(text)


def test_a_reason_is_kept_under_whoever_signs(loft: Loft) -> None:
    """Its commitment opens to the very words, without the spaces around them."""
    subject = loft.person("03").subject
    with (
        loft.shop.turn() as turn,
        kept_reason(turn, loft.keys["03"].id, " the owner is waiting ") as commitment,
    ):
        pass
    opening = loft.shop.vault.opening_of(commitment)

    assert opening is not None and opening.value == "the owner is waiting"
    assert "reason" in loft.shop.vault.fields(subject)


def test_a_reason_goes_again_where_nothing_is_said(loft: Loft) -> None:
    """And nobody gives one whom the log does not know."""
    subject = loft.person("03").subject
    with (
        pytest.raises(ZeroDivisionError),
        loft.shop.turn() as turn,
        kept_reason(turn, loft.keys["03"].id, "the owner is waiting"),
    ):
        raise ZeroDivisionError
    with (
        pytest.raises(RefusedError, match="nobody's here: a reason has somebody's"),
        loft.shop.turn() as turn,
        kept_reason(turn, loft.roots[0].id, "the owner is waiting"),
    ):
        pass

    assert "reason" not in loft.shop.vault.fields(subject)


@pytest.mark.parametrize(
    ("text", "wide"),
    # A Latin and a Greek letter, ideographs, full-width and half-width letters.
    [("Æ", 1), ("ω", 1), ("荒川", 4), ("Ａ", 2), ("ｱ", 1), ("", 0)],
)
def test_a_wide_character_takes_the_room_of_two(text: str, wide: int) -> None:
    """Classes of the Unicode Standard Annex #11."""
    assert breadth(text) == wide


@pytest.mark.parametrize(
    ("typed", "code"), [("IT", "IT"), ("us", "US"), (" Jp ", "JP"), (None, None)]
)
def test_a_country_is_a_code_of_the_standard_in_any_case(
    typed: str | None, code: str | None
) -> None:
    """Source: ISO 3166-1 alpha-2, whose codes are capitals."""
    assert checked_country(typed) == code


@pytest.mark.parametrize("typed", ["br", "BR", "Brazil", "brazil"])
def test_a_place_on_the_way_is_read_by_code_or_name(typed: str) -> None:
    """In any case."""
    assert place_from(typed) == "BR"


@pytest.mark.parametrize(
    ("code", "why"),
    [
        ("ZZ", "ZZ is the code of no country"),
        ("EU", "EU is the code of no country"),
        ("Italy", "'Italy' is no country of two letters such as IT: write IT"),
        ("italy", "'italy' is no country of two letters such as IT: write IT"),
        ("Atlantis", "write the two letters of its code"),
        ("European Union", "write the two letters of its code"),
        ("zz", "ZZ is the code of no country: look at the two letters again"),
        ("uk", "UK is the code of no country: write GB"),
        ("ß", "'ß' is no country of two letters"),
    ],
)
def test_what_is_no_country_is_told_what_to_write(code: str, why: str) -> None:
    """The code, where the name is known."""
    with pytest.raises(RefusedError, match=why):
        checked_country(code)


@pytest.mark.parametrize("day", ["1026-01-01", "1899-12-31", "0001-01-01"])
def test_no_stock_is_older_than_the_shop_s_grandfathers(day: str) -> None:
    """Old stock of the twenties is taken, and what came in on the first day asked."""
    checked_arrival("1900-01-01")
    checked_arrival("1924-05-01")
    with pytest.raises(RefusedError, match="is before 1900, and no stock is so old"):
        checked_arrival(day)


def test_near_names_are_offered_and_far_ones_are_not() -> None:
    """Whatever their case; of none nothing is asked."""
    steps = ["inlay the rosette", "thickness the top", "thickness the back"]

    assert nearest("Inlay the Rosete", steps) == ["inlay the rosette"]
    assert meant_words(nearest("thickness the tap", steps)[:1]) == (
        "; is thickness the top meant?"
    )
    assert meant_words(nearest("varnish", steps)) == ""


@given(st.text(max_size=40))
def test_spaces_and_capitals_tell_no_names_apart(text: str) -> None:
    """A name is the same as itself, however it is spread out."""
    assert is_same(text, " ".join(text))


@pytest.mark.parametrize(
    ("typed", "code"), [("in", "IN"), (" India ", "IN"), ("Mexico", "MX"), (None, None)]
)
def test_a_country_of_harvest_is_typed_by_code_or_name(
    typed: str | None, code: str | None
) -> None:
    """Or left out where nobody knows it."""
    assert harvest_country(typed) == code


@pytest.mark.parametrize(
    ("typed", "said"),
    [("EU", "not for the Union: name each member"), ("Atlantis", "is no country")],
)
def test_what_is_no_one_country_has_no_harvest(typed: str, said: str) -> None:
    """Papers ask for the one that it grew in."""
    with pytest.raises(RefusedError, match=said):
        harvest_country(typed)


@pytest.mark.parametrize(
    "words", ["to a.rousset@example.org", "mail: x@y.example", "+44 20 7946 0018"]
)
def test_how_somebody_is_reached_stands_in_no_entry(words: str) -> None:
    """An address is refused where it could not be erased; a reason is kept aside."""
    with pytest.raises(RefusedError, match="is never erased: leave that out"):
        checked_words("condition", words)

    assert checked_words("reason", words) == words
    assert checked_words("place", words) == words


@pytest.mark.parametrize(
    "words", ["44 mm @ the nut", "+0.5 mm", "CITES 26GB 0417-22", "2 + 2 halves", "+12"]
)
def test_measures_and_numbers_of_papers_are_no_addresses(words: str) -> None:
    """A sign of at or plus alone reaches nobody."""
    assert checked_words("condition", words) == words
