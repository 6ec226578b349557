"""Shipments: what went with them, how often they were drawn, and the next number."""

from dataclasses import replace

import pytest

from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import Event, ShipmentPapersPrinted
from ledger.views.shipments import Shipment, newest_shipment, shipments_of
from tests.ledger.views.forests import grown
from tests.sentences import PLANNED
from tests.skerrymoor import Loft

PRINTED = ShipmentPapersPrinted(shipment="X26-0001", number=1, size=9, sha256="5b" * 32)


def test_a_thing_is_followed_to_its_shipments(loft_on_each: Loft) -> None:
    """An instrument that came back goes out again, in the order of planning."""
    others = ("X26-0010", "X26-0009", "X27-0001")
    for number in ("X26-0001", *others):
        boards = PLANNED.boards if number == "X26-0001" else ()
        loft_on_each.say(replace(PLANNED, shipment=number, boards=boards))
    for print_ in (1, 2):
        loft_on_each.say(replace(PRINTED, number=print_))
    rebuild(loft_on_each.shop)

    with loft_on_each.shop.store.reading() as session:
        out = shipments_of(session, "26-0001-8")
        assert [row.number for row in out] == ["X26-0001", *others]
        assert [(row.to, row.prints) for row in out[:2]] == [("JP", 2), ("JP", 0)]
        assert [s.number for s in shipments_of(session, "L26-001-01")] == ["X26-0001"]
        assert shipments_of(session, "26-0002-6") == []
        assert newest_shipment(session, "X26-") == "X26-0010"
        assert newest_shipment(session, "X25-") is None


@pytest.mark.parametrize(
    ("events", "said"),
    [
        ([PLANNED, PLANNED], "shipment X26-0001 was taken"),
        ([PRINTED], "no shipment X26-0001 before this entry"),
        ([replace(PLANNED, boards=PLANNED.boards * 2)], "was taken by an entry before"),
    ],
)
def test_what_cannot_have_left_is_damage(events: list[Event], said: str) -> None:
    """A number is given once, a paper is of a shipment, a thing leaves once."""
    with pytest.raises(TamperError, match=said):
        grown(events).__enter__()


def test_the_last_leg_is_where_it_goes() -> None:
    """The country it starts in and those it goes through are in the entry."""
    with grown([PLANNED]) as session:
        shipment = session.get_one(Shipment, "X26-0001")
        assert (shipment.to, shipment.moves_on) == ("JP", "2026-02-01")
