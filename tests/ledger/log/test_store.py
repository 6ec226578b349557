"""One suite for both databases: what is appended is there, whole, once, in order."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from pymerkle import InmemoryTree
from sqlalchemy import text
from sqlmodel import Session

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import merkle
from ledger.log.entry import Entry, parse_record
from ledger.log.merkle import EMPTY_ROOT
from ledger.log.queries import CHUNK
from ledger.log.store import Store
from tests.ledger.log.walking import faults
from tests.ledger.log.writing import add, chain, filled, no_views, record_after

ROOT = Path(__file__).parents[3]
STATION = Path(__file__).with_name("station.py")


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    """Give a new log."""
    store = Store.create(database_url)
    yield store
    store.close()


@pytest.fixture
def a_view(store: Store) -> Callable[[Session, Entry], None]:
    """Give a fold into a small view of the test's own."""
    with store.engine.begin() as connection:
        connection.execute(text("CREATE TABLE seen (idx INTEGER PRIMARY KEY)"))

    def fold(session: Session, entry: Entry) -> None:
        session.connection().execute(
            text("INSERT INTO seen VALUES (:idx)"), {"idx": entry.index}
        )

    return fold


def seen(session: Session) -> list[int]:
    """Return which entries the small view has seen."""
    chosen = text("SELECT idx FROM seen ORDER BY idx")
    return list(session.connection().execute(chosen).scalars())


def test_an_empty_log_has_the_root_of_the_empty_tree(store: Store) -> None:
    """RFC 6962 section 2.1: the hash of an empty list is the hash of nothing."""
    assert (store.head().size, store.head().root) == (0, EMPTY_ROOT)
    assert [*store.records(), *store.tiles(), *store.checkpoints()] == []
    assert store.newest_checkpoint() is None
    with pytest.raises(NotFoundError, match="there is no entry 0; the log is empty"):
        store.record(0)


def test_what_was_appended_is_read_byte_for_byte(
    store: Store, database_url: str
) -> None:
    """Records come back as they were, by index, in order, and after opening again."""
    records = list(chain(CHUNK + 44))
    for record in records:
        with store.appending() as appending:
            assert appending.head.size == record.entry.index
            appending.append(record, no_views)
    other = Store.open(database_url)
    read = list(other.records())
    other.close()

    assert read == [(n, record.data) for n, record in enumerate(records)]
    assert store.record(256) == records[256].data
    assert [index for index, _ in store.records(250, 260)] == list(range(250, 260))
    assert [*store.records(7, 7), *store.records(900)] == []
    assert not faults(store)
    with pytest.raises(NotFoundError, match="there is no entry 412; the newest is 299"):
        store.record(412)


def test_roots_and_paths_hold_at_every_edge_of_a_tile(store: Store) -> None:
    """At sizes around the edges every leaf is proved, and pymerkle tells the root."""
    other, roots = InmemoryTree(algorithm="sha256"), {}
    leaves = []
    with store.appending() as appending:
        for record in chain(515):
            appending.append(record, no_views)
            other.append_entry(record.data)
            leaves.append(record.leaf)
            roots[len(leaves)] = other.get_root()
            assert appending.head.root == roots[len(leaves)]
    nodes = {
        (level, number): store.node(level, number)
        for level in range(10)
        for number in range(515 >> level)
    }

    def node(level: int, number: int) -> bytes:
        return nodes[level, number]

    assert not faults(store)
    for size in (1, 2, 255, 256, 257, 511, 512, 513, 515):
        for index in range(size):
            path = merkle.inclusion_path(index, size, node)
            proved = merkle.root_from_path(leaves[index], index, size, path)
            assert proved == roots[size], (index, size)
        for old in range(1, size + 1):
            path = merkle.consistency_path(old, size, node)
            assert merkle.is_consistent(old, size, roots[old], roots[size], path)


@pytest.mark.parametrize("batch", [1, 7, 255, 256, 600])
def test_the_same_log_comes_out_however_it_is_portioned(
    store: Store, batch: int
) -> None:
    """Tiles and head do not depend on how many entries share a transaction."""
    records = list(chain(600))
    for start in range(0, 600, batch):
        with store.appending() as appending:
            for record in records[start : start + batch]:
                appending.append(record, no_views)

    assert store.head().root == merkle.root(record.leaf for record in records)
    assert not faults(store)


def test_an_act_sees_its_entries_before_they_are_kept(
    store: Store, a_view: Callable[[Session, Entry], None]
) -> None:
    """Inside the transaction the fold has already happened."""
    with store.appending() as appending:
        first = record_after(None)
        appending.append(first, a_view)
        inside = seen(appending.session)
        newest = appending.newest

    assert inside == [0]
    assert newest is first


def test_a_reader_keeps_its_state_while_others_write(
    store: Store, a_view: Callable[[Session, Entry], None]
) -> None:
    """One reading sees one state of log and views, and the next sees the new one."""
    with store.reading() as session:
        before = seen(session)
        with store.appending() as appending:
            appending.append(record_after(None), a_view)
            while_writing = seen(session)
        after = seen(session)

    assert before == while_writing == after == []
    with store.reading() as session:
        assert seen(session) == [0]


def test_a_reader_leaves_nothing_behind(
    store: Store, a_view: Callable[[Session, Entry], None]
) -> None:
    """What is written through a reading is refused or forgotten."""
    entry = record_after(None).entry
    try:
        with store.reading() as session:
            a_view(session, entry)
    except RefusedError as refused:
        assert "read" in str(refused)

    with store.reading() as session:
        assert seen(session) == []


def test_a_fold_that_fails_leaves_nothing(
    store: Store, a_view: Callable[[Session, Entry], None]
) -> None:
    """Neither the entry, nor those before it in the transaction, nor their views."""

    def refuse_the_third(session: Session, entry: Entry) -> None:
        a_view(session, entry)
        if entry.index == 2:
            raise RefusedError("the third is one too many")

    with (
        pytest.raises(RefusedError, match="one too many"),
        store.appending() as appending,
    ):
        for record in chain(5):
            appending.append(record, refuse_the_third)

    assert store.head().size == 0
    assert not faults(store)
    with store.reading() as session:
        assert seen(session) == []


def test_a_failure_that_an_act_swallows_still_leaves_nothing(store: Store) -> None:
    """Half an entry is not kept because somebody caught the error."""

    def refuse(session: Session, entry: Entry) -> None:
        raise ValueError("no")

    with (
        pytest.raises(RefusedError, match="so nothing was recorded"),
        store.appending() as appending,
    ):
        add(appending, 3)
        with pytest.raises(ValueError, match="no"):
            appending.append(record_after(appending.newest), refuse)

    assert store.head().size == 0
    assert not faults(store)


def test_an_act_that_is_interrupted_between_entries_leaves_nothing(
    store: Store,
) -> None:
    """Even the keyboard's interrupt."""
    with pytest.raises(KeyboardInterrupt), store.appending() as appending:
        add(appending, 300)
        raise KeyboardInterrupt

    assert store.head().size == 0
    assert not faults(store)


@pytest.mark.parametrize("more", [0, 3])
def test_an_act_that_rolls_back_keeps_nothing(store: Store, more: int) -> None:
    """Neither what it had appended, nor what it appends afterwards."""
    with (
        pytest.raises(RefusedError, match="so nothing was recorded: begin it anew"),
        store.appending() as appending,
    ):
        add(appending, 3)
        appending.session.rollback()
        add(appending, more)

    assert store.head().size == 0
    assert not faults(store)


def test_an_act_that_commits_by_itself_keeps_nothing_yet(store: Store) -> None:
    """Only the store ends the transaction, when all is done."""
    with pytest.raises(ValueError, match="late"), store.appending() as appending:
        add(appending, 3)
        appending.session.commit()
        add(appending, 3)
        raise ValueError("too late")

    assert store.head().size == 0
    assert not faults(store)


def test_an_entry_for_another_place_is_refused(store: Store) -> None:
    """Both numbers are told, and nothing is kept."""
    records = list(chain(4))
    with (
        pytest.raises(RefusedError, match="entry 3, and the log goes on at 1"),
        store.appending() as appending,
    ):
        appending.append(records[0], no_views)
        appending.append(records[3], no_views)

    assert store.head().size == 0


def test_an_entry_after_another_past_is_refused(store: Store) -> None:
    """The index fits, but what it follows is not what was said here."""
    with store.appending() as appending:
        add(appending, 1)
    elsewhere = next(chain(1))
    stranger = record_after(record_after(None, says="something else"))

    assert elsewhere.leaf.hex() != stranger.entry.previous
    with (
        pytest.raises(TamperError, match="it was made for another log"),
        store.appending() as appending,
    ):
        appending.append(stranger, no_views)
    assert store.head().size == 1


def test_a_checkpoint_is_kept_once_and_never_contradicted(store: Store) -> None:
    """The same note twice is one; another note of its size, or a longer log, is not."""
    with store.appending() as appending:
        add(appending, 9)
    store.add_checkpoint(9, "nine — neuf\n")
    store.add_checkpoint(4, "four\n")
    store.add_checkpoint(9, "nine — neuf\n")

    assert list(store.checkpoints()) == [(4, "four\n"), (9, "nine — neuf\n")]
    assert store.newest_checkpoint() == (9, "nine — neuf\n")
    with pytest.raises(RefusedError, match="another checkpoint of size 9 is kept"):
        store.add_checkpoint(9, "a second nine\n")
    with pytest.raises(RefusedError, match="is of size 12, and the log has 9 entries"):
        store.add_checkpoint(12, "twelve\n")
    assert len(list(store.checkpoints())) == 2


def test_a_tile_that_is_not_there_is_not_found(store: Store) -> None:
    """Asking beyond the end is no damage; a proof that needs it would be."""
    with pytest.raises(NotFoundError, match="there is no tile 3 of level 1"):
        store.tile(1, 3)
    with pytest.raises(TamperError, match="tile 0 of level 0 has 0 bytes where 32"):
        store.node(0, 0)


def test_a_log_is_not_made_over_another(store: Store, database_url: str) -> None:
    """What is there stays as it is."""
    with store.appending() as appending:
        add(appending, 3)
    with pytest.raises(RefusedError, match=r"there is a log at .+ already"):
        Store.create(database_url)

    assert store.head().size == 3


def test_a_database_without_a_log_is_not_found(database_url: str) -> None:
    """Other tables make no log."""
    store = Store.create(database_url)
    with store.engine.begin() as connection:
        for name in ("entry", "tile", "head", "checkpoint"):
            connection.execute(text(f"ALTER TABLE {name} RENAME TO old_{name}"))
    store.close()

    with pytest.raises(NotFoundError, match="holds no log; put back the newest copy"):
        Store.open(database_url)


@pytest.mark.parametrize("name", ["entry", "tile", "head", "checkpoint"])
def test_a_lost_table_is_named(database_url: str, name: str) -> None:
    """Three of four tables are no log to go on with."""
    store = filled(database_url, 3)
    with store.engine.begin() as connection:
        connection.execute(text(f"DROP TABLE {name}"))
    store.close()

    with pytest.raises(TamperError, match=f"has lost its table {name}; set it aside"):
        Store.open(database_url)


def test_two_stations_append_at_once_without_fork_or_gap(
    store: Store, database_url: str
) -> None:
    """Whatever either was told is kept is there, and the chain is one."""
    stations = [
        subprocess.Popen(
            [sys.executable, STATION, database_url, name, "60"],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
        for name in ("north", "south")
    ]
    acknowledged = [
        line.split()
        for station in stations
        for line in station.communicate()[0].split("\n")
        if line
    ]
    said = {
        str(index): parse_record(data).entry.event["says"]
        for index, data in store.records()
    }

    assert [station.returncode for station in stations] == [0, 0]
    assert len(acknowledged) == len(said) == store.head().size == 120
    assert all(said[index] == name for name, index in acknowledged)
    assert not faults(store)
    turns = [first != second for first, second in pairwise(said.values())]
    assert any(turns), "the two never met: the test showed nothing"


def test_a_log_may_be_used_on_both_sides_of_a_fork(store: Store) -> None:
    """No connection is carried across: both sides append, and neither is lost."""
    with store.appending() as appending:
        add(appending, 1)
    for _ in range(5):
        child = os.fork()
        if child == 0:
            with store.appending() as appending:
                add(appending, 1, says="child")
            store.close()
            os._exit(0)
        with store.appending() as appending:
            add(appending, 1, says="parent")
        assert os.waitpid(child, 0)[1] == 0

    assert store.head().size == 11
    assert not faults(store)
