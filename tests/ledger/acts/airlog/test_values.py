"""Tests of cells: degrees of both scales, percents, and sensors that gave nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.airlog.values import (
    humidity_of,
    is_absent,
    misread,
    temperature_of,
)


@pytest.mark.parametrize(
    ("cell", "unit", "millikelvin"),
    [
        ("20", "C", 293_150),
        ("20,5", "C", 293_650),
        ("-0.1", "C", 273_050),
        ("−0,1", "C", 273_050),
        ("68", "F", 293_150),
        ("68 °F", "C", 293_150),
        ("20.0°C", "F", 293_150),
        ("20 deg C", "F", 293_150),
        ("+20", "C", 293_150),
        ("1.234,5", "C", None),
        ("warm", "C", None),
        ("45 %", "C", None),
        ("", "C", None),
    ],
)
def test_a_temperature_is_read_exactly(
    cell: str, unit: str, millikelvin: int | None
) -> None:
    """Its own unit goes before the column's; NIST SP 811 for the scales."""
    assert temperature_of(cell, unit) == millikelvin


@pytest.mark.parametrize(
    ("cell", "ppm"),
    [("45", 450_000), ("45,25 %", 452_500), ("45 %RH", 450_000), ("20 °C", None)],
)
def test_a_humidity_is_read_in_percent(cell: str, ppm: int | None) -> None:
    """With its sign and without."""
    assert humidity_of(cell) == ppm


@pytest.mark.parametrize("cell", ["", "--", "---.-", "ERR", "NaN", " n/a ", "OL", "*"])
def test_a_sensor_that_gave_nothing_is_known(cell: str) -> None:
    """Dashes, stars and the words that loggers have for it."""
    assert is_absent(cell)
    assert not is_absent("20.1")


@given(st.integers(-200, 600))
def test_the_other_unit_is_taken_back(tenths: int) -> None:
    """A Fahrenheit figure in a Celsius column is found again, and the other way."""
    figure = f"{tenths / 10}"
    celsius, fahrenheit = temperature_of(figure, "C"), temperature_of(figure, "F")

    assert celsius is not None
    assert fahrenheit is not None
    assert misread(celsius, unit="C") == fahrenheit
    assert abs(misread(fahrenheit, unit="F") - celsius) <= 1
