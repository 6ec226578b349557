"""One row is read whole, or every fault in it is named."""

import pytest

from ledger.acts.packing.columns import read_header
from ledger.acts.packing.rows import ListedRow, Reading, read_row
from ledger.acts.packing.text import Record


def reading(header: list[str], cells: list[str]) -> Reading:
    """Read one row under a header."""
    record = Record(line=9, last_line=9, cells=tuple(cells))
    return read_row(record, read_header(header, {}), {})


def row(header: list[str], cells: list[str]) -> ListedRow:
    """Read one row that has no fault."""
    read = reading(header, cells)

    assert read.row is not None, read.faults
    return read.row


def why(header: list[str], cells: list[str]) -> str:
    """Return the only fault of a row."""
    (fault,) = reading(header, cells).faults

    assert fault.line == 9
    return fault.reason


def test_every_fault_of_a_row_is_named() -> None:
    """Whoever corrects a list wants to do it once."""
    read = reading(["No.", "Sets", "Length mm", "Weight g"], ["7", "0", "-5", "much"])

    assert read.row is None
    assert [fault.reason.partition(":")[0] for fault in read.faults] == [
        "column 'Sets'",
        "column 'Length mm'",
        "column 'Weight g'",
    ]


@pytest.mark.parametrize(
    ("header", "cell", "species", "trade_name"),
    [
        (
            "Wood",
            "Bigleaf maple (Acer macrophyllum)",
            "Acer macrophyllum",
            "Bigleaf maple",
        ),
        ("Species", "Picea abies (Norway spruce)", "Picea abies", "Norway spruce"),
        ("Species", "Swietenia macrophylla", "Swietenia macrophylla", None),
        ("Species", "Bigleaf maple", None, "Bigleaf maple"),
        ("Botanical name", "Chloroxylon swietenia", "Chloroxylon swietenia", None),
    ],
)
def test_a_scientific_name_is_told_from_a_trade_name(
    header: str, cell: str, species: str | None, trade_name: str | None
) -> None:
    """By its genus, or because the header says so."""
    read = row(["No.", "Qty", header], ["7", "1", cell])

    assert (read.species, read.trade_name) == (species, trade_name)


def test_what_is_counted_is_told_by_cell_then_unit_then_header() -> None:
    """The nearest word wins."""
    header = ["No.", "Qty (sets)", "Unit"]

    assert row(header, ["7", "4 halves", "pcs"]).per == "half"
    assert row(header, ["7", "4", "pcs"]).per == "board"
    assert row(header, ["7", "4", ""]).per == "set"
    assert "'m²' is nothing that is counted" in why(header, ["7", "4", "m²"])


def test_a_column_of_units_may_tell_the_unit_of_sizes() -> None:
    """It is that of the row."""
    read = row(["No.", "Qty", "Unit", "Length"], ["7", "1", "in", "22"])

    assert read.length_um == 558_800


def test_an_empty_number_is_asked_for() -> None:
    """Where there is a column for it; else each row is one."""
    assert "the cell is empty" in why(["No.", "Sets", "Length mm"], ["7", "", "559"])
    assert row(["No.", "Length mm"], ["7", "559"]).quantity == 1


def test_a_row_that_points_at_the_one_above_is_to_be_written_out() -> None:
    """A ditto mark would be lost when rows are sorted."""
    fault = why(["No.", "Qty", "Wood"], ["7", "1", "dto."])

    assert "column 'Wood': 'dto.' stands for the row above" in fault


def test_sizes_that_disagree_within_a_row_are_a_fault() -> None:
    """The same thickness twice is fine."""
    header = ["No.", "Size (mm)", "Thickness mm"]

    assert row(header, ["7", "559 x 203 x 4", "4"]).thickness_um == 4_000
    assert "the thickness is 4000 µm in one cell and 5000" in why(
        header, ["7", "559 x 203 x 4", "5"]
    )


def test_half_a_pair_of_masses_is_a_fault() -> None:
    """Either both halves were weighed, or neither is told."""
    header = ["No.", "Half A (g)", "Half B (g)"]

    assert row(header, ["7", "212", "204"]).masses_mg == (212_000, 204_000)
    assert "one half of the set has no mass" in why(header, ["7", "212", ""])


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("x" * 61, "it has 61 characters, of at most 60; shorten it"),
        ("spruce\u202e", "cannot be written down"),
        ("spruce\u0378", "U+0378 is no assigned character"),
    ],
)
def test_words_that_the_log_would_refuse_are_a_fault_here(cell: str, said: str) -> None:
    """They are told before the first board is numbered."""
    assert said in why(["No.", "Qty", "Wood"], ["7", "1", cell])


def test_words_are_kept_in_one_form_and_countries_in_capitals() -> None:
    """An accent typed apart is put together."""
    read = row(
        ["No.", "Qty", "Wood", "Country"], ["7", "1", "E\u0301pice\u0301a", "no"]
    )

    assert (read.trade_name, read.harvested_in) == ("Épicéa", "NO")


@pytest.mark.parametrize(
    ("header", "volume", "fits"),
    [
        ("Bd Ft", "0.2", True),
        ("Bd Ft", "0.4", True),
        ("Bd Ft", "1.2", True),
        ("Bd Ft total", "1.21", True),
        ("Bd Ft total", "0.40", False),
        ("Bd Ft per set", "0.40", True),
        ("Bd Ft per set", "1.21", False),
        ("Bd Ft per half", "0.20", True),
        ("Bd Ft per half", "0.40", False),
    ],
)
def test_a_volume_is_compared_with_what_its_header_speaks_of(
    header: str, volume: str, fits: bool
) -> None:
    """Three sets of 0.20 board feet a half: of a half, of a set, or of them all."""
    names = ["No.", "Sets", "Size (mm)", header]
    read = reading(names, ["7", "3", "559 x 203 x 4.2", volume])

    assert (read.faults == ()) is fits


def test_moisture_without_its_sign_is_percent() -> None:
    """It is never told in anything else."""
    assert row(["No.", "Qty", "Moisture"], ["7", "1", "8.2"]).moisture_ppm == 82_000
    assert row(["No.", "Qty", "Moisture"], ["7", "1", "-"]).moisture_ppm is None


def test_the_cells_of_measure_are_kept_as_written() -> None:
    """In the order of the list, and no others."""
    header = ["Weight kg", "No.", "Length", "Qty"]

    assert (
        row(header, ["0,412", "7", '22 1/2"', "1"]).as_written
        == 'Weight kg: 0,412; Length: 22 1/2"'
    )


@pytest.mark.parametrize(
    ("use", "said"),
    [
        ("x" * 61, "it has 61 characters, of at most 60; shorten it, or leave"),
        ("琴" * 31, "it has 62 characters, a wide one counted twice, of at most 60"),
    ],
)
def test_a_use_that_is_too_long_is_told_the_way_out(use: str, said: str) -> None:
    """The list need not be typed again."""
    told = why(["No.", "Qty", "Use"], ["7", "1", use])

    assert said in told
    assert "--column meant_for= and say one use for the whole list with --for" in told
    assert row(["No.", "Qty", "Use"], ["7", "1", use[:30]]).meant_for == use[:30]
