"""The guards are tried with raw SQL, as a careless program would."""

from collections.abc import Iterator

import pytest
from sqlalchemy import create_engine
from sqlalchemy.exc import IntegrityError, OperationalError

from ledger.log import tables
from ledger.log.store import Store
from tests.ledger.log.writing import filled

SIZE = 5
# What is written into the statements: a leaf hash not yet there, some bytes, and what
# stands around bytes that are joined, which SQLite would otherwise take for text.
HELD = {
    "leaf": "(SELECT leaf FROM entry WHERE idx = 1)",
    "tile": "(SELECT hashes FROM tile WHERE level = 0 AND number = 0)",
    "root": "(SELECT root FROM head)",
}
WORDS = {
    "sqlite": {
        "new": "zeroblob(32)",
        "b": "x'01'",
        "join": "CAST(",
        "end": " AS BLOB)",
    },
    "postgresql": {
        "new": "decode(repeat('00', 32), 'hex')",
        "b": "'\\x01'::bytea",
        "join": "(",
        "end": ")",
    },
}

# Each is one statement that must be refused.
BOTH = (
    "UPDATE entry SET record = {b} WHERE idx = 2",
    "UPDATE entry SET leaf = {new} WHERE idx = 2",
    "UPDATE entry SET idx = 77 WHERE idx = 4",
    "UPDATE entry SET record = record",
    "DELETE FROM entry WHERE idx = 4",
    "DELETE FROM entry",
    "INSERT INTO entry (idx, record, leaf) VALUES (2, {b}, {new})",
    "INSERT INTO entry (idx, record, leaf) VALUES (6, {b}, {new})",
    "INSERT INTO entry (idx, record, leaf) VALUES (-1, {b}, {new})",
    "INSERT INTO entry (idx, record, leaf) VALUES (NULL, {b}, {new})",
    "INSERT INTO entry (idx, record, leaf) VALUES (5, {b}, {leaf})",
    "INSERT INTO entry (idx, record, leaf) VALUES (5, {b}, {b})",
    "INSERT INTO entry (idx, record, leaf) VALUES (5, NULL, {new})",
    "INSERT INTO entry (idx, record, leaf) VALUES (2, {b}, {new})"
    " ON CONFLICT (idx) DO UPDATE SET record = excluded.record",
    "INSERT INTO entry (idx, record, leaf) VALUES (5, {b}, {leaf})"
    " ON CONFLICT (leaf) DO UPDATE SET record = excluded.record",
    "INSERT INTO entry (idx, record, leaf) VALUES (2, {b}, {new})"
    " ON CONFLICT DO NOTHING",
    "UPDATE tile SET hashes = {new}",
    "UPDATE tile SET hashes = substr({tile}, 1, 128)",
    "UPDATE tile SET hashes = "
    "{join}substr({tile}, 33, 128) || substr({tile}, 1, 32){end}",
    "UPDATE tile SET number = 1",
    "UPDATE tile SET level = 1",
    "UPDATE tile SET hashes = {join}{tile} || {b}{end}",
    "DELETE FROM tile",
    "INSERT INTO tile (level, number, hashes) VALUES (0, 0, {new})",
    "INSERT INTO tile (level, number, hashes) VALUES (0, 0, {tile})"
    " ON CONFLICT (level, number) DO UPDATE SET hashes = excluded.hashes",
    "INSERT INTO tile (level, number, hashes) VALUES (0, 1, {b})",
    "UPDATE head SET size = 4",
    "UPDATE head SET size = 6",
    "UPDATE head SET root = {new}",
    "UPDATE head SET edge = {new}",
    "DELETE FROM head",
    "INSERT INTO head (size, root, edge) VALUES (6, {root}, {new})",
    "INSERT INTO head (size, root, edge) VALUES (5, {root}, {new})"
    " ON CONFLICT (size) DO UPDATE SET root = excluded.root",
    "UPDATE checkpoint SET note = {b}",
    "UPDATE checkpoint SET size = 3",
    "DELETE FROM checkpoint",
    "INSERT INTO checkpoint (size, note) SELECT size, note FROM checkpoint",
)
ONLY = {
    "sqlite": (
        "INSERT OR REPLACE INTO entry (idx, record, leaf) VALUES (2, {b}, {new})",
        "INSERT OR REPLACE INTO entry (idx, record, leaf) VALUES (5, {b}, {leaf})",
        "REPLACE INTO entry (record, leaf) VALUES ({b}, {leaf})",
        "INSERT OR IGNORE INTO entry (idx, record, leaf) VALUES (2, {b}, {new})",
        "INSERT OR IGNORE INTO entry (idx, record, leaf) VALUES (5, {b}, {leaf})",
        "INSERT OR FAIL INTO entry (idx, record, leaf) VALUES (2, {b}, {new})",
        "UPDATE OR REPLACE entry SET idx = 1 WHERE idx = 4",
        "UPDATE OR REPLACE entry SET rowid = 1 WHERE idx = 4",
        "INSERT INTO entry (idx, record, leaf) VALUES (5, 'text', {new})",
        "INSERT INTO entry (idx, record, leaf) VALUES ('five', {b}, {new})",
        "INSERT OR REPLACE INTO tile (level, number, hashes) VALUES (0, 0, {new})",
        "REPLACE INTO tile (rowid, level, number, hashes) VALUES (1, 0, 1, {new})",
        "INSERT OR IGNORE INTO tile (level, number, hashes) VALUES (0, 0, {new})",
        "INSERT INTO tile (level, number, hashes) VALUES (0, 1, '0123456789abcdef'"
        " || '0123456789abcdef')",
        "INSERT OR REPLACE INTO head (size, root, edge) VALUES (5, {root}, {new})",
        "REPLACE INTO head (rowid, size, root, edge) VALUES (5, 9, {root}, {new})",
        "UPDATE OR REPLACE head SET size = 5",
        "REPLACE INTO checkpoint (size, note) SELECT size, note FROM checkpoint",
        "REPLACE INTO checkpoint (rowid, size, note) VALUES (1, 2, {b})",
        "UPDATE OR REPLACE checkpoint SET note = {b}",
    ),
    "postgresql": (
        "TRUNCATE entry",
        "TRUNCATE tile",
        "TRUNCATE head",
        "TRUNCATE checkpoint",
        "TRUNCATE entry, tile, head, checkpoint RESTART IDENTITY CASCADE",
        "MERGE INTO entry USING (SELECT 1) AS one ON entry.idx = 2"
        " WHEN MATCHED THEN DELETE",
        "MERGE INTO tile USING (SELECT 1) AS one ON tile.level = 0"
        " WHEN MATCHED THEN UPDATE SET hashes = {new}",
        "SET session_replication_role = replica; DELETE FROM entry WHERE idx = 4",
        "INSERT INTO tile (level, number, hashes) VALUES (0, 0, {new})"
        " ON CONFLICT DO NOTHING",
    ),
}


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    """Give a log with five entries and a checkpoint."""
    store = filled(database_url, SIZE)
    store.add_checkpoint(SIZE, "a note\n")
    yield store
    store.close()


def contents(store: Store) -> list[object]:
    """Return everything the log holds."""
    notes = list(store.checkpoints())
    return [store.head(), *store.rows(), *store.tiles(), *notes]


def test_no_statement_gets_past_the_guards(store: Store, database_url: str) -> None:
    """Whatever plain SQL tries, it is refused and every byte stays as it was."""
    kind = store.engine.dialect.name
    before = contents(store)
    plain = create_engine(database_url)
    slipped = []
    for statement in BOTH + ONLY[kind]:
        tried = statement.format_map(HELD | WORDS[kind])
        try:
            with plain.begin() as connection:
                connection.exec_driver_sql(tried)
        except IntegrityError:
            continue
        except OperationalError as problem:
            # SQLite's tables with two keys have no rowid to be replaced by.
            if "no column named rowid" in str(problem):
                continue
        slipped.append(tried)
    plain.dispose()

    assert not slipped
    assert contents(store) == before


def test_what_the_guards_let_through_is_growth(store: Store) -> None:
    """The same tables do take a next entry, a longer tile and a new checkpoint."""
    kind = store.engine.dialect.name
    grow = (
        "INSERT INTO entry (idx, record, leaf) VALUES (5, {b}, {new})",
        "UPDATE tile SET hashes = {join}{tile} || {new}{end}",
        "UPDATE head SET size = 6, root = {new}",
        "INSERT INTO tile (level, number, hashes) VALUES (0, 1, {new})",
        "INSERT INTO checkpoint (size, note) VALUES (5, {b})",
    )
    with store.engine.begin() as connection:
        for statement in grow:
            connection.exec_driver_sql(statement.format_map(HELD | WORDS[kind]))

    assert [index for index, _ in store.records()] == list(range(6))
    assert len(list(store.tiles())) == 2


def test_every_guard_stands_on_its_table(store: Store) -> None:
    """The triggers in the database are exactly those that are written down."""
    kind = store.engine.dialect.name
    with store.engine.begin() as connection:
        faults = tables.guard_faults(connection)

    assert faults == []
    assert len(tables.guards_for(kind)) == {"sqlite": 12, "postgresql": 16}[kind]


def test_a_guard_that_was_taken_away_is_missed(store: Store) -> None:
    """Whoever drops a trigger changes what an audit finds."""
    drop = {
        "sqlite": "DROP TRIGGER entry_guards_delete",
        "postgresql": "DROP TRIGGER entry_guards_delete ON entry",
    }
    with store.engine.begin() as connection:
        connection.exec_driver_sql(drop[store.engine.dialect.name])
        faults = tables.guard_faults(connection)

    assert faults == ["the guard entry_guards_delete is gone"]


HOLLOW = {
    "sqlite": (
        "DROP TRIGGER entry_guards_delete",
        "CREATE TRIGGER entry_guards_delete BEFORE DELETE ON entry"
        " WHEN FALSE BEGIN SELECT 1; END",
    ),
    "postgresql": (
        "CREATE OR REPLACE FUNCTION entry_guards_delete() RETURNS trigger"
        " LANGUAGE plpgsql AS $$ BEGIN RETURN OLD; END $$",
    ),
}
SLEEPING = {
    "sqlite": HOLLOW["sqlite"],
    "postgresql": ("ALTER TABLE entry DISABLE TRIGGER entry_guards_delete",),
}


@pytest.mark.parametrize("how", [HOLLOW, SLEEPING], ids=["hollow", "sleeping"])
def test_a_guard_that_no_longer_guards_is_found(
    store: Store, how: dict[str, tuple[str, ...]]
) -> None:
    """Its name alone refuses nothing."""
    with store.engine.begin() as connection:
        for statement in how[store.engine.dialect.name]:
            connection.exec_driver_sql(statement)
        faults = tables.guard_faults(connection)

    assert faults == ["the guard entry_guards_delete does not do what it should"]


def test_a_trigger_that_is_no_guard_is_named(store: Store) -> None:
    """Whatever else happens when an entry is added, somebody else put it there."""
    added = {
        "sqlite": "CREATE TRIGGER spy AFTER INSERT ON entry BEGIN SELECT 1; END",
        "postgresql": "CREATE TRIGGER spy AFTER INSERT ON entry"
        " FOR EACH ROW EXECUTE FUNCTION entry_guards_delete()",
    }
    with store.engine.begin() as connection:
        connection.exec_driver_sql(added[store.engine.dialect.name])
        faults = tables.guard_faults(connection)

    assert faults == ["the trigger spy is none of the log's"]


def test_a_log_is_founded_once(store: Store) -> None:
    """Where tables of a log are, none are made."""
    with store.engine.begin() as connection:
        assert not tables.found(connection)
        assert tables.present(connection) == {"entry", "tile", "head", "checkpoint"}
