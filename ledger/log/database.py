"""How a database is reached, locked and left, and what is said when it fails.

SQLite writes ahead (WAL) and waits for the disk at every commit (synchronous=FULL);
PostgreSQL is reached through psycopg 3. Connections are pooled, because closing the
last one to an SQLite file costs more than a commit; they are let go before a fork,
because SQLite forbids to carry one across.

Source: SQLite, "How To Corrupt An SQLite Database File", section 2.6 (fork); "The
SQLite Database File Format", section 1.3 (header); PostgreSQL, appendix A (codes).
"""

import os
import sqlite3
import sys
import time
import weakref
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import (
    ArgumentError,
    DBAPIError,
    IntegrityError,
    NoSuchModuleError,
    OperationalError,
)

from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError

PATIENCE_SECONDS = 60
# How long a writer on SQLite sleeps before it looks again whether it is its turn.
LOOK_AGAIN_SECONDS = 0.02
HEADER_SIZE = 100
MAGIC = b"SQLite format 3\x00"
READING, WRITING = "BEGIN", "BEGIN IMMEDIATE"
# Names of our own among an engine's execution options.
_BEGIN = "flitchbook_begin"
_PATIENCE = "flitchbook_patience"

BUSY = (
    RefusedError,
    "another station has been writing to {place} for {patience} s; "
    "let it finish, then try again",
)
FULL = (
    RefusedError,
    "the disk under {place} is full, and nothing was recorded; "
    "make room, then try again",
)
READ_ONLY = (
    RefusedError,
    "{place} may be read here but not written, and nothing was recorded; "
    "ask whoever keeps this machine for the right to write in its folder",
)
UNREACHABLE = (
    RefusedError,
    "{place} cannot be reached ({said}); see that it is there, that it may be read, "
    "and that its server runs",
)
BROKEN_DISK = (
    LedgerError,
    "the disk under {place} failed ({said}), and nothing was recorded; see that it has "
    "room and is sound, then try again",
)
DAMAGED = (
    TamperError,
    "{place} is damaged or cut off ({said}); set the file aside as it is, put back "
    "the newest copy, and audit that",
)
INCOMPLETE = (
    LedgerError,
    "{place} lacks something ({said}); rebuild the views, and if it still does, put "
    "back the newest copy",
)
GUARDED = (RefusedError, "{place} refused a change: {said}")
OTHER = (LedgerError, "{place} could not do this, and nothing was recorded: {said}")

# The longest beginning of SQLite's error name, or of PostgreSQL's SQLSTATE, decides.
SENTENCES = {
    "SQLITE_BUSY": BUSY,
    "SQLITE_LOCKED": BUSY,
    "SQLITE_PROTOCOL": BUSY,
    "SQLITE_FULL": FULL,
    "SQLITE_READONLY": READ_ONLY,
    "SQLITE_PERM": READ_ONLY,
    "SQLITE_CANTOPEN": UNREACHABLE,
    "SQLITE_IOERR": BROKEN_DISK,
    "SQLITE_CORRUPT": DAMAGED,
    "SQLITE_NOTADB": DAMAGED,
    "SQLITE_CONSTRAINT_TRIGGER": GUARDED,
    "55P03": BUSY,
    "53100": FULL,
    "25006": READ_ONLY,
    "42501": READ_ONLY,
    "08": UNREACHABLE,
    "28": UNREACHABLE,
    "3D": UNREACHABLE,
    "53300": UNREACHABLE,
    "57P": UNREACHABLE,
    "58": BROKEN_DISK,
    "XX": DAMAGED,
    "42P01": INCOMPLETE,
    "42703": INCOMPLETE,
    "23001": GUARDED,
}


def connect(url: str, *, creating: bool, patience_seconds: int) -> Engine:
    """Return the way to a database; whether it opens shows on first use.

    Raises NotFoundError where an SQLite file is missing and not to be created, and
    RefusedError where the address is none.
    """
    address = _address(url)
    if address.get_backend_name() == "sqlite":
        address = _sqlite_file(address, creating=creating)
        waiting: dict[str, Any] = {"timeout": patience_seconds}
    else:
        asked = address.query.get("options", "")
        waiting = {"options": f"{asked} -c lock_timeout={patience_seconds * 1000}"}
    try:
        engine = create_engine(
            address,
            connect_args=waiting,
            execution_options={_PATIENCE: patience_seconds},
        )
    except ModuleNotFoundError as missing:
        raise RefusedError(
            f"{missing.name} is needed to reach {place(address)}: "
            f"install flitchbook with its extra postgres"
        ) from None
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    _engines.add(engine)
    return engine


@contextmanager
def transaction(engine: Engine, *, writing: bool) -> Iterator[Connection]:
    """Hold one transaction: a writer commits at the end, a reader never does.

    A writer on SQLite holds the whole file from here on; on PostgreSQL whoever writes
    locks what is to be kept from others. A reader sees one state all the while.
    """
    options: dict[str, Any] = {_BEGIN: WRITING if writing else READING}
    if engine.dialect.name == "postgresql":
        level = "READ COMMITTED" if writing else "REPEATABLE READ"
        options = {"isolation_level": level, "postgresql_readonly": not writing}
    with told(engine), engine.connect() as connection:
        held = connection.execution_options(**options).begin()
        yield connection
        if writing:
            held.commit()


@contextmanager
def told(engine: Engine) -> Iterator[None]:
    """Turn what a driver says into one sentence that says what to do.

    A broken rule of a view's own table is a fault of the program, and passes.
    """
    try:
        yield
    except DBAPIError as problem:
        kind, sentence = _sentence(problem)
        if kind is None:
            raise
        raise kind(
            sentence.format(
                place=place(engine.url),
                patience=engine.get_execution_options()[_PATIENCE],
                said=str(problem.orig).partition("\n")[0].strip(),
            )
        ) from problem


def place(url: URL) -> str:
    """Say where a database is, without its password."""
    if url.get_backend_name() == "sqlite":
        return str(_path(url))
    return url.set(query={}).render_as_string(hide_password=True)


def cut_off(path: Path) -> str | None:
    """Say how much of an SQLite file is missing by its own header, or return None.

    SQLite itself overlooks a cut within the last page. While a write-ahead log stands
    beside the file its pages may be there instead, and nothing is said; nor of a file
    that is empty or something else altogether.
    """
    with path.open("rb") as file:
        header = file.read(HEADER_SIZE)
    ahead = path.with_name(path.name + "-wal")
    # In this order: a writer that has only just gone removes its log last.
    if ahead.exists() and ahead.stat().st_size:
        return None
    if not header or not MAGIC.startswith(header[: len(MAGIC)]):
        return None
    here = path.stat().st_size
    if here < HEADER_SIZE:
        return f"{here} bytes of the {HEADER_SIZE} that it begins with"
    page = int.from_bytes(header[16:18], "big")
    pages = int.from_bytes(header[28:32], "big")
    whole = (65536 if page == 1 else page) * pages
    return f"{here} bytes of {whole}" if here < whole else None


def sqlite_path(engine: Engine) -> Path | None:
    """Return the file of an SQLite database, or None for a server's."""
    return _path(engine.url) if engine.dialect.name == "sqlite" else None


_engines: weakref.WeakSet[Engine] = weakref.WeakSet()


def _let_go() -> None:
    for engine in list(_engines):
        engine.dispose()


if sys.platform != "win32":
    os.register_at_fork(before=_let_go)


def _address(url: str) -> URL:
    try:
        address = make_url(url)
        address.get_dialect()
    except (ArgumentError, NoSuchModuleError):
        raise RefusedError(
            "this is no database's address: write sqlite:///FILE "
            "or postgresql+psycopg://USER@HOST/NAME"
        ) from None
    return address


def _sqlite_file(address: URL, *, creating: bool) -> URL:
    """Name the file so that only founding a log makes one."""
    if address.database in (None, "", ":memory:"):
        raise RefusedError("a log needs a file to last: write sqlite:///FILE")
    path = _path(address)
    if not creating and not path.is_file():
        raise NotFoundError(f"there is no log at {path}; found one, or name its folder")
    query = {"mode": "rwc" if creating else "rw", "uri": "true"}
    name = f"file:{quote(str(path.absolute()))}"
    return address.set(database=name, query=query | dict(address.query))


def _path(address: URL) -> Path:
    name = str(address.database)
    return Path(unquote(name[5:]) if name.startswith("file:") else name)


def _prepare_sqlite(connection: Any, _record: object) -> None:
    # The driver is not to begin transactions of its own: `_begin_sqlite` does.
    connection.isolation_level = None
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _begin_sqlite(connection: Connection) -> None:
    options = connection.get_execution_options()
    if options.get(_BEGIN, READING) == READING:
        connection.exec_driver_sql(READING)
    else:
        _begin_writing(connection, options[_PATIENCE])


def _begin_writing(connection: Connection, patience_seconds: int) -> None:
    """Begin to write as soon as nobody else does, or fail once patience is over.

    SQLite itself sleeps up to 100 ms between two looks, and whole seconds where it was
    built without usleep: of many writers the last would wait that often for nobody.
    """
    driver: Any = connection.connection.driver_connection
    until = time.monotonic() + patience_seconds
    driver.execute("PRAGMA busy_timeout = 0")
    try:
        while time.monotonic() < until:
            try:
                driver.execute(WRITING)
            except sqlite3.OperationalError as problem:
                if problem.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    break
                time.sleep(LOOK_AGAIN_SECONDS)
            else:
                return
        # Once more, so that what the driver says becomes a sentence of ours.
        connection.exec_driver_sql(WRITING)
    finally:
        driver.execute(f"PRAGMA busy_timeout = {patience_seconds * 1000}")


def _sentence(problem: DBAPIError) -> tuple[type[LedgerError] | None, str]:
    code = getattr(problem.orig, "sqlite_errorname", None)
    code = code or getattr(problem.orig, "sqlstate", None)
    if code is None:
        # psycopg gives no code where the server could not answer at all.
        return UNREACHABLE if isinstance(problem, OperationalError) else OTHER
    if code == "SQLITE_ERROR":
        return INCOMPLETE if str(problem.orig).startswith("no such ") else OTHER
    fits = [known for known in SENTENCES if code.startswith(known)]
    if not fits and isinstance(problem, IntegrityError):
        return None, ""
    return SENTENCES[max(fits, key=len)] if fits else OTHER
