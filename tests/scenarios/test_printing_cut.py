"""The power goes while labels are printed, and while a certificate is issued.

The spooler is a pretended one that kills whoever hands it a job, before it takes it or
after. Then the shop opens, an audit finds it whole, and the run goes on: no label is
left out, one printed twice is the same label, and no certificate's number is on two
papers that differ.
"""

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pytest

from cli import main, printing_run
from cli.printing import Place
from labels import leaves
from ledger.acts import boards, certificates
from ledger.acts.jottings import newest_jotting
from ledger.acts.shop import Shop, open_shop
from ledger.audit import audit
from ledger.ids import LotId
from ledger.log.entry import parse_record
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.labels import reading
from tests.skerrymoor import Loft
from tests.spooler import Spooler

SETS, LABELS, CUT = 12, 24, 13
KILLS, LONGEST_SECONDS = 200, 0.25
# After so many power cuts the power stays on until a run has ended.
CALM = 20
ISSUES = 8
CODES = [f"L26-001-{n:02}.{half}" for n in range(1, SETS + 1) for half in "AB"]
PRINT = "label board L26-001 --by 02 --print roll"


@pytest.fixture
def spooler(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Spooler:
    """Give a spooler that is found before any other."""
    return Spooler.begun(tmp_path_factory.mktemp("spooler"), monkeypatch)


@pytest.fixture
def bench(
    tmp_path: Path, staffed_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> Loft:
    """Give a shop with twelve sets to label, as the commands find it."""
    loft = skerrymoor.again(tmp_path, staffed_folder, "labels")
    loft.supplier()
    lot = loft.receive()
    assert lot == LotId.parse("L26-001")
    assert loft.number(lot, *[skerrymoor.TOP] * SETS) == CODES
    return at_the_bench(loft, monkeypatch)


def at_the_bench(loft: Loft, patch: pytest.MonkeyPatch) -> Loft:
    """Close a shop, and let the commands of child processes find it."""
    folder = loft.shop.folder.parent
    loft.clock.moment += timedelta(days=1)
    loft.clock.step = timedelta()
    loft.shop.close()
    pins = "".join(f"{name} {pin}\n" for name, pin in skerrymoor.PINS.items())
    (folder / "pins").write_text(pins)
    patch.chdir(folder)
    patch.setattr("cli.context.now", loft.clock)
    patch.setenv("FLITCHBOOK_SHOP", "shop")
    patch.setenv("FLITCHBOOK_PIN_FILE", "pins")
    return loft


def in_a_child(work: Callable[[], None], seconds: float | None = None) -> int:
    """Let a child work, killed after some seconds if told; return how it ended."""
    child = os.fork()
    if child == 0:
        try:
            work()
            os._exit(0)
        except SystemExit as end:
            os._exit(int(end.code or 0))
        finally:
            os._exit(70)
    if seconds is not None:
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def typed(command: str) -> tuple[int, str]:
    """Run a command in a process of its own; return how it ended and what it said."""
    said = Path("said")

    def work() -> None:
        with said.open("w") as file:
            sys.stdout = sys.stderr = file
            sys.stdin = Path(os.devnull).open()  # noqa: SIM115 (the process ends)
            sys.argv = ["flitchbook", *command.split()]
            main.run()

    code = in_a_child(work)
    return code, said.read_text()


def opened(loft: Loft, label: str) -> Shop:
    """Open the shop as after a restart."""
    entropy = entropy_from(label)
    return open_shop(loft.shop.folder, now=loft.clock, entropy=entropy)


def events(shop: Shop, kind: str) -> list[dict[str, object]]:
    """Return what the log says of a kind."""
    said = [parse_record(data).entry.event for _, data in shop.store.records()]
    return [event for event in said if event["kind"] == kind]


def whole(
    loft: Loft, label: str, *, is_audited: bool = True
) -> list[dict[str, object]]:
    """See that the shop opens clean, and return what it says of labels."""
    shop = opened(loft, label)
    if is_audited:
        assert audit(shop).findings == ()
    found = events(shop, "label.printed/1")
    shop.close()
    return found


def code_on(label: bytes) -> str:
    """Return the board that a label's two symbols name, read from its dots."""
    document = pdfium.PdfDocument(label)
    try:
        image = document[0].render(scale=203.2 / 72).to_pil()
    finally:
        document.close()
    one, other = reading.symbols(image)
    assert one == other
    return one.rpartition("/")[2][:-1]


@pytest.mark.parametrize("has_come_out", [True, False])
def test_twenty_four_labels_are_cut_off_at_the_thirteenth(
    bench: Loft, spooler: Spooler, has_come_out: bool
) -> None:
    """No half entry; the question; then 14 to 24, or 13 again if it is not there."""
    spooler.at(CUT, "cuts after" if has_come_out else "cuts")
    assert typed(PRINT)[0] == -signal.SIGKILL
    assert whole(bench, "after") == []
    spooler.at(CUT, "")
    code, said = typed(PRINT)
    assert code == 1
    assert "label 13 of 24 may have printed; print 14 to 24, or all again?" in said
    assert "bears the same code and does no harm" in said
    assert len(spooler.jobs()) == CUT - (not has_come_out)
    first = CUT + has_come_out
    assert typed(f"{PRINT} --print-from {first}")[0] == 0
    (entry,) = whole(bench, "end")
    assert typed(f"{PRINT} --out again.pdf")[0] == 0
    jobs = [job.data for job in spooler.jobs()]

    assert [code_on(label) for label in jobs[:LABELS]] == CODES
    # The same input gives the same bytes: of the paper, and of every label of it.
    assert (
        jobs[LABELS:] == jobs[:LABELS] == leaves.apart(Path("again.pdf").read_bytes())
    )
    assert entry["codes"] == CODES
    assert entry["sha256"] == sha256(Path("again.pdf").read_bytes()).hexdigest()


def test_all_again_is_the_same_labels(bench: Loft, spooler: Spooler) -> None:
    """What lies in the tray twice bears the same codes, byte for byte."""
    spooler.at(CUT, "cuts after")
    typed(PRINT)
    assert typed(f"{PRINT} --print-from 1")[0] == 0
    jobs = [job.data for job in spooler.jobs()]

    assert len(jobs) == CUT + LABELS
    assert jobs[:CUT] == jobs[CUT : 2 * CUT]
    assert len(whole(bench, "end")) == 1


def test_no_label_is_left_out_in_two_hundred_power_cuts(
    bench: Loft, spooler: Spooler
) -> None:
    """Killed at any moment or over a job, what was handed over is known but for one.

    A run ends when it is recorded, and the next one begins.
    """
    typed(f"{PRINT} --out labels.pdf")
    pdf = Path("labels.pdf").read_bytes()
    chance = random.Random(9)  # noqa: S311 (when to pull the plug, nothing secret)
    begin, since, before, cut_off = None, spooler.count(), 1, 0
    for kill in range(KILLS + KILLS // CALM):
        work = partial(print_once, bench, pdf, begin, f"kill {kill}")
        seconds, job = None, spooler.count() + chance.randint(1, 8)
        if kill % (CALM + 1) == CALM:
            pass
        elif kill % 2:
            seconds = chance.uniform(0.001, LONGEST_SECONDS)
        else:
            spooler.at(job, chance.choice(("cuts", "cuts after")))
        in_a_child(work, seconds)
        spooler.at(job, "")
        recorded = whole(bench, f"{kill}", is_audited=kill % 10 == 0)
        step = left_by(bench)
        taken = {each.title.split()[1] for each in spooler.jobs(since)}
        if step:
            cut_off += 1
            begin = step.leaf + (str(step.leaf) in taken and step.leaf < step.of)
            assert {str(n) for n in range(1, step.leaf)} <= taken, f"kill {kill}"
        if len(recorded) > before:
            assert taken == {str(n) for n in range(1, LABELS + 1)}
            before = len(recorded)
            if not step:
                begin, since = None, spooler.count()

    assert whole(bench, "end") == recorded
    assert cut_off > KILLS // 4, "most were killed before they printed"
    assert before > KILLS // CALM, "not every run came to its end"


def print_once(loft: Loft, pdf: bytes, begin: int | None, label: str) -> None:
    """Print the labels, or go on with them, in a shop just opened."""
    shop = opened(loft, label)
    record = partial(
        boards.labels_printed,
        codes=CODES,
        paper="roll-203",
        sha256=sha256(pdf).hexdigest(),
        hands=loft.hands("02"),
    )
    printing_run.put(
        shop,
        Place(queue="roll"),
        pdf,
        boards=CODES,
        noun="label",
        begin=begin,
        record=record,
    )


def left_by(loft: Loft) -> printing_run.Step | None:
    """Return how far a run came that was cut off."""
    kept = list((loft.shop.folder / printing_run.PRINTING).glob("*"))
    return newest_jotting(kept[0], printing_run.Step) if kept else None


@pytest.fixture
def complete(
    tmp_path_factory: pytest.TempPathFactory, staffed_folder: Path
) -> tuple[Path, str]:
    """Give a shop with an instrument that waits for its certificate, closed."""
    folder = tmp_path_factory.mktemp("complete")
    loft = skerrymoor.again(folder, staffed_folder, "complete")
    serial = loft.build()
    loft.shop.close()
    return folder, serial


@pytest.mark.parametrize("when", ["cuts", "cuts after"])
def test_a_certificate_cut_off_at_the_printer_is_issued_and_printed_again(
    complete: tuple[Path, str],
    tmp_path: Path,
    spooler: Spooler,
    monkeypatch: pytest.MonkeyPatch,
    when: str,
) -> None:
    """Its number is taken, the paper in the tray is the one that is drawn again."""
    folder, serial = complete
    loft = at_the_bench(skerrymoor.again(tmp_path, folder, when), monkeypatch)
    spooler.at(1, when)
    issue = f"certificate issue {serial} --by 01 --out c.pdf --print office"
    assert typed(issue)[0] == -signal.SIGKILL
    spooler.at(1, "")
    shop = opened(loft, "after")
    assert audit(shop).findings == ()
    assert len(events(shop, "certificate.issued/1")) == 1
    assert events(shop, "certificate.printed/1") == []
    shop.close()
    assert (
        typed(f"certificate print {serial} --by 01 --out d.pdf --print office")[0] == 0
    )
    papers = {job.data for job in spooler.jobs()}

    assert papers == {Path("c.pdf").read_bytes(), Path("d.pdf").read_bytes()}
    assert len(papers) == 1


def test_a_certificate_is_issued_or_its_number_is_free(
    complete: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut at any moment there is no second number, and no other paper of the first."""
    folder, serial = complete
    chance = random.Random(26)  # noqa: S311 (when to pull the plug, nothing secret)
    issued = 0
    for n in range(ISSUES):
        # An account that saw one copy of this log go on takes the next for cut short.
        monkeypatch.setenv("FLITCHBOOK_STATE", str(tmp_path / f"state-{n}"))
        loft = skerrymoor.again(tmp_path / str(n), folder, f"issue {n}")
        loft = at_the_bench(loft, monkeypatch)
        command = ["flitchbook", *f"certificate issue {serial} --by 01".split()]
        monkeypatch.setattr(sys, "argv", [*command, "--out", "c.pdf"])
        in_a_child(silently(main.run), chance.uniform(0.05, 1.2))
        shop = opened(loft, f"after {n}")
        assert {f.cause for f in audit(shop).findings} <= {"orphan"}
        was_issued = bool(events(shop, "certificate.issued/1"))
        was_printed = bool(events(shop, "certificate.printed/1"))
        issued += was_issued
        if not was_issued:
            certificates.issue(shop, serial=serial, hands=loft.hands())
        number = certificates.find_certificate(shop, serial)
        file = certificates.certificate_paper(shop, number).file.data
        shop.close()
        left = Path("c.pdf").read_bytes() if Path("c.pdf").exists() else b""
        assert typed(f"certificate print {number} --by 01 --out d.pdf")[0] == 0

        assert number == "C-2026-00001"
        assert was_issued or not left
        assert attached(Path("d.pdf").read_bytes()) == file
        if left and not was_printed:
            assert Path("d.pdf").read_bytes().startswith(left)
    assert issued, "all were killed before they issued"


def silently(work: Callable[[], None]) -> Callable[[], None]:
    """Return the same work with nothing said."""

    def quiet() -> None:
        sys.stdout = sys.stderr = Path(os.devnull).open("w")  # noqa: SIM115 (it ends)
        work()

    return quiet


def attached(pdf: bytes) -> bytes:
    """Return the certificate file inside a certificate."""
    with pikepdf.open(BytesIO(pdf)) as paper:
        files = [each.get_file().read_bytes() for each in paper.attachments.values()]
    return next(data for data in files if b'"flitchbook-certificate/' in data)
