"""Measure the twenty-five questions of a shop of 100,000 entries, and of one of 1,000.

Run it as `python tests/benchmarks/bench_questions.py [ENTRIES] [FOLDER]`. A shop that
was grown in the folder before is asked again. Each question is a command as somebody
types it, run in this process from its words to its answer as JSON, the opening of the
shop included and the program's own start not: once to warm up, then five times. Told
are the median and the worst of what somebody waits for, the processor's own time, and
its ratio to the small shop. Last come what walks over everything, and what one turn
costs.
"""

import contextlib
import gc
import io
import json
import shlex
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from typer.main import get_command

from cli import context, main
from ledger.views.certificates import Certificate
from tests.benchmarks import grown
from tests.benchmarks.grown_sayings import LEAD
from tests.skerrymoor import PINS

ENTRIES, SMALL = 100_000, 1_000
ROUNDS, LIMIT_MS = 5, 200
PART = '--for top --length "530 mm" --width "200 mm" --thickness "3.5 mm" --not-ready'
QUESTIONS = (
    (1, "trace {lot}"),
    (2, "trace {serial}"),
    (2, "build show {serial}"),
    (3, "board ready {board}"),
    (3, "lot rest {lot}"),
    (4, "lot ready"),
    (4, 'lot ready --species "Picea abies" --grade first'),
    (5, f"lot match {PART}"),
    (5, f"build match {{waiting}} {PART} --of {{lot}}"),
    (6, "board show {board}"),
    (6, "instrument out"),
    (7, 'build hands {serial} "carve the neck"'),
    (7, "person unqualified"),
    (8, "person may 27 frets {signer}"),
    (9, "build next {working}"),
    (10, "build stuck"),
    (11, "shipment plan {serial} --from GB --to JP --for sale --look-ahead {signer}"),
    (12, "document used {document}"),
    (13, "document expiring"),
    (13, "gauge due"),
    (14, "hold show {hold}"),
    (14, "hold list"),
    (15, "certificate since {certificate}"),
    (16, "certificate check {file} --keys {keys}"),
    (17, "record claims {board}"),
    (17, "record claims {serial}"),
    (18, "build promised {serial}"),
    (19, "build voice {serial}"),
    (20, "material show {batch}"),
    (20, "gauge show {gauge}"),
    (21, "model makes Tidewarden"),
    (22, "supplier yield"),
    (23, "instrument history {serial}"),
    (23, "instrument history {serial} --for public"),
    (24, "lot balance"),
    (25, "record whole"),
)
WALKS = ((25, "record audit"), (25, "record audit --level tree"))
PROGRAM = get_command(main.app)
TURNS = (
    ('a turn: "board weigh"', 'board weigh {board} "{grams} g" --as-read {signer}'),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Whose shop it is, when it is asked, and the names of what it is asked about."""

    shop: str
    at: str
    size: int
    lot: str
    board: str
    serial: str
    working: str
    waiting: str
    document: str
    certificate: str
    batch: str
    gauge: str
    hold: str
    signer: str
    keys: str
    file: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What a question took: the wait [ms], the processor's own time [ms]."""

    waits: tuple[float, ...]
    worked: float

    @classmethod
    def of(cls, pairs: list[tuple[float, float]]) -> "Took":
        """Return what several rounds come to."""
        waits, worked = zip(*pairs, strict=True)
        return cls(waits=waits, worked=median(worked))


def told_of(folder: Path, entries: int) -> Told:
    """Return a shop of so many entries, grown if it is not there yet."""
    place = folder / str(entries)
    known = place / "told.json"
    if not known.exists():
        place.mkdir()
        began = time.perf_counter()
        made = grown.shop_of(place, entries)
        told = _prepared(made, place)
        took = time.perf_counter() - began
        print(f"{made.size} entries, {made.builds} builds, grown in {took:.0f} s")
        made.loft.shop.close()
        known.write_text(json.dumps(asdict(told)), encoding="utf-8")
    return Told(**json.loads(known.read_text(encoding="utf-8")))


def _prepared(made: grown.Grown, place: Path) -> Told:
    """Write the signer's PIN, the keys file and a certificate; name what is asked."""
    pins = place / "pins"
    pins.write_text(
        "".join(f"{badge} {pin}\n" for badge, pin in PINS.items())
        + "".join(f"root-{n} phrase {n}\n" for n in (1, 2, 3)),
        encoding="utf-8",
    )
    shop, certificate = made.loft.shop, made.certified[len(made.certified) // 2]
    signer = f"--by {LEAD} --pin-file {pins}"
    file = place / "certificate.pdf"
    roots = " ".join(f"--root {place}/sticks/root-{n}.json" for n in (1, 2))
    at = made.at(made.size).isoformat()
    asked(f"shop keys {roots} --pin-file {pins}", str(shop.folder), at)
    asked(
        f"certificate print {certificate} --out {file} {signer}", str(shop.folder), at
    )
    with shop.store.reading() as session:
        serial = session.get_one(Certificate, certificate).serial
    return Told(
        shop=str(shop.folder),
        at=at,
        size=made.size,
        lot="L26-001",
        board=made.rack.boards[-1],
        serial=serial,
        working=made.working[len(made.working) // 2],
        waiting=made.waiting[0],
        document=made.papers[1],
        certificate=certificate,
        batch=made.batches[0],
        gauge=made.gauges[0],
        hold="H26-001",
        signer=signer,
        keys=str(shop.folder / "published" / "keys-0001.json"),
        file=str(file),
    )


def asked(command: str, shop: str, at: str) -> str:
    """Run a command, typed as in a shell without the program's name; return its answer.

    An audit may say no; whatever else is refused or wrongly used is raised.
    """
    now = datetime.fromisoformat(at)
    context.now = lambda: now
    words = [*shlex.split(command), "--json", "--shop", shop]
    answer = io.StringIO()
    with contextlib.redirect_stdout(answer):
        code = PROGRAM.main(words, prog_name="flitchbook", standalone_mode=False)
    assert not code or command.startswith("record audit"), answer.getvalue()
    return answer.getvalue()


def timed(command: str, told: Told, rounds: int = ROUNDS) -> Took:
    """Ask once to warm up and then for the measure."""
    pairs = []
    for n in range(rounds + 1):
        gc.collect()
        grams = f"{200 + n / 100:.2f}"
        words = command.format(**asdict(told), grams=grams)
        began, busy = time.perf_counter(), time.process_time()
        asked(words, told.shop, told.at)
        wait, work = time.perf_counter() - began, time.process_time() - busy
        pairs.append((wait * 1000, work * 1000))
    return Took.of(pairs[1:] or pairs)


def rows(big: Told, small: Told) -> Iterator[tuple[str, str, Took, Took]]:
    """Yield every measure: its number, its command, in the big shop and the small."""
    for number, command in QUESTIONS:
        name = command.split(" --length")[0].removesuffix(" {signer}")
        yield str(number), name, timed(command, big), timed(command, small)
    for number, command in WALKS:
        yield str(number), command, timed(command, big, 0), timed(command, small, 0)
    for name, command in TURNS:
        yield "-", name, timed(command, big), timed(command, small)


def main_table() -> None:
    """Grow both shops, or take those that are there, and print the table."""
    gc.disable()  # as the program does
    entries = int(sys.argv[1]) if sys.argv[1:] else ENTRIES
    place = sys.argv[2] if sys.argv[2:] else None
    with contextlib.ExitStack() as ended:
        folder = Path(place or ended.enter_context(tempfile.TemporaryDirectory()))
        big, small = told_of(folder, entries), told_of(folder, SMALL)
        print(
            f"{'':2} {'command':60} {'median':>8} {'worst':>8} {'own':>8} {'ratio':>6}"
        )
        slow = []
        for number, name, took, before in rows(big, small):
            wait = median(took.waits)
            print(
                f"{number:>2} {name:60} {wait:8.1f} {max(took.waits):8.1f} "
                f"{took.worked:8.1f} {took.worked / before.worked:6.1f}",
                flush=True,
            )
            if wait > LIMIT_MS and name not in {command for _, command in WALKS}:
                slow.append(name)
        print(f"over {LIMIT_MS} ms: {', '.join(slow) or 'none'}")


if __name__ == "__main__":
    main_table()
