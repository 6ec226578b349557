"""flitchbook label: papers that lie where they were asked for, or not at all."""

import json

import pytest

from labels import picture
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

BOARD = "label board L26-001-01 --by 02"
CARD = f"label card {SERIAL} --by 01"
TAG = f"label tag {SERIAL} --by 03"


def test_labels_are_drawn_and_recorded(bench: Bench) -> None:
    """A set has two; the file is a PDF, and the log says that it was printed."""
    said = bench.run(f"{BOARD} --out labels.pdf --json")

    assert json.loads(said.out) == {
        "file": "labels.pdf",
        "boards": ["L26-001-01.A", "L26-001-01.B"],
    }
    assert (bench.folder / "labels.pdf").read_bytes().startswith(b"%PDF-")
    assert "whole: " in bench.does("record audit")


def test_a_whole_lot_goes_on_a_sheet(bench: Bench) -> None:
    """Its code alone is enough."""
    said = bench.run("label board L26-002 --on Letter --by 02 --out sheet.pdf")

    assert said.out == "sheet.pdf: 1 label. Print at 100 %.\n"


def test_a_used_sheet_begins_where_it_is_free(bench: Bench) -> None:
    """And the answer says from where on the next labels go."""
    said = bench.run(
        "label board L26-001-01 --on A4 --start-at 7,2 --by 02 --out s.pdf"
    )
    full = bench.run("label board L26-002 --on A4 --start-at 12,4 --by 02 --out t.pdf")

    assert said.out == (
        "s.pdf: 2 labels. Print at 100 %.\n"
        "The last sheet is free from --start-at 8,1 on.\n"
    )
    assert full.out.endswith("The last sheet is full.\n")


def test_a_sheet_is_of_the_shop_s_own_paper(bench: Bench) -> None:
    """Unless another one is named, and a place on it is counted on that paper."""
    bench.setting(paper="Letter")
    bench.run("label board L26-001-01 --on sheet --by 02 --out own.pdf")
    pdf = (bench.folder / "own.pdf").read_bytes()

    assert picture.grey(pdf, page=0, dpi=72).size == (612, 792)
    bench.refuses(
        "label board L26-002 --on sheet --start-at 12,1 --by 02 --out x.pdf",
        "12,1 is no place on a Letter sheet",
    )


def test_what_many_labels_have_in_common_is_told_once(bench: Bench) -> None:
    """A host too long for the strongest symbol is no reason for 48 lines."""
    said = bench.run(f"{BOARD} --out labels.pdf")

    assert said.code == 0
    assert "printed at level Q\nand 1 more like it\n" in said.err


def test_an_owner_s_card_is_drawn(bench: Bench) -> None:
    """By the certificate's number or the serial."""
    told = bench.data(f"{CARD} --out card.pdf")

    assert told == {"file": "card.pdf", "number": "C-2026-00001"}


def test_a_card_speaks_the_language_that_is_asked_for(bench: Bench) -> None:
    """Its own words; what they speak of is the same."""
    bench.does(f"{CARD} --out card.pdf --language es")
    front, back = (
        reading.text((bench.folder / "card.pdf").read_bytes(), page=n) for n in (0, 1)
    )

    assert "núcleo y veta" in front
    assert "Para comprobar" in back and SERIAL in back


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("label board L26-001-99 --by 02 --out x.pdf", "number it first"),
        ("label board L26-099 --by 02 --out x.pdf", "there is no lot L26-099: look"),
        ("label board D26-0001 --by 02 --out x.pdf", "give a board, a set or a lot"),
        (f"label board {SERIAL} --by 02 --out x.pdf", "is a serial: give a board"),
        ("label board B/L26-001-01.AX --by 02 --out x.pdf", "scan or type it again"),
        (f"{BOARD} --by 03 --out x.pdf", "printing labels needs the role lead"),
        (f"{BOARD} --out pins", "pins is there already: name another with --out"),
        (f"{BOARD} --out .", ". is there already"),
        (f"{BOARD} --out none/x.pdf", "there is no folder none: make it, or name"),
        (f"{BOARD} --out pins/x.pdf", "there is no folder pins"),
        (f"{BOARD} --out /proc/x.pdf", "/proc/x.pdf cannot be written"),
        (f"{BOARD} --start-at 2,1 --out x.pdf", "a roll has no places to begin at"),
        (f"{BOARD} --on A4 --start-at 5 --out x.pdf", "give the row and the label in"),
        (f"{BOARD} --on A4 --start-at 13,1 --out x.pdf", "12 rows of 4 labels, 1,1 to"),
        (f"{CARD} --by 02 --out x.pdf", "has no card key: only a lead signs cards"),
        ("label card C-2026-00009 --by 01 --out x.pdf", "there is no certificate"),
        ("label tag 26-0099-5 --by 03 --out x.pdf", "no instrument 26-0099-5: look at"),
        ("label tag 26-0001-9 --by 03 --out x.pdf", "26-0001"),
        ("label tag L26-001 --by 03 --out x.pdf", "L26-001"),
        (f"{TAG} --out pins", "pins is there already: name another with --out"),
        (f"{TAG} --out none/x.pdf", "there is no folder none: make it, or name"),
        (f"{CARD} --out pins", "pins is there already"),
    ],
)
def test_what_cannot_be_drawn_leaves_nothing(
    bench: Bench, command: str, why: str
) -> None:
    """No half file, and no entry about a paper that is not there."""
    bench.refuses(command, why)


@pytest.mark.parametrize("paper", ["A5", "A4", "Letter"])
def test_a_build_tag_is_drawn_and_its_head_remembered(bench: Bench, paper: str) -> None:
    """The second print is a reprint; the head it carries out is the newest outside."""
    told = json.loads(bench.run(f"{TAG} --on {paper} --out tag.pdf --json").out)
    again = bench.run(f"{TAG} --on {paper} --out again.pdf").out

    assert told == {
        "file": "tag.pdf",
        "serial": SERIAL,
        "number": 1,
        "size": told["size"],
    }
    assert again.startswith(f"again.pdf: the tag of {SERIAL}, print 2. Print both")
    assert f"the checkpoint of {told['size'] + 1} entries out" in again
    for name in ("tag.pdf", "again.pdf"):
        assert (bench.folder / name).read_bytes().startswith(b"%PDF-")
    assert f"outside this machine: {told['size'] + 1}," in bench.does("record audit")


def test_a_tag_that_nobody_may_draw_leaves_no_file(bench: Bench) -> None:
    """Only the head that was signed for it stays."""
    bench.file("pins", (bench.folder / "pins").read_text() + "05 0505\n")
    bench.does("person enrol 'Benji Ashdown' --badge 05 --by 12 --approve 01")
    said = bench.run(f"label tag {SERIAL} --by 05 --out tag.pdf")

    assert (said.code, said.out) == (1, "")
    assert "printing a build tag needs the role lead" in said.err
    assert not (bench.folder / "tag.pdf").exists()


@pytest.mark.parametrize(
    ("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))]
)
def test_a_tag_is_drawn_on_the_shop_s_own_paper(
    bench: Bench, paper: str, size: tuple[int, int]
) -> None:
    """Unless another sheet is asked for."""
    bench.setting(paper=paper)
    bench.run(f"label tag {SERIAL} --out own.pdf --by 03")
    bench.run(f"label tag {SERIAL} --out small.pdf --on A5 --by 03")
    own, small = (
        picture.grey((bench.folder / name).read_bytes(), page=0, dpi=72).size
        for name in ("own.pdf", "small.pdf")
    )
    assert sorted(own) == sorted(size)
    assert sorted(small) == [420, 595]
