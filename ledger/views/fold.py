"""One entry taken into all views, and the views made, made again and compared.

The views of a database are of an edition: the digest of what their tables hold, and of
how entries are folded into them. A version of another edition folds them anew, and
until then neither shows what they hold nor says anything that rests on it.
"""

from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from typing import Any

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Engine,
    Select,
    Table,
    UniqueConstraint,
    inspect,
    make_url,
)
from sqlalchemy.schema import CreateIndex, CreateTable
from sqlmodel import AutoString, Field, Session, SQLModel, func, select

from ledger.errors import RefusedError, TamperError
from ledger.events import codec
from ledger.log.database import transaction
from ledger.log.entry import Entry
from ledger.views import (
    allotting,
    boards,
    builds,
    certificates,
    corrections,
    grading,
    graduations,
    harvests,
    holds,
    house,
    materials,
    measures,
    models,
    orders,
    ownership,
    people,
    permits,
    plots,
    readings,
    relabelled,
    reserved,
    service,
    shipments,
    standing,
    training,
    wood,
)

# Raised whenever an entry is folded otherwise into the same tables; a test holds what
# old entries fold to.
FOLDING = 3

STREAMED = {"stream_results": True}


class ViewEdition(SQLModel, table=True):
    """The one row that says of which edition the stored views are."""

    digest: str = Field(primary_key=True)


TABLES: tuple[type[SQLModel], ...] = (
    standing.GoverningEntry,
    standing.OnceUsed,
    standing.DoubtedTime,
    house.AdoptedPolicy,
    people.Person,
    people.PersonKey,
    people.PersonAbility,
    people.ErasedSubject,
    training.AbilitySpan,
    training.Training,
    training.SkillCheck,
    wood.Supplier,
    wood.Document,
    wood.Lot,
    wood.LotDocument,
    permits.PermitRow,
    plots.LotPlots,
    boards.Board,
    boards.BoardParent,
    relabelled.Relabelling,
    allotting.Stay,
    boards.Cut,
    measures.Sizing,
    measures.Weighing,
    measures.Metering,
    measures.Placing,
    grading.Grading,
    grading.Rejection,
    grading.Match,
    grading.MatchedBoard,
    readings.Photograph,
    readings.Tapping,
    readings.Flexing,
    readings.FlexLoad,
    readings.VoiceTapping,
    readings.TapReading,
    readings.RoomReading,
    readings.RoomLog,
    graduations.Graduation,
    graduations.GraduatedPlace,
    corrections.Correction,
    corrections.Override,
    corrections.GivenReason,
    models.Model,
    models.ModelPart,
    models.ModelStep,
    builds.Build,
    builds.SignedStep,
    builds.StepMaterial,
    builds.StepGauge,
    builds.StepPhotograph,
    builds.BuildMeasure,
    builds.WeighedPart,
    builds.PrintedTag,
    orders.BuildOrder,
    orders.PromiseLine,
    orders.ChangeNote,
    orders.Concession,
    orders.Scrap,
    orders.Misstamp,
    materials.Material,
    materials.MaterialDocument,
    harvests.HarvestNaming,
    materials.Gauge,
    materials.Calibration,
    holds.Hold,
    holds.HoldClearing,
    service.Service,
    service.ServiceMaterial,
    service.RemovedPart,
    service.Trip,
    certificates.Certificate,
    certificates.Owner,
    ownership.TransferCode,
    ownership.TheftReport,
    shipments.Shipment,
    shipments.ShippedThing,
    shipments.ShipmentPrint,
    reserved.ReservedNumber,
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
    training.fold_training(session, entry, event)
    wood.fold_wood(session, entry, event)
    permits.fold_permits(session, entry, event)
    plots.fold_plots(session, entry, event)
    boards.fold_boards(session, entry, event)
    relabelled.fold_relabelled(session, entry, event)
    allotting.fold_allotting(session, entry, event)
    measures.fold_measures(session, entry, event)
    grading.fold_grading(session, entry, event)
    readings.fold_readings(session, entry, event)
    graduations.fold_graduations(session, entry, event)
    models.fold_models(session, entry, event)
    builds.fold_builds(session, entry, event)
    orders.fold_orders(session, entry, event)
    materials.fold_materials(session, entry, event)
    harvests.fold_harvests(session, entry, event)
    holds.fold_holds(session, entry, event)
    service.fold_service(session, entry, event)
    certificates.fold_certificates(session, entry, event)
    ownership.fold_ownership(session, entry, event)
    shipments.fold_shipments(session, entry, event)
    reserved.fold_reserved(session, entry, event)
    corrections.fold_corrections(session, entry, event)


def make(engine: Engine) -> None:
    """Make the tables of the views where there are none yet."""
    with transaction(engine, writing=True) as connection:
        names = {_table(view).name for view in TABLES}
        if names.isdisjoint(inspect(connection).get_table_names()):
            _make(connection)


def renew(session: Session) -> None:
    """Empty every view, and make tables anew that are of another edition."""
    connection = session.connection()
    if not is_of_this_edition(session):
        SQLModel.metadata.drop_all(connection, tables=tables_of_views())
    _make(connection)
    empty(session)


def edition() -> str:
    """Return the digest of what the tables of the views hold, and how it is folded.

    What they hold is their columns, their keys, and what must be there only once.
    """
    return _edition(FOLDING, TABLES)


def is_of_this_edition(session: Session) -> bool:
    """Tell whether the stored views were folded as this version folds them."""
    connection, table = session.connection(), _table(ViewEdition)
    if not _is_there(connection, table.name):
        return False
    stored = connection.execute(select(table.c.digest)).scalars().all()
    return list(stored) == [edition()]


def _is_there(connection: Connection, name: str) -> bool:
    """Tell whether there is a table; it is asked at every turn, while others wait."""
    if connection.dialect.name == "postgresql":
        # The server's own shorter question.
        return connection.scalar(select(func.to_regclass(name))) is not None
    return inspect(connection).has_table(name)


def has_columns_of_today(session: Session) -> bool:
    """Tell whether the stored tables can be read and compared as this version's."""
    inspector = inspect(session.connection())
    for table in map(_table, TABLES):
        if not inspector.has_table(table.name):
            return False
        stored = {column["name"] for column in inspector.get_columns(table.name)}
        if stored != set(table.columns.keys()):
            return False
    return True


def require_this_edition(session: Session) -> None:
    """Refuse to rest anything on views that were folded by another version."""
    if not is_of_this_edition(session):
        raise RefusedError(
            "what is shown was folded by another version: run flitchbook record rebuild"
        )


def empty(session: Session) -> None:
    """Empty every view, to fold it again."""
    for view in TABLES:
        session.connection().execute(_table(view).delete())


def rows(session: Session) -> Iterator[tuple[str, tuple[object, ...]]]:
    """Return every row of every view, by table and in the order of its key.

    Text is ordered by its bytes, whatever alphabet a database server was set up with.
    """
    connection = session.connection()
    for name, query in _questions(connection.dialect.name, TABLES).items():
        # As they come: a server would hand over a whole table at once.
        for row in connection.execute(query, execution_options=STREAMED):
            yield name, tuple(row)


@cache
def _questions(
    dialect: str, views: tuple[type[SQLModel], ...]
) -> dict[str, Select[Any]]:
    """Return, by table, what asks for its rows in the order of its key."""
    by_bytes = "C" if dialect == "postgresql" else "BINARY"

    def order(column: Column[Any]) -> ColumnElement[Any]:
        is_text = isinstance(column.type, AutoString)
        return column.collate(by_bytes) if is_text else column

    return {
        table.name: select(*table.columns).order_by(*map(order, table.primary_key))
        for table in map(_table, views)
    }


def _make(connection: Connection) -> None:
    """Make the tables that are missing, and say of which edition they are."""
    table, there = _table(ViewEdition), set(inspect(connection).get_table_names())
    for name, statements in _written_out(connection.dialect.name, TABLES).items():
        for statement in () if name in there else statements:
            connection.exec_driver_sql(statement)
    connection.execute(table.delete())
    connection.execute(table.insert(), {"digest": edition()})


# Every audit makes all of them; to write them out costs more than to make them.
@cache
def _written_out(
    dialect: str, views: tuple[type[SQLModel], ...]
) -> dict[str, tuple[str, ...]]:
    """Return the statements that make each table and its indexes."""
    spoken = make_url(f"{dialect}://").get_dialect()()

    def made_by(table: Table) -> Iterator[str]:
        yield str(CreateTable(table).compile(dialect=spoken))
        for index in sorted(table.indexes, key=lambda each: str(each.name)):
            yield str(CreateIndex(index).compile(dialect=spoken))

    every: list[type[SQLModel]] = [*views, ViewEdition]
    return {table.name: (*made_by(table),) for table in map(_table, every)}


# Asked at every turn, and worked out once.
@cache
def _edition(folding: int, views: tuple[type[SQLModel], ...]) -> str:
    tables = "\n".join(map(_described, map(_table, views)))
    return sha256(f"{folding}\n{tables}".encode()).hexdigest()


def _described(table: Table) -> str:
    """Write down a table's columns, its key, and what must be there only once."""
    columns = ", ".join(f"{c.name} {c.type} {c.nullable}" for c in table.columns)
    key = ", ".join(c.name for c in table.primary_key.columns)
    rules = [r.columns for r in table.constraints if isinstance(r, UniqueConstraint)]
    # A column that is unique and indexed is so by its index alone.
    rules += [index.columns for index in table.indexes if index.unique]
    once = sorted(", ".join(c.name for c in rule) for rule in rules)
    return f"{table.name}: {columns}; key {key}; once {once}"


def tables_of_views() -> list[Table]:
    """Return the tables of the views, and the one that says of which edition."""
    return [*map(_table, TABLES), _table(ViewEdition)]


def _table(view: type[SQLModel]) -> Table:
    table: Table = SQLModel.metadata.tables[str(view.__tablename__)]
    return table
