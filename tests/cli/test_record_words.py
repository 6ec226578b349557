"""Pages speak the trade's words, and a number on one has its unit."""

import pytest
from sqlmodel import SQLModel

from cli.record_words import (
    COLUMNS,
    HEADINGS,
    LEFT_TO_THE_TABLES,
    column_words,
    measured,
    printed,
)
from ledger.quantities import THIN_SPACE, is_unit_named
from ledger.views import fold

OF_INSTRUMENTS = [view for view in fold.TABLES if "serial" in view.model_fields]
ALL_COLUMNS = {
    column.name
    for view in OF_INSTRUMENTS
    for column in SQLModel.metadata.tables[str(view.__tablename__)].columns
}


def test_whatever_is_told_of_an_instrument_has_a_heading() -> None:
    """And no heading is of a table that is gone."""
    assert set(HEADINGS) == {str(view.__tablename__) for view in OF_INSTRUMENTS}
    assert len(set(HEADINGS.values())) == len(HEADINGS)


def test_no_column_shows_its_raw_name() -> None:
    """Nor does the list keep words for a column that is gone."""
    shown = {name: column_words(name) for name in ALL_COLUMNS}

    assert not [words for words in shown.values() if "_" in words or "idx" in words]
    assert set(COLUMNS) | LEFT_TO_THE_TABLES <= ALL_COLUMNS
    assert shown["width_um"] == "width" and shown["issued_on"] == "issued"
    assert shown["allotted_idx"] == "allotted in entry"


def test_every_number_with_a_unit_is_shown_with_it() -> None:
    """Whatever unit a column of an instrument has."""
    units = {name for name in ALL_COLUMNS if is_unit_named(name) and "_" in name}

    assert {"width_um", "mass_mg", "low_millihertz", "moisture_ppm"} <= units
    assert all(THIN_SPACE in str(printed(name, 123_456)) for name in units)


@pytest.mark.parametrize(
    ("column", "value", "shown"),
    [
        ("width_um", 203_200, "203.2 mm"),
        ("mass_mg", 1_986_000, "1986 g"),
        ("moisture_ppm", 78_000, "7.8 %"),
        ("at", "2026-07-16T09:17:00Z", "2026-07-16 09:17 UTC"),
        ("issued_on", "2026-11-21", "2026-11-21"),
        ("idx", 914, 914),
        ("is_offcut", True, True),
        ("mark", None, None),
    ],
)
def test_a_value_is_written_as_the_bench_does(
    column: str, value: object, shown: object
) -> None:
    """And one without a unit stays what it is."""
    found = printed(column, value)
    plain = found.replace(THIN_SPACE, " ") if isinstance(found, str) else found

    assert plain == shown


def test_a_measure_is_shown_in_its_unit() -> None:
    """Nothing measured is nothing, whatever the unit."""
    assert measured("length_um", 180) == f"0.18{THIN_SPACE}mm"
    assert measured("humidity_ppm", 450_000) == f"45{THIN_SPACE}%RH"
    assert measured(None, None) is None
