"""Shipments as they were planned, and the papers drawn for them."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.events import Event, ShipmentPapersPrinted, ShipmentPlanned
from ledger.log.entry import Entry
from ledger.views.taking import take, taken


class Shipment(SQLModel, table=True):
    """What leaves together, and when it moves."""

    number: str = Field(primary_key=True)
    moves_on: str
    to: str
    idx: int
    prints: int = 0


class ShippedThing(SQLModel, table=True):
    """An instrument or a board in a shipment."""

    shipment: str = Field(primary_key=True)
    code: str = Field(primary_key=True, index=True)


class ShipmentPrint(SQLModel, table=True):
    """A materials list that was drawn, with its checkpoint."""

    idx: int = Field(primary_key=True)
    shipment: str = Field(index=True)
    size: int = Field(sa_type=BigInteger)


def fold_shipments(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about a shipment into the view."""
    match event:
        case ShipmentPlanned():
            row = Shipment(
                number=event.shipment,
                moves_on=event.moves_on,
                to=event.legs[-1],
                idx=entry.index,
            )
            take(session, row)
            for code in (*event.serials, *event.boards):
                take(session, ShippedThing(shipment=event.shipment, code=code))
        case ShipmentPapersPrinted():
            taken(session, Shipment, event.shipment).prints += 1
            printed = ShipmentPrint(
                idx=entry.index, shipment=event.shipment, size=event.size
            )
            session.add(printed)


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
