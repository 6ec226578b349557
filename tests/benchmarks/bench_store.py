"""Measure appends against bare SQLite commits of the same bytes, side by side.

Run it as `python tests/benchmarks/bench_store.py [FOLDER]`; the folder decides which
disk is measured. Both sides wait for the disk at every commit. The records are sealed
beforehand: only the store is on trial.
"""

import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.log.entry import Record
from ledger.log.store import Store
from tests.ledger.log.writing import chain, no_views

SINGLE = 2000
BATCH = 1000
BATCHES = 20
PROOFS = 500


def append(store: Store, records: Sequence[Record], batch: int) -> None:
    """Append the records, `batch` to a transaction."""
    waiting = iter(records)
    while chunk := list(islice(waiting, batch)):
        with store.appending() as appending:
            for record in chunk:
                appending.append(record, no_views)


def commit(bare: sqlite3.Connection, records: Sequence[Record], batch: int) -> None:
    """Commit the same bytes and nothing else, `batch` to a transaction."""
    waiting = iter(records)
    while chunk := list(islice(waiting, batch)):
        bare.execute("BEGIN IMMEDIATE")
        bare.executemany(
            "INSERT INTO bare VALUES (?, ?)", [(r.entry.index, r.data) for r in chunk]
        )
        bare.execute("COMMIT")


def seconds(work: Callable[[], object]) -> float:
    """Return how long something takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def compare(folder: Path, name: str, count: int, batch: int) -> None:
    """Print the pace of both sides, in alternating rounds, and their ratio."""
    store = Store.create(f"sqlite:///{folder / name}.sqlite3")
    bare = sqlite3.connect(folder / f"{name}-bare.sqlite3", isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE bare (idx INTEGER PRIMARY KEY, record BLOB)")
    records, ours, theirs = list(chain(count)), 0.0, 0.0
    step = max(batch, count // 10)
    for start in range(0, count, step):
        part = records[start : start + step]
        ours += seconds(partial(append, store, part, batch))
        theirs += seconds(partial(commit, bare, part, batch))
    print(
        f"{name:8} {count / ours:9.0f} appends/s {count / theirs:9.0f} bare commits/s"
        f"   ratio {ours / theirs:5.2f}"
    )
    if batch > 1:
        look_up(store, count)
    bare.close()
    store.close()


def look_up(store: Store, size: int) -> None:
    """Print what one look-up costs."""
    places = [n * 7919 % size for n in range(PROOFS)]
    looks: dict[str, Callable[[int], object]] = {
        "head": lambda _: store.head(),
        "record": store.record,
        "node": partial(store.node, 0),
    }
    for name, look in looks.items():
        took = seconds(partial(list, map(look, places)))
        print(f"{name:8} {took / PROOFS * 1e6:9.0f} us a read")


def main() -> None:
    """Measure in the folder named, or where temporary files go."""
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if sys.argv[1:] else None) as name:
        compare(Path(name), "single", SINGLE, 1)
        compare(Path(name), "batch", BATCH * BATCHES, BATCH)


if __name__ == "__main__":
    main()
