"""Letters are drafted from facts, to whom is registered and still known."""

import pytest

from ledger.acts import letters, people
from ledger.acts.holds import InDoubt, lift, place
from ledger.acts.owners import owner_subject
from ledger.errors import LedgerError, RefusedError
from ledger.events.hold import On
from tests.skerrymoor import Loft

SERIAL = "26-0001-8"


@pytest.fixture
def sold(certified: Loft) -> Loft:
    """Give a shop with one instrument that has its owner."""
    certified.sell(SERIAL)
    return certified


def drafted(loft: Loft, on: On, code: str) -> letters.Drafts:
    """Place a hold, and draft its letters."""
    hold = place(
        loft.shop, InDoubt(on=on, code=code), reason="so it is", hands=loft.hands()
    )
    return letters.draft_letters(loft.shop, hold, loft.keys["01"])


def test_a_letter_tells_each_board_with_its_lot_and_entries(sold: Loft) -> None:
    """Both halves of the top, and since when somebody is its owner."""
    size = sold.shop.store.head().size
    (letter,) = drafted(sold, "document", "D26-0001").letters

    assert letter.to == "Amélie Rousset"
    assert "Tidewarden, serial 26-0001-8, with our certificate C-2026-00001" in (
        letter.opening
    )
    assert letter.facts[0].startswith(
        "On 2026-01-05 we noted that document D26-0001, delivery note 7/26 is in doubt"
    )
    for half, fact in zip("AB", letter.facts[1:3], strict=True):
        assert f"top is board L26-001-01.{half} (entry " in fact
        assert "of lot L26-001, Picea abies, which came in on 2026-01-05" in fact
    assert letter.facts[3].startswith("You are registered as its owner since")
    assert sold.shop.store.head().size == size + 1


def test_a_letter_about_work_names_its_entries_and_no_builder(sold: Loft) -> None:
    """Whose key it was is the shop's affair."""
    (letter,) = drafted(sold, "person", sold.person("03").subject).letters
    text = " ".join(letter.facts)

    assert "Work on it that is in doubt stands in entries" in text
    assert "Jakub" not in text


def test_an_owner_who_was_erased_gets_no_letter(sold: Loft) -> None:
    """The instrument is named all the same."""
    subject = owner_subject(sold.shop, SERIAL)
    people.erase(sold.shop, subject, sold.hands("12", "01"))
    found = drafted(sold, "lot", "L26-001")

    assert found.letters == ()
    assert found.without_owner == (SERIAL,)


def test_only_a_hold_that_stands_has_letters(sold: Loft) -> None:
    """And only those who open the office's names draft them."""
    drafted(sold, "lot", "L26-001")
    for badge in ("02", "03"):
        with pytest.raises(RefusedError, match="does not open the office"):
            letters.draft_letters(sold.shop, "H26-001", sold.keys[badge])
    lift(sold.shop, "H26-001", reason="all is well", hands=sold.hands())
    for hold, why in (("H26-001", "was lifted by entry"), ("H26-009", "is no hold")):
        with pytest.raises(LedgerError, match=why):
            letters.draft_letters(sold.shop, hold, sold.keys["01"])
