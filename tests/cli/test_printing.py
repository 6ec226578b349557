"""--print: a paper goes to the spooler as large as it is, and then into the record."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from cli import printing
from ledger.errors import RefusedError
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading
from tests.spooler import Spooler

LABEL = "label board L26-001-01.A --by 02"
TAG = f"label tag {SERIAL} --by 03"
PRINTED = {
    "certificate print C-2026-00001 --by 01": ["A4"],
    f"label card {SERIAL} --by 01": ["Custom.85.6x53.98mm"],
    f"{TAG} --on A5": ["A5", "two-sided-short-edge"],
    f"{TAG} --on Letter": ["Letter", "two-sided-short-edge"],
    LABEL: ["Custom.51x22mm"],
    f"{LABEL} --on roll-300": ["Custom.50.97x22.01mm"],
    f"{LABEL} --on A4": ["A4"],
    "label strip L26-001-01 --thickness '4.2 mm' --by 02": None,
    "label lot L26-001": None,
    "supplier yield": ["A4"],
    "record checkpoint": None,
}


@pytest.fixture
def spooler(bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Spooler:
    """Give a spooler with two queues, outside the folder of the bench."""
    return Spooler.begun(tmp_path_factory.mktemp("spooler"), bench.patch)


def entries(bench: Bench) -> int:
    """Count the entries of the log."""
    size: int = bench.data("record audit")["size"]
    return size


@pytest.mark.parametrize("command", PRINTED)
def test_a_paper_goes_out_at_its_own_size(
    bench: Bench, spooler: Spooler, command: str
) -> None:
    """Media in millimetres, no scaling, one copy, a title; no file is left here."""
    before = set(bench.folder.iterdir())
    said = bench.run(f"{command} --print roll")
    job = spooler.jobs()[0]

    assert said.code == 0, said
    assert job.words[:2] == ("-d", "roll")
    assert job.words[job.words.index("-n") + 1] == "1"
    assert "print-scaling=none" in job.options
    assert job.data.startswith(b"%PDF-")
    assert job.title
    expected = PRINTED[command]
    if expected:
        media, *sides = expected
        assert [o.partition("=")[2] for o in job.options if "scaling" not in o] == [
            media,
            *sides,
        ]
    assert "printer roll" in said.out
    assert "100 %" not in said.out
    assert set(bench.folder.iterdir()) == before


def test_a_paper_goes_into_a_file_and_to_a_printer(
    bench: Bench, spooler: Spooler
) -> None:
    """The same bytes; a program is told both."""
    told = json.loads(bench.run(f"{TAG} --out tag.pdf --print office --json").out)

    assert (told["file"], told["queue"], told["number"]) == ("tag.pdf", "office", 1)
    assert spooler.jobs()[0].data == (bench.folder / "tag.pdf").read_bytes()
    assert str(printing.Place(out=Path("a.pdf"), queue="b")) == "a.pdf and printer b"


def test_the_entry_comes_once_the_spooler_has_it(
    bench: Bench, spooler: Spooler
) -> None:
    """What is refused by either is in no tray and in no entry."""
    before = entries(bench)
    bench.refuses(
        f"{LABEL.replace('02', '03')} --print roll", "printing labels needs the role"
    )
    assert spooler.jobs() == []
    spooler.at(1, "refuses")
    bench.refuses(f"{LABEL} --out x.pdf --print roll", "(lp: the roll is empty)")
    assert entries(bench) == before
    spooler.at(1, "")
    bench.run(f"{LABEL} --print roll")

    assert entries(bench) == before + 1


def test_a_certificate_that_is_not_taken_stays_issued(
    bench: Bench, spooler: Spooler
) -> None:
    """Only the head that was signed for it stays, and it is printed again."""
    command = "certificate print C-2026-00001 --by 01 --print office"
    before = entries(bench)
    spooler.at(1, "dies")
    said = bench.run(command)
    assert (said.code, said.out, entries(bench)) == (1, "", before)
    assert "printer office may have it or not: look into its tray" in said.err
    spooler.at(1, "")

    assert bench.run(command).code == 0
    assert entries(bench) == before + 1


def test_the_papers_of_a_shipment_are_printed(bench: Bench, spooler: Spooler) -> None:
    """One, or all that it asks for, each a job of its own and in the record."""
    bench.run(
        f"shipment plan {SERIAL} --from GB --to US --for sale --on 2026-11-23 --by 12"
    )
    sent = "X26-0001 --recipient 'Kenji Arakawa' --sender 'Harbour Road 1' --by 12"
    one = json.loads(bench.run(f"shipment papers {sent} --print office --json").out)
    told = json.loads(
        bench.run(f"shipment file {sent} --out papers --print office --json").out
    )
    jobs = spooler.jobs()

    assert (one["file"], one["queue"], one["number"]) == (None, "office", 1)
    assert [job.title for job in jobs] == [
        f"{paper} X26-0001"
        for paper in ("materials list", *(each["paper"] for each in told["papers"]))
    ]
    assert {each["queue"] for each in told["papers"]} == {"office"}
    for job, each in zip(jobs[1:], told["papers"], strict=True):
        assert job.data == (bench.folder / each["file"]).read_bytes()
        assert job.options[0] == "media=A4"


@pytest.mark.parametrize(
    "command",
    [LABEL, TAG, "board taps L26-001-01.A", "certificate issue 26-0002-6 --by 01"],
)
def test_a_queue_that_is_not_there_is_refused(
    bench: Bench, spooler: Spooler, command: str
) -> None:
    """Before anything is worked out, and those that are there are named."""
    bench.refuses(
        f"{command} --print rol",
        "there is no printer rol: this system has roll and office; choose one",
    )
    (spooler.folder / "queues").write_text("")
    bench.refuses(f"{command} --print roll", "this system has none")
    (spooler.folder / "lpstat").unlink()
    bench.patch.setenv("PATH", f"{spooler.folder}:/usr/bin:/bin")
    if command == LABEL:
        bench.refuses(f"{command} --print roll", "or class does not exist.): see to")


def test_a_system_without_a_spooler_says_so(bench: Bench) -> None:
    """And what to do instead."""
    bench.patch.setenv("PATH", str(bench.folder))
    bench.refuses(
        f"{TAG} --print roll",
        "this system has no lp to print with: write the file with --out, and print it "
        "at 100 %",
    )


def test_a_paper_has_to_go_somewhere(bench: Bench) -> None:
    """Neither a file nor a printer is a wrong use."""
    said = bench.run(TAG)

    assert said.code == 2
    assert "give --out, --print, or both" in said.err


def test_a_spooler_that_never_answers_is_left(
    bench: Bench, spooler: Spooler, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody waits for ever, and what may lie in the tray is said."""
    monkeypatch.setattr(printing, "LONGEST_SECONDS", 0.2)
    (spooler.folder / "lpstat").write_text("#!/bin/sh\nexec sleep 5\n")

    bench.refuses(f"{TAG} --print roll", "lpstat gave no answer for 0.2 s")


def test_a_plot_is_printed_too(bench: Bench, spooler: Spooler) -> None:
    """It is in no entry; the printer gets the PDF, whatever the file is."""
    said = bench.does("supplier yield --out yield.png --print office")

    assert said.endswith("picture: yield.png and printer office\n")
    assert reading.pages(spooler.jobs()[0].data) == 1
    assert (bench.folder / "yield.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("dots", "size"), [("203", (408, 176)), ("300", (602, 260)), ("600", (1205, 520))]
)
def test_a_head_that_takes_dots_gets_dots(
    bench: Bench, spooler: Spooler, dots: str, size: tuple[int, int]
) -> None:
    """One bit to a dot, the size in the file, and of several files each a number."""
    command = "label board L26-001-01 --by 02 --out label.png --print roll"
    assert bench.run(f"{command} --dpi {dots}").code == 0
    jobs = spooler.jobs()
    image = Image.open(BytesIO(jobs[0].data))

    assert [job.data for job in jobs] == [
        (bench.folder / f"label-{number}.png").read_bytes() for number in (1, 2)
    ]
    assert (image.mode, image.size) == ("1", size)
    assert jobs[0].options[0].startswith("media=Custom.5")
    assert len(reading.symbols(image)) == 2


def test_strips_are_dots_too(bench: Bench, spooler: Spooler) -> None:
    """As wide as their roll, whatever head it runs under."""
    command = "label strip L26-001-01 --thickness '4.2 mm' --by 02 --print roll"
    assert bench.run(f"{command} --dpi 300").code == 0
    image = Image.open(BytesIO(spooler.jobs()[0].data))

    assert (image.mode, image.width) == ("1", round(25 * 300 / 25.4))
    assert len(reading.symbols(image)) == 2


def test_dots_are_no_pdf(bench: Bench) -> None:
    """The ending has to say what is in it."""
    bench.refuses(f"{LABEL} --dpi 203 --out x.pdf", "and --dpi makes a PNG")


@pytest.mark.parametrize(
    ("size", "name"),
    [
        ((210.0, 297.0), "A4"),
        ((297.0, 210.0), "A4"),
        ((215.9, 279.4), "Letter"),
        ((210.0, 148.0), "A5"),
        ((51.0, 22.0), "Custom.51x22mm"),
        ((25.0, 101.6), "Custom.25x101.6mm"),
        ((1000.0, 22.125), "Custom.1000x22.12mm"),
    ],
)
def test_media_have_the_spooler_s_names(size: tuple[float, float], name: str) -> None:
    """A sheet whichever way it lies; all else in hundredths of a millimetre."""
    assert printing.media(size) == name


def test_nothing_goes_where_nobody_asked() -> None:
    """A place without a file and without a queue is none."""
    place = printing.maybe(None)

    assert not place
    assert place.told() == {"file": None}
    with pytest.raises(RefusedError, match="is there already"):
        printing.place(Path(__file__))
    for name in ("tag.txt", "tag.png", "tag"):
        with pytest.raises(RefusedError, match=f"{name} does not end in .pdf, and"):
            printing.place(Path(name))
    assert printing.place(Path("tag.PDF"))
