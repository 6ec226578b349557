"""The next number of a year, taken inside the lock."""

from ledger.acts.shop import Turn
from ledger.ids import DocumentId, LotId, ShipmentId
from ledger.views.shipments import newest_shipment
from ledger.views.wood import Document, Lot, newest_code


def next_lot(turn: Turn) -> str:
    """Return the code of the next lot."""
    year = _year(turn)
    newest = newest_code(turn.session, Lot, f"L{year:02d}-")
    return str(LotId(year=year, number=_after(newest)))


def next_document(turn: Turn) -> str:
    """Return the code of the next paper on file."""
    year = _year(turn)
    newest = newest_code(turn.session, Document, f"D{year:02d}-")
    return str(DocumentId(year=year, number=_after(newest)))


def next_shipment(turn: Turn) -> str:
    """Return the number of the next shipment."""
    year = _year(turn)
    newest = newest_shipment(turn.session, f"X{year:02d}-")
    return str(ShipmentId(year=year, number=_after(newest)))


def _year(turn: Turn) -> int:
    return int(turn.shop.today()[2:4])


def _after(newest: str | None) -> int:
    return int(newest.rpartition("-")[2]) + 1 if newest else 1
