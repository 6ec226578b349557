"""The vault's SQLite file: its tables, how it is opened, what is said when it fails.

SQLite overwrites deleted rows (secure_delete) and rewrites the file (VACUUM, its
scratch kept in memory). It keeps a rollback journal and no write-ahead log, so that no
old page outlives a transaction. synchronous=EXTRA, which is FULL and the folder as
well, lets no power cut bring a page back or lose a row that an entry speaks of.

Source: SQLite documentation, "PRAGMA secure_delete", "PRAGMA synchronous" and
"PRAGMA trusted_schema"; result codes of the same.
"""

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError
from ledger.log.sealedfile import SEALED
from ledger.log.strokes import sync_folder

PATIENCE_SECONDS = 60
SETTINGS = (
    "PRAGMA trusted_schema = OFF",
    "PRAGMA temp_store = MEMORY",
    "PRAGMA secure_delete = ON",
    "PRAGMA synchronous = EXTRA",
)

SCHEMA = (
    """CREATE TABLE opening (
    id INTEGER PRIMARY KEY,
    commitment TEXT NOT NULL UNIQUE CHECK (length(commitment) = 64),
    subject TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT CHECK (typeof(value) IN ('text', 'null')),
    key BLOB CHECK (key IS NULL OR length(key) = 32),
    sealed BLOB CHECK (typeof(sealed) IN ('blob', 'null')),
    CHECK ((sealed IS NULL) = (value IS NOT NULL)),
    CHECK ((sealed IS NULL) = (key IS NOT NULL))
)""",
    "CREATE INDEX opening_subject ON opening (subject, field)",
    """CREATE TABLE salt (
    digest TEXT PRIMARY KEY CHECK (length(digest) = 64),
    salt BLOB NOT NULL CHECK (length(salt) = 32),
    subject TEXT
)""",
    "CREATE INDEX salt_subject ON salt (subject)",
    """CREATE TABLE sealing_key (
    subject TEXT PRIMARY KEY,
    public BLOB NOT NULL CHECK (length(public) = 32)
)""",
    """CREATE TABLE office (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    public BLOB NOT NULL CHECK (length(public) = 32)
)""",
    """CREATE TABLE office_holder (
    public BLOB PRIMARY KEY CHECK (length(public) = 32),
    sealed BLOB NOT NULL
)""",
)


def make(path: Path) -> None:
    """Make an empty vault, whole or not at all."""
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    os.close(handle)
    try:
        with told(path), closing(connected(Path(name))) as connection:
            for statement in SCHEMA:
                connection.execute(statement)
        Path(name).replace(path)
    finally:
        # After the rename there is nothing left to remove.
        Path(name).unlink(missing_ok=True)
    sync_folder(path.parent)


def connected(path: Path) -> sqlite3.Connection:
    """Open the file as it is, never making one, and forget nothing on disk."""
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw",
        uri=True,
        timeout=PATIENCE_SECONDS,
        isolation_level=None,
    )
    try:
        for setting in SETTINGS:
            connection.execute(setting)
    except (sqlite3.Error, UnicodeDecodeError):
        connection.close()
        raise
    return connection


def require_there(path: Path) -> None:
    """See that there is a vault with something in it, and that no seal is before it."""
    if not path.is_file() and path.with_name(f"{path.name}{SEALED}").exists():
        raise RefusedError(
            f"the vault {path} is sealed: put the copy back with flitchbook record "
            f"restore COPY --shop FOLDER"
        )
    if not path.is_file():
        raise NotFoundError(f"no vault is at {path}; put back the newest copy")
    if path.stat().st_size == 0:
        raise TamperError(f"the vault {path} is empty; put back the newest copy")


def require_ours(path: Path, connection: sqlite3.Connection) -> None:
    """See that the file is whole, and that it has the vault's tables and no others.

    A trigger slipped in would copy what is to be forgotten. SQLite itself does not
    miss the end of the last page, and reads noughts there.
    """
    # Within a transaction nobody else changes tables or size.
    connection.execute("BEGIN")
    rows = connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")
    tables = {sql for (sql,) in rows}
    expected = _number(connection, "page_count") * _number(connection, "page_size")
    size = path.stat().st_size
    connection.execute("COMMIT")
    if size < expected:
        raise TamperError(
            f"the vault {path} is cut off: it has {size} bytes of {expected}; "
            f"put back the newest copy"
        )
    if tables != set(SCHEMA):
        raise TamperError(
            f"the tables of the vault {path} are not the ones that were made; "
            f"put back the newest copy"
        )
    (mode,) = connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    if mode != "delete":
        raise LedgerError(
            f"the vault {path} keeps old pages in its journal mode {mode}; "
            f"close every program that has it open, then try again"
        )


def kept_of(
    path: Path, connection: sqlite3.Connection, subject: str
) -> list[tuple[str, str, bool]]:
    """Return what is kept of a subject: commitment, field, and whether it is sealed.

    No value is read.
    """
    asked = (
        "SELECT commitment, field, sealed IS NOT NULL FROM opening WHERE subject = ? "
        "ORDER BY id"
    )
    with told(path):
        rows = connection.execute(asked, (subject,)).fetchall()
    return [(commitment, field, bool(sealed)) for commitment, field, sealed in rows]


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Tell a failure of SQLite so that a person knows what to do next."""
    try:
        yield
    except UnicodeDecodeError:
        # What SQLite says about a scrambled file may quote its bytes.
        raise _failure(sqlite3.SQLITE_CORRUPT, path, "unreadable text") from None
    except sqlite3.Error as problem:
        # The low byte is the kind; the rest says more about it.
        code = getattr(problem, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
        raise _failure(code, path, problem) from None


def _number(connection: sqlite3.Connection, pragma: str) -> int:
    return int(connection.execute(f"PRAGMA {pragma}").fetchone()[0])


def _failure(code: int, path: Path, problem: object) -> LedgerError:
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return RefusedError(
            f"another station has held the vault {path} for {PATIENCE_SECONDS} s; "
            f"let it finish, then try again"
        )
    if code == sqlite3.SQLITE_FULL:
        return RefusedError(f"the disk under {path} is full; make room, then try again")
    if code in (
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_AUTH,
    ):
        return RefusedError(
            f"the vault {path} cannot be written here ({problem}); ask whoever keeps "
            f"this machine for the right to write in its folder"
        )
    if code in (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_INTERRUPT):
        return LedgerError(
            f"the vault {path} could not be read or written ({problem}); "
            f"see that the disk is sound, then try again"
        )
    return TamperError(
        f"the vault {path} is damaged or cut off ({problem}); set the file aside as it "
        f"is and put back the newest copy"
    )
