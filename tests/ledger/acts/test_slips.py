"""A slip has a number before there is paper, and a lost one works for thirty days."""

from pathlib import Path

import pytest

from ledger.acts import copies, people, slips, withdrawing
from ledger.acts.owners import owner_subject
from ledger.acts.slipcodes import code_digest
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.views.ownership import codes_of
from tests.handed import SERIAL, handed_on, later, reported, slip_of
from tests.skerrymoor import Loft


def lost(loft: Loft) -> int:
    """Enter that the slip is lost; return the entry."""
    return slips.lost(loft.shop, SERIAL, loft.hands("12")).index


def test_the_first_slip_bears_the_certificates_own_code(certified: Loft) -> None:
    """It gets its number by an entry, and is the same whenever it is drawn."""
    first = slip_of(certified)
    size = certified.shop.store.head().size

    assert (first.number, first.certificate) == ("W-2026-00001", "C-2026-00001")
    assert slip_of(certified) == first
    assert certified.shop.store.head().size == size
    with certified.shop.store.reading() as session:
        (code,) = codes_of(session, SERIAL)
    assert code.sha256 == code_digest(first.code)
    assert code.prints == 0


def test_prints_are_counted(certified: Loft) -> None:
    """A number without one may never have been on paper."""
    first = slip_of(certified)
    for _ in range(2):
        slips.printed(
            certified.shop,
            slip=first.number,
            sha256_hex="ab" * 32,
            hands=certified.hands("12"),
        )
    with certified.shop.store.reading() as session:
        assert codes_of(session, SERIAL)[0].prints == 2


def test_a_lost_slip_works_for_thirty_days_and_then_another_takes_its_place(
    certified: Loft,
) -> None:
    """Who only says that it is lost locks nobody out."""
    first = slip_of(certified)
    index = lost(certified)
    later(certified, 29)
    with pytest.raises(RefusedError, match=f"entry {index}.* from 2026-02-04 on"):
        slip_of(certified)
    later(certified, 1)
    second = slip_of(certified)

    assert second.number == "W-2026-00002"
    assert second.code != first.code
    with pytest.raises(RefusedError, match="slip W-2026-00001 was said to be lost, an"):
        handed_on(certified, first)
    assert handed_on(certified, second).used == second.number
    assert audit(certified.shop).findings == ()


def test_until_then_the_old_code_hands_it_on(certified: Loft) -> None:
    """That ends the notice too: the next slip is nobody's lost one."""
    first = slip_of(certified)
    lost(certified)
    handed_on(certified, first)

    assert slip_of(certified).number == "W-2026-00002"


def test_an_objection_ends_the_notice(certified: Loft) -> None:
    """The slip goes on working, and its loss can be entered anew."""
    first = slip_of(certified)
    lost(certified)
    slips.found(certified.shop, SERIAL, certified.hands("12"))
    later(certified, 30)

    assert slip_of(certified) == first
    lost(certified)
    with pytest.raises(RefusedError, match="from 2026-03-06 on"):
        slip_of(certified)


def test_while_a_report_stands_no_lost_slip_is_replaced(certified: Loft) -> None:
    """A thief has no slip, and may say that it is lost."""
    slip_of(certified)
    lost(certified)
    later(certified, 30)
    reported(certified)
    with pytest.raises(RefusedError, match="is reported"):
        slip_of(certified)


def test_an_owners_letter_is_filed_as_personal_and_goes_with_the_name(
    certified: Loft, tmp_path: Path
) -> None:
    """The entry names the paper by its code."""
    certified.sell(SERIAL)
    slip_of(certified)
    letter = tmp_path / "letter.txt"
    letter.write_bytes(b"my slip burnt with the cupboard, yours Am\xc3\xa9lie")
    owner = owner_subject(certified.shop, SERIAL)
    entry = slips.lost(
        certified.shop, SERIAL, certified.hands("12"), letter=letter, about=owner
    )

    assert entry.event["letter"] == "D26-0002"
    assert len(certified.shop.vault.attachments_of(owner)) == 1
    people.erase(certified.shop, owner, certified.hands("12", "01"))
    assert certified.shop.vault.attachments_of(owner) == ()
    assert [found.detail for found in audit(certified.shop).findings] == [
        "the salt of D26-0002 is not in the vault"
    ]


def test_no_slip_is_lost_twice_or_found_before_or_lost_before_it_is_there(
    certified: Loft,
) -> None:
    """Each says which it is, and what to do."""
    hands, shop = certified.hands("12"), certified.shop
    with pytest.raises(NotFoundError, match="draw it with flitchbook owner slip"):
        slips.lost(shop, SERIAL, hands)
    slip_of(certified)
    with pytest.raises(RefusedError, match="is not said to be lost"):
        slips.found(shop, SERIAL, hands)
    lost(certified)
    with pytest.raises(RefusedError, match="already: another takes its place from"):
        lost(certified)
    with pytest.raises(NotFoundError, match="no certificate yet"):
        slip_of(certified, "26-0002-6")


def test_of_a_withdrawn_certificate_there_is_no_slip(certified: Loft) -> None:
    """Another certificate comes with another code."""
    withdrawing.withdraw(
        certified.shop, number="C-2026-00001", reason="mass", hands=certified.hands()
    )
    with pytest.raises(RefusedError, match="was withdrawn by entry"):
        slip_of(certified)


def test_a_newer_certificate_ends_the_older_ones_slip(certified: Loft) -> None:
    """Its code came with the paper that is superseded."""
    first = slip_of(certified)
    withdrawing.withdraw(
        certified.shop, number="C-2026-00001", reason="mass", hands=certified.hands()
    )
    certified.issue(SERIAL)

    with pytest.raises(RefusedError, match="came with C-2026-00001, and by entry"):
        handed_on(certified, first)
    assert handed_on(certified, slip_of(certified)).used == "W-2026-00002"


def test_whoever_may_not_is_refused_and_no_code_stays(certified: Loft) -> None:
    """A builder hands nothing on."""
    known = certified.shop.vault.subjects()
    with pytest.raises(RefusedError, match="giving a transfer slip its number needs"):
        slips.slip_for(certified.shop, SERIAL, certified.hands("03"))
    first = slip_of(certified)
    lost(certified)
    later(certified, 30)
    with pytest.raises(RefusedError, match="giving a transfer slip its number needs"):
        slips.slip_for(certified.shop, SERIAL, certified.hands("03"))

    assert certified.shop.vault.subjects() == known
    assert first.code not in b"".join(
        path.read_bytes() for path in certified.shop.folder.glob("ledger*")
    )


def test_rebuilding_sweeps_no_code_that_works(certified: Loft) -> None:
    """The log speaks of each slip by its number."""
    handed_on(certified, slip_of(certified))
    before = slip_of(certified)
    copies.rebuild(certified.shop)

    assert slip_of(certified) == before
