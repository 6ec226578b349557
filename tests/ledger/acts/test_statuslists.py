"""The shop's status list speaks for the entries of its day, under the next number."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import statuslists, thefts, withdrawing
from ledger.errors import NotFoundError, RefusedError
from ledger.log.statusfile import read_status_list
from tests.handed import SERIAL, card_of, later, listed, reported
from tests.skerrymoor import Loft

NUMBER = "C-2026-00001"


def said(loft: Loft) -> list[tuple[str, ...]]:
    """Return the states that a list of today has, by their words."""
    return sorted(read_status_list(listed(loft)).states.values())


def test_of_what_is_true_and_newest_nothing_is_listed(certified: Loft) -> None:
    """An owner's report is, and only while it stands."""
    assert said(certified) == []
    reported(certified)
    assert said(certified) == [("reported",)]
    thefts.withdraw(
        certified.shop, serial=SERIAL, number=1, reason="home", hands=certified.hands()
    )
    assert said(certified) == []


def test_each_certificate_is_listed_by_its_own_token(certified: Loft) -> None:
    """Withdrawn and superseded, the newer one neither; reported, both."""
    withdrawing.withdraw(
        certified.shop, number=NUMBER, reason="mass", hands=certified.hands()
    )
    assert said(certified) == [("withdrawn",)]
    certified.issue(SERIAL)
    assert said(certified) == [("superseded", "withdrawn")]
    reported(certified)
    assert said(certified) == [("reported",), ("reported", "superseded", "withdrawn")]


def test_numbers_rise_and_each_list_is_kept(certified: Loft) -> None:
    """With the keys files; the same again is another number, of its own day."""
    shop = certified.shop
    first = statuslists.issue_status(shop, next_on=None, card=card_of(certified))
    later(certified, 3)
    second = statuslists.issue_status(
        shop, next_on="2026-01-20", card=card_of(certified)
    )
    one, two = (read_status_list(each.path.read_bytes()) for each in (first, second))

    size = shop.store.head().size
    assert [each.path.name for each in (first, second)] == [
        f"status-{size:04d}.json",
        f"status-{size + 1:04d}.json",
    ]
    assert (one.number, one.issued, one.next) == (size, "2026-01-05", "2026-02-04")
    assert (two.number, two.issued, two.next) == (size + 1, "2026-01-08", "2026-01-20")
    assert one.size == two.size == shop.store.head().size
    assert one.origin == shop.standing().origin
    assert one.is_signed_by(card_of(certified).public)
    assert statuslists.newest_list(shop) == second.path
    newest = shop.store.newest_checkpoint()
    assert newest is not None and newest[0] == size


def test_no_number_is_given_twice_though_the_lists_are_gone(
    certified: Loft, tmp_path: Path
) -> None:
    """The log's size counts, and what this account remembers of its lists."""
    shop = replace(certified.shop, state=tmp_path / "state")
    numbers = []
    for _ in range(2):
        for __ in range(2):
            made = statuslists.issue_status(shop, next_on=None, card=card_of(certified))
            numbers.append(made.number)
        shutil.rmtree(shop.folder / "published")
    size = shop.store.head().size

    assert numbers == [size, size + 1, size + 2, size + 3]
    reported(certified)
    forgetful = replace(certified.shop, state=tmp_path / "another")
    made = statuslists.issue_status(forgetful, next_on=None, card=card_of(certified))
    assert made.number == made.size == size + 1


def test_a_list_whose_head_is_not_signed_does_not_stay(certified: Loft) -> None:
    """It never left, and its number is free."""
    (certified.shop.keys / "log.json").unlink()
    with pytest.raises(NotFoundError):
        statuslists.issue_status(certified.shop, next_on=None, card=card_of(certified))
    assert statuslists.newest_list(certified.shop) is None


def test_a_day_that_is_past_replaces_nothing(certified: Loft) -> None:
    """Nor one that is none, or is further off than a year; no file is left."""
    for day, words in (
        ("2026-01-04", "is not replaced on"),
        ("soon", "no day such"),
        ("2027-01-07", "meanwhile: give a day up to 2027-01-06"),
    ):
        with pytest.raises(RefusedError, match=words):
            statuslists.issue_status(
                certified.shop, next_on=day, card=card_of(certified)
            )
    assert statuslists.newest_list(certified.shop) is None
