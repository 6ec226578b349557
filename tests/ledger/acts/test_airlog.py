"""Tests of a logger's file: as programs write it, and as they should not."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.airlog import AirLog, read_airlog, trailing_emc
from ledger.acts.rooms import emc_ppm
from ledger.errors import RefusedError

START = datetime(2026, 3, 1)  # noqa: DTZ001 - a logger's clock has no zone


def hourly(count: int, *, header: str = "time,temp_c,rh", each: str = "20.0,45") -> str:
    """Return a log of so many hours."""
    lines = [
        f"{START + timedelta(hours=n):%Y-%m-%d %H:%M},{each}" for n in range(count)
    ]
    return "\n".join([header, *lines, ""])


def read(text: str, **said: str) -> AirLog:
    """Read a log that is text."""
    units = {"temperature": said["unit"]} if "unit" in said else {}
    return read_airlog(text.encode(), units=units, dates=said.get("dates", ""))


LOGS = [
    "Time;Temp (°C);RH %\n1.3.2026 08:00;20,1;44\n1.3.2026 09:00;20,3;45\n",
    "Datum\tUhrzeit\tTemperatur [°C]\trel. Luftfeuchte [%]\tTaupunkt [°C]\n"
    "01.03.2026\t08:00:00\t20,1\t44,0\t7,4\n01.03.2026\t09:00:00\t20,3\t45,0\t8\n",
    'Logger of a shop\n\n"Date Heure","Température (°C)","Humidité (%)"\n'
    '"01/03/2026 08:00","20,1","44"\n"02/03/2026 09:00","",""\n'
    '"13/03/2026 09:00","--","--"\n"01/03/2026 09:00","20,3","45"\n',
    "Fecha;Hora;Temperatura;Humedad\n;;°C;%\n01.03.2026;08:00;20,1;44\n"
    "01.03.2026;09:00;20,3;45\n",
    "#,Date/Time,Temp_F,Temp_C,RH\n1,03/01/26 08:00:00 AM,68.2,20.1,44.0%\n"
    "2,03/01/26 09:00:00 AM,68.5,20.3,45.0%\n3,03/31/26 12:00:00 AM,,,\n",
    "timestamp,temperature_celsius,humidity,dew_point\n"
    "2026-03-01T08:00:00+01:00,20.1,44,7\n2026-03-01T09:00:00+01:00,20.3,45,8\n",
    "Data;Ora;Temperatura (°C);Umidità relativa (%)\n1 mar 2026;8:00;20,1;44\n"
    "1 mar 2026;9:00;20,3;45\n",
]


@pytest.mark.parametrize("text", LOGS)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_what_programs_write_is_read(text: str, encoding: str) -> None:
    """Seven programs in five languages and four encodings tell the same two hours."""
    found = read_airlog(text.encode(encoding))
    (day,) = found.days

    assert (found.readings, found.first) == (2, "2026-03-01 08:00")
    assert (day.day, day.readings) == ("2026-03-01", 2)
    assert day.temperature_millikelvin == 293_350
    assert day.least_temperature_millikelvin == 293_250
    assert day.most_temperature_millikelvin == 293_450
    assert day.humidity_ppm == 445_000
    assert (day.least_humidity_ppm, day.most_humidity_ppm) == (440_000, 450_000)
    assert day.longest_gap_seconds == 3600


def test_fahrenheit_is_the_same_air() -> None:
    """68 °F are 20 °C exactly, in the header or in the cell."""
    header = read(hourly(2, header="time,temp °F,rh", each="68,45"))
    cell = read(hourly(2, header="time,temp °C,rh", each="68 °F,45 %RH"))
    plain = read(hourly(2, header="time,temp,rh", each="68,45"), unit="F")

    assert header.days[0].temperature_millikelvin == 293_150
    assert header.days == cell.days == plain.days


def test_a_room_gives_the_moisture_that_its_one_reading_gives() -> None:
    """Steady air of a month is that of a single reading, over any span."""
    log = read(hourly(31 * 24))
    single = emc_ppm(temperature_millikelvin=293_150, humidity_ppm=450_000)

    assert {day.emc_ppm for day in log.days} == {single}
    assert trailing_emc(log, span_seconds=30 * 86_400).emc_ppm == single
    assert trailing_emc(log, span_seconds=30 * 86_400).covered_ppm == 1_000_000


def test_what_is_left_out_is_told_with_its_first_line() -> None:
    """Blank sensors, cut rows, impossible air, no time, the same again, another."""
    text = hourly(24) + (
        "2026-03-02 00:00,--,--\n2026-03-02 01:00,ERR,45\n2026-03-02 02:00,20\n"
        "2026-03-02 03:00,850,45\n99.99.9999,20,45\n2026-03-01 23:00,20.0,45\n"
        "2026-03-01 22:00,21.0,45\n\n"
    )
    found = read(text)

    assert found.readings == 24
    assert found.notes[1:] == (
        "2 rows without a value of the sensor, first line 26: left out",
        "1 row cut short, first line 28: left out",
        "1 row beyond what a sensor bears, first line 29: left out",
        "1 row without a time that can be read, first line 30: left out",
        "the clock steps back at line 32: the rows are put in order of time",
        "line 31: the same reading again, left out",
        "line 32: another reading for the same moment; the first is kept",
    )


def test_a_gap_is_told_and_counts_for_nothing() -> None:
    """Three days without readings do not become three days of air."""
    lines = hourly(8 * 24).splitlines()
    found = read("\n".join([*lines[:49], *lines[121:]]))

    assert [day.day[-2:] for day in found.days] == ["01", "02", "06", "07", "08"]
    assert found.notes[-1] == "1 gap, the longest of 3\u2009days before line 50"
    assert found.days[1].longest_gap_seconds == 73 * 3600


def test_the_hour_of_autumn_is_there_twice() -> None:
    """A wall clock that goes back an hour loses no reading and mixes none."""
    hours = ["00:00", "01:00", "02:00", "02:00", "03:00", "04:00"]
    minutes = [f"2026-10-25 {h[:2]}:{m}" for h in hours for m in ("00", "30")]
    body = [f"{moment},{20 + n / 10},45" for n, moment in enumerate(minutes)]
    found = read("\n".join(["time,temp_c,rh", *body]))

    assert (found.readings, len(found.days)) == (12, 1)
    assert "line 8: the clock was set back an hour" in found.notes[1]
    assert found.days[0].longest_gap_seconds == 1800


def test_the_same_autumn_is_plain_where_the_offset_is_told() -> None:
    """Universal time has no such hour."""
    rows = [
        f"2026-10-25T{hour:02}:30:00{offset},20,45"
        for hour, offset in ((1, "+02:00"), (2, "+02:00"), (2, "+01:00"), (3, "+01:00"))
    ]
    found = read("\n".join(["time,temp_c,rh", *rows]))

    assert found.readings == 4
    assert len(found.notes) == 1
    assert found.days[0].longest_gap_seconds == 3600


def test_a_log_with_the_newest_row_first_is_read_from_its_end() -> None:
    """The same log upside down tells the same days."""
    head, *rows = hourly(50).splitlines()
    found = read("\n".join([head, *reversed(rows)]))

    assert found.days == read(hourly(50)).days
    assert "the newest row stands first: read from the end" in found.notes


def test_celsius_mixed_with_fahrenheit_is_refused_and_the_rows_named() -> None:
    """A logger that somebody switched over for some hours."""
    lines = hourly(48).splitlines()
    mixed = [
        line.replace("20.0", "68.1") if 10 <= n < 20 else line
        for n, line in enumerate(lines)
    ]

    with pytest.raises(
        RefusedError, match=r"lines 11 to 20 jump from 20\.0.°C to 68\.1"
    ):
        read("\n".join(mixed))
    with pytest.raises(RefusedError, match=r"line 11 jump from"):
        read("\n".join([*lines[:10], mixed[10], *lines[11:]]))


def test_weather_is_no_change_of_unit() -> None:
    """A cold night with an open door is a jump, and not that of a unit."""
    lines = hourly(48).splitlines()
    cold = [
        line.replace("20.0", "4.5") if n > 30 else line for n, line in enumerate(lines)
    ]

    assert read("\n".join(cold)).readings == 48


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "the log is empty"),
        ("a,b\n1,2\n", "no line names a time, a temperature and a humidity"),
        ("time,temp_c,rh\n", "no row of the log holds a reading"),
        ("time,temp,rh\n2026-03-01 08:00,20,45\n", "does not say °C or °F"),
        ("time,T1 °C,T2 °C,rh\n2026-03-01 08:00,20,21,45\n", "'T1 °C' and 'T2 °C'"),
        ("time,temp_c,rh\n2026-03-01 08:00,20,0.45\n", "shares of one"),
        ("time,temp_c,rh\nx,20,45\n", "without a time that can be read"),
        ("time,temp_c,rh\n2026-03-01 08:00,warm,45\n", "a value that is no number"),
        ("time,temp_c,rh\n03/04/2026 08:00,20,45\n", "--dates day-first"),
        ("time,temp_c,rh\n13/04/2026,20,45\n04/13/2026,20,45\n", "two logs in one"),
        (hourly(9, each="70.5,45"), "most readings lie about 70.5"),
        (
            "time,temp_c,rh\n2026-03-01 08:00Z,20,45\n2026-03-01 09:00,20,45\n",
            "1 of 2 rows tell how far their clock",
        ),
    ],
)
def test_what_could_be_read_in_two_ways_or_none_is_refused(text: str, why: str) -> None:
    """Each sentence says what is wrong, and what settles it."""
    with pytest.raises(RefusedError, match=why):
        read(text)


def test_a_column_can_be_named_where_a_log_has_several() -> None:
    """The reader says which sensor hangs in the crib."""
    text = "time,T1 °C,T2 °C,rh\n2026-03-01 08:00,20,21,45\n2026-03-01 09:00,20,21,45\n"
    found = read_airlog(text.encode(), columns={"temperature": "T2 °C"})

    assert found.days[0].temperature_millikelvin == 294_150


@given(st.binary(max_size=400))
def test_rubbish_gets_a_sentence_and_no_trace(data: bytes) -> None:
    """Any bytes at all are read or refused."""
    for front in (b"", b"time;temp_c;rh\n", b"\xff\xfe"):
        try:
            found = read_airlog(front + data)
        except RefusedError as refusal:
            assert str(refusal)
        else:
            assert found.readings


@given(st.lists(st.text('0123456789:/.-, ;TZ+apm\t"\n', max_size=30), max_size=12))
def test_rows_of_nearly_times_get_a_sentence_and_no_trace(rows: list[str]) -> None:
    """Rows that look like moments and numbers are read or refused."""
    try:
        found = read("\n".join(["time;temp_c;rh", "2026-03-01 08:00;20;45", *rows]))
    except RefusedError as refusal:
        assert str(refusal)
    else:
        assert found.readings
