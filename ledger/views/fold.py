"""One entry taken into all views, and the views made, dropped and compared."""

from collections.abc import Iterator

from sqlalchemy import Engine, Table
from sqlmodel import AutoString, Session, SQLModel, select

from ledger.errors import TamperError
from ledger.events import codec
from ledger.log.database import told
from ledger.log.entry import Entry
from ledger.views import (
    boards,
    builds,
    certificates,
    corrections,
    house,
    measures,
    people,
    readings,
    shipments,
    standing,
    wood,
)

TABLES: tuple[type[SQLModel], ...] = (
    standing.GoverningEntry,
    standing.OnceUsed,
    standing.DoubtedTime,
    house.AdoptedPolicy,
    people.Person,
    people.PersonKey,
    people.PersonAbility,
    people.ErasedSubject,
    wood.Supplier,
    wood.Document,
    wood.Lot,
    wood.LotDocument,
    boards.Board,
    boards.BoardParent,
    boards.Cut,
    measures.Sizing,
    measures.Weighing,
    measures.Placing,
    readings.Photograph,
    readings.Tapping,
    readings.TapReading,
    readings.RoomReading,
    corrections.Correction,
    corrections.Override,
    builds.Model,
    builds.ModelPart,
    builds.ModelStep,
    builds.Build,
    builds.SignedStep,
    builds.BuildMeasure,
    builds.WeighedPart,
    builds.PrintedTag,
    certificates.Certificate,
    certificates.Owner,
    shipments.Shipment,
    shipments.ShippedThing,
    shipments.ShipmentPrint,
)


def fold(session: Session, entry: Entry) -> None:
    """Take one entry into every view.

    An entry that this version does not understand is kept in the log and passed over
    here; an audit names it.
    """
    standing.fold_entry(session, entry)
    try:
        event = codec.parse(entry.event)
    except TamperError:
        return
    standing.fold_clock(session, entry, event)
    house.fold_house(session, entry, event)
    people.fold_people(session, entry, event)
    wood.fold_wood(session, entry, event)
    boards.fold_boards(session, entry, event)
    measures.fold_measures(session, entry, event)
    readings.fold_readings(session, entry, event)
    builds.fold_builds(session, entry, event)
    certificates.fold_certificates(session, entry, event)
    shipments.fold_shipments(session, entry, event)
    corrections.fold_corrections(session, entry, event)


def make(engine: Engine) -> None:
    """Make the tables of the views where they are missing."""
    with told(engine):
        SQLModel.metadata.create_all(engine, tables=[_table(view) for view in TABLES])


def empty(session: Session) -> None:
    """Empty every view, to fold it again."""
    for view in TABLES:
        session.connection().execute(_table(view).delete())


def rows(session: Session) -> Iterator[tuple[str, tuple[object, ...]]]:
    """Return every row of every view, by table and in the order of its key.

    Text is ordered by its bytes, whatever alphabet a database server was set up with.
    """
    connection = session.connection()
    by_bytes = "C" if connection.dialect.name == "postgresql" else "BINARY"
    for view in TABLES:
        table = _table(view)
        order = [
            column.collate(by_bytes) if isinstance(column.type, AutoString) else column
            for column in table.primary_key.columns
        ]
        for row in connection.execute(select(*table.columns).order_by(*order)):
            yield table.name, tuple(row)


def _table(view: type[SQLModel]) -> Table:
    table: Table = SQLModel.metadata.tables[str(view.__tablename__)]
    return table
