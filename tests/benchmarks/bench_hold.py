"""Measure a hold on a paper over ten thousand boards in a log of 100,000 entries.

Run it as `python tests/benchmarks/bench_hold.py [ENTRIES]`. Beside what a command does
to show all that a hold touches, and to ask whether one instrument is on hold, stands
the bare recursive question that returns the codes from SQLite alone. The rounds
alternate, so that whatever else the machine does befalls all of them.
"""

import gc
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import chain, islice
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.acts.holds import HeldError, require_no_hold
from ledger.acts.touched import report
from ledger.events import (
    BoardAllotted,
    CertificateIssued,
    DocumentFiled,
    Event,
    HoldPlaced,
    LotReceived,
)
from ledger.log.store import Store
from ledger.views import fold
from ledger.views.holds import Hold
from tests.benchmarks.bench_trace import (
    BATCH,
    CODES,
    ENTRIES,
    PIECES,
    asked,
    ballast,
    family,
    record_of,
)
from tests.ledger.views.forests import ISSUED, begun, board

ROUNDS = 9
BUILDS, CERTIFIED = 200, 120
PERMIT, HOLD = "D26-0001", "H26-001"
START = "lot = 'L26-001' AND code NOT LIKE '%.C%'"


def serial(number: int) -> str:
    """Return the serial of a build, for the views without its check digit's sense."""
    return f"26-{number:04d}-1"


def held() -> Iterator[Event]:
    """Yield the family with a paper on its first lot, and builds made of its pieces."""
    yield DocumentFiled(document=PERMIT, paper="export permit", sha256="5a" * 32)
    for event in family():
        if isinstance(event, LotReceived) and event.lot == "L26-001":
            yield replace(event, documents=(PERMIT,))
        else:
            yield event
    for number in range(1, BUILDS + 1):
        yield begun(serial(number))
        piece = board(1, number, PIECES + 2)
        yield BoardAllotted(board=piece, serial=serial(number), part="neck")
        if number <= CERTIFIED:
            yield certificate(number)
    yield HoldPlaced(hold=HOLD, on="document", code=PERMIT)


def certificate(number: int) -> CertificateIssued:
    """Return the saying that a build has its certificate."""
    named = f"C-2026-{number:05d}"
    return replace(ISSUED, number=named, serial=serial(number))


def filled(url: str, entries: int) -> Store:
    """Return a log with that many entries, those about the hold first."""
    store, newest = Store.create(url), None
    fold.make(store.engine)
    events = islice(chain(held(), ballast()), entries)
    while chunk := list(islice(events, BATCH)):
        with store.appending() as appending:
            for event in chunk:
                newest = record_of(event, newest)
                appending.append(newest, fold.fold)
    return store


def shown(store: Store) -> int:
    """Tell all that the hold touches, as the command does; return how many boards."""
    with store.reading() as session:
        found = report(session, session.get_one(Hold, HOLD))
        return len(found.rack) + len(found.in_builds) + found.worked


def refused(store: Store) -> int:
    """Ask whether one instrument is on hold, as every gate does; it is."""
    with store.reading() as session:
        try:
            require_no_hold(session, serial=serial(BUILDS))
        except HeldError:
            return 1
    return 0


def main() -> None:
    """Fill a log where temporary files go, and tell what the hold touches."""
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
        question = CODES.format(start=START, here="parent", there="piece")
        compare(
            {
                "hold show": partial(shown, store),
                "gate": partial(refused, store),
                "bare codes": partial(asked, bare, question),
            }
        )
        bare.close()
        store.close()


def compare(sides: dict[str, Callable[[], int]]) -> None:
    """Print what each side costs, and its ratio to the bare question."""
    took: dict[str, list[float]] = {name: [] for name in sides}
    rows: dict[str, int] = {}
    for _ in range(ROUNDS):
        for name, work in sides.items():
            began = time.perf_counter()
            rows[name] = work()
            took[name].append((time.perf_counter() - began) * 1000)
    least = median(took["bare codes"])
    for name, times in took.items():
        print(
            f"{name:12} {rows[name]:6} rows {min(times):8.1f} ms least "
            f"{median(times):8.1f} ms median   ratio {median(times) / least:6.2f}"
        )


if __name__ == "__main__":
    main()
