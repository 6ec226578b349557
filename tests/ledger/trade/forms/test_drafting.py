"""Tests of a worksheet put together."""

from dataclasses import replace

from ledger.trade.forms.cites import cites_worksheet
from ledger.trade.forms.declaration import declaration_worksheet
from ledger.trade.forms.musical import musical_worksheet
from tests.ledger.trade.forms.samples import (
    ROSEWOOD,
    SALE,
    TO_AMERICA,
    TOUR,
    with_items,
)


def test_a_question_is_asked_once() -> None:
    """In the order: the shipment, its open items, its boxes."""
    twice = replace(SALE, ask_first=SALE.ask_first * 2)
    asks = cites_worksheet(twice).asks

    assert asks[0].startswith("whether Diospyros crassiflora needs papers (CITES)")
    assert asks.count(asks[0]) == 1


def test_boxes_from_memory_are_told() -> None:
    """On a form none of whose boxes is, nothing is."""
    assert any("3a, 5, 5b" in note for note in cites_worksheet(SALE).notes)
    assert any(
        note.startswith("Boxes Common name and Source are from memory")
        for note in musical_worksheet(TOUR).notes
    )
    assert not any(
        "from memory" in note for note in declaration_worksheet(TO_AMERICA).notes
    )


def test_a_sheet_carries_what_the_consignment_does() -> None:
    """Number, days, head and edition are its own."""
    sheet = cites_worksheet(with_items(SALE, ROSEWOOD, ask_first=()))

    assert (sheet.number, sheet.size, sheet.root) == ("X26-0001", 71391, SALE.root)
    assert (sheet.printed_on, sheet.moves_on) == (SALE.printed_on, SALE.moves_on)
    assert sheet.tables == SALE.edition
    assert sheet.asks == sheet.by_row
    assert [said.partition(":")[0] for said in sheet.asks] == ["Box 15"]
