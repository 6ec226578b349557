"""Movements as people write them."""

from datetime import date
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.movement import (
    Movement,
    Purpose,
    crossings,
    place_for,
    place_name,
    place_words,
    purpose_for,
    purpose_words,
    read_movement,
    says_inside,
    where_words,
)
from tests.ledger.trade.asking import CASES


@pytest.mark.parametrize(
    ("line", "legs", "purpose", "owner_changes"),
    [
        ("EU -> US, sale", ("EU", "US"), "sale", True),
        ("US -> EU -> US, no sale", ("US", "EU", "US"), "no sale", None),
        ("GT -> US", ("GT", "US"), None, None),
        ("FR → JP , Sale", ("FR", "JP"), "sale", True),
        ("Japan to France, concert", ("JP", "FR"), "performance", False),
        ("US interstate sale", ("US",), "sale", True),
        ("UK sale", ("GB",), "sale", True),
        ("EU internal, sale", ("EU",), "sale", True),
        ("inside Germany, no sale", ("DE",), "no sale", None),
        ("DE -> FR, gift", ("DE", "FR"), "gift", True),
        ("uk -> eu, sale and repair", ("GB", "EU"), "sale", True),
        ("New Zealand sale", ("NZ",), "sale", True),
    ],
)
def test_a_movement_is_read_from_a_line(
    line: str, legs: tuple[str, ...], purpose: str | None, owner_changes: bool | None
) -> None:
    """The route, what for, and whether the owner changes."""
    found = read_movement(line)

    assert found is not None
    assert (found.legs, found.purpose) == (legs, purpose)
    assert found.owner_changes is owner_changes


@pytest.mark.parametrize(
    "line",
    [
        "",
        "->",
        "foo -> bar",
        "US -> ",
        "US EU",
        "US -> EU, 日本",
        "sale",
        "US -> XX",
        "US -> EU, sale, or perhaps not",
        "to the moon",
    ],
)
def test_what_does_not_parse_is_not_read(line: str) -> None:
    """No place and no purpose is guessed."""
    assert read_movement(line) is None


def test_every_movement_of_the_worked_cases_is_read() -> None:
    """With several places to set out from where the case says so."""
    for case in CASES:
        assert read_movement(case["movement"]) is not None, case["movement"]

    found = read_movement("CA/IN -> EU")
    assert found is not None and found.starts == ("CA", "IN")


@pytest.mark.parametrize(
    ("purpose", "owner_changes", "is_commercial"),
    [
        ("sale", True, True),
        ("no sale", None, False),
        ("gift", True, False),
        (None, None, None),
        (None, True, True),
        (None, False, None),
    ],
)
def test_trade_is_what_is_sold_or_changes_hands_for_no_stated_reason(
    purpose: Purpose | None, owner_changes: bool | None, is_commercial: bool | None
) -> None:
    """An unknown purpose stays unknown."""
    move = Movement(legs=("FR", "JP"), purpose=purpose, owner_changes=owner_changes)

    assert move.is_commercial is is_commercial


@pytest.mark.parametrize(
    ("legs", "day", "count"),
    [
        (("DE", "FR"), (2024, 5, 1), 0),
        (("DE", "EU"), (2024, 5, 1), 0),
        (("GB", "DE"), (2020, 12, 31), 0),
        (("GB", "DE"), (2021, 1, 1), 1),
        (("HR", "DE"), (2013, 6, 30), 1),
        (("HR", "DE"), (2013, 7, 1), 0),
        (("US", "EU", "US"), (2024, 5, 1), 2),
        (("US", "US"), (2024, 5, 1), 0),
        (("US",), (2024, 5, 1), 0),
        (("US", "FR", "DE", "CH"), (2024, 5, 1), 2),
    ],
)
def test_inside_the_union_no_border_is_crossed(
    legs: tuple[str, ...], day: tuple[int, int, int], count: int
) -> None:
    """Membership counts by the day of the movement."""
    assert len(crossings(legs, date(*day))) == count


@pytest.mark.parametrize(
    ("code", "name", "words"),
    [
        ("GB", "United Kingdom", "the United Kingdom"),
        ("US", "United States", "the United States"),
        ("EU", "European Union", "the European Union"),
        ("NL", "Netherlands", "the Netherlands"),
        ("PH", "Philippines", "the Philippines"),
        ("CZ", "Czech Republic", "the Czech Republic"),
        ("SB", "Solomon Islands", "the Solomon Islands"),
        ("FR", "France", "France"),
        ("CI", "Côte d'Ivoire", "Côte d'Ivoire"),
        ("GM", "Gambia", "the Gambia"),
        ("DM", "Dominica", "Dominica"),
    ],
)
def test_a_place_has_its_article_in_a_sentence_only(
    code: str, name: str, words: str
) -> None:
    """On an address it stands alone."""
    assert (place_name(code), place_words(code)) == (name, words)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("jp", "JP"),
        (" Jp ", "JP"),
        ("japan", "JP"),
        ("uk", "GB"),
        ("eu", "EU"),
        ("côte d'ivoire", "CI"),
        ("zz", None),
        # In capitals it would be the code of South Sudan.
        ("ß", None),
        ("ﬁ", None),
    ],
)
def test_a_place_is_read_in_any_case(text: str, code: str | None) -> None:
    """By its code, by another code of it in use, or by its name."""
    assert place_for(text) == code


def test_every_purpose_means_itself() -> None:
    """What is recorded can be said again."""
    assert all(purpose_for(purpose) == purpose for purpose in get_args(Purpose))
    assert purpose_for("fun") is None


@given(st.text(max_size=100))
def test_any_text_is_read_or_not_and_breaks_nothing(line: str) -> None:
    """What is read names real places."""
    found = read_movement(line)

    assert found is None or all(place_for(code) == code for code in found.legs)


@pytest.mark.parametrize(
    ("line", "is_inside"),
    [
        ("inside US", True),
        ("UK sale", True),
        ("US no sale", False),
        ("UK, sale", False),
        ("India", False),
        ("in India", True),
        ("", False),
    ],
)
def test_a_line_says_whether_things_stay_inside(line: str, is_inside: bool) -> None:
    """By a word for it, or by a sale there."""
    assert says_inside(line) is is_inside


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("exhibition", "display (exhibition)"),
        ("display", "display (exhibition)"),
        ("sale", "sale"),
        ("", ""),
    ],
)
def test_an_exhibition_is_printed_as_one(typed: str, printed: str) -> None:
    """Beside the word that annotation #10 has for it."""
    assert purpose_words(purpose_for(typed) or "") == printed


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        ({"africa"}, "Africa"),
        ({"neotropics"}, "the Neotropics"),
        ({"GA", "CM"}, "CM, GA"),
        (set(), ""),
    ],
)
def test_a_range_is_told_in_words(codes: set[str], said: str) -> None:
    """Regions by their names, countries by their codes in order."""
    assert where_words(codes) == said
