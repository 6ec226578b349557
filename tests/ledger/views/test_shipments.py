"""Shipments: what went with them, how often they were drawn, and the next number."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    Event,
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
)
from ledger.events.shipment import Share
from ledger.views.shipments import (
    Shipment,
    newest_shipment,
    prints_of,
    shipments_of,
)
from tests.ledger.views.forests import ISSUED, begun, grown, lot, sawn
from tests.sentences import DESCRIBED, PLANNED, PLANNED_V1
from tests.skerrymoor import Loft

PRINTED = ShipmentPapersPrinted(
    shipment="X26-0001",
    paper="materials list",
    number=1,
    size=9,
    root="5c" * 32,
    sha256="5b" * 32,
)
SERIAL, CODE = "26-0001-8", "L26-001-01"
# What is planned to leave in these tests.
THINGS = (*lot(1, 1), begun(), ISSUED)
BOTH = replace(PLANNED, serials=(SERIAL,))
NO_LOT = replace(PLANNED.determined[0], shares=(Share(lot="L26-009", mass_mg=190_500),))


def test_a_thing_is_followed_to_its_shipments(loft_on_each: Loft) -> None:
    """An instrument that came back goes out again, in the order of planning."""
    for event in THINGS:
        loft_on_each.say(event)
    others = ("X26-0010", "X26-0009", "X27-0001")
    for number in ("X26-0001", *others):
        boards = BOTH.boards if number == "X26-0001" else ()
        loft_on_each.say(replace(BOTH, shipment=number, boards=boards))
    for print_ in (1, 2):
        loft_on_each.say(replace(PRINTED, number=print_))
    rebuild(loft_on_each.shop)

    with loft_on_each.shop.store.reading() as session:
        out = shipments_of(session, SERIAL)
        assert [row.number for row in out] == ["X26-0001", *others]
        assert [row.to for row in out[:2]] == ["JP", "JP"]
        prints = [prints_of(session, row.number, PRINTED.paper) for row in out[:2]]
        assert prints == [2, 0]
        assert prints_of(session, "X26-0001", "packing list") == 0
        assert [s.number for s in shipments_of(session, CODE)] == ["X26-0001"]
        assert shipments_of(session, "26-0002-6") == []
        assert newest_shipment(session, "X26-") == "X26-0010"
        assert newest_shipment(session, "X25-") is None


@pytest.mark.parametrize(
    ("events", "said"),
    [
        ([PLANNED, PLANNED], "shipment X26-0001 was taken"),
        ([PRINTED], "no shipment X26-0001 before this entry"),
        ([replace(PLANNED, boards=PLANNED.boards * 2)], "was taken by an entry before"),
        ([replace(PLANNED, serials=("26-0002-6",))], "no build 26-0002-6 before"),
        (
            [begun("26-0002-6"), replace(PLANNED, serials=("26-0002-6",))],
            "instrument 26-0002-6 was planned to leave and had no certificate before",
        ),
        ([replace(PLANNED, determined=(NO_LOT,))], "no lot L26-009 before"),
        (
            [BoardAllotted(board=CODE, serial=SERIAL, part="back"), PLANNED],
            "board L26-001-01 was allotted to 26-0001-8 before this entry, and does",
        ),
        (
            [PLANNED, replace(PRINTED, number=7)],
            "drawn 0 times before this entry, which calls itself print 7",
        ),
        (
            [PLANNED, PRINTED, PRINTED],
            "drawn 1 times before this entry, which calls itself print 1",
        ),
        ([replace(PLANNED, boards=("L26-001-02",))], "no board L26-001-02 before"),
        ([sawn(PLANNED.boards, ["L26-001-01.C1"]), PLANNED], "gone before this entry"),
    ],
)
def test_what_cannot_have_left_is_damage(events: list[Event], said: str) -> None:
    """A number is given once, a paper is of a shipment, a thing is there to leave."""
    with pytest.raises(TamperError, match=said):
        grown([*THINGS, *events]).__enter__()


def test_a_board_that_left_by_itself_may_come_back_into_an_instrument() -> None:
    """What was true when it was said stays so, whatever is said later."""
    allotted = BoardAllotted(board=CODE, serial=SERIAL, part="back")
    with grown([*THINGS, BOTH, allotted]) as session:
        assert [row.number for row in shipments_of(session, CODE)] == ["X26-0001"]


def test_of_old_a_print_is_of_the_materials_list() -> None:
    """A plan of that time names lots alone, and is counted with the others."""
    old = ShipmentPapersPrintedV1(
        shipment="X26-0002", number=1, size=9, root="5c" * 32, sha256="5b" * 32
    )
    newer = replace(PRINTED, shipment="X26-0002", number=2)
    with grown([*THINGS, PLANNED_V1, old, newer]) as session:
        assert prints_of(session, "X26-0002", "materials list") == 2
        assert [row.number for row in shipments_of(session, CODE)] == ["X26-0002"]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"documents": ("D26-0009",)}, "no document D26-0009 before"),
        ({"batch": "M26-009"}, "no material M26-009 before"),
    ],
)
def test_what_is_described_rests_on_what_is_there(
    changed: dict[str, Any], said: str
) -> None:
    """Its papers are on file, and a batch came in, before anything is planned."""
    planned = DESCRIBED
    if "documents" in changed:
        planned = replace(
            planned, described=(replace(planned.described[0], **changed),)
        )
    else:
        share = replace(planned.determined[0].shares[0], number=None, **changed)
        found = replace(planned.determined[0], shares=(share,))
        planned = replace(planned, determined=(found,))
    with pytest.raises(TamperError, match=said):
        grown([*THINGS, planned]).__enter__()


def test_the_last_leg_is_where_it_goes() -> None:
    """The country it starts in and those it goes through are in the entry."""
    with grown([*THINGS, PLANNED]) as session:
        shipment = session.get_one(Shipment, "X26-0001")
        assert (shipment.to, shipment.moves_on) == ("JP", "2026-02-01")
