"""What was promised of instruments, changed, conceded and spoiled on the way."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import (
    BuildBegun,
    BuildChanged,
    BuildOrdered,
    ConcessionGiven,
    Event,
    PartScrapped,
    SerialMisstamped,
)
from ledger.events.route import unit_of
from ledger.log.entry import Entry
from ledger.views.builds import Build
from ledger.views.measures import stands
from ledger.views.models import Model
from ledger.views.taking import require_free, take, taken


class BuildOrder(SQLModel, table=True):
    """For which order an instrument is made, when it is due and whither it goes."""

    serial: str = Field(primary_key=True)
    order: str | None = None
    due: str | None = None
    destination: str | None = None
    idx: int


class PromiseLine(SQLModel, table=True):
    """What was promised of one thing; the newest entry counts, the others tell how."""

    serial: str = Field(primary_key=True)
    what: str = Field(primary_key=True)
    idx: int = Field(primary_key=True)
    promised: str


class ChangeNote(SQLModel, table=True):
    """A signed note that changed what was promised, or the model's version."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    version: int | None = Field(default=None, sa_type=BigInteger)
    key: str


class Concession(SQLModel, table=True):
    """Something of an instrument that is not as it should be, and may stay so.

    `value` is what was read, in `unit`, where it was a measure; `at` is when it was
    entered.
    """

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    step: str
    what: str
    unit: str | None = None
    value: int | None = Field(default=None, sa_type=BigInteger)
    key: str
    at: str
    struck_idx: int | None = None


class Scrap(SQLModel, table=True):
    """A board that was spoiled as a part of an instrument."""

    idx: int = Field(primary_key=True)
    board: str = Field(primary_key=True)
    serial: str = Field(index=True)
    part: str


class Misstamp(SQLModel, table=True):
    """A number that was stamped by mistake, is void, and leads to the true one."""

    stamped: str = Field(primary_key=True)
    serial: str = Field(index=True)
    idx: int


def fold_orders(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about what is to be into the view."""
    match event:
        case BuildBegun():
            # A number that was stamped by mistake is void.
            require_free(session, Misstamp, stamped=event.serial)
        case BuildOrdered():
            _order(session, entry, event)
        case BuildChanged():
            _change(session, entry, event)
        case ConcessionGiven():
            _concede(session, entry, event)
        case PartScrapped():
            for board in event.boards:
                scrapped = {"board": board, "part": event.part, "serial": event.serial}
                session.add(Scrap(idx=entry.index, **scrapped))
        case SerialMisstamped():
            taken(session, Build, event.serial)
            require_free(session, Build, serial=event.stamped)
            take(
                session,
                Misstamp(stamped=event.stamped, serial=event.serial, idx=entry.index),
            )


def order_of(session: Session, serial: str) -> BuildOrder | None:
    """Return what an instrument is made for, or None where nobody said it."""
    return session.get(BuildOrder, serial)


def serials_of(session: Session, order: str) -> list[str]:
    """Return the instruments that are made for an order, by serial; no void one."""
    query = (
        select(BuildOrder.serial)
        .join(Build, col(Build.serial) == col(BuildOrder.serial))
        .where(col(BuildOrder.order) == order, col(Build.voided_idx).is_(None))
    )
    return list(session.exec(query.order_by(col(BuildOrder.serial))).all())


def promises_of(session: Session, serial: str) -> list[PromiseLine]:
    """Return all that was promised of an instrument, what was changed too, by entry."""
    query = select(PromiseLine).where(col(PromiseLine.serial) == serial)
    by_entry = query.order_by(col(PromiseLine.idx), col(PromiseLine.what))
    return list(session.exec(by_entry).all())


def changes_of(session: Session, serial: str) -> list[ChangeNote]:
    """Return the change notes of an instrument, the oldest first."""
    query = select(ChangeNote).where(col(ChangeNote.serial) == serial)
    return list(session.exec(query.order_by(col(ChangeNote.idx))).all())


def concessions_of(
    session: Session, serial: str, at: int | None = None
) -> list[Concession]:
    """Return the concessions of an instrument that count, or did after an entry."""
    query = select(Concession).where(
        col(Concession.serial) == serial, stands(Concession, at)
    )
    return list(session.exec(query.order_by(col(Concession.idx))).all())


def misstamp_of(session: Session, stamped: str) -> Misstamp | None:
    """Return what a number leads to that was stamped by mistake, or None."""
    return session.get(Misstamp, stamped)


def misstamps(session: Session) -> list[Misstamp]:
    """Return every number that was stamped by mistake, the first one first."""
    return list(session.exec(select(Misstamp).order_by(col(Misstamp.idx))).all())


def _concede(session: Session, entry: Entry, event: ConcessionGiven) -> None:
    taken(session, Build, event.serial)
    row = Concession(
        idx=entry.index,
        serial=event.serial,
        step=event.step,
        what=event.what,
        key=entry.key,
        at=entry.at,
    )
    if event.measure is not None:
        read = event.measure
        row.unit = unit_of(read)
        row.value = getattr(read, row.unit)
    session.add(row)


def _order(session: Session, entry: Entry, event: BuildOrdered) -> None:
    taken(session, Build, event.serial)
    row = BuildOrder(
        serial=event.serial,
        order=event.order,
        due=event.due,
        destination=event.destination,
        idx=entry.index,
    )
    take(session, row)
    _promise(session, entry, event)


def _change(session: Session, entry: Entry, event: BuildChanged) -> None:
    build = taken(session, Build, event.serial)
    order = session.get(BuildOrder, event.serial)
    if order is None:
        order = BuildOrder(serial=event.serial, idx=entry.index)
        session.add(order)
    order.due = event.due or order.due
    order.destination = event.destination or order.destination
    if event.version is not None:
        session.get_one(Model, (build.model, event.version))
        build.version = event.version
    note = ChangeNote(
        idx=entry.index, serial=event.serial, version=event.version, key=entry.key
    )
    session.add(note)
    _promise(session, entry, event)


def _promise(
    session: Session, entry: Entry, event: BuildOrdered | BuildChanged
) -> None:
    for line in {each.what: each for each in event.promised}.values():
        row = PromiseLine(
            serial=event.serial,
            what=line.what,
            idx=entry.index,
            promised=line.promised,
        )
        session.add(row)
