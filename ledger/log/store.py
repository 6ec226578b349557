"""Append and read: the log in a database, SQLite or PostgreSQL.

One append is one transaction. It locks the head, lets the act look at the views, adds
records one after the other, folds each into the views, and at the end writes the tiles
and the head they make; or it leaves nothing. Whatever is read stays true for ever: a
record never changes, and a tile only grows at its end, so that proofs for one size may
be put together from several reads.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import cached_property

from sqlalchemy import Connection, Engine
from sqlmodel import Session

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import database, merkle, queries, tables, tiles
from ledger.log.database import PATIENCE_SECONDS
from ledger.log.entry import NO_PREVIOUS, Entry, Record
from ledger.log.queries import CHUNK
from ledger.log.queries import Head as Head  # it belongs to what a store gives

Fold = Callable[[Session, Entry], None]


class Store:
    """One log in one database; close it when done.

    It may be used by several processes, and on both sides of a fork, as long as the
    fork happens between transactions.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    @classmethod
    def create(cls, url: str, *, patience_seconds: int = PATIENCE_SECONDS) -> "Store":
        """Make the tables of an empty log.

        Raises RefusedError where there is a log already.
        """
        store = cls(
            database.connect(url, creating=True, patience_seconds=patience_seconds)
        )
        with ExitStack() as unless_done:
            unless_done.callback(store.close)
            with database.transaction(store.engine, writing=True) as connection:
                is_new = tables.found(connection)
            if not is_new:
                raise RefusedError(
                    f"there is a log at {database.place(store.engine.url)} already; "
                    f"open it, or choose another place"
                )
            unless_done.pop_all()
        return store

    @classmethod
    def open(
        cls,
        url: str,
        *,
        patience_seconds: int = PATIENCE_SECONDS,
        for_audit: bool = False,
    ) -> "Store":
        """Open a log and see that its end is whole.

        Raises NotFoundError where there is none, and TamperError where a table is
        missing, the file is cut off, or head, tiles and newest record do not fit. An
        audit judges the last of these itself, and opens the log without.
        """
        store = cls(
            database.connect(url, creating=False, patience_seconds=patience_seconds)
        )
        with ExitStack() as unless_done:
            unless_done.callback(store.close)
            store._see_that_it_is_there()
            if not for_audit:
                store._see_that_its_end_fits()
            unless_done.pop_all()
        return store

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def head(self) -> Head:
        """Return the tree as it stands."""
        with self._connection() as connection:
            return queries.head(connection)

    def heads(self) -> list[tuple[int, bytes, bytes]]:
        """Return size, root and right edge of every head as stored, for an audit.

        A sound log has one.
        """
        with self._connection() as connection:
            return queries.heads(connection)

    def record(self, index: int) -> bytes:
        """Return the record at an index; NotFoundError where there is none."""
        with self._connection() as connection:
            record = queries.record(connection, index)
            if record is None:
                raise NotFoundError(_no_entry(index, queries.head(connection).size))
        return record

    def records(
        self, start: int = 0, stop: int | None = None
    ) -> Iterator[tuple[int, bytes]]:
        """Read (index, record) from `start` until before `stop`, or to the end."""
        for index, record, _ in self.rows(start, stop):
            yield index, record

    def rows(
        self, start: int = 0, stop: int | None = None
    ) -> Iterator[tuple[int, bytes, bytes]]:
        """Read (index, record, leaf hash) as stored, for whoever judges them."""
        while True:
            with self._connection() as connection:
                chunk = queries.entries(connection, start, stop)
            yield from chunk
            if len(chunk) < CHUNK:
                return
            start = chunk[-1][0] + 1

    def tile(self, level: int, number: int) -> bytes:
        """Return the hashes of a tile; NotFoundError where there is none."""
        hashes = self._tile(level, number)
        if not hashes:
            raise NotFoundError(f"there is no tile {number} of level {level}")
        return hashes

    def node(self, level: int, number: int) -> bytes:
        """Return the hash of the complete subtree of 2^level leaves numbered `number`.

        Raises TamperError where the tiles do not hold it.
        """
        return tiles.node(level, number, self._tile)

    def tiles(self) -> Iterator[tuple[int, int, bytes]]:
        """Read (level, number, hashes) of all tiles as stored, level 0 first."""
        level, number = -1, -1
        while True:
            with self._connection() as connection:
                chunk = queries.tiles_after(connection, level, number)
            yield from chunk
            if len(chunk) < CHUNK:
                return
            level, number, _ = chunk[-1]

    def checkpoints(self) -> Iterator[tuple[int, str]]:
        """Read (size, note) of every checkpoint, the smallest size first."""
        with self._connection() as connection:
            found = queries.notes(connection)
        yield from found

    def newest_checkpoint(self) -> tuple[int, str] | None:
        """Return the checkpoint of the largest size, or None before the first."""
        with self._connection() as connection:
            return queries.newest_note(connection)

    def add_checkpoint(self, size: int, note: str) -> None:
        """Keep a checkpoint; the same one twice is kept once.

        It is a transaction of its own, never part of an append. Raises RefusedError
        where the log is shorter, or another note on this size is kept already.
        """
        with database.transaction(self.engine, writing=True) as connection:
            head = queries.head(connection, locked=True)
            kept = [text for at, text in queries.notes(connection) if at == size]
            if note in kept:
                return
            if kept:
                raise RefusedError(
                    f"another checkpoint of size {size} is kept already: "
                    f"compare the two before anything else is printed"
                )
            if size > head.size:
                raise RefusedError(
                    f"this checkpoint is of size {size}, and the log has {head.size} "
                    f"entries: audit the log against it"
                )
            queries.add_note(connection, size, note)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Read one state of log and views, whatever others write meanwhile."""
        with self._connection() as connection, Session(connection) as session:
            yield session

    @contextmanager
    def appending(self, *, at_once: bool = True) -> Iterator["Appending"]:
        """Hold the end of the log: all that is appended stays, or nothing.

        at_once  whether its end is looked at before anything else; else when the newest
                 record is asked for or one is appended, so that whoever is refused
                 before that lets the next one in sooner

        Raises RefusedError where another station holds it for too long, and TamperError
        where the end of the log does not fit together.
        """
        with (
            database.transaction(self.engine, writing=True) as connection,
            Session(connection) as session,
        ):
            appending = Appending(session, queries.head(connection, locked=True))
            if at_once:
                appending.look()
            yield appending
            appending.finish()

    @contextmanager
    def _connection(self) -> Iterator[Connection]:
        with database.transaction(self.engine, writing=False) as connection:
            yield connection

    def _tile(self, level: int, number: int) -> bytes:
        with self._connection() as connection:
            return queries.tile(connection, level, number)

    def _see_that_it_is_there(self) -> None:
        where = database.place(self.engine.url)
        path = database.sqlite_path(self.engine)
        cut_off = path and database.cut_off(path)
        if cut_off:
            raise TamperError(
                f"{where} is cut off: it has {cut_off}; set the file aside as it is, "
                f"put back the newest copy, and audit that"
            )
        with self._connection() as connection:
            missing = {table.name for table in tables.TABLES}
            missing -= tables.present(connection)
            if len(missing) == len(tables.TABLES):
                raise NotFoundError(
                    f"{where} holds no log; put back the newest copy, "
                    f"or found a log if there never was one"
                )
            if missing:
                raise TamperError(
                    f"{where} has lost its table {', '.join(sorted(missing))}; set it "
                    f"aside as it is, put back the newest copy, and audit that"
                )

    def _see_that_its_end_fits(self) -> None:
        with self._connection() as connection:
            queries.newest(connection, queries.head(connection))


class Appending:
    """The end of the log while one station holds it."""

    def __init__(self, session: Session, head: Head) -> None:
        self.session = session
        self._stored = head
        self._appended: Record | None = None
        self._size = head.size
        self._edge = head.edge
        self._began_with = head.size
        self._tiles: dict[tuple[int, int], bytes] = {}
        self._is_whole = True
        self._connection = session.connection()
        self._transaction = self._connection.get_transaction()

    @property
    def newest(self) -> Record | None:
        """The newest record, or None in an empty log."""
        return self._appended or self._found

    def look(self) -> None:
        """Look whether head, tiles and newest record fit; TamperError where not."""
        _ = self._found

    @cached_property
    def _found(self) -> Record | None:
        return queries.newest(self._connection, self._stored)

    @property
    def head(self) -> Head:
        """The tree with all that was appended so far."""
        root = merkle.edge_root(self._edge)
        return Head(size=self._size, root=root, edge=self._edge)

    def append(self, record: Record, fold: Fold) -> None:
        """Add a record to the end and fold its entry into the views.

        Raises RefusedError where it is not meant for this place, TamperError where it
        does not follow the record before. Whatever is raised here, nothing of this
        transaction is kept, even if the error is caught.
        """
        self._see_that_nothing_was_given_up()
        self._is_whole = False
        self._see_that_it_follows(record)
        leaf = record.leaf
        queries.add_entry(self._connection, self._size, record.data, leaf)
        for level, number, hashes in tiles.grown(self._size, leaf, self._tile):
            self._keep(level, number, hashes)
        self._edge = merkle.extend(self._edge, self._size, leaf)
        self._size += 1
        self._appended = record
        fold(self.session, record.entry)
        self._is_whole = True

    def finish(self) -> None:
        """Write the tiles and the head; the store does so at the end."""
        self._see_that_nothing_was_given_up()
        self.session.flush()
        if self._size == self._began_with:
            return
        for level, number in sorted(self._tiles):
            hashes = self._tiles[level, number]
            queries.write_tile(self._connection, level, number, hashes)
        queries.write_head(self._connection, self.head)

    def _see_that_nothing_was_given_up(self) -> None:
        rolled_back = self._transaction is None or not self._transaction.is_active
        if rolled_back or not self._is_whole:
            raise RefusedError(
                "part of this transaction was refused or rolled back, "
                "and so nothing was recorded: begin it anew"
            )

    def _see_that_it_follows(self, record: Record) -> None:
        entry = record.entry
        if entry.index != self._size:
            raise RefusedError(
                f"this is entry {entry.index}, and the log goes on at {self._size}: "
                f"make it anew on the log as it stands"
            )
        previous = self.newest.leaf.hex() if self.newest else NO_PREVIOUS
        if entry.previous != previous:
            raise TamperError(
                f"entry {entry.index} follows {entry.previous}, and the newest leaf "
                f"hash is {previous}: it was made for another log"
            )

    def _tile(self, level: int, number: int) -> bytes:
        if (level, number) not in self._tiles:
            return queries.tile(self._connection, level, number)
        return self._tiles[level, number]

    def _keep(self, level: int, number: int, hashes: bytes) -> None:
        if len(hashes) < tiles.FULL:
            self._tiles[level, number] = hashes
            return
        # It is never needed again: a long import is not to hold it in memory.
        self._tiles.pop((level, number), None)
        queries.write_tile(self._connection, level, number, hashes)


def _no_entry(index: int, size: int) -> str:
    if size == 0:
        return f"there is no entry {index}; the log is empty"
    return f"there is no entry {index}; the newest is {size - 1}"
