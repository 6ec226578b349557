"""A slip has a number before there is paper, and a lost one works for thirty days."""

from datetime import timedelta
from pathlib import Path

import pytest

from ledger.acts import copies, people, slips, thefts, withdrawing
from ledger.acts.owners import owner_subject
from ledger.acts.slipcodes import code_digest
from ledger.acts.slips import Slip
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.log.entry import Entry
from ledger.views.ownership import codes_of
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


def printed(loft: Loft, slip: Slip, *yes: str, reason: str | None = None) -> Entry:
    """Record that a slip was drawn for the printer, by whoever keeps the papers."""
    return slips.printed(
        loft.shop,
        slip,
        sha256_hex="ab" * 32,
        hands=loft.hands("12", *yes),
        reason=reason,
    )


def test_a_printed_code_is_given_again_only_for_a_reason_and_with_a_second_yes(
    certified: Loft,
) -> None:
    """A number without a print may never have been on paper; else its holder has it."""
    first = slip_of(certified)
    printed(certified, first)
    for again, said in ((False, "owner slip-lost; where"), (True, "needs a lead's")):
        with pytest.raises(RefusedError, match=said):
            slips.slip_for(certified.shop, SERIAL, certified.hands("12"), again=again)
    for yes, reason, said in (
        ((), None, "was printed already, and its code is for whoever"),
        (("03",), "a spoilt print", "the yes of another who keeps"),
        (("12",), "a spoilt print", "the yes of another who keeps"),
        (("01",), " ", "the reason has 1 to"),
    ):
        with pytest.raises(RefusedError, match=said):
            printed(certified, first, *yes, reason=reason)
    both = certified.hands("12", "01")
    assert slips.slip_for(certified.shop, SERIAL, both, again=True) == first
    entry = printed(certified, first, "01", reason="a spoilt print")
    slips.slip_for(certified.shop, SERIAL, certified.hands("01"), again=True)

    assert entry.event["kind"] == "owner.slip-printed/2"
    assert len(entry.event["reason_commitment"]) == 64
    with certified.shop.store.reading() as session:
        assert codes_of(session, SERIAL)[0].prints == 2
    assert audit(certified.shop).findings == ()


def test_a_slips_number_is_under_a_signed_head(certified: Loft) -> None:
    """So that it is not given twice after the shop was put back."""
    slip = slip_of(certified)
    newest = certified.shop.store.newest_checkpoint()

    assert newest is not None and newest[0] == slip.entry + 1


def test_a_lost_slip_works_for_thirty_days_and_then_another_takes_its_place(
    certified: Loft,
) -> None:
    """Who only says that it is lost locks nobody out."""
    first = slip_of(certified)
    index = lost(certified)
    later(certified, 60)
    with pytest.raises(RefusedError, match=f"entry {index}.*: write to the last known"):
        slip_of(certified)
    certified.clock.moment -= timedelta(days=60)
    sent = noticed(certified)
    with pytest.raises(RefusedError, match=f"sent by entry {sent} already: another ta"):
        noticed(certified)
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
    index = lost(certified)
    with pytest.raises(RefusedError, match=rf"entered by .* \(entry {index}\): ask bo"):
        handed_on(certified, first)
    made = handed_on(certified, first, yes=("01",))
    assert made.lost is not None and f"entry {index}" in made.lost

    assert slip_of(certified).number == "W-2026-00002"


def test_an_objection_ends_the_notice(certified: Loft) -> None:
    """The slip goes on working, and its loss can be entered anew."""
    first = slip_of(certified)
    lost(certified)
    noticed(certified)
    slips.found(certified.shop, SERIAL, certified.hands("12"))
    later(certified, 30)

    assert slip_of(certified) == first
    lost(certified)
    with pytest.raises(RefusedError, match="enter that with slip-notice-sent"):
        slip_of(certified)
    noticed(certified)
    with pytest.raises(RefusedError, match="from 2026-03-06 on"):
        slip_of(certified)


def test_while_a_report_stands_no_lost_slip_is_replaced(certified: Loft) -> None:
    """A thief has no slip, and may say that it is lost."""
    slip_of(certified)
    lost(certified)
    noticed(certified)
    later(certified, 30)
    reported(certified)
    with pytest.raises(RefusedError, match="is reported"):
        slip_of(certified)


def test_while_a_report_stands_no_slip_is_drawn_for_the_first_time(
    certified: Loft,
) -> None:
    """Whoever asks for it may be the thief, and no number is taken for them."""
    number = reported(certified).number
    size = certified.shop.store.head().size
    with pytest.raises(RefusedError, match=r"report 1 .*draw no slip until flitchbook"):
        slip_of(certified)
    assert certified.shop.store.head().size == size

    thefts.withdraw(
        certified.shop,
        serial=SERIAL,
        number=number,
        reason="found",
        hands=certified.hands(),
    )
    assert slip_of(certified).number == "W-2026-00001"


def test_a_slip_that_is_out_is_not_drawn_again_while_a_report_stands(
    certified: Loft,
) -> None:
    """Not with a second yes either, nor entered as drawn; its code stays its own."""
    first, both = slip_of(certified), certified.hands("12", "01")
    printed(certified, first)
    reported(certified)
    with pytest.raises(RefusedError, match="is reported"):
        slips.slip_for(certified.shop, SERIAL, both, again=True)
    with pytest.raises(RefusedError, match="is reported"):
        printed(certified, first, "01", reason="a spoilt print")
    thefts.withdraw(
        certified.shop,
        serial=SERIAL,
        number=1,
        reason="found",
        hands=certified.hands(),
    )

    assert slips.slip_for(certified.shop, SERIAL, both, again=True) == first


def test_an_owners_letter_is_filed_as_personal_and_goes_with_the_name(
    certified: Loft, tmp_path: Path
) -> None:
    """The entry names the paper by its code."""
    certified.sell(SERIAL)
    slip_of(certified)
    letter = tmp_path / "letter.txt"
    letter.write_bytes(b"my slip burnt with the cupboard, yours Am\xc3\xa9lie")
    owner = owner_subject(certified.shop, SERIAL)
    with pytest.raises(RefusedError, match="is lost by its owner's word: scan"):
        slips.lost(certified.shop, SERIAL, certified.hands("01"))
    entry = slips.lost(certified.shop, SERIAL, certified.hands("12"), letter=letter)
    slips.notice_sent(certified.shop, SERIAL, certified.hands("12"))

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
    for act in (slips.found, slips.notice_sent):
        with pytest.raises(
            RefusedError, match="not said to be lost: if it is, enter that"
        ):
            act(shop, SERIAL, hands)
    with pytest.raises(RefusedError, match="known by name: this needs a lead's hands"):
        slips.lost(shop, SERIAL, hands)
    with pytest.raises(RefusedError, match="leave out --letter"):
        slips.lost(shop, SERIAL, certified.hands(), letter=Path("letter.txt"))
    lost(certified)
    with pytest.raises(RefusedError, match="known by name: this needs a lead's hands"):
        slips.notice_sent(shop, SERIAL, hands)
    with pytest.raises(RefusedError, match="already: write to the last known owner"):
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


def anew(loft: Loft) -> None:
    """Withdraw the instrument's certificate, and issue another."""
    withdrawing.withdraw(
        loft.shop, number="C-2026-00001", reason="mass", hands=loft.hands()
    )
    loft.issue(SERIAL)


def test_a_newer_certificate_leaves_a_slip_as_it_is(certified: Loft) -> None:
    """Its holder is locked out by no other paper, and a loss goes on waiting."""
    first = slip_of(certified)
    anew(certified)
    assert slip_of(certified) == first
    lost(certified)
    with pytest.raises(RefusedError, match="write to the last known owner"):
        slip_of(certified)
    slips.found(certified.shop, SERIAL, certified.hands("12"))

    assert handed_on(certified, first).used == "W-2026-00001"
    assert slip_of(certified).certificate == "C-2026-00002"
    assert audit(certified.shop).findings == ()


def test_a_code_that_was_on_no_slip_ends_with_its_certificate(certified: Loft) -> None:
    """The newer one's own is for the first slip then."""
    anew(certified)
    slip = slip_of(certified)

    assert (slip.number, slip.certificate) == ("W-2026-00001", "C-2026-00002")
    with certified.shop.store.reading() as session:
        assert [row.how for row in codes_of(session, SERIAL)] == ["superseded", None]


def test_whoever_may_not_is_refused_and_no_code_stays(certified: Loft) -> None:
    """A builder hands nothing on."""
    known = certified.shop.vault.subjects()
    with pytest.raises(RefusedError, match="giving a transfer slip its number needs"):
        slips.slip_for(certified.shop, SERIAL, certified.hands("03"))
    first = slip_of(certified)
    lost(certified)
    noticed(certified)
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
