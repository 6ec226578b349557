"""Whose it was and is: all of it for the office, and for others all but the names."""

import pytest

from ledger.acts import ownership, people, slips
from ledger.acts.owners import owner_subject
from ledger.errors import NotFoundError, RefusedError
from tests.handed import (
    SERIAL,
    handed_on,
    later,
    lost,
    noticed,
    reported,
    slip_of,
)
from tests.skerrymoor import Loft


def test_the_office_reads_the_names_and_others_that_there_are_some(
    certified: Loft,
) -> None:
    """Owners in order, codes with how they ended, reports."""
    certified.sell(SERIAL)
    handed_on(certified, slip_of(certified))
    reported(certified)
    lead, papers = (
        ownership.ownership(certified.shop, SERIAL, certified.keys[badge])
        for badge in ("01", "12")
    )

    assert [(each.which, each.name) for each in lead.owners] == [
        (1, "Amélie Rousset"),
        (2, "Kenji Arakawa"),
    ]
    assert [each.name for each in lead.reports] == ["Aldous Ferrante"]
    assert {each.name for each in papers.owners} == {ownership.SEALED}
    assert {each.name for each in papers.reports} == {ownership.SEALED}
    assert [(code.slip, code.how) for code in lead.codes] == [
        ("W-2026-00001", "used"),
        ("W-2026-00002", None),
    ]


def test_an_erased_name_is_told_as_erased(certified: Loft) -> None:
    """Also to the office."""
    certified.sell(SERIAL)
    subject = owner_subject(certified.shop, SERIAL)
    people.erase(certified.shop, subject, certified.hands("12", "01"))
    found = ownership.ownership(certified.shop, SERIAL, certified.keys["01"])

    assert [each.name for each in found.owners] == [ownership.ERASED]


def test_what_has_no_certificate_has_no_owner(certified: Loft) -> None:
    """It is told so."""
    with pytest.raises(NotFoundError, match="no certificate yet, and so no owner"):
        ownership.ownership(certified.shop, "26-0002-6", certified.keys["01"])


def test_a_notice_goes_to_the_owner_entered_last(certified: Loft) -> None:
    """With the day from which another slip may be made, and no code."""
    certified.sell(SERIAL)
    handed_on(certified, slip_of(certified))
    slip = slip_of(certified)
    letter = certified.shop.folder.parent / "letter.txt"
    letter.write_text("I lost it in the move.", encoding="utf-8")
    hands = certified.hands("12")
    index = slips.lost(certified.shop, SERIAL, hands, letter=letter).index
    notice = ownership.draft_notice(certified.shop, SERIAL, certified.keys["01"])

    assert (notice.to, notice.slip) == ("Kenji Arakawa", slip.number)
    assert f"entry {index}" in notice.facts[0]
    assert notice.until == "2026-02-04"
    assert notice.until in notice.facts[1]
    newest = certified.shop.store.newest_checkpoint()
    assert newest is not None and newest[0] == index + 1
    slips.notice_sent(certified.shop, SERIAL, certified.hands("12"))
    later(certified, 3)
    again = ownership.draft_notice(certified.shop, SERIAL, certified.keys["01"])
    assert again.until == notice.until


def test_a_notice_needs_a_loss_a_name_and_an_office(certified: Loft) -> None:
    """Each is asked for by name."""
    shop, keys = certified.shop, certified.keys
    slip_of(certified)
    with pytest.raises(RefusedError, match="no slip of 26-0001-8 is said to be lost"):
        ownership.draft_notice(shop, SERIAL, keys["01"])
    lost(certified)
    with pytest.raises(NotFoundError, match="the notice goes to nobody: enter that"):
        ownership.draft_notice(shop, SERIAL, keys["01"])
    with pytest.raises(RefusedError, match="does not open the office"):
        ownership.draft_notice(shop, SERIAL, keys["03"])
    noticed(certified)
    later(certified, 30)
    assert slip_of(certified).number == "W-2026-00002"
