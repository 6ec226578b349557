"""Measure one weighing in the loop, against a bare SQLite commit of the same bytes.

Run it as `python tests/benchmarks/bench_loop.py [ENTRIES] [FOLDER]`; the folder decides
which disk is measured. The shop has as many entries as that (100 000 if nothing is
said) and fourteen people. A weighing is what somebody waits for: from the line with the
grams to its answer; its own work is what this process reckons in that time, whatever
else the machine does. Every round weighs once and commits the same record once, both
waiting for the disk.
"""

import gc
import itertools
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from sqlmodel import Session  # noqa: E402 - only now does the path lead there

from cli.loop_lines import Line  # noqa: E402
from cli.loop_round import Round  # noqa: E402
from cli.loop_talk import hear  # noqa: E402
from ledger.acts.shop import Judged  # noqa: E402
from ledger.events import BoardWeighed  # noqa: E402
from ledger.events.codec import Beside, plain  # noqa: E402
from ledger.log.entry import Entry, at_text, seal  # noqa: E402
from ledger.views.measures import Weighing, moment_of  # noqa: E402
from tests import skerrymoor  # noqa: E402
from tests.skerrymoor import Loft  # noqa: E402

ENTRIES = 100_000
LOTS, SETS = 10, 450
A_TRANSACTION = 5_000
ROUNDS = 300
PEOPLE = 14
MASS_MG = 205_000


def filled(folder: Path, entries: int) -> tuple[Loft, list[str]]:
    """Open a shop of fourteen, its boards weighed until there are enough entries.

    Every mass is that of the numbering, so that the newest one needs no search.
    """
    loft = skerrymoor.opened(folder)
    for badge in range(20, 20 + PEOPLE - len(skerrymoor.PINS)):
        loft.enrol(f"Builder {badge}", str(badge), qualifications=("plates", "brace"))
    loft.supplier()
    loft.model()
    loft.begin()
    top = skerrymoor.TOP
    lots = [loft.receive(boards=SETS) for _ in range(LOTS)]
    codes = [code for lot in lots for code in loft.number(lot, *[top] * SETS)]
    halves = [code for code in codes if code.endswith(".A")]
    turning = itertools.cycle(halves)
    while (size := loft.shop.store.head().size) < entries:
        weigh_many(loft, turning, min(A_TRANSACTION, entries - size))
    return loft, halves


def weigh_many(loft: Loft, codes: Iterator[str], count: int) -> None:
    """Weigh boards in one transaction, without asking whether they may be."""
    key, at = loft.keys["02"], at_text(loft.clock())
    origin = loft.shop.standing().origin
    with loft.shop.store.appending() as appending:
        for code in itertools.islice(codes, count):
            newest = appending.newest
            event = BoardWeighed(board=code, mass_mg=MASS_MG)
            entry = Entry(
                at=at,
                event=plain(event, Beside()),
                index=appending.head.size,
                key=key.id,
                origin=origin,
                previous=newest.leaf.hex() if newest else "",
            )
            appending.append(seal(entry, key), remember)


def remember(session: Session, entry: Entry) -> None:
    """Take a weighing of an unchanged mass into the view."""
    row = Weighing(
        idx=entry.index,
        board=str(entry.event["board"]),
        moment=moment_of(entry),
        mass_mg=MASS_MG,
    )
    session.add(row)


def milliseconds(work: Callable[[], object]) -> float:
    """Return how long something takes."""
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000


def told(name: str, took: list[float], against: float = 0.0) -> float:
    """Print the middle and the slow end of many times; return the middle."""
    ordered = sorted(took)
    middle, slow = ordered[len(ordered) // 2], ordered[len(ordered) * 95 // 100]
    ratio = f"   ratio {middle / against:5.1f}" if against else ""
    print(f"{name:34} p50 {middle:6.2f} ms   p95 {slow:6.2f} ms{ratio}")
    return middle


def measure(loft: Loft, codes: list[str], bare: sqlite3.Connection) -> None:
    """Weigh and commit by turns, and print what each took."""
    shop, ticks = loft.shop, itertools.count(step=10)
    talk = Round(
        shop=shop, tick=lambda: next(ticks), name="Maura", hands=loft.hands("02")
    )
    took: dict[str, list[float]] = {name: [] for name in NAMES}
    for n, code in enumerate(codes[:ROUNDS]):
        lines = Line(text=code), Line(text=f"{204_000 + n} mg")
        for name, line in zip(("a scan", "a weighing"), lines, strict=True):
            busy = time.process_time()
            took[name].append(milliseconds(partial(hear, talk, line)))
            took[f"{name}, own work"].append((time.process_time() - busy) * 1000)
        assert talk.said[-1].weighing == (code, 204_000 + n), code
        size = shop.store.head().size
        data = shop.store.record(size - 1)
        took["a bare commit"].append(milliseconds(partial(commit, bare, data)))
        took["who may say what, remembered"].append(milliseconds(shop.standing))
        shop.memory.judged = Judged()
        took["who may say what, judged anew"].append(milliseconds(shop.standing))
    against = told("a bare commit", took.pop("a bare commit"))
    for name, each in took.items():
        told(name, each, against)


NAMES = (
    "a bare commit",
    "a weighing",
    "a weighing, own work",
    "a scan",
    "a scan, own work",
    "who may say what, remembered",
    "who may say what, judged anew",
)


def commit(bare: sqlite3.Connection, data: bytes) -> None:
    """Commit the same bytes and nothing else."""
    bare.execute("BEGIN IMMEDIATE")
    bare.execute("INSERT INTO bare (record) VALUES (?)", (data,))
    bare.execute("COMMIT")


def opened(path: Path) -> sqlite3.Connection:
    """Open the bare database, which waits for the disk as the shop's does."""
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE bare (idx INTEGER PRIMARY KEY, record BLOB)")
    return bare


def main() -> None:
    """Measure at a size, in the folder named or where temporary files go."""
    entries = int(sys.argv[1]) if sys.argv[1:] else ENTRIES
    place = sys.argv[2] if sys.argv[2:] else None
    with tempfile.TemporaryDirectory(dir=place) as name:
        folder = Path(name)
        began = time.perf_counter()
        loft, codes = filled(folder, entries)
        took = time.perf_counter() - began
        print(f"{loft.shop.store.head().size} entries, made in {took:.0f} s")
        bare = opened(folder / "bare.sqlite3")
        gc.freeze()  # as the loop does
        measure(loft, codes, bare)
        bare.close()
        loft.shop.close()


if __name__ == "__main__":
    main()
