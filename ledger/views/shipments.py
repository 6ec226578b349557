"""Shipments as they were planned, and the papers drawn for them."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import Event, ShipmentPapersPrinted, ShipmentPlanned
from ledger.log.entry import Entry
from ledger.views.boards import whole
from ledger.views.builds import Build
from ledger.views.certificates import certificates_of
from ledger.views.taking import take, taken
from ledger.views.wood import Lot


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
            _plan(session, entry, event)
        case ShipmentPapersPrinted():
            _print(session, entry, event)


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


def _plan(session: Session, entry: Entry, event: ShipmentPlanned) -> None:
    for serial in event.serials:
        _require_certified(session, serial)
    for board in event.boards:
        _require_free(session, board)
    for code in dict.fromkeys(s.lot for one in event.determined for s in one.lots):
        taken(session, Lot, code)
    row = Shipment(
        number=event.shipment,
        moves_on=event.moves_on,
        to=event.legs[-1],
        idx=entry.index,
    )
    take(session, row)
    for code in (*event.serials, *event.boards):
        take(session, ShippedThing(shipment=event.shipment, code=code))


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


def _print(session: Session, entry: Entry, event: ShipmentPapersPrinted) -> None:
    row = taken(session, Shipment, event.shipment)
    if event.number != row.prints + 1:
        raise TamperError(
            f"the papers of shipment {row.number} were drawn {row.prints} times before "
            f"this entry, which calls itself print {event.number}: run flitchbook "
            f"record audit"
        )
    row.prints += 1
    session.add(
        ShipmentPrint(idx=entry.index, shipment=event.shipment, size=event.size)
    )
