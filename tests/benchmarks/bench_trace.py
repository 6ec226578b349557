"""Measure traces of a family of ten thousand boards in a log of 100,000 entries.

Run it as `python tests/benchmarks/bench_trace.py [ENTRIES]`. Beside each trace stands
what SQLite alone needs for the same edges: a recursive question that returns the codes,
and one that returns the boards' columns as well. The rounds alternate, so that whatever
else the machine does befalls all of them.
"""

import gc
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.events import BoardNumbered, Event, RoomMeasured, codec
from ledger.log.entry import NO_PREVIOUS, Entry, Record, seal
from ledger.log.store import Store
from ledger.views import fold
from ledger.views.trace import trace
from tests.ledger.log.writing import KEY, ORIGIN
from tests.ledger.views.forests import board, glued, lot, sawn

ENTRIES = 100_000
BOARDS = 300
PIECES = 30
LOT = 999
BATCH = 500
ROUNDS = 15
FIRST, OTHER = "L26-001", "L26-002"
CODES = """
    WITH RECURSIVE kin (code, before) AS (
        SELECT code, NULL FROM board WHERE {start}
        UNION
        SELECT {there}, {here} FROM boardparent JOIN kin ON kin.code = {here}
    )
    SELECT code, before FROM kin
"""
COLUMNS = CODES.replace(
    "SELECT code, before FROM kin", "SELECT * FROM kin JOIN board USING (code)"
)


def family() -> Iterator[Event]:
    """Yield two lots; each board of the first is sawn in threes, four levels deep.

    One piece of each is glued to a board of the other lot, and sawn once more.
    """
    yield from lot(1, BOARDS)
    yield from lot(2, BOARDS)
    for number in range(1, BOARDS + 1):
        waiting = [board(1, number)]
        for last in range(0, PIECES, 3):
            made = [board(1, number, last + n) for n in (1, 2, 3)]
            yield sawn([waiting.pop(0)], made)
            waiting += made
        joint = board(1, number, PIECES + 1)
        yield glued([waiting[-1], board(2, number)], joint)
        yield sawn([joint], [board(1, number, PIECES + n) for n in (2, 3)])


def ballast() -> Iterator[Event]:
    """Yield the rest of the shop's days: other lots, and the air of the room."""
    air = RoomMeasured(
        room="crib", temperature_millikelvin=293_150, humidity_ppm=440_000
    )
    for number in range(3, LOT + 1):
        for event in lot(number, LOT):
            yield event
            if isinstance(event, BoardNumbered):
                yield air


def filled(url: str, entries: int) -> Store:
    """Return a log with that many entries, the family's first."""
    store, newest = Store.create(url), None
    fold.make(store.engine)
    events = islice((e for part in (family(), ballast()) for e in part), entries)
    while chunk := list(islice(events, BATCH)):
        with store.appending() as appending:
            for event in chunk:
                newest = record_of(event, newest)
                appending.append(newest, fold.fold)
    return store


def record_of(event: Event, newest: Record | None) -> Record:
    """Return the record of an event that follows another."""
    entry = Entry(
        at="2026-03-02T08:30:00Z",
        event=codec.plain(event),
        index=newest.entry.index + 1 if newest else 0,
        key=KEY.id,
        origin=ORIGIN,
        previous=newest.leaf.hex() if newest else NO_PREVIOUS,
    )
    return seal(entry, KEY)


def traced(store: Store, code: str) -> int:
    """Follow a code as a command does; return the number of lines."""
    with store.reading() as session:
        return len(trace(session, code))


def asked(bare: sqlite3.Connection, question: str) -> int:
    """Ask SQLite and nobody else; return the number of rows."""
    return len(bare.execute(question).fetchall())


def questions(start: str, *, is_forward: bool) -> dict[str, str]:
    """Return the two bare questions over the edges that a trace follows."""
    ends = ("parent", "piece") if is_forward else ("piece", "parent")
    told = {"start": start, "here": ends[0], "there": ends[1]}
    return {
        "bare codes": CODES.format(**told),
        "bare columns": COLUMNS.format(**told),
    }


def compare(store: Store, bare: sqlite3.Connection, code: str, start: str) -> None:
    """Print what a trace costs beside the bare questions, and the ratios."""
    asks = questions(start, is_forward=code == FIRST)
    sides: dict[str, Callable[[], int]] = {"trace": partial(traced, store, code)}
    sides |= {name: partial(asked, bare, question) for name, question in asks.items()}
    took: dict[str, list[float]] = {name: [] for name in sides}
    rows: dict[str, int] = {}
    for _ in range(ROUNDS):
        for name, work in sides.items():
            began = time.perf_counter()
            rows[name] = work()
            took[name].append((time.perf_counter() - began) * 1000)
    ours = median(took["trace"])
    for name, times in took.items():
        print(
            f"{code:16} {name:13} {rows[name]:6} rows {min(times):7.1f} ms least "
            f"{median(times):7.1f} ms median   ratio {ours / median(times):5.2f}"
        )


def main() -> None:
    """Fill a log where temporary files go, and follow the family both ways."""
    # The command does so too: it ends before there is anything to collect.
    gc.disable()
    entries = int(sys.argv[1]) if sys.argv[1:] else ENTRIES
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ledger.sqlite3"
        began = time.perf_counter()
        store = filled(f"sqlite:///{path}", entries)
        took = time.perf_counter() - began
        print(f"{store.head().size} entries, filled in {took:.0f} s")
        bare = sqlite3.connect(path)
        last = board(1, BOARDS, PIECES + 3)
        for code, start in (
            (FIRST, f"lot = '{FIRST}' AND code NOT LIKE '%.C%'"),
            (last, f"code = '{last}'"),
        ):
            compare(store, bare, code, start)
        bare.close()
        store.close()


if __name__ == "__main__":
    main()
