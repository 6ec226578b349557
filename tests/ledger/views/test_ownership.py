"""What a key says past every act is not folded: a code is used once, by its own."""

import pytest

from ledger.errors import TamperError
from ledger.events import (
    CertificateWithdrawn,
    Event,
    NoticeSent,
    OwnerTransferred,
    SlipFound,
    SlipIssued,
    SlipLost,
    SlipPrinted,
    SlipPrintedV1,
    TheftReported,
    TheftWithdrawn,
)
from ledger.views.certificates import Certificate, certificates_of
from ledger.views.ownership import codes_of, open_code, states_now, states_of
from tests.handed import SERIAL, handed_on, reported, slip_of
from tests.skerrymoor import Loft

NUMBER, AB, CD = "C-2026-00001", "ab" * 32, "cd" * 32


def issued(slip: str = "W-2026-00009", digest: str = AB) -> SlipIssued:
    """Return the sentence that gives a slip its number."""
    return SlipIssued(
        slip=slip, serial=SERIAL, certificate=NUMBER, transfer_sha256=digest
    )


def transferred(digest: str = AB) -> OwnerTransferred:
    """Return the sentence that uses a code up."""
    return OwnerTransferred(
        owner="ab" * 16,
        serial=SERIAL,
        certificate=NUMBER,
        name_commitment=CD,
        consumed_sha256=digest,
        transferred_on="2026-01-05",
    )


def theft(number: int, serial: str = SERIAL) -> TheftReported:
    """Return the sentence that reports one."""
    return TheftReported(
        serial=serial,
        number=number,
        claimant="cd" * 16,
        name_commitment=CD,
        said_on="2026-01-05",
    )


def printed(slip: str) -> SlipPrinted:
    """Say that a slip was drawn, with the head of one entry."""
    return SlipPrinted(slip=slip, size=1, root=CD, sha256=AB)


FALSE: tuple[tuple[Event, str], ...] = (
    (issued("W-2026-00001"), "W-2026-00001 was taken"),
    (issued(), "has a code that works"),
    (transferred(), "was handed over with had ended"),
    (printed("W-2026-00009"), "no slip W-2026-00009"),
    (SlipPrintedV1(slip="W-2026-00009", sha256=AB), "no slip W-2026-00009"),
    (SlipLost(slip="W-2026-00009"), "no slip W-2026-00009"),
    (SlipFound(slip="W-2026-00001"), "was said to be so, or has ended"),
    (NoticeSent(slip="W-2026-00001"), "was said to be so, or has ended"),
    (theft(2), "report 2 of 26-0001-8 is not the next"),
    (theft(1, "26-0002-6"), "26-0002-6 has no certificate"),
    (TheftWithdrawn(serial=SERIAL, number=1), "no report 1 of 26-0001-8 stood"),
    (CertificateWithdrawn(number="C-2026-00009"), "no certificate C-2026-00009"),
)


def test_what_was_not_so_before_it_is_refused(certified: Loft) -> None:
    """With what is wrong, and nothing is written."""
    slip_of(certified)
    size = certified.shop.store.head().size
    for event, said in FALSE:
        with pytest.raises(TamperError, match=said):
            certified.say(event)
    assert certified.shop.store.head().size == size


def test_a_code_that_was_used_does_nothing_more(certified: Loft) -> None:
    """It is neither used again nor lost, and the next one has its slip."""
    slip = slip_of(certified)
    first = works(certified)
    handed_on(certified, slip)
    for event, said in (
        (transferred(first), "was handed over with had ended"),
        (issued(digest=works(certified)), "is on slip W-2026-00002"),
        (SlipLost(slip=slip.number), "was said to be so, or has ended"),
    ):
        with pytest.raises(TamperError, match=said):
            certified.say(event)


def test_a_newer_certificates_own_code_takes_a_slips_place_where_it_is_said(
    certified: Loft,
) -> None:
    """Older entries say so, and fold as they did."""
    slip_of(certified)
    certified.say(CertificateWithdrawn(number=NUMBER))
    certified.issue(SERIAL)
    with certified.shop.store.reading() as session:
        first, second = codes_of(session, SERIAL)
        assert (first.how, second.how) == (None, "unused")
    certified.say(
        SlipIssued(
            slip="W-2026-00002",
            serial=SERIAL,
            certificate=second.certificate,
            transfer_sha256=second.sha256,
        )
    )
    with certified.shop.store.reading() as session:
        first, second = codes_of(session, SERIAL)
    assert (first.how, second.how, second.slip) == ("superseded", None, "W-2026-00002")
    assert works(certified) == second.sha256


def test_a_notice_is_sent_once(certified: Loft) -> None:
    """Of a slip that is lost, and anew when it is lost anew."""
    slip = slip_of(certified).number
    for _ in range(2):
        for event in (SlipLost(slip=slip), NoticeSent(slip=slip)):
            certified.say(event)
        with pytest.raises(TamperError, match=f"the notice of slip {slip} was sent"):
            certified.say(NoticeSent(slip=slip))
        certified.say(SlipFound(slip=slip))


def works(loft: Loft) -> str:
    """Return the digest of the code that works."""
    with loft.shop.store.reading() as session:
        row = open_code(session, SERIAL)
        assert row is not None
        return row.sha256


def test_what_ended_does_not_end_again(certified: Loft) -> None:
    """A certificate is withdrawn once, a report too."""
    reported(certified)
    for event in (
        CertificateWithdrawn(number=NUMBER),
        TheftWithdrawn(serial=SERIAL, number=1),
    ):
        certified.say(event)
        with pytest.raises(TamperError, match="before this"):
            certified.say(event)


def test_all_states_at_once_are_those_of_each(certified: Loft) -> None:
    """Of every certificate that has any, by the digest of its token."""
    certified.say(CertificateWithdrawn(number=NUMBER))
    certified.issue(SERIAL)
    certified.issue(certified.another())
    reported(certified)
    with certified.shop.store.reading() as session:
        rows = certificates_of(session, SERIAL)
        each = {row.status_token_sha256: states_of(session, row) for row in rows}
        (other,) = certificates_of(session, "26-0002-6")
        assert states_now(session) == each
        assert states_of(session, other) == ()
        assert isinstance(other, Certificate)
    assert list(each.values()) == [
        ("reported", "superseded", "withdrawn"),
        ("reported",),
    ]
