"""Below the header, rows are told from totals, headings and remarks."""

import pytest

from ledger.acts.packing.body import kind_of, walked
from ledger.acts.packing.columns import Sheet, sheet_of
from ledger.acts.packing.text import Record

HEADER = "No.,Wood,Sets,Length mm,Remarks\n"


def sheet(body: str) -> Sheet:
    """Return a list with a header above this body."""
    return sheet_of(HEADER + body, columns={}, units={})


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("", "empty"),
        (",,,,", "empty"),
        ("7,spruce,12,559,", "row"),
        ("No.,Wood,Sets,Length mm,Remarks", "header"),
        (",,,mm,", "header"),
        ("Summe,,24,,", "total"),
        (",Total,24,,", "total"),
        (",,Total: 24 sets,,", "total"),
        (",,24,,", "total"),
        ("Sub-total,,24,,", "subtotal"),
        ("Übertrag,,24,,", "carried"),
        ("7,spruce,12,559,Total", "row"),
        ("Rosewood backs:,,,,", "remark"),
        ("7,spruce,,,dark", "loose"),
        ("Totara 7,totara,12,559,", "row"),
        ("Report 7,spruce,12,559,", "row"),
    ],
)
def test_each_line_is_what_it_is(line: str, kind: str) -> None:
    """By its words, or by what it leaves out."""
    record = Record(line=5, last_line=5, cells=tuple(line.split(",")))

    assert kind_of(record, sheet("1,x,1,559,\n"), rows=2) == kind


def test_words_without_a_number_are_a_fault_between_rows_and_a_remark_below() -> None:
    """A row whose numbers were forgotten is not lost in silence."""
    walk = walked(sheet("1,a,1,559,\n2,b,,,\n3,c,1,559,\nSigned,by R.,,,\n"), {})

    assert [fault.line for fault in walk.faults] == [3]
    assert walk.notes == ["line 5: 'Signed by R.' is a remark: not read"]
    assert [reading.line for reading in walk.readings] == [2, 4]


def test_subtotals_and_a_total_are_each_checked() -> None:
    """The second subtotal counts from the first."""
    pages = "1,a,2,559,\nSubtotal,,2,,\n2,b,3,559,\nSubtotal,,{},,\nTotal,,5,,\n"

    assert walked(sheet(pages.format(3)), {}).faults == []
    assert [f.line for f in walked(sheet(pages.format(5)), {}).faults] == [5]


def test_more_cells_than_headers_are_a_fault() -> None:
    """An empty cell too many is none."""
    walk = walked(sheet("1,a,2,559,,\n2,b,3,559,x,5\n"), {})

    assert [fault.line for fault in walk.faults] == [3]
    assert "6 cells of 5 that the header names" in walk.faults[0].reason
