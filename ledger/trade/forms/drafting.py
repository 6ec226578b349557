"""A worksheet put together: what is asked first, what to mind, and its dates."""

from ledger.scales import in_a_row
from ledger.trade.consignment import Consignment
from ledger.trade.forms import asking, boxes, sharing
from ledger.trade.forms.boxes import Table
from ledger.trade.forms.worksheet import Form, Worksheet


def drafted(
    consignment: Consignment,
    table: Table,
    forms: tuple[Form, ...],
    *,
    title: str,
    about: str,
    edition: str,
    first: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
) -> Worksheet:
    """Return a worksheet: what is asked of the shipment first, then of its boxes.

    first  boxes on which the paper depends, asked before the others

    Source: the consignment, and the table of the form.
    """
    said = asking.asked(consignment, forms)
    by_row = tuple(sharing.asked_boxes(forms, first))
    return Worksheet(
        title=title,
        about=about,
        edition=edition,
        number=consignment.number,
        printed_on=consignment.printed_on,
        moves_on=consignment.moves_on,
        papers=said.papers,
        asks=tuple(dict.fromkeys((*said.asks, *by_row))),
        by_row=by_row,
        forms=forms,
        notes=(*said.left_out, *notes, *_doubts(table)),
        table_date=consignment.table_date,
        newest_source=consignment.newest_source,
        boxes_checked_on=boxes.checked_on(table),
        boxes_newest_source=boxes.newest_source(table),
        tables=consignment.edition,
        size=consignment.size,
        root=consignment.root,
    )


def _doubts(table: Table) -> tuple[str, ...]:
    """Say which boxes nobody compared with a printed form."""
    found = boxes.from_memory(table)
    if not found:
        return ()
    letters = (
        "Letters for source and purpose, and terms of three letters, were checked in "
        "part or not at all: compare with the guide of the authority."
    )
    noun = "Box" if len(found) == 1 else "Boxes"
    names = in_a_row(found)
    verb = "is" if len(found) == 1 else "are"
    return (
        f"{noun} {names} {verb} from memory: compare with the form in hand.",
        letters,
    )
