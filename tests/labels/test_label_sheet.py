"""Tests of sheets of board labels, new ones and ones that were used before."""

from dataclasses import replace

import pytest
from PIL import Image, ImageChops

from labels import label_sheet, picture
from labels.label import BoardLabel
from labels.label_sheet import SHEETS, Paper, Place
from ledger.errors import RefusedError
from tests.labels import looks, reading
from tests.labels.samples import BACK_A, BACK_B, HEADING, WHOLE


def test_a_sheet_of_several_lots_claims_no_single_one() -> None:
    """Neither its species nor its sawyer stands over wood of another lot."""
    other = replace(WHOLE, lot="L24-018", genus="Picea", epithet="abies")
    glued = replace(WHOLE, also=("L24-018",))
    many = [replace(WHOLE, lot=f"L24-{n:03}") for n in range(1, 8)]
    told = [
        reading.text(label_sheet.sheet(labels, HEADING)).replace("\r\n", " ")
        for labels in ([BACK_A, other], [glued], many, [BACK_A])
    ]

    assert ["Lots L23-040, L24-018" in said for said in told[:2]] == [True, True]
    assert "7 lots, L24-001 to L24-007" in told[2]
    assert [HEADING.sawyer in said for said in told] == [False] * 3 + [True]


def test_over_a_sheet_an_endless_sawyer_gives_way() -> None:
    """How many labels there are, and when they were printed, stays."""
    heading = replace(HEADING, sawyer="Holzhandel " * 18)
    said = reading.text(label_sheet.sheet([BACK_A], heading))

    assert "…" in said
    assert f"{heading.date}, {heading.who}" in said


def test_a_pair_is_never_torn_over_two_rows() -> None:
    """Where A would end a row, its place is left empty and both begin the next."""
    row = [WHOLE, WHOLE, WHOLE, BACK_A, BACK_B]

    assert label_sheet.arrange(row) == [WHOLE, WHOLE, WHOLE, None, BACK_A, BACK_B]
    assert label_sheet.arrange([BACK_A, BACK_B]) == [BACK_A, BACK_B]
    assert label_sheet.arrange([WHOLE, BACK_B, BACK_A]) == [WHOLE, BACK_B, BACK_A]


@pytest.mark.parametrize(("paper", "full"), [("A4", 48), ("Letter", 44)])
def test_a_sheet_is_full_and_every_symbol_on_it_reads(paper: Paper, full: int) -> None:
    """48 labels to an A4 sheet and 44 to a Letter sheet; the next begins a new one."""
    boards = [
        replace(BACK_A, code=f"L23-040-{n:02}", half=None) for n in range(full + 1)
    ]
    drawn = label_sheet.sheet(boards, HEADING, paper)
    found = reading.symbols(picture.one_bit(drawn, page=0, dpi=600))

    assert reading.pages(drawn) == 2
    assert len(found) == 2 * full
    assert len(set(found)) == full
    assert f"{full + 1} labels, sheet 2 of 2" in reading.text(drawn, page=1)


def test_the_proof_bar_is_fifty_millimetres() -> None:
    """A rule laid on the sheet shows whether the printer kept the scale."""
    image = picture.one_bit(label_sheet.sheet([BACK_A], HEADING), page=0, dpi=254)
    rows = [
        [x for x in range(1500, image.width) if not image.getpixel((x, y))]
        for y in range(160, 185)
    ]
    longest = max(rows, key=len)

    assert abs(longest[-1] - longest[0] - 500) <= 2


def many(count: int) -> list[BoardLabel]:
    """Return labels of so many whole boards."""
    return [replace(WHOLE, code=f"L24-018-{n:02}") for n in range(1, count + 1)]


def printed(pdf: bytes, page: int = 0, dpi: int = 200) -> Image.Image:
    """Return a sheet as an office printer prints it."""
    return picture.one_bit(pdf, page=page, dpi=dpi)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_sheet_is_centred_and_leaves_a_printer_its_margins(paper: Paper) -> None:
    """The labels fill the table's rows, 3 mm below the middle, the head above them."""
    geometry = SHEETS[paper]
    left, top = geometry.corner
    right, foot = geometry.at(geometry.places - 1)

    assert (geometry.columns, geometry.rows) == (4, {"A4": 12, "Letter": 11}[paper])
    assert left + right + 51 == pytest.approx(geometry.size[0])
    assert top + foot + 22 - 6 == pytest.approx(geometry.size[1])
    assert left >= 3 and top >= 19 and geometry.size[1] - foot - 22 >= 13


@pytest.mark.parametrize("gone", [1, 4, 26, 47])
def test_a_used_sheet_is_used_up(gone: int) -> None:
    """What is printed first and what is printed later never share a dot of ink.

    Neither head, bar nor lines of the first print are printed again over themselves.
    """
    first = many(gone)
    start = label_sheet.next_free(first)
    assert start == Place(gone // 4 + 1, gone % 4 + 1)
    later = label_sheet.sheet([BACK_A], HEADING, start=start)
    before = printed(label_sheet.sheet(first, HEADING))
    after = printed(later)
    both = ImageChops.logical_or(ImageChops.invert(before), ImageChops.invert(after))

    assert reading.pages(later) == 1
    assert "Lot" not in reading.text(later).split() and "bar" not in reading.text(later)
    assert ImageChops.logical_or(before, after).getextrema() == (255, 255)
    read = reading.symbols(ImageChops.invert(both).convert("L"))
    assert len(read) == 2 * (gone + 1) and read.count(read[-1]) == 2


def test_the_next_sheet_is_new_and_has_its_head() -> None:
    """Only the sheet that was in the printer before goes without one."""
    drawn = label_sheet.sheet(many(6), HEADING, start=Place(12, 2))
    told = [reading.text(drawn, page).replace("\r\n", " ") for page in (0, 1)]

    assert reading.pages(drawn) == 2
    assert ["6 labels, sheet" in said for said in told] == [False, True]
    assert ["L24-018-03" in said for said in told] == [True, False]
    assert ["L24-018-04" in said for said in told] == [False, True]


def test_a_pair_that_begins_within_a_row_stays_together() -> None:
    """The row that was begun counts, whoever began it."""
    pair = [BACK_A, BACK_B]

    assert label_sheet.arrange(pair, start=2) == [None, None, *pair]
    assert label_sheet.arrange(pair, start=3) == [None] * 4 + pair
    assert label_sheet.next_free(pair, start=Place(1, 4)) == Place(2, 3)


def test_a_full_sheet_has_no_free_place() -> None:
    """Whoever asks where to go on takes a new one."""
    assert label_sheet.next_free(many(48)) is None
    assert label_sheet.next_free(many(44), "Letter") is None
    assert label_sheet.next_free(many(49)) == Place(1, 2)


@pytest.mark.parametrize("start", [Place(12, 1), Place(0, 1), Place(1, 5), Place(1, 0)])
def test_a_place_that_is_not_there_is_refused(start: Place) -> None:
    """With the size of the sheet, so that the count can be made again."""
    with pytest.raises(RefusedError, match=r"no place on a Letter sheet: .* to 11,4"):
        label_sheet.sheet([BACK_A], HEADING, "Letter", start)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_sheet_looks_as_it_was_approved(paper: Paper) -> None:
    """Head, scale bar, cut lines, labels in their cells."""
    pdf = label_sheet.sheet([BACK_A, BACK_B, WHOLE] * 4, HEADING, paper)
    assert looks.unlike(pdf, f"label-sheet-{paper}") == ""
