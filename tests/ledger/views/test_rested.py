"""What an instrument rested on stays what it was, whatever becomes of it."""

from ledger.events import LotPaperAdded
from ledger.views.certificates import certificates_of
from ledger.views.rested import entries_at
from tests import aftersale
from tests.aftersale import SERIAL
from tests.skerrymoor import Loft


def behind(loft: Loft) -> list[set[int]]:
    """Return the entries behind the instrument as of each certificate."""
    with loft.shop.store.reading() as session:
        issued = certificates_of(session, SERIAL)
        return [entries_at(session, SERIAL, row.idx) for row in issued]


def test_wood_that_comes_off_still_counts_before(certified: Loft) -> None:
    """Also a paper of its lot that is struck later, and steps that are done again."""
    paper = certified.document()
    joined = certified.say(LotPaperAdded(lot="L26-001", document=paper), "02").index
    aftersale.serviced(certified)
    certified.issue(SERIAL)
    before = behind(certified)
    certified.say(certified.strike(joined))
    aftersale.retopped(certified)

    assert [joined in found for found in before] == [False, True]
    assert behind(certified) == before


def test_the_next_certificate_rests_on_the_new_wood(certified: Loft) -> None:
    """Each on its own top and the steps that took it, both on the neck."""
    aftersale.retopped(certified)
    certified.issue(SERIAL)
    first, second = behind(certified)

    assert first - second and second - first and first & second
