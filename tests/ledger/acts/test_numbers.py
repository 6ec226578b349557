"""Numbers of a year: one after the other, each in its own row, begun anew each year."""

from dataclasses import replace
from datetime import datetime

import pytest

from ledger.acts.numbers import next_document, next_lot, next_shipment
from ledger.errors import LedgerError
from ledger.ids import LotId
from tests.sentences import PLANNED
from tests.skerrymoor import NECK, Loft


def next_ones(loft: Loft) -> list[str]:
    """Return the next lot, document and shipment; nothing is taken."""
    with loft.shop.turn() as turn:
        return [next_lot(turn), next_document(turn), next_shipment(turn)]


def test_each_row_of_numbers_goes_on_by_itself(loft_on_each: Loft) -> None:
    """Asking takes none; saying does. On each database."""
    loft = loft_on_each
    first = next_ones(loft)
    loft.supplier()
    loft.document()
    loft.number(loft.receive(), NECK)
    loft.receive(code=LotId(year=26, number=40))
    for number in ("X26-0009", "X26-0010", "X25-0077"):
        loft.say(replace(PLANNED, shipment=number))

    assert first == next_ones_of("26", 1, 1, 1)
    assert next_ones(loft) == next_ones_of("26", 41, 2, 11)


def next_ones_of(year: str, lot: int, document: int, shipment: int) -> list[str]:
    """Write three numbers as a year gives them."""
    return [f"L{year}-{lot:03d}", f"D{year}-{document:04d}", f"X{year}-{shipment:04d}"]


@pytest.mark.parametrize("year", [2027, 2100])
def test_a_new_year_begins_at_one(loft: Loft, year: int) -> None:
    """By the station's clock, in two digits; last year's numbers are left alone."""
    loft.supplier()
    loft.receive()
    loft.clock.moment = datetime(year, 1, 1, tzinfo=loft.clock.moment.tzinfo)
    loft.shop = replace(loft.shop, pause_confirmed=True)

    assert next_ones(loft) == next_ones_of(f"{year % 100:02d}", 1, 1, 1)
    loft.receive()
    assert next_ones(loft)[0] == f"L{year % 100:02d}-002"


def test_a_row_that_is_full_says_so(loft: Loft) -> None:
    """No number with one digit more, which no label was drawn for."""
    loft.supplier()
    loft.number(loft.receive(), NECK)
    loft.receive(code=LotId(year=26, number=999))
    loft.say(replace(PLANNED, shipment="X26-9999"))
    for ask, said in ((next_lot, "999"), (next_shipment, "9999")):
        with loft.shop.turn() as turn, pytest.raises(LedgerError, match=said):
            ask(turn)
