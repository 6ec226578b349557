"""The next number of a year, taken inside the lock."""

from ledger.acts.shop import Turn
from ledger.ids import DocumentId, LotId, ShipmentId
from ledger.views.reserved import newest_issued
from ledger.views.shipments import newest_shipment
from ledger.views.wood import Document, Lot, newest_code


def next_lot(turn: Turn) -> str:
    """Return the code of the next lot."""
    year = _year(turn)
    start = f"L{year:02d}-"
    newest = newest_code(turn.session, Lot, start)
    return str(LotId(year=year, number=number_after(turn, start, newest)))


def next_document(turn: Turn) -> str:
    """Return the code of the next paper on file."""
    year = _year(turn)
    start = f"D{year:02d}-"
    newest = newest_code(turn.session, Document, start)
    return str(DocumentId(year=year, number=number_after(turn, start, newest)))


def next_shipment(turn: Turn) -> str:
    """Return the number of the next shipment."""
    year = _year(turn)
    start = f"X{year:02d}-"
    newest = newest_shipment(turn.session, start)
    return str(ShipmentId(year=year, number=number_after(turn, start, newest)))


def number_after(turn: Turn, start: str, newest: str | None) -> int:
    """Return the number behind the highest that was given with this beginning.

    newest  the highest that the log itself has, or None; those that papers prove
            issued in lost entries count as well
    """
    highest = newest_issued(turn.session, start, newest)
    return int(highest.rpartition("-")[2]) + 1 if highest else 1


def _year(turn: Turn) -> int:
    return int(turn.shop.today()[2:4])
