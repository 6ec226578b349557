"""A sawyer's list gives the rows that stand in it, and says what it cannot read."""

import csv
import doctest
import io
import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import packing
from ledger.acts.packing import ListedRow, PackingList, read_list
from ledger.errors import RefusedError
from ledger.scales import INCH, POUND, half_up
from tests.ledger.acts.packing.dialects import ROWS, SCRAPS, Row, weighed, written_table

LISTS = Path(__file__).parents[2] / "vectors" / "packing"


def listed(name: str, **options: Any) -> PackingList:
    """Read one of the lists beside the tests."""
    return read_list((LISTS / f"{name}.csv").read_bytes(), **options)


def counted(row: ListedRow) -> tuple[str | None, int, str]:
    """Return a row's mark, and how many it lists of what."""
    return row.label, row.quantity, row.per


def measured(row: ListedRow) -> tuple[object, ...]:
    """Return a row's sizes and masses."""
    return row.length_um, row.width_um, row.thickness_um, row.masses_mg


def told(row: ListedRow) -> tuple[str | None, ...]:
    """Return a row's wood, what it is meant for, and its sawyer's grade."""
    return row.species, row.trade_name, row.meant_for, row.grade


def um(inches: str) -> int:
    """Return inches as the log holds them."""
    return half_up(sum(map(Fraction, inches.split()), Fraction()) * INCH * 1000)


def mg(ounces: str) -> int:
    """Return ounces as the log holds them."""
    return half_up(Fraction(ounces) * POUND * 1000 / 16)


def test_a_german_list_with_letterhead_and_decimal_commas_is_read() -> None:
    """Byte order mark, semicolons, a cell of two lines, a heading and a sum between."""
    found = listed("valdesund")
    spruce = ("Picea abies", "Fichte")

    assert found.faults == ()
    assert [(*counted(row), row.moisture_ppm) for row in found.rows] == [
        ("V-101", 8, "set", 82_000),
        ("V-102", 10, "set", 84_000),
        ("V-103", 4, "set", 79_000),
        ("V-201", 1, "set", 100_000),
        ("V-202", 1, "set", None),
    ]
    assert [measured(row) for row in found.rows] == [
        (559_000, 203_000, 4_200, (412_500,)),
        (560_000, 205_000, 4_125, (425_000,)),
        (559_500, 203_000, 4_250, (430_000,)),
        (560_000, 230_000, 25_000, (2_900_000,)),
        (1_120_000, 230_000, 25_000, (5_800_500,)),
    ]
    assert [told(row) for row in found.rows] == [
        (*spruce, "Decke", "AAA"),
        (*spruce, "Decke", "AA"),
        (*spruce, "Decke", "AA+"),
        (*spruce, "Decke Archtop", "Meister"),
        (*spruce, "Decke Archtop", "Meister"),
    ]
    assert {row.harvested_in for row in found.rows} == {"NO"}
    assert [row.line for row in found.rows] == [8, 9, 11, 14, 15]
    assert "; Gewicht/Satz (g): ca. 5.800,5" in found.rows[4].as_written
    assert found.columns[4] == ("Länge (mm)", "length", "mm")
    assert found.columns[-1] == ("Bemerkung", "", "")
    assert found.notes == (
        "the file is UTF-8",
        "cells are separated by semicolons",
        "lines 1 to 5 above the header: not read",
        "columns not read: 'Bemerkung'",
        "column 'Dicke (mm)': the comma of '4,125' is a decimal comma, as in '4,2'",
        "1 empty line: not read",
        "line 13: 'Keile für Archtop:' is a remark: not read",
        "line 16: 'Summe 24' is a total, and its rows add up to it",
        "line 17: 'Ware bleibt bis zur Bezahlung Eigentum von Valdesund Skog.' is a "
        "remark: not read",
    )


def test_an_american_list_in_inches_and_ounces_is_read() -> None:
    """Fractions, quoted inch marks, halves, a header on every page, two totals."""
    found = listed("achterberg")
    leaf = ("Acer macrophyllum", "Bigleaf maple")

    assert found.faults == ()
    assert [counted(row) for row in found.rows] == [
        ("A-1", 2, "half"),
        ("A-2", 4, "half"),
        ("A-3", 3, "board"),
        ("A-4", 1, "set"),
        ("A-5", 12, "board"),
    ]
    assert [measured(row) for row in found.rows] == [
        (um("22"), um("8 1/2"), um("3/16"), (mg("14.2"),)),
        (um("22"), um("8 5/8"), um("11/64"), (mg("13.5"),)),
        (um("30 1/2"), um("3"), um("1"), (mg("38.5"),)),
        (um("21"), um("8"), um("5/16"), (mg("36"),)),
        (um("33"), um("3/8"), um("1/8"), (mg("0.5"),)),
    ]
    assert [told(row) for row in found.rows] == [
        (*leaf, "back", "5A quilt"),
        (*leaf, "back", "3A"),
        ("Acer saccharum", "Sugar maple", "neck", "clear"),
        ("Juglans nigra", "black walnut", "cap", "figured"),
        (None, "Black walnut", "binding", None),
    ]
    assert found.rows[0].as_written.startswith('Length: 22"; Width: 8 1/2"; ')
    assert "line 8: 'Subtotal 9' is a total, and its rows add up to it" in found.notes
    assert "line 12: 'TOTAL 22' is a total, and its rows add up to it" in found.notes
    assert sum("the header again" in note for note in found.notes) == 1
    assert found.columns[7] == ("Wt. each (oz)", "mass", "oz each")


def test_an_auction_list_in_utf_16_with_sizes_in_one_cell_is_read() -> None:
    """Tabs, two species, board feet that fit the sizes, and masses of several."""
    found = listed("nambiar")
    rosewood = ("Dalbergia latifolia", "E. Indian rosewood")
    ebony = ("Diospyros crassiflora", "streaked ebony")

    assert found.faults == ()
    assert [(*counted(row), *measured(row)) for row in found.rows] == [
        ("31/7", 1, "set", 559_000, 216_000, 4_000, (870_000,)),
        ("31/8", 3, "set", 559_000, 216_000, 4_100, (880_000,)),
        ("31/9", 4, "set", 838_000, 121_000, 3_500, (640_000,)),
        ("31/12", 10, "board", 520_000, 73_000, 8_000, (320_000,)),
        ("31/13", 6, "board", 180_000, 42_000, 11_000, (87_500,)),
    ]
    assert [told(row)[:2] for row in found.rows] == [rosewood] * 3 + [ebony] * 2
    assert [row.harvested_in for row in found.rows] == ["IN", "IN", "IN", "CM", "CM"]
    assert "; Bd Ft: 1.26; Wt total (kg): 2,64" in found.rows[1].as_written
    assert found.notes == (
        "the file is UTF-16",
        "cells are separated by tabs",
        "lines 1 to 2 above the header: not read",
        "4 rows from line 6 on with the mass of several together: each piece is given "
        "its share, so weigh it",
        "line 10: 'Grand total 24 4.37 9.795' is a total, and its rows add up to it",
        "line 11: 'Remarks: sides were weighed together; bring cord.' is a remark: not "
        "read",
        "line 12: 'Papers follow by post. D. Nambiar' is a remark: not read",
    )


@pytest.mark.parametrize(
    ("name", "faults", "rows"),
    [
        (
            "total-says-one-set-more",
            [(4, "the list says 24 sets, its rows add up to 23")],
            2,
        ),
        ("odd-number-of-halves", [(2, "column 'Halves': 23 halves leave one")], 0),
        ("listed-twice", [(4, "'7' is listed twice, first in line 2")], 2),
        (
            "no-unit-anywhere",
            [
                (1, "column 'Length': '559' and all below it have no unit: write it"),
                (1, "--unit width=mm"),
                (1, "--unit thickness=mm"),
            ],
            0,
        ),
        ("one-row-without-a-unit", [(4, "column 'Length': '560' has no unit")], 2),
        (
            "comma-in-two-ways",
            [(2, "column 'Weight g': '1,250' can be read in two ways; write 1250 or")],
            1,
        ),
        (
            "inches-typed-as-millimetres",
            [
                (2, "which would be 433\u2009kg/m³; if they are"),
                (4, "the sizes look like inches typed as millimetres"),
            ],
            1,
        ),
        ("thickness-above-width", [(2, "the thickness is more than the width")], 0),
        (
            "mass-of-each-or-of-all",
            [(3, "'1240': may be the mass of each or of all 3; name the unit so")],
            1,
        ),
        ("volume-does-not-fit", [(3, "the volume is 9.675\u2009dm³")], 1),
        ("quote-never-closed", [(2, "a cell runs on to line 20")], 0),
        (
            "decimal-comma-between-commas",
            [(2, "5 cells of 4 that the header names: put a cell with a comma in it")],
            1,
        ),
        (
            "nonsense-in-every-column",
            [
                (2, "column 'Sets': '0' is no number of pieces"),
                (3, "column 'Length mm': '-559' is below zero"),
                (4, "column 'Length mm': 'heaps' is not a length"),
                (5, "column 'Weight g': '0' is nothing"),
                (6, "column 'Moisture %': 0.08\u2009% is outside"),
                (7, "column 'Sets': 'one' is no number of pieces"),
            ],
            1,
        ),
    ],
)
def test_each_faulty_list_names_line_cell_and_remedy(
    name: str, faults: list[tuple[int, str]], rows: int
) -> None:
    """What is wrong is told where it stands, and the other rows are read."""
    found = listed(name)

    assert [fault.line for fault in found.faults] == [line for line, _ in faults]
    for fault, (_, part) in zip(found.faults, faults, strict=True):
        assert part in fault.reason
    assert len(found.rows) == rows


def test_every_list_beside_the_tests_is_read_by_a_test() -> None:
    """A list that no test opens would prove nothing."""
    text = Path(__file__).read_text(encoding="utf-8")

    assert [p.stem for p in LISTS.glob("*.csv") if f'"{p.stem}"' not in text] == []


def test_an_old_code_page_is_read_and_said() -> None:
    """What is not UTF-8 is read as Windows-1252, with a note."""
    found = listed("windows-1252")

    assert found.rows[0].trade_name == "Bergfichte, Güte I"
    assert found.notes[:2] == (
        "the file is not UTF-8 and was read as Windows-1252: look at the accents",
        "cells are separated by bars",
    )


def test_units_that_are_said_settle_what_the_list_leaves_open() -> None:
    """The same list has two rows once its units are told."""
    sides = ("length", "width", "thickness")
    found = listed("no-unit-anywhere", units=dict.fromkeys(sides, "mm"))

    assert found.faults == ()
    assert [row.length_um for row in found.rows] == [559_000, 560_000]


def test_whose_mass_it_is_can_be_said() -> None:
    """Of each, or of all: the masses are those of one set."""
    each = listed("mass-of-each-or-of-all", units={"mass": "g each"})
    total = listed("mass-of-each-or-of-all", units={"mass": "total"})

    assert [row.masses_mg for row in each.rows] == [(412_000,), (1_240_000,)]
    assert [row.masses_mg for row in total.rows] == [(412_000,), (413_333,)]


def test_a_column_left_out_is_not_judged() -> None:
    """A volume counted in another way need not stop a list."""
    found = listed("volume-does-not-fit", columns={"volume": ""})

    assert found.faults == ()
    assert len(found.rows) == 2


def test_a_list_that_does_not_say_what_it_counts_is_read_as_boards() -> None:
    """And a note says so, and how to say that they are sets, or that each is one."""
    data = b"No.,Qty,Length mm\n1,3,559\n"
    found = read_list(data)
    sets = read_list(data, units={"quantity": "sets"})

    assert [(row.quantity, row.per) for row in found.rows] == [(3, "board")]
    assert found.notes[-1].endswith(
        "counted as boards; --unit quantity=sets if they are sets"
    )
    assert [(row.quantity, row.per) for row in sets.rows] == [(3, "set")]
    assert sets.columns[1] == ("Qty", "quantity", "set")
    assert not [note for note in sets.notes if "how many" in note]
    assert "no column tells how many: each row is read as one" in (
        read_list(b"No.,Length mm\n1,559\n").notes
    )


def test_a_list_without_rows_is_none() -> None:
    """A header alone brings no wood."""
    with pytest.raises(RefusedError, match="header in line 2 and no rows below it"):
        read_list(b"\nNo.,Qty\n\n")


def test_a_list_too_long_is_to_be_split() -> None:
    """Five thousand rows are read, and one more is too many."""
    rows = b"".join(b"%d,1\n" % number for number in range(5_000))

    assert len(read_list(b"No.,Sets\n" + rows).rows) == 5_000
    with pytest.raises(RefusedError, match="5001 rows of at most 5000"):
        read_list(b"No.,Sets\n" + rows + b"x,1\n")


def test_the_example_in_the_module_is_true() -> None:
    """What the module shows is what it does."""
    assert doctest.testmod(packing).failed == 0


@given(rows=ROWS, seed=st.integers(0, 2**32))
def test_a_table_reads_back_in_whatever_way_it_is_written(
    rows: list[Row], seed: int
) -> None:
    """Delimiter, decimal mark, units, order of columns, encoding and line ends."""
    pick = random.Random(seed)  # noqa: S311 - a dialect is no secret
    text = io.StringIO()
    csv.writer(
        text,
        delimiter=pick.choice(",;\t|"),
        lineterminator=pick.choice(("\n", "\r\n", "\r")),
        quoting=pick.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL)),
    ).writerows(written_table(rows, pick, pick.choice(".,")))
    encoding = pick.choice(("utf-8", "utf-8-sig", "utf-16", "cp1252"))
    found = read_list(text.getvalue().encode(encoding))

    assert found.faults == ()
    assert [(r.label, r.quantity, r.per) for r in found.rows] == [
        (str(number), row[0], "set") for number, row in enumerate(rows, start=1)
    ]
    assert [
        (r.length_um, r.width_um, r.thickness_um, r.masses_mg) for r in found.rows
    ] == [
        (100 * row[1], 100 * row[2], 100 * row[3], (100 * weighed(row),))
        for row in rows
    ]


@given(
    good=st.integers(1, 20),
    place=st.integers(0, 20),
    bad=st.sampled_from(["heaps", "-3 mm", "559", "559 kg", "1,250 mm", "4-5 mm"]),
)
def test_a_bad_row_is_named_by_its_line_and_spoils_no_other(
    good: int, place: int, bad: str
) -> None:
    """Wherever it stands, one fault names it, and every other row is read."""
    rows = [f"{number};1;559 mm" for number in range(good)]
    place = min(place, good)
    rows.insert(place, f"bad;1;{bad}")
    text = "\n".join(["Packing list", "", "No.;Sets;Length", "", *rows])
    # One cell with a point: the commas of this column are not decimal for certain.
    found = read_list(f"{text}\nlast;1;559.5 mm\n".encode())

    assert [fault.line for fault in found.faults] == [place + 5]
    assert f"column 'Length': '{bad.removesuffix(' mm')}" in found.faults[0].reason
    assert len(found.rows) == good + 1


@given(data=st.binary())
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """No file makes anything but a list or a refusal."""
    try:
        found = read_list(data)
    except RefusedError as error:
        assert str(error)
        return
    assert found.rows or found.faults or found.notes


@given(
    scraps=st.lists(st.sampled_from(SCRAPS), max_size=60),
    head=st.sampled_from(["", "No.,Sets,Length mm,Weight g,Size,Bd Ft,Moisture\n"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_any_scraps_of_lists_are_read_or_refused(
    scraps: list[str], head: str, encoding: str
) -> None:
    """However a list is torn, each fault names a line of it and each row is whole."""
    text = head + "".join(scraps)
    try:
        found = read_list(text.encode(encoding))
    except RefusedError:
        return
    lines = text.replace("\r\n", "\n").count("\n") + 1

    for fault in found.faults:
        assert 1 <= fault.line <= lines
        assert fault.reason
    for row in found.rows:
        sizes = (row.length_um, row.width_um, row.thickness_um, *row.masses_mg)
        assert row.quantity >= 1
        assert all(size > 0 for size in sizes if size is not None)
