r"""The air of a room as a logger's file tells it, read into days.

Files come from many programs and in many languages. What a file leaves open is asked
about and never guessed; what is left out is told, with its first line.

    >>> log = read_airlog(
    ...     b"Time;Temp (\xb0C);RH %\n1.3.2026 08:00;20,1;44\n1.3.2026 09:00;20,3;45\n"
    ... )
    >>> [(day.day, day.readings, day.humidity_ppm) for day in log.days]
    [('2026-03-01', 2, 445000)]
"""

from array import array
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from types import MappingProxyType

from ledger.acts.airlog.order import gap_note, ordered
from ledger.acts.airlog.rows import Rows, read_rows, require_one_unit
from ledger.acts.airlog.sheet import Column, Sheet, sheet_of
from ledger.acts.airlog.times import DAY, EPOCH
from ledger.acts.airlog.words import TEMPERATURE
from ledger.acts.packing.text import DELIMITERS
from ledger.errors import RefusedError
from ledger.scales import shown
from ledger.wood.air import (
    AirSeries,
    DayOfAir,
    air_series,
    daily,
    longest_step,
    moistures,
    trailing_mean,
    usual_step,
)

__all__ = ["AirDay", "AirLog", "Trailing", "read_airlog", "trailing_emc"]

METHOD = "time-weighted readings, Wood Handbook equation 4-5"
NOTHING_SAID: Mapping[str, str] = MappingProxyType({})
ZERO = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class AirDay:
    """One day of a room's air by the wall clock: weighted means, and the extremes.

    Where no equation says what the air does to wood, `emc_ppm` is None.
    """

    day: str
    readings: int
    temperature_millikelvin: int
    least_temperature_millikelvin: int
    most_temperature_millikelvin: int
    humidity_ppm: int
    least_humidity_ppm: int
    most_humidity_ppm: int
    longest_gap_seconds: int
    emc_ppm: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLog:
    """A log as read: its days, and what was done and left out on the way.

    `first` and `last` are moments by the wall clock; `series` is for what is computed.
    """

    days: tuple[AirDay, ...]
    readings: int
    first: str
    last: str
    notes: tuple[str, ...]
    columns: tuple[tuple[str, str, str], ...]
    series: AirSeries


@dataclass(frozen=True, slots=True, kw_only=True)
class Trailing:
    """The moisture that the air of the last days gives, and how much was measured."""

    emc_ppm: int
    covered_ppm: int
    span_seconds: int


def read_airlog(
    data: bytes,
    *,
    columns: Mapping[str, str] = NOTHING_SAID,
    units: Mapping[str, str] = NOTHING_SAID,
    dates: str = "",
) -> AirLog:
    """Read a logger's file.

    columns  headers by what they say, such as {"temperature": "T2"}
    units    {"temperature": "C"} where the log tells none
    dates    "day-first" or "month-first", where the log leaves it open

    Raises RefusedError where the bytes are no log, or can be read in two ways.
    """
    sheet = sheet_of(data, columns=columns, units=units)
    _require_unit(sheet)
    rows, left = read_rows(sheet, dates=dates)
    rows, even, notes = ordered(rows)
    require_one_unit(rows, sheet.columns[TEMPERATURE])
    _require_percent(rows)
    series = air_series(
        seconds=even,
        day=array("q", (wall // DAY for wall in _days_in_order(rows))),
        temperature=[each / 1000 - ZERO for each in rows.millikelvin],
        humidity=[each / 1e6 for each in rows.humidity_ppm],
    )
    return AirLog(
        days=tuple(_day(each) for each in daily(series)),
        readings=len(rows),
        first=_moment(rows.wall[0]),
        last=_moment(rows.wall[-1]),
        notes=(
            *_notes_on_file(sheet),
            *left.notes(),
            *notes,
            *gap_note(
                even, rows, longest_step=longest_step(usual_step(series.seconds))
            ),
            *_note_on_frost(series),
        ),
        columns=tuple((c.header, m, c.unit) for m, c in sheet.columns.items()),
        series=series,
    )


def trailing_emc(log: AirLog, *, span_seconds: int) -> Trailing:
    """Return the moisture that the air gave over so long before the log's end."""
    found = trailing_mean(
        log.series, span=float(span_seconds), until=float(log.series.seconds[-1])
    )
    return Trailing(
        emc_ppm=round(found.moisture.value * 10_000),
        covered_ppm=round(found.covered * 1_000_000),
        span_seconds=span_seconds,
    )


def _require_unit(sheet: Sheet) -> None:
    """Ask for the unit of temperature where neither header nor first cell tells it."""
    column: Column = sheet.columns[TEMPERATURE]
    if column.unit:
        return
    raise RefusedError(
        f"column {shown(column.header)} does not say °C or °F: say --unit "
        f"temperature=C, or F"
    )


def _require_percent(rows: Rows) -> None:
    if max(rows.humidity_ppm) <= 10_000:
        raise RefusedError(
            "no humidity is above 1 %: the log writes shares of one, so export it in "
            "percent"
        )


def _days_in_order(rows: Rows) -> list[int]:
    """Return the wall clock, never falling, so that an hour set back keeps its day."""
    kept, last = [], rows.wall[0]
    for wall in rows.wall:
        last = max(last, wall)
        kept.append(last)
    return kept


def _day(found: DayOfAir) -> AirDay:
    return AirDay(
        day=date.fromordinal(EPOCH + found.day).isoformat(),
        readings=found.readings,
        temperature_millikelvin=_millikelvin(found.temperature),
        least_temperature_millikelvin=_millikelvin(found.coldest),
        most_temperature_millikelvin=_millikelvin(found.warmest),
        humidity_ppm=round(found.humidity * 1e6),
        least_humidity_ppm=round(found.driest * 1e6),
        most_humidity_ppm=round(found.dampest * 1e6),
        longest_gap_seconds=round(found.longest_gap),
        emc_ppm=None if found.moisture is None else round(found.moisture * 10_000),
    )


def _millikelvin(celsius: float) -> int:
    return round((celsius + ZERO) * 1000)


def _moment(wall: int) -> str:
    return datetime.fromtimestamp(wall, tz=UTC).strftime("%Y-%m-%d %H:%M")


def _notes_on_file(sheet: Sheet) -> list[str]:
    """Tell how the bytes were read."""
    read = ", ".join(
        f"{column.header}{f' in °{column.unit}' if column.unit else ''}"
        for column in sheet.columns.values()
    )
    return [
        f"the file is {sheet.encoding}, cells are separated by "
        f"{DELIMITERS[sheet.delimiter]}, read are {read}"
    ]


def _note_on_frost(series: AirSeries) -> list[str]:
    known = moistures(series)
    count = int((known != known).sum())
    if not count:
        return []
    return [
        f"{count} {'reading' if count == 1 else 'readings'} too cold, too warm or too "
        f"damp for the equation of wood at rest: not in its mean"
    ]
