"""Tests of the tables of boxes."""

import pytest

from ledger.trade.forms.boxes import (
    Table,
    boxes_of,
    checked_on,
    common_boxes,
    from_memory,
    newest_source,
    row_boxes,
)
from ledger.trade.forms.worksheet import filled

TABLES: tuple[Table, ...] = (
    "cites_boxes",
    "union_boxes",
    "ppq505_blocks",
    "musical_boxes",
)


def test_the_form_of_the_convention_has_its_boxes() -> None:
    """Resolution Conf. 12.3, Annex 2: 1 to 15, rows with 7 to 12b."""
    numbers = [row.box for row in boxes_of("cites_boxes")]
    rows = [row.box for row in boxes_of("cites_boxes") if row.per == "specimen"]

    assert numbers[1:] == [
        *("1", "2", "3", "3a", "4", "5", "5a", "5b", "6", "7", "8", "9", "10"),
        *("11", "11a", "12", "12a", "12b", "13", "14", "15"),
    ]
    assert (rows[0], rows[-1]) == ("7", "12b")


def test_the_form_of_the_union_has_its_boxes() -> None:
    """Regulation (EC) No 865/2006, Annex I: 1 to 27, one specimen in 8 to 22."""
    numbers = [row.box for row in boxes_of("union_boxes")]
    rows = [row.box for row in boxes_of("union_boxes") if row.per == "specimen"]

    assert numbers[1:] == [str(number) for number in range(1, 28)]
    assert rows == [str(number) for number in range(8, 23)]


def test_the_plant_declaration_has_its_blocks() -> None:
    """PPQ Form 505, August 2011: blocks 1 to 19, lines of 11 to 18, and signature."""
    numbers = [row.box for row in boxes_of("ppq505_blocks")]
    lines = [row.box for row in boxes_of("ppq505_blocks") if row.per == "specimen"]

    assert numbers == [*(str(number) for number in range(1, 20)), "sign"]
    assert lines == [str(number) for number in range(11, 19)]


@pytest.mark.parametrize("table", TABLES)
def test_a_box_is_somebodys_and_stands_once_or_in_each_row(table: Table) -> None:
    """No box twice; the rows stand together."""
    rows = boxes_of(table)
    numbers = [row.box for row in rows]
    places = [place for place, row in enumerate(rows) if row.per == "specimen"]

    assert len(set(numbers)) == len(numbers)
    assert {row.per for row in rows} == {"form", "specimen"}
    assert {row.writes for row in rows} <= {"holder", "office"}
    assert places == list(range(places[0], places[-1] + 1))


@pytest.mark.parametrize("table", TABLES)
def test_every_box_is_drawn_up_in_the_order_of_the_form(table: Table) -> None:
    """Above the rows, the rows, below them; the office's without an answer of ours."""
    answers = {
        row.box: filled(row.box, "said")
        for row in boxes_of(table)
        if row.writes == "holder"
    }
    above, below = common_boxes(table, answers)
    drawn = [*above, *row_boxes(table, answers), *below]

    assert [box.number for box in drawn] == [row.box for row in boxes_of(table)]
    for box, row in zip(drawn, boxes_of(table), strict=True):
        assert (box.state == "filled") == (row.writes == "holder")
        assert (box.value == box.number) == (row.writes == "holder")


def test_a_box_of_ours_without_an_answer_is_a_mistake() -> None:
    """Nobody prints a form with a box forgotten."""
    with pytest.raises(KeyError, match="7"):
        row_boxes("cites_boxes", {})


def test_a_box_of_two_cells_has_an_answer_for_each() -> None:
    """Genus and species, block 14 of PPQ 505."""
    answers = {str(number): filled("x", "y") for number in range(11, 19)}
    cells = {"Genus": filled("Picea", ""), "Species": filled("abies", "")}
    drawn = row_boxes("ppq505_blocks", {**answers, "14": cells})

    assert [(box.label, box.value) for box in drawn if box.number == "14"] == [
        ("Genus", "Picea"),
        ("Species", "abies"),
    ]


def test_what_nobody_read_is_told_by_number() -> None:
    """Boxes from memory alone, and the days of the table."""
    assert {"3a", "5b", "13"} <= set(from_memory("cites_boxes"))
    assert from_memory("ppq505_blocks") == ()
    assert str(checked_on("cites_boxes")) == "2026-11-24"
    assert str(newest_source("cites_boxes")) == "2026-06-20"
