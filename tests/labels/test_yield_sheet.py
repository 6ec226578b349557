"""Tests of the page that tells what became of a sawyer's wood."""

from dataclasses import replace

import pytest

from labels import picture
from labels.letterhead import Letterhead
from labels.yield_sheet import Row, Section, YieldSheet, draw, notices
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words

COLUMNS = ("came", "in the rack", "used", "sawn", "rejected", "sent back")
CELLS = ("48", "30", "12", "2", "3", "1")
LOT = Row(name="L26-004", kind="Picea abies", cells=CELLS)
SHEET = YieldSheet(
    head=Letterhead(shop="Skerrymoor Fretted Instruments", place="Port Anslow"),
    day="2026-11-21",
    title="Your wood at Skerrymoor Fretted Instruments",
    whose="Ferrante & Daughters",
    lead="48 boards in 1 lot, 9.8 kg as they came. Wood of them is in 6 instruments.",
    columns=COLUMNS,
    rows=(LOT,),
    total=None,
    sections=(
        Section(heading="Measured", lines=("Picea abies: radiation ratio 12.9",)),
        Section(heading="Graded", lines=("Your “AAA”, 24 boards: house grade A 10",)),
        Section(heading="Rejected", lines=()),
    ),
    notes=("Each half of a set counts as one board.",),
    as_of_entry=86_114,
)
LONG = "Associated Mountain Spruce and Maple Sawyers of the Upper Val Corda " * 4


def many(lots: int, lines: int) -> YieldSheet:
    """Return a page of so many lots, and sections of so many lines."""
    part = tuple(f"line {n} of what was found of the wood" for n in range(lines))
    rows = tuple(replace(LOT, name=f"L26-{n:03d}") for n in range(1, lots + 1))
    return replace(
        SHEET,
        rows=rows,
        total=Row(name="together", kind="", cells=CELLS),
        sections=tuple(
            Section(heading=heading, lines=part)
            for heading in ("Measured", "Graded", "Rejected", "Made of it")
        ),
    )


EVERY = {
    "usual": SHEET,
    "nothing": replace(SHEET, rows=(), sections=(), notes=()),
    "full": many(12, 4),
    "too many lots": many(60, 2),
    "too many lines": many(3, 60),
    "long names": replace(
        SHEET,
        head=Letterhead(shop=LONG, lines=("4 Harbour Road, the Loft " * 3,) * 3),
        title=f"Your wood at {LONG}",
        whose=LONG,
        lead=LONG,
        rows=(replace(LOT, name=LONG, kind=LONG), replace(LOT, name=LONG, kind="")),
        sections=(Section(heading="Graded", lines=(LONG, LONG)),),
        notes=(LONG, LONG),
    ),
    "from Japan": replace(SHEET, whose="荒川製材所", rows=(replace(LOT, name="荒川"),)),
}


@pytest.mark.parametrize("name", EVERY)
def test_it_is_one_page_on_which_nothing_overlaps(name: str) -> None:
    """However much there is to tell, and however long the names."""
    pdf = draw(EVERY[name])

    assert picture.pages(pdf) == 1
    assert overlaps(pdf) == []
    assert outside(pdf, [(22, 188)]) == []
    assert all(each.foot < 275 for each in words(pdf))


def test_it_is_drawn_on_the_paper_of_the_shop() -> None:
    """Letter has other edges and the same words."""
    letter, usual = draw(SHEET, paper="Letter"), draw(SHEET)

    assert outside(letter, [(24.95, 190.95)]) == [] and overlaps(letter) == []
    assert reading.text(letter).split() == reading.text(usual).split()


def text(sheet: YieldSheet) -> str:
    """Return the text of the page, all spaces alike."""
    return " ".join(reading.text(draw(sheet)).split())


def test_all_of_it_is_on_the_page() -> None:
    """Title, sawyer, table, sections and the state of the record it is drawn from."""
    said = text(SHEET)

    for expected in (
        SHEET.title,
        SHEET.whose,
        "as they came. Wood of them is in 6 instruments.",
        *COLUMNS,
        "L26-004 Picea abies 48 30 12 2 3 1",
        "Your “AAA”, 24 boards: house grade A 10",
        "Each half of a set counts as one board.",
    ):
        assert expected in said, expected
    assert "as of entry 86" in said and "114" in said
    assert said.casefold().count("rejected") == 1


def test_what_has_no_room_is_counted() -> None:
    """Lots beyond the twelfth, lines beyond the foot, and whole sections."""
    assert "and 48 more, counted in the last line" in text(many(60, 2))
    said = text(many(3, 60))

    assert "lines more, not here" in said
    assert "no room on this page for: Graded, Rejected, Made of it" in said


def test_the_same_values_give_the_same_bytes() -> None:
    """A page drawn twice is the same file."""
    pdf = draw(SHEET)

    assert draw(replace(SHEET)) == pdf


def test_what_no_face_has_is_named() -> None:
    """A name from Korea prints as a geta mark, and the shop is told."""
    told = notices(replace(SHEET, whose="한 sawyers"))

    assert len(told) == 1 and "U+D55C" in told[0]
    assert notices(SHEET) == ()


def test_the_sheet_looks_as_it_was_approved() -> None:
    """One quiet page to send or to pin up."""
    assert looks.unlike(draw(SHEET), "yield-sheet") == ""


def test_a_sheet_counts_in_its_own_language() -> None:
    """What has no room is counted in the words of whoever reads it."""
    said = " ".join(reading.text(draw(replace(many(60, 60), language="de"))).split())

    assert "und 48 weitere" in said and "kein Platz auf dieser Seite" in said
