"""The rows of a log as moments and air, and what was left out of them and why."""

from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field

from ledger.acts.airlog.sheet import MOST_ROWS, Column, Sheet
from ledger.acts.airlog.times import DAY, clock_of, days_of
from ledger.acts.airlog.values import (
    humidity_of,
    is_absent,
    misread,
    temperature_of,
)
from ledger.acts.airlog.words import HUMIDITY, TEMPERATURE
from ledger.errors import RefusedError
from ledger.quantities import celsius
from ledger.scales import shown

COLDEST, WARMEST = 233_150, 358_150  # what a logger's sensor bears, -40 to 85 deg C
# Air that jumps so far in one step to what the other unit would give is of two units.
JUMP, ALIKE = 12_000, 4_000
LIVABLE = range(253_150, 333_151)
# More of a log than this may not be unreadable.
MOST_UNREADABLE = 0.1
NONE = -(2**62)


def whole_numbers() -> "array[int]":
    """Return an empty row of integers, as small as a machine holds them."""
    return array("q")


@dataclass(slots=True, kw_only=True)
class Rows:
    """What the rows of a log say, column by column, in the order of the file.

    `offset` is NONE where a row does not tell how far its clock is from universal time.
    """

    line: "array[int]" = field(default_factory=whole_numbers)
    wall: "array[int]" = field(default_factory=whole_numbers)
    offset: "array[int]" = field(default_factory=whole_numbers)
    millikelvin: "array[int]" = field(default_factory=whole_numbers)
    humidity_ppm: "array[int]" = field(default_factory=whole_numbers)

    def __len__(self) -> int:
        return len(self.line)

    def taken(self, order: list[int]) -> "Rows":
        """Return some of the rows, in this order."""
        return Rows(
            **{
                name: array("q", map(getattr(self, name).__getitem__, order))
                for name in self.__slots__
            }
        )


@dataclass(slots=True, kw_only=True)
class Left:
    """Rows that were left out: how many for each reason, and the first line of each."""

    rows: dict[str, list[int]] = field(default_factory=dict)

    def add(self, reason: str, line: int) -> None:
        """Count a row that is left out."""
        told = self.rows.setdefault(reason, [0, line])
        told[0] += 1

    def notes(self) -> list[str]:
        """Say what was left out, reason by reason."""
        return [
            f"{count} {'row' if count == 1 else 'rows'} {reason}, first line {line}: "
            f"left out"
            for reason, (count, line) in self.rows.items()
        ]


BLANK = "without a value of the sensor"
NO_TIME = "without a time that can be read"
NO_NUMBER = "with a value that is no number"
FAULTY = "beyond what a sensor bears"


def read_rows(sheet: Sheet, *, dates: str) -> tuple[Rows, Left]:
    """Read every row; what cannot be read is left out, and counted."""
    rows, left, days = _numbers(sheet)
    known = days_of(days, order=dates)
    texts = list(days)
    numbers = [known.get(text) for text in texts]
    kept = []
    for n, index in enumerate(rows.wall):
        day, seconds = divmod(index, DAY)
        number = numbers[day]
        if number is None:
            left.add(NO_TIME, rows.line[n])
        else:
            rows.wall[n] = number * DAY + seconds
            kept.append(n)
    rows = rows.taken(kept) if len(kept) < len(rows) else rows
    _require_mostly_readable(rows, left)
    return rows, left


def _numbers(sheet: Sheet) -> tuple[Rows, Left, dict[str, int]]:
    """Read times and values; a day as written is numbered in the order it appears."""
    rows, left, days = Rows(), Left(), dict[str, int]()
    warm, damp = sheet.columns[TEMPERATURE], sheet.columns[HUMIDITY]
    needed = max(column.index for column in sheet.columns.values()) + 1
    count = 0
    for line, cells in sheet.rows():
        if not any(cells):
            continue
        count += 1
        if count > MOST_ROWS:
            raise RefusedError(
                f"the log has more than {MOST_ROWS} rows: export a shorter time"
            )
        if len(cells) < needed:
            left.add("cut short", line)
            continue
        clock = clock_of(_moment(cells, sheet.columns))
        if clock is None:
            left.add(NO_TIME, line)
            continue
        # A row without a reading may still show which figure is the day.
        day = days.setdefault(clock.day, len(days))
        temperature = temperature_of(cells[warm.index], warm.unit)
        humidity = humidity_of(cells[damp.index])
        if temperature is None or humidity is None:
            _leave(left, line, (cells[warm.index], cells[damp.index]))
            continue
        if not (COLDEST <= temperature <= WARMEST and 0 <= humidity <= 1_000_000):
            left.add(FAULTY, line)
            continue
        rows.line.append(line)
        rows.wall.append(day * DAY + clock.seconds)
        rows.offset.append(
            NONE if clock.offset_seconds is None else clock.offset_seconds
        )
        rows.millikelvin.append(temperature)
        rows.humidity_ppm.append(humidity)
    return rows, left, days


def _moment(cells: list[str], columns: Mapping[str, Column]) -> str:
    """Return date and time as one text, wherever they stand."""
    if "moment" in columns:
        return cells[columns["moment"].index]
    parts = [cells[columns[name].index] for name in ("date", "time") if name in columns]
    return " ".join(parts)


def _leave(left: Left, line: int, cells: tuple[str, ...]) -> None:
    is_blank = any(is_absent(cell) for cell in cells)
    left.add(BLANK if is_blank else NO_NUMBER, line)


def _require_mostly_readable(rows: Rows, left: Left) -> None:
    """Refuse a log of which much cannot be read: it was misunderstood."""
    for reason in (NO_TIME, NO_NUMBER, FAULTY):
        count, line = left.rows.get(reason, (0, 0))
        if count > MOST_UNREADABLE * (len(rows) + count):
            raise RefusedError(
                f"{count} of {len(rows) + count} rows are {reason}, first line {line}: "
                f"look whether the columns and their units are right"
            )
    if not len(rows):
        raise RefusedError("no row of the log holds a reading: look at the file")


def require_one_unit(rows: Rows, column: Column) -> None:
    """Refuse a log whose temperatures jump from Celsius to Fahrenheit or back.

    Rows must be in order of time.
    """
    last = rows.millikelvin[0]
    for n, here in enumerate(rows.millikelvin):
        if abs(here - last) > JUMP and abs(_other(here, column) - last) < ALIKE:
            raise _two_units(rows, n, last, column)
        last = here
    outside = sum(here not in LIVABLE for here in rows.millikelvin)
    if 2 * outside > len(rows):
        middle = sorted(rows.millikelvin)[len(rows) // 2]
        raise RefusedError(
            f"column {shown(column.header)}: most readings lie about "
            f"{celsius(middle)}, and no room does: see whether they are "
            f"°{_the_other(column)}, and say --unit temperature={_the_other(column)}"
        )


def _two_units(rows: Rows, first: int, last: int, column: Column) -> RefusedError:
    """Name the rows from the jump to the jump back."""
    end = first
    while end < len(rows) and abs(rows.millikelvin[end] - last) > JUMP // 2:
        end += 1
    lines = rows.line[first : end or None]
    span = (
        f"line {lines[0]}" if len(lines) == 1 else f"lines {min(lines)} to {max(lines)}"
    )
    here = rows.millikelvin[first]
    meant = celsius(_other(here, column), places=1)
    return RefusedError(
        f"column {shown(column.header)}: {span} jump from {celsius(last, places=1)} to "
        f"{celsius(here, places=1)}, which is {meant} "
        f"if they are °{_the_other(column)}: write one unit in the whole log"
    )


def _other(millikelvin: int, column: Column) -> int:
    return misread(millikelvin, unit=column.unit)


def _the_other(column: Column) -> str:
    return "C" if column.unit == "F" else "F"
