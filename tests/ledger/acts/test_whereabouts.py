"""Where an instrument is, as far as anybody said."""

from ledger.acts.builds import find_build
from ledger.acts.service import come_home, send
from ledger.acts.whereabouts import whereabouts
from tests.skerrymoor import Loft


def where(loft: Loft, serial: str) -> tuple[str, int]:
    """Return where an instrument is, and which entry says so."""
    with loft.shop.store.reading() as session:
        found = whereabouts(loft.shop, session, find_build(session, serial))
    return found.words, found.entry


def test_one_that_was_begun_is_where_it_was_begun(certified: Loft) -> None:
    """Nobody has signed a step, so whoever began it is all there is to tell."""
    serial = certified.begin()
    words, entry = where(certified, serial)

    assert words.startswith("begun by Oluwaseun")
    assert entry == certified.shop.store.head().size - 1


def test_it_is_in_the_hands_of_whoever_signed_last(certified: Loft) -> None:
    """With the step, what was said of it, and the entry."""
    serial = certified.begin()
    index = certified.sign(serial, "brace")
    words, entry = where(certified, serial)

    assert "last in the hands of Jakub Wolański (badge 03)" in words
    assert words.endswith(": brace, did")
    assert entry == index


def test_one_that_is_out_is_where_it_was_sent(certified: Loft) -> None:
    """Until it comes home, when the bench had it last again."""
    serial = "26-0001-8"
    before = where(certified, serial)
    hands = certified.hands("12")
    sent = send(
        certified.shop, serial=serial, to="the harbour fair", errand="show", hands=hands
    )

    words, entry = where(certified, serial)
    assert "for the harbour fair (show" in words
    assert entry == sent.index
    come_home(certified.shop, serial=serial, hands=hands)
    assert where(certified, serial) == before
