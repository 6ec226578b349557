"""What is counted stands in a row, in its column's head, or in a title."""

import pytest

from ledger.acts.packing import read_list
from ledger.errors import RefusedError

SIZES = "Length mm,Width mm,Thickness mm\n"
BOARDS = "counted as boards; --unit quantity=sets if they are sets"
SETS = "says; --unit quantity=boards if they are boards"


@pytest.mark.parametrize(
    ("text", "read"),
    [
        (f"Spruce sets,{SIZES}4,559,203,4.2\n2,559,203,4.2\n", [4, 2]),
        (f"No.,Spruce sets,{SIZES}1,3,559,203,4.2\n2,1,559,203,4.2\n", [3, 1]),
        (f"Fichtensätze,Sätze Fichte,{SIZES}1,7,559,203,4.2\n", [7]),
        (f"Spruce sets,,\n,,\nQty,{SIZES}4,559,203,4.2\n", [4]),
        (f"Packing list: 24 sets of spruce\n\nNo.,{SIZES}A,559,203,4.2\n", [1]),
        (f"Set No.,{SIZES}1,559,203,4.2\n2,559,203,4.2\n", [1, 1]),
        (f"Satz,{SIZES}1,559,203,4.2\n2,559,203,4.2\n", [1, 1]),
        (f"Spruce sets,{SIZES}1,559,203,4.2\n2,559,203,4.2\n", [1, 1]),
        (f"Spruce sets,{SIZES}AAA,559,203,4.2\nAA,559,203,4.2\n", [1, 1]),
    ],
    ids=[
        "head of a count",
        "beside a number",
        "in German",
        "above a count",
        "above the rows",
        "set numbers",
        "satz",
        "numbered from one",
        "grades below",
    ],
)
def test_a_list_of_sets_is_read_as_sets(text: str, read: list[int]) -> None:
    """The title speaks for its rows, and nobody labels one half of what came."""
    listed = read_list(text.encode())

    assert listed.faults == ()
    assert [(row.quantity, row.per) for row in listed.rows] == [
        (n, "set") for n in read
    ]


@pytest.mark.parametrize(
    "title",
    ["", "Spruce", "Sets and billets since 1904", "Boards", "per pair"],
)
def test_where_no_title_says_what_is_counted_boards_are(title: str) -> None:
    """A slogan of several things says nothing; the note tells how to say sets."""
    text = f"{title}\n\nNo.,Qty,{SIZES}1,2,559,203,4.2\n"
    listed = read_list(text.encode())
    told = read_list(text.encode(), units={"quantity": "sets"})

    assert [(row.quantity, row.per) for row in listed.rows] == [(2, "board")]
    assert any(note.endswith(BOARDS) for note in listed.notes)
    assert [(row.quantity, row.per) for row in told.rows] == [(2, "set")]
    assert not any("counted as" in note for note in told.notes)


def test_a_title_that_made_sets_is_named_and_can_be_overruled() -> None:
    """The reader of the list has the last word, with a column of numbers or without."""
    for count in ("", "Qty,"):
        cell = "1," if count else ""
        text = f"Spruce sets\n\nNo.,{count}{SIZES}1,{cell}559,203,4.2\n".encode()
        listed = read_list(text)
        told = read_list(text, units={"quantity": "boards"})

        assert [row.per for row in listed.rows] == ["set"]
        assert any(note.endswith(f"as 'Spruce sets' {SETS}") for note in listed.notes)
        assert [row.per for row in told.rows] == ["board"]


def test_a_row_says_more_than_the_title_above_it() -> None:
    """Four billets in a list of sets are four boards."""
    text = f"Spruce sets\n\nNo.,Qty,{SIZES}1,4 billets,559,203,40\n2,1,559,203,4.2\n"
    listed = read_list(text.encode())

    assert [row.per for row in listed.rows] == ["board", "set"]


def test_halves_without_a_number_are_no_sets() -> None:
    """One half in each row would be half a set in each."""
    text = f"No.,{SIZES}1,559,203,4.2\n".encode()
    with pytest.raises(RefusedError, match="no column tells how many halves"):
        read_list(text, units={"quantity": "halves"})


def test_a_column_left_out_stays_out() -> None:
    """Who says that no column counts is believed."""
    text = f"Spruce sets,{SIZES}4,559,203,4.2\n".encode()
    listed = read_list(text, columns={"quantity": ""})

    assert [(row.quantity, row.per) for row in listed.rows] == [(1, "set")]
