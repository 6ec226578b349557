"""The four tables of the log, and the guards that let them only grow.

A guard is a trigger that refuses one kind of change. It keeps honest programs honest:
whoever owns the database can drop it, and then the tree tells, not the guard. Each
condition is written once, in the SQL that SQLite and PostgreSQL share.
"""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Connection,
    Integer,
    LargeBinary,
    inspect,
    text,
)
from sqlmodel import Field, SQLModel

from ledger.log.entry import LARGEST_RECORD
from ledger.log.merkle import EMPTY_ROOT, HASH_SIZE
from ledger.log.tiles import FULL

# On SQLite only INTEGER names the row itself, so that no second key can be replaced.
WHOLE = BigInteger().with_variant(Integer(), "sqlite")
# Any fixed number: it only has to be the same wherever a log is founded.
FOUNDING_LOCK = 0x666C69746368


def _key(**options: Any) -> Any:
    return Field(sa_column=Column(WHOLE, primary_key=True, autoincrement=False))


def _blob(*, key: bool = False, unique: bool = False) -> Any:
    return Field(
        sa_column=Column(LargeBinary, nullable=False, primary_key=key, unique=unique)
    )


def _is_blob(name: str) -> CheckConstraint:
    return CheckConstraint(f"typeof({name}) = 'blob'").ddl_if(dialect="sqlite")


class StoredEntry(SQLModel, table=True):
    """A record at its index, with its leaf hash beside it."""

    __tablename__ = "entry"
    __table_args__ = (
        _is_blob("record"),
        _is_blob("leaf"),
        CheckConstraint(f"length(record) BETWEEN 1 AND {LARGEST_RECORD}"),
        CheckConstraint(f"length(leaf) = {HASH_SIZE}"),
    )
    idx: int = _key()
    record: bytes = _blob()
    leaf: bytes = _blob(unique=True)


class StoredTile(SQLModel, table=True):
    """Up to 256 neighbouring hashes of the tree, end to end."""

    __tablename__ = "tile"
    __table_args__ = (
        _is_blob("hashes"),
        CheckConstraint(f"length(hashes) BETWEEN {HASH_SIZE} AND {FULL}"),
        CheckConstraint(f"length(hashes) % {HASH_SIZE} = 0"),
        {"sqlite_with_rowid": False},
    )
    level: int = _key()
    number: int = _key()
    hashes: bytes = _blob()


class StoredHead(SQLModel, table=True):
    """The one row that says how far the tree has grown, and its right edge."""

    __tablename__ = "head"
    __table_args__ = (
        _is_blob("root"),
        _is_blob("edge"),
        CheckConstraint(f"length(root) = {HASH_SIZE}"),
        CheckConstraint(f"length(edge) % {HASH_SIZE} = 0"),
    )
    size: int = _key()
    root: bytes = _blob()
    edge: bytes = _blob()


class StoredCheckpoint(SQLModel, table=True):
    """A signed note on the tree of one size, as UTF-8."""

    __tablename__ = "checkpoint"
    __table_args__ = (_is_blob("note"), {"sqlite_with_rowid": False})
    size: int = _key()
    note: bytes = _blob(key=True)


ENTRY, TILE, HEAD, CHECKPOINT = TABLES = tuple(
    SQLModel.metadata.tables[name] for name in ("entry", "tile", "head", "checkpoint")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """What is refused before one kind of change, when, and in which words."""

    table: str
    before: str
    says: str
    when: str = "TRUE"

    @property
    def name(self) -> str:
        """The trigger's name in the database."""
        return f"{self.table}_guards_{self.before.lower()}"


GUARDS = (
    Guard(
        table="entry",
        before="INSERT",
        when="NEW.idx <> (SELECT COALESCE(MAX(idx) + 1, 0) FROM entry)"
        " OR EXISTS (SELECT 1 FROM entry WHERE leaf = NEW.leaf)",
        says="an entry goes to the end of the log, and once only",
    ),
    Guard(table="entry", before="UPDATE", says="entries never change"),
    Guard(table="entry", before="DELETE", says="entries never go"),
    Guard(
        table="tile",
        before="INSERT",
        when="EXISTS (SELECT 1 FROM tile"
        " WHERE level = NEW.level AND number = NEW.number)",
        says="this tile is there already",
    ),
    Guard(
        table="tile",
        before="UPDATE",
        when="NEW.level <> OLD.level OR NEW.number <> OLD.number"
        " OR length(NEW.hashes) < length(OLD.hashes)"
        " OR substr(NEW.hashes, 1, length(OLD.hashes)) <> OLD.hashes",
        says="a tile only grows at its end",
    ),
    Guard(table="tile", before="DELETE", says="tiles never go"),
    Guard(
        table="head",
        before="INSERT",
        when="EXISTS (SELECT 1 FROM head)",
        says="a log has one head",
    ),
    Guard(
        table="head",
        before="UPDATE",
        when="NEW.size <= OLD.size"
        " OR NEW.size <> (SELECT COALESCE(MAX(idx) + 1, 0) FROM entry)",
        says="the head only grows, and with its entries",
    ),
    Guard(table="head", before="DELETE", says="the head never goes"),
    Guard(
        table="checkpoint",
        before="INSERT",
        when="EXISTS (SELECT 1 FROM checkpoint"
        " WHERE size = NEW.size AND note = NEW.note)",
        says="this checkpoint is there already",
    ),
    Guard(table="checkpoint", before="UPDATE", says="checkpoints never change"),
    Guard(table="checkpoint", before="DELETE", says="checkpoints never go"),
)
# SQLite has no TRUNCATE.
TRUNCATE_GUARDS = tuple(
    Guard(table=name, before="TRUNCATE", says=f"the table {name} is never emptied")
    for name in ("entry", "tile", "head", "checkpoint")
)


def found(connection: Connection) -> bool:
    """Make the tables, their guards and the head of an empty log.

    Returns False, and makes nothing, where a table of a log is there already.
    """
    if connection.dialect.name == "postgresql":
        # CREATE TABLE takes no lock that a second founder would wait for.
        connection.execute(text(f"SELECT pg_advisory_xact_lock({FOUNDING_LOCK})"))
    if present(connection):
        return False
    SQLModel.metadata.create_all(connection, tables=TABLES)
    install_guards(connection)
    connection.execute(HEAD.insert(), {"size": 0, "root": EMPTY_ROOT, "edge": b""})
    return True


def present(connection: Connection) -> frozenset[str]:
    """Return which of the log's tables are there."""
    return frozenset(inspect(connection).get_table_names()) & {t.name for t in TABLES}


def guards_for(dialect: str) -> tuple[Guard, ...]:
    """Return the guards that a log on this kind of database has."""
    return GUARDS + TRUNCATE_GUARDS if dialect == "postgresql" else GUARDS


def install_guards(connection: Connection) -> None:
    """Put every guard in its place."""
    on_postgresql = connection.dialect.name == "postgresql"
    write = _for_postgresql if on_postgresql else _for_sqlite
    for guard in guards_for(connection.dialect.name):
        for statement in write(guard):
            connection.exec_driver_sql(statement)


def guard_faults(connection: Connection) -> list[str]:
    """Say which guards are gone or do something else, and which triggers are none."""
    on_postgresql = connection.dialect.name == "postgresql"
    found = connection.execute(
        _POSTGRESQL_TRIGGERS if on_postgresql else _SQLITE_TRIGGERS
    )
    names = {table.name for table in TABLES}
    there = {row.name: row.says for row in found if row.on_table in names}
    faults = []
    for guard in guards_for(connection.dialect.name):
        says = there.pop(guard.name, None)
        if says is None:
            faults.append(f"the guard {guard.name} is gone")
        elif says != (_told_by_postgresql(guard) if on_postgresql else _sql(guard)):
            faults.append(f"the guard {guard.name} does not do what it should")
    return faults + [f"the trigger {name} is none of the log's" for name in there]


_SQLITE_TRIGGERS = text(
    "SELECT name, tbl_name AS on_table, sql AS says FROM sqlite_master"
    " WHERE type = 'trigger' ORDER BY name"
)
# How it is enabled, what it calls, and what that does.
_POSTGRESQL_TRIGGERS = text(
    "SELECT tgname AS name, relname AS on_table,"
    " CAST(tgenabled AS text) || ' ' ||"
    " pg_get_triggerdef(pg_trigger.oid, true) || ' ' || prosrc"
    " AS says"
    " FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " JOIN pg_proc ON pg_proc.oid = tgfoid"
    " WHERE NOT tgisinternal AND pg_table_is_visible(tgrelid) ORDER BY tgname"
)


def _for_sqlite(guard: Guard) -> tuple[str, ...]:
    return (_sql(guard),)


def _sql(guard: Guard) -> str:
    return (
        f"CREATE TRIGGER {guard.name} BEFORE {guard.before} ON {guard.table}"
        f" WHEN {guard.when} BEGIN SELECT RAISE(ABORT, '{guard.says}'); END"
    )


def _body(guard: Guard) -> str:
    return (
        f" BEGIN IF {guard.when} THEN RAISE restrict_violation USING MESSAGE ="
        f" '{guard.says}'; END IF; RETURN NEW; END "
    )


def _trigger(guard: Guard) -> str:
    each = "STATEMENT" if guard.before == "TRUNCATE" else "ROW"
    return (
        f"CREATE TRIGGER {guard.name} BEFORE {guard.before} ON {guard.table}"
        f" FOR EACH {each} EXECUTE FUNCTION {guard.name}()"
    )


def _told_by_postgresql(guard: Guard) -> str:
    return f"A {_trigger(guard)} {_body(guard)}"


def _for_postgresql(guard: Guard) -> tuple[str, ...]:
    return (
        f"CREATE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql AS"
        f" $${_body(guard)}$$",
        _trigger(guard),
        # Fires even for a session that plays a replica.
        f"ALTER TABLE {guard.table} ENABLE ALWAYS TRIGGER {guard.name}",
    )
