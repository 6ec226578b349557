"""What is read is judged: damage at the end of a log stops whoever would go on."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from ledger.errors import TamperError
from ledger.log import queries
from ledger.log.store import Store
from tests.ledger.log.writing import filled

DAMAGE = {
    "a record changed": (
        "entry",
        "UPDATE entry SET record = leaf WHERE idx = 299",
        "the newest entry, 299, and its leaf hash do not fit",
    ),
    "the end cut away": (
        "entry",
        "DELETE FROM entry WHERE idx = 299",
        "the log has 299 entries, and its head says 300",
    ),
    "a tile lost": (
        "tile",
        "DELETE FROM tile WHERE level = 0 AND number = 1",
        "the newest entry, 299, and its leaf hash do not fit",
    ),
    "another root": (
        "head",
        "UPDATE head SET root = (SELECT leaf FROM entry WHERE idx = 0)",
        "the head of size 300 and its right edge do not give the root",
    ),
    "an older head": (
        "head",
        "UPDATE head SET size = 299",
        "the head of size 299 and its right edge do not give the root",
    ),
    "no head": ("head", "DELETE FROM head", "the log has 0 heads where there is one"),
}


@pytest.mark.parametrize("fault", DAMAGE)
def test_damage_at_the_end_of_the_log_stops_opening_and_appending(
    database_url: str, fault: str
) -> None:
    """Whoever takes the guards away and changes the end is noticed at the next act."""
    table, statement, told = DAMAGE[fault]
    store = filled(database_url, 300)
    with store.engine.begin() as connection:
        for change in ("update", "delete"):
            on_table = "" if connection.dialect.name == "sqlite" else f" ON {table}"
            name = f"{table}_guards_{change}"
            connection.execute(text(f"DROP TRIGGER {name}{on_table}"))
        connection.execute(text(statement))

    with pytest.raises(TamperError, match=told), store.appending():
        pass
    store.close()
    with pytest.raises(TamperError, match=told):
        Store.open(database_url)
    Store.open(database_url, for_audit=True).close()


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    """Give a log of several chunks of entries."""
    store = filled(database_url, 2 * queries.CHUNK + 1)
    yield store
    store.close()


def test_entries_are_read_a_chunk_at_a_time(store: Store) -> None:
    """However many are asked for, few are held in memory, from the start on."""
    with store.engine.begin() as connection:
        first = queries.entries(connection, 0, None)
        few = queries.entries(connection, 7, 9)
        last = queries.entries(connection, 2 * queries.CHUNK, None)

    assert [index for index, _, _ in first] == list(range(queries.CHUNK))
    assert [index for index, _, _ in few] == [7, 8]
    assert [index for index, _, _ in last] == [2 * queries.CHUNK]


def test_tiles_are_read_in_order(store: Store) -> None:
    """Level by level, and behind the one that was named."""
    with store.engine.begin() as connection:
        every = queries.tiles_after(connection, -1, -1)
        later = queries.tiles_after(connection, 0, 1)

    places = [(level, number) for level, number, _ in every]
    assert places == [(0, 0), (0, 1), (0, 2), (1, 0)]
    assert list(later) == list(every[2:])


def test_text_that_slipped_into_a_blob_is_read_as_bytes(tmp_path: Path) -> None:
    """SQLite can be told to skip its checks; an audit is to judge, not to stumble."""
    path = tmp_path / "ledger.sqlite3"
    filled(f"sqlite:///{path}", 3).close()
    plain = sqlite3.connect(path)
    plain.execute("DROP TRIGGER entry_guards_update")
    plain.execute("PRAGMA ignore_check_constraints = ON")
    plain.execute("UPDATE entry SET record = 'unsaid' WHERE idx = 1")
    plain.commit()
    plain.close()
    store = Store.open(f"sqlite:///{path}", for_audit=True)
    record = store.record(1)
    store.close()

    assert record == b"unsaid"
