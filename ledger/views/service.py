"""What became of instruments after they were done: service, parts, trips."""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import (
    Event,
    InstrumentReturned,
    InstrumentSent,
    InstrumentSentV1,
    InstrumentServiced,
    PartRemoved,
)
from ledger.log.entry import Entry
from ledger.views.builds import Build
from ledger.views.measures import stands
from ledger.views.taking import taken


class Service(SQLModel, table=True):
    """Work that was done on a finished instrument, here or by others."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    day: str
    fault: str | None
    work: str
    by_others: bool
    key: str
    struck_idx: int | None = None


class ServiceMaterial(SQLModel, table=True):
    """A batch that went into an instrument with a service."""

    idx: int = Field(primary_key=True)
    batch: str = Field(primary_key=True, index=True)
    serial: str = Field(index=True)
    struck_idx: int | None = None


class RemovedPart(SQLModel, table=True):
    """A board that was taken off a finished instrument, and what became of it."""

    idx: int = Field(primary_key=True)
    board: str = Field(primary_key=True)
    serial: str = Field(index=True)
    part: str
    fate: str


class Trip(SQLModel, table=True):
    """A way out of the shop; one with a `returned_idx` led home again.

    Only of old ones the log says whither; the vault keeps it of the others.
    """

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    sent_on: str
    to: str | None = None
    errand: str
    until: str | None
    returned_on: str | None = None
    condition: str | None = None
    returned_idx: int | None = None
    struck_idx: int | None = None


def fold_service(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about finished instruments into the view."""
    match event:
        case InstrumentServiced():
            taken(session, Build, event.serial)
            row = Service(
                idx=entry.index,
                serial=event.serial,
                day=event.on,
                fault=event.fault,
                work=event.work,
                by_others=bool(event.by_others),
                key=entry.key,
            )
            session.add(row)
            for batch in dict.fromkeys(event.materials):
                session.add(
                    ServiceMaterial(idx=entry.index, batch=batch, serial=event.serial)
                )
        case PartRemoved():
            for board in event.boards:
                removed = {"board": board, "part": event.part, "fate": event.fate}
                off = RemovedPart(idx=entry.index, serial=event.serial, **removed)
                session.add(off)
        case InstrumentSent() | InstrumentSentV1():
            _send(session, entry, event)
        case InstrumentReturned():
            _return(session, entry, event)


def services_of(session: Session, serial: str, at: int | None = None) -> list[Service]:
    """Return the service of an instrument that counts, or did after an entry."""
    query = select(Service).where(col(Service.serial) == serial, stands(Service, at))
    by_day = query.order_by(col(Service.day), col(Service.idx))
    return list(session.exec(by_day).all())


def removed_parts(session: Session, serial: str) -> list[RemovedPart]:
    """Return the boards that were taken off an instrument, the first one first."""
    query = select(RemovedPart).where(col(RemovedPart.serial) == serial)
    by_entry = query.order_by(col(RemovedPart.idx), col(RemovedPart.board))
    return list(session.exec(by_entry).all())


def trips_of(session: Session, serial: str, at: int | None = None) -> list[Trip]:
    """Return the trips of an instrument that count, or did after an entry, in order."""
    query = select(Trip).where(col(Trip.serial) == serial, stands(Trip, at))
    return list(session.exec(query.order_by(col(Trip.idx))).all())


def trips_out(session: Session) -> list[Trip]:
    """Return the trips that have not led home yet, the first one first."""
    query = select(Trip).where(
        col(Trip.returned_idx).is_(None), col(Trip.struck_idx).is_(None)
    )
    return list(session.exec(query.order_by(col(Trip.idx))).all())


def trip_out(session: Session, serial: str) -> Trip | None:
    """Return the trip that an instrument is on, or None where it is at home."""
    trips = trips_of(session, serial)
    return next((trip for trip in trips if trip.returned_idx is None), None)


def pictured_entries(session: Session) -> list[tuple[int, str]]:
    """Return every entry of service or of a part taken off, and whose it is."""
    told: dict[int, str] = {}
    for view in (Service, RemovedPart):
        told |= dict(session.exec(select(view.idx, view.serial)).all())
    return sorted(told.items())


def _send(
    session: Session, entry: Entry, event: InstrumentSent | InstrumentSentV1
) -> None:
    taken(session, Build, event.serial)
    if trip_out(session, event.serial) is not None:
        raise TamperError(
            f"{event.serial} was out before this entry: run flitchbook record audit"
        )
    row = Trip(
        idx=entry.index,
        serial=event.serial,
        sent_on=event.on,
        to=event.to if isinstance(event, InstrumentSentV1) else None,
        errand=event.errand,
        until=event.until,
    )
    session.add(row)


def _return(session: Session, entry: Entry, event: InstrumentReturned) -> None:
    trip = trip_out(session, event.serial)
    if trip is None:
        raise TamperError(
            f"{event.serial} comes home and was not out: run flitchbook record audit"
        )
    trip.returned_on, trip.condition = event.on, event.condition
    trip.returned_idx = entry.index
