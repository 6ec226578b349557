"""Where a way leads: to its end, or abroad and home again."""

from datetime import date

import pytest

from ledger.trade.ways import (
    comes_home,
    country_line,
    ends_of,
    entered,
    receiving,
    way_line,
)

DAY = date(2026, 11, 24)


@pytest.mark.parametrize(
    ("way", "is_home", "ends"),
    [
        ("GB US", False, "US"),
        ("GB NL US", False, "US"),
        ("GB US GB", True, "US"),
        ("GB US US GB", True, "US"),
        ("GB FR US GB", True, "FR US"),
        ("GB US FR US GB", True, "US FR"),
        ("GB GB", True, "GB"),
        # The Union is home to its members, and lies abroad for everybody else.
        ("DE US EU", True, "US"),
        ("EU US FR DE", True, "US"),
        ("DE EU", True, "EU"),
        ("US FR EU", False, "EU"),
        ("GB US EU", False, "EU"),
        ("US EU US", True, "EU"),
        # One that set out from one member may come home to another.
        ("DE US FR", True, "US FR"),
        ("DE FR", False, "FR"),
        ("GB US CA", False, "CA"),
    ],
)
def test_a_way_ends_where_it_turns(way: str, is_home: bool, ends: str) -> None:
    """Or at its end, where it does not come home."""
    legs = tuple(way.split())

    assert comes_home(legs, DAY) is is_home
    assert ends_of(legs, DAY) == tuple(ends.split())


def test_britain_was_at_home_in_the_union() -> None:
    """Until the end of 2020."""
    legs = ("GB", "US", "EU")

    assert comes_home(legs, date(2020, 12, 31))
    assert not comes_home(legs, date(2021, 1, 1))


@pytest.mark.parametrize(
    ("way", "where"),
    [
        ("GB US", "US"),
        ("GB NL US", "US"),
        ("GB US GB", "US"),
        ("GB FR US GB", ""),
        ("DE US EU", "US"),
    ],
)
def test_whoever_receives_is_where_the_way_ends(way: str, where: str) -> None:
    """Of several countries abroad nobody knows which."""
    assert receiving(tuple(way.split()), DAY) == where


@pytest.mark.parametrize(
    ("way", "groups"),
    [
        ("GB US", [("US",)]),
        ("GB US GB", [("US",), ("GB",)]),
        ("GB FR DE US GB", [("FR", "DE"), ("US",), ("GB",)]),
        ("FR DE US FR", [("US",), ("FR",)]),
        ("FR US DE FR", [("US",), ("DE", "FR")]),
        ("US FR GB FR US", [("FR",), ("GB",), ("US",)]),
        ("US US", []),
        ("FR DE", []),
    ],
)
def test_members_of_the_union_are_entered_as_one(
    way: str, groups: list[tuple[str, ...]]
) -> None:
    """From outside; what is left and entered inside of it crosses no border."""
    assert list(entered(tuple(way.split()), DAY)) == groups


@pytest.mark.parametrize(
    ("country", "way", "line"),
    [
        ("", "GB US", "United States (US)"),
        ("", "GB US GB", "United States (US)"),
        ("FR", "GB FR US GB", "France (FR)"),
        (
            "",
            "GB FR US GB",
            "country to be added by hand: France (FR) or United States (US)",
        ),
    ],
)
def test_the_last_line_of_an_address_is_its_country(
    country: str, way: str, line: str
) -> None:
    """One that nobody knows is left to the pen, with those that it may be."""
    assert country_line(country, tuple(way.split()), DAY) == line


@pytest.mark.parametrize(
    ("country", "way", "line"),
    [
        ("US", "GB US", "United States (US)"),
        ("US", "GB NL US", "United States (US) via Netherlands (NL)"),
        ("US", "GB US GB", "United States (US), and back"),
        ("US", "GB FR US GB", "United States (US) via France (FR), and back"),
        ("US", "DE US EU", "United States (US), and back"),
        ("FR", "US EU", "France (FR)"),
        ("FR", "DE US FR", "France (FR) via United States (US)"),
        ("US", "DE US FR", "United States (US), then France (FR)"),
        (
            "",
            "DE US FR",
            "country to be added by hand: United States (US) or France (FR)",
        ),
    ],
)
def test_a_way_is_told_in_a_line(country: str, way: str, line: str) -> None:
    """By what it passes, where it goes on, and whether it comes back."""
    assert way_line(country, tuple(way.split()), DAY) == line
