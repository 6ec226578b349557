"""Shipments as they were planned, and the papers drawn for them."""

from collections.abc import Iterable

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    Event,
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
    ShipmentPlanned,
    ShipmentPlannedV1,
)
from ledger.log.entry import Entry
from ledger.views.boards import whole
from ledger.views.builds import Build
from ledger.views.certificates import certificates_of
from ledger.views.materials import Material
from ledger.views.taking import take, taken
from ledger.views.wood import Document, Lot

# What all papers were before there were others.
MATERIALS_LIST = "materials list"


class Shipment(SQLModel, table=True):
    """What leaves together, and when it moves."""

    number: str = Field(primary_key=True)
    moves_on: str
    to: str
    idx: int


class ShippedThing(SQLModel, table=True):
    """An instrument or a board in a shipment."""

    shipment: str = Field(primary_key=True)
    code: str = Field(primary_key=True, index=True)


class ShipmentPrint(SQLModel, table=True):
    """A paper that was drawn, which print of its kind it is, and its checkpoint."""

    idx: int = Field(primary_key=True)
    shipment: str = Field(index=True)
    paper: str
    number: int = Field(sa_type=BigInteger)
    size: int = Field(sa_type=BigInteger)


def fold_shipments(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about a shipment into the view."""
    match event:
        case ShipmentPlanned() | ShipmentPlannedV1():
            _plan(session, entry, event)
        case ShipmentPapersPrinted():
            _print(session, entry, event, event.paper)
        case ShipmentPapersPrintedV1():
            _print(session, entry, event, MATERIALS_LIST)


def prints_of(session: Session, shipment: str, paper: str) -> int:
    """Return how many times a paper of a shipment was drawn."""
    query = select(func.count()).where(
        col(ShipmentPrint.shipment) == shipment, col(ShipmentPrint.paper) == paper
    )
    return session.exec(query).one()


def newest_shipment(session: Session, start: str) -> str | None:
    """Return the highest shipment number that begins like this, or None."""
    query = select(func.max(Shipment.number))
    return session.exec(query.where(col(Shipment.number).startswith(start))).one()


def shipments_of(session: Session, code: str) -> list[Shipment]:
    """Return the shipments that an instrument or a board went with."""
    query = (
        select(Shipment)
        .join(ShippedThing, col(ShippedThing.shipment) == col(Shipment.number))
        .where(col(ShippedThing.code) == code)
    )
    return list(session.exec(query.order_by(col(Shipment.idx))).all())


def _plan(
    session: Session, entry: Entry, event: ShipmentPlanned | ShipmentPlannedV1
) -> None:
    for serial in event.serials:
        _require_certified(session, serial)
    for board in event.boards:
        _require_free(session, board)
    for lot in _lots(event):
        taken(session, Lot, lot)
    if isinstance(event, ShipmentPlanned):
        shares = [share for one in event.determined for share in one.shares]
        for batch in dict.fromkeys(s.batch for s in shares if s.batch):
            taken(session, Material, batch)
        for piece in event.described:
            for document in piece.documents:
                taken(session, Document, document)
    row = Shipment(
        number=event.shipment,
        moves_on=event.moves_on,
        to=event.legs[-1],
        idx=entry.index,
    )
    take(session, row)
    for code in (*event.serials, *event.boards):
        take(session, ShippedThing(shipment=event.shipment, code=code))


def _lots(event: ShipmentPlanned | ShipmentPlannedV1) -> Iterable[str]:
    """Return the lots of which there is wood, each once."""
    if isinstance(event, ShipmentPlannedV1):
        return dict.fromkeys(s.lot for one in event.determined for s in one.lots)
    shares = (share for one in event.determined for share in one.shares)
    return dict.fromkeys(share.lot for share in shares if share.lot)


def _require_certified(session: Session, serial: str) -> None:
    """See that what is in an instrument was settled before it was to leave."""
    taken(session, Build, serial)
    if not certificates_of(session, serial):
        raise TamperError(
            f"instrument {serial} was planned to leave and had no certificate before "
            f"this entry: run flitchbook record audit"
        )


def _require_free(session: Session, code: str) -> None:
    """See that a board leaves as itself, and not within an instrument."""
    board = whole(session, code)
    if board.serial is not None:
        raise TamperError(
            f"board {code} was allotted to {board.serial} before this entry, and does "
            f"not leave by itself: run flitchbook record audit"
        )


def _print(
    session: Session,
    entry: Entry,
    event: ShipmentPapersPrinted | ShipmentPapersPrintedV1,
    paper: str,
) -> None:
    row = taken(session, Shipment, event.shipment)
    before = prints_of(session, row.number, paper)
    if event.number != before + 1:
        raise TamperError(
            f"the {paper} of shipment {row.number} was drawn {before} times before "
            f"this entry, which calls itself print {event.number}: run flitchbook "
            f"record audit"
        )
    session.add(
        ShipmentPrint(
            idx=entry.index,
            shipment=event.shipment,
            paper=paper,
            number=event.number,
            size=event.size,
        )
    )
