"""Whence things set out: as it was said, else from the shop's own country."""

from dataclasses import replace

import pytest

from ledger.acts.departing import start_of, with_start
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from tests.skerrymoor import Loft

ASKED = {"taxon": "Picea abies", "to": "JP"}


def at(loft: Loft, country: str) -> Shop:
    """Return the shop with a country of its own in its settings."""
    settings = replace(loft.shop.settings, country=country)
    return replace(loft.shop, settings=settings)


def test_the_shop_s_own_country_stands_in_where_nothing_is_said(loft: Loft) -> None:
    """And the answer says from where."""
    start = start_of(at(loft, "CA"), None)

    assert (start.country, start.is_of_shop) == ("CA", True)
    assert start.words == "from Canada, the shop's own country"


@pytest.mark.parametrize("said", ["FR", "fr", "France"])
def test_what_is_said_comes_before_the_setting(loft: Loft, said: str) -> None:
    """In two letters or by name."""
    start = start_of(at(loft, "CA"), said)

    assert (start.country, start.is_of_shop) == ("FR", False)
    assert start.words == "from France"


def test_where_neither_says_it_both_ways_are_told(loft: Loft) -> None:
    """The option for once, the line of the file for good."""
    with pytest.raises(RefusedError) as refused:
        start_of(at(loft, ""), None)

    assert str(refused.value) == (
        f"nothing says where it starts: give --from, or write the shop's own country "
        f'once into {loft.shop.folder / "shop.toml"}, as country = "CA"'
    )
    with pytest.raises(RefusedError, match="'' is no country"):
        start_of(at(loft, "CA"), "")


def test_a_question_may_leave_its_start_to_the_shop(loft: Loft) -> None:
    """It says so only where it says where it goes."""
    whole, start = with_start(ASKED, at(loft, "CA"))

    assert whole == {**ASKED, "from": "CA"}
    assert start is not None and start.is_of_shop


@pytest.mark.parametrize(
    "asked", [{**ASKED, "from": "US"}, {"legs": ["US", "JP"]}, ["no question"], 4, None]
)
def test_what_says_it_itself_is_left_as_it_is(loft: Loft, asked: object) -> None:
    """With a setting or without a shop."""
    assert with_start(asked, at(loft, "CA")) == (asked, None)
    assert with_start(asked, None) == (asked, None)


def test_a_question_without_a_start_is_refused(loft: Loft) -> None:
    """Whether the shop says none, or no shop is named."""
    with pytest.raises(RefusedError, match=r'"from" in the question, or .* = "CA"$'):
        with_start(ASKED, at(loft, ""))
    with pytest.raises(RefusedError, match=r"and name the shop with --shop$"):
        with_start(ASKED, None)
