"""A worksheet put together: what is asked first, what to mind, and its dates."""

from ledger.trade.consignment import Consignment
from ledger.trade.forms import boxes, sharing
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
    notes: tuple[str, ...] = (),
) -> Worksheet:
    """Return a worksheet: what is asked of the shipment first, then of its boxes.

    Source: the consignment, and the table of the form.
    """
    asks = [
        *consignment.ask_first,
        *sharing.open_items(consignment, forms),
        *sharing.asked_boxes(forms),
    ]
    return Worksheet(
        title=title,
        about=about,
        edition=edition,
        number=consignment.number,
        printed_on=consignment.printed_on,
        moves_on=consignment.moves_on,
        asks=tuple(dict.fromkeys(asks)),
        forms=forms,
        notes=(*notes, *_doubts(table)),
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
    verb = "is" if len(found) == 1 else "are"
    return (
        f"{noun} {', '.join(found)} {verb} from memory: compare with the form in hand.",
        letters,
    )
