"""What is kept of somebody is counted and never told, and goes when it is erased."""

from typing import Any

import pytest

from ledger.acts import certificates, copies, corrections, people, service
from ledger.acts.owners import owner_subject
from ledger.acts.private import Field, find_subject, kept
from ledger.acts.suppliers import find_supplier
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import LedgerError, NotFoundError
from tests.handed import reported
from tests.ledger.acts.test_people import bytes_under, spelled
from tests.skerrymoor import Loft

SERIAL, NUMBER = "26-0001-8", "C-2026-00001"
OFFICE = ("12", "01")


def sent(loft: Loft, **said: Any) -> int:
    """Send the instrument out; return the entry."""
    return service.send(loft.shop, serial=SERIAL, hands=loft.hands(), **said).index


def test_a_person_is_counted_and_after_erasing_nothing_is_left_but_numbers(
    certified: Loft,
) -> None:
    """Name, reasons and a letter go; badge, digits, commitments and signatures stay."""
    shop, jakub = certified.shop, certified.person("03")
    certified.document("his letter", is_personal=True, about=jakub.subject)
    lead = certified.person("01")
    certified.number(certified.receive())
    index = corrections.correct(
        shop,
        shop.store.head().size - 1,
        reason="entered twice",
        hands=certified.hands(),
    ).index
    before, lead_before = kept(shop, jakub.subject), kept(shop, lead.subject)

    assert (before.who, before.badge, before.erased) == ("person", "03", None)
    assert before.fields == (Field(field="person.name", count=1, sealed=0),)
    assert len(before.files) == 1
    assert jakub.idx in before.named
    assert before.signatures > 0
    assert before.plain == ()
    assert lead_before.reasons == (index,)
    assert [f.field for f in lead_before.fields] == ["person.name", "reason"]
    gone = people.erase(shop, jakub.subject, certified.hands(*OFFICE))
    after = kept(shop, jakub.subject)
    assert (after.fields, after.files, after.plain) == ((), (), None)
    assert (after.badge, after.signatures) == ("03", before.signatures)
    assert after.named == (*before.named, gone.index)
    assert after.erased == gone.index


def test_a_name_that_was_typed_into_the_log_is_found_there(certified: Loft) -> None:
    """It can be read in that entry for ever, and whoever asks is told which."""
    sawyer = find_supplier(certified.shop, "Ferrante")
    assert kept(certified.shop, sawyer.subject).plain == ()
    lot = certified.receive(trade_name="Ferrante & Daughters' own")
    index = certified.shop.store.head().size - 1

    assert kept(certified.shop, sawyer.subject).plain == (index,), lot


def test_an_erased_sawyer_is_nowhere_in_the_shop_and_every_proof_holds(
    certified: Loft,
) -> None:
    """Not in a file, not in a freed page, not in what is published beside it."""
    shop, name = certified.shop, "Ferrante & Daughters"
    sawyer = find_subject(shop, "Ferrante")
    given = certificates.certificate_paper(shop, NUMBER).file.data
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()
    assert name.encode() in given
    assert any(text in bytes_under(shop.folder) for text in spelled(name))
    people.erase(shop, sawyer, certified.hands(*OFFICE))
    found = bytes_under(shop.folder)
    anew = certificates.certificate_paper(shop, NUMBER).file.data

    assert not [text for text in spelled(name) if text in found]
    assert name.encode() not in anew
    assert check_certificate(given, keys)
    assert check_certificate(anew, keys)
    assert audit(shop).findings == ()


def test_an_owner_s_name_is_never_read(certified: Loft) -> None:
    """It is sealed: that there is one is told, and once it is gone that is told too."""
    certified.sell(SERIAL)
    shop, subject = certified.shop, owner_subject(certified.shop, SERIAL)
    told = kept(shop, owner_subject(shop, SERIAL))

    assert (told.who, told.badge, told.plain) == ("owner", None, None)
    assert told.fields == (Field(field="owner.name", count=1, sealed=1),)
    people.erase(shop, subject, certified.hands(*OFFICE))
    assert kept(shop, subject).fields == ()
    assert audit(shop).findings == ()


def test_a_claimant_is_one_and_no_owner(certified: Loft) -> None:
    """The name is sealed as an owner's is, and no trip or order is of a claimant."""
    told = kept(certified.shop, reported(certified).claimant)

    assert (told.who, told.plain, told.elsewhere, told.orders) == (
        "claimant",
        None,
        (),
        (),
    )
    assert told.fields == (Field(field="claimant.name", count=1, sealed=1),)


def test_whither_an_instrument_went_goes_with_its_owner(certified: Loft) -> None:
    """What was said before the owner was registered stays with whoever said it."""
    shop, home = certified.shop, "12 Kelp Row, Port Anslow"
    before = sent(certified, errand="show", to="the varnisher")
    service.come_home(shop, serial=SERIAL, on=None, hands=certified.hands())
    certified.sell(SERIAL)
    index = sent(certified, errand="sale", to=home)
    subject = owner_subject(shop, SERIAL)
    told = kept(shop, subject)
    assert (told.reasons, told.elsewhere, told.orders) == ((index,), (before,), ())
    assert any(text in bytes_under(shop.folder) for text in spelled(home))
    people.erase(shop, subject, certified.hands(*OFFICE))
    found = bytes_under(shop.folder)

    assert not [text for text in spelled(home) if text in found]
    assert audit(shop).findings == ()
    assert kept(shop, subject).elsewhere == (before, index)
    service.come_home(shop, serial=SERIAL, on=None, hands=certified.hands())
    again = sent(certified, errand="sale", to=home)
    assert kept(shop, certified.person("01").subject).reasons == (before, again)


@pytest.mark.parametrize("name", ["Nobody At All", "e" * 32, ""])
def test_whoever_is_not_known_is_not_looked_for(certified: Loft, name: str) -> None:
    """Neither a name nor a subject that nobody has."""
    with pytest.raises(LedgerError, match=r"nobody here is called|is no person, saw"):
        find_subject(certified.shop, name)
    with pytest.raises(NotFoundError, match="has no registered owner"):
        owner_subject(certified.shop, SERIAL)
    jakub = certified.person("03").subject
    assert find_subject(certified.shop, jakub) == jakub
