"""Tests of headers: what each says, in several languages, and what says nothing."""

import pytest

from ledger.acts.airlog.words import meaning_of, unit_of


@pytest.mark.parametrize(
    ("header", "meaning"),
    [
        *(("Date Time, GMT-05:00", "moment"), ("Zeitstempel", "moment")),
        *(("Datum/Uhrzeit", "moment"), ("Horodatage", "moment"), ("Fecha", "date")),
        *(("Uhrzeit", "time"), ("Ora", "time"), ("Time", "time")),
        *(("Temp, °C (LGR S/N: 1)", "temperature"), ("°F", "temperature")),
        *(("Température [°C]", "temperature"), ("T1", "temperature")),
        *(("rel. Luftfeuchte [%]", "humidity"), ("%RH", "humidity")),
        *(("Humidité (%HR)", "humidity"), ("Umidità relativa", "humidity")),
        *(("Dew Point (°C)", ""), ("Taupunkt °C", ""), ("Temp max", "")),
        *(("", ""), ("Battery", ""), ("Absolute Humidity", "")),
    ],
)
def test_a_header_says_what_its_column_holds(header: str, meaning: str) -> None:
    """Dew points and extremes are not the air's temperature."""
    assert meaning_of(header) == meaning


@pytest.mark.parametrize(
    ("header", "unit"),
    [
        *(("Temp (°C)", "C"), ("temp_f", "F"), ("Temperature_Celsius", "C")),
        *(("℉", "F"), ("Temp", ""), ("°C or °F", ""), ("Temp, degF", "F")),
    ],
)
def test_a_unit_is_told_once_or_not_at_all(header: str, unit: str) -> None:
    """A header that names both tells neither."""
    assert unit_of(header) == unit
