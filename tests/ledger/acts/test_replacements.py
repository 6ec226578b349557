"""What lies in the rack in place of a board that cannot be had."""

from dataclasses import replace

from ledger.acts import rejects, reserving
from ledger.acts.replacements import next_best
from ledger.views.boards import Board
from tests.skerrymoor import NECK, TOP, Loft


def offered(loft: Loft, code: str) -> list[str]:
    """Return what is offered in place of a board."""
    with loft.shop.store.reading() as session:
        return next_best(loft.shop, session, session.get_one(Board, code))


def test_its_own_lot_comes_first_and_then_the_nearest_in_size(loft: Loft) -> None:
    """At most three, and none that is much smaller or of another use."""
    loft.supplier()
    one, other = loft.receive(), loft.receive()
    small = replace(NECK, length_um=700_000)
    longer, longest = (replace(NECK, length_um=mm * 1000) for mm in (815, 830))
    loft.number(one, NECK, longest, small, TOP)
    loft.number(other, NECK, longer, longest)

    assert offered(loft, "L26-001-01") == ["L26-001-02", "L26-002-01", "L26-002-02"]


def test_what_is_kept_rejected_or_in_an_instrument_is_not_offered(loft: Loft) -> None:
    """A set is offered as one; a board that nobody else has stays last."""
    loft.supplier()
    loft.number(loft.receive(), *[TOP] * 5)
    loft.model()
    serial, hands = loft.begin(), loft.hands("03")
    loft.allot(serial, "top", "L26-001-02")
    told = {"code": "L26-001-03", "wanted": "A-17", "part": "top"}
    reserving.reserve(loft.shop, **told, hands=hands)
    rejects.reject(loft.shop, "L26-001-04", faults=["knot"], hands=hands)

    assert offered(loft, "L26-001-01.A") == ["L26-001-05"]


def test_wood_that_rests_is_not_offered(loft: Loft) -> None:
    """Nobody could take it today."""
    loft.supplier()
    loft.number(loft.receive(), NECK, NECK)
    assert offered(loft, "L26-001-01") == ["L26-001-02"]
    loft.adopt()

    assert offered(loft, "L26-001-01") == []
