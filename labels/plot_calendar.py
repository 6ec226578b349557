"""A calendar in two scales, sawn through: months before a day, weeks after it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from labels.page import HAIR, measure
from labels.plot_axes import MAJOR, MINOR
from labels.plot_figure import NUMBER, Figure, line, say
from labels.tongue import Tongue, term

KERF = 1.3  # left free on either side of the cut [mm]
LEAST_TICKS = 0.7  # between small ticks [mm]
LEAST_MONTH = 8.4  # a month with its name [mm]
YEARS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
# Month names stand on the axes of plots only.
MONTHS = (
    term("Jan"), term("Feb"), term("Mar"), term("Apr"), term("May"), term("Jun"),
    term("Jul"), term("Aug"), term("Sep"), term("Oct"), term("Nov"), term("Dec"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Days by number, and where they lie on the paper [mm].

    From `first` to `cut` they lie between `left` and the kerf at `middle`, from `cut`
    to `last` between the kerf and `right`.
    """

    first: int
    cut: int
    last: int
    left: float
    middle: float
    right: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One of the two scales."""

    first: int
    last: int
    start: float
    end: float

    def at(self, day: int) -> float:
        share = (day - self.first) / (self.last - self.first)
        return self.start + share * (self.end - self.start)

    @property
    def day_wide(self) -> float:
        return (self.end - self.start) / (self.last - self.first)


def _sides(calendar: Calendar) -> tuple[_Side, _Side]:
    before = _Side(
        first=calendar.first,
        last=calendar.cut,
        start=calendar.left,
        end=calendar.middle - KERF,
    )
    after = _Side(
        first=calendar.cut,
        last=calendar.last,
        start=calendar.middle + KERF,
        end=calendar.right,
    )
    return before, after


def place_day(calendar: Calendar, day: int) -> float:
    """Return where a day begins on the paper [mm], none outside the calendar."""
    before, after = _sides(calendar)
    side = before if day < calendar.cut else after
    return side.at(min(max(day, calendar.first), calendar.last))


def place_date(calendar: Calendar, day: str) -> float:
    """Return where a day written as YYYY-MM-DD begins on the paper [mm]."""
    return place_day(calendar, date.fromisoformat(day).toordinal())


def firsts(first: int, last: int, months: int) -> Iterator[date]:
    """Yield the first days of every so many months between two days, in order.

    Of twelve months and more they are the Januaries of years that these divide.
    """
    day = date.fromordinal(first)
    number = day.year * 12 + day.month - 1
    number = -(-number // months) * months
    while True:
        if number // 12 > date.max.year:
            return
        found = date(number // 12, number % 12 + 1, 1)
        if found.toordinal() > last:
            return
        if found.toordinal() >= first:
            yield found
        number += months


def step_for(day_wide: float) -> int:
    """Return of how many months a name has room where a day is so wide [mm]."""
    if day_wide * 28 >= LEAST_MONTH:
        return 1
    widest = measure("2026", NUMBER) + 2.4
    return 12 * next((n for n in YEARS if n * 365 * day_wide >= widest), YEARS[-1])


def _name(
    first: date, months: int, words: Tongue, *, is_first: bool
) -> tuple[str, ...]:
    """Return the name of a span, and before it a longer one for where there is room."""
    if months > 1:
        return (str(first.year),)
    name = words(MONTHS[first.month - 1])
    if is_first or first.month == 1:
        return f"{name} {first.year}", name
    return (name,)


def _spans(side: _Side, months: int) -> list[tuple[date, int, int]]:
    """Return what has a name, and from which day to which it lies on a scale."""
    begun = list(firsts(side.first, side.last, months))
    if months <= 12:
        # What began before the scale does is named where its rest has room.
        begun = list(dict.fromkeys([_begin_of(side.first, months), *begun]))
    ends = [*(each.toordinal() for each in begun[1:]), side.last]
    return [
        (each, max(each.toordinal(), side.first), end)
        for each, end in zip(begun, ends, strict=False)
    ]


def _begin_of(day: int, months: int) -> date:
    opening = date.fromordinal(day)
    return date(opening.year, opening.month if months == 1 else 1, 1)


def _names(figure: Figure, side: _Side, level: float, top: float) -> None:
    """Name months or years in the middle of what they span, more years at a tick."""
    months = step_for(side.day_wide)
    for each in firsts(side.first, side.last, months):
        x = side.at(each.toordinal())
        line(figure, [(x, level), (x, level + MAJOR)], 0.5)
        if side.start + 0.3 < x < side.end - 0.3:
            line(figure, [(x, top), (x, level)], 0.22, colour=HAIR)
    is_first = True
    for each, begin, end in _spans(side, months):
        free = side.at(end) - side.at(begin) - 1.2
        names = _name(each, months, figure.words, is_first=is_first)
        words = next((name for name in names if measure(name, NUMBER) <= free), None)
        if words is None:
            continue
        middle = (side.at(begin) + side.at(end)) / 2 if months <= 12 else side.at(begin)
        middle = max(middle, side.start + measure(words, NUMBER) / 2)
        say(figure, (middle, level + 4.7), words, NUMBER, align="centre")
        is_first = False


def _small_ticks(figure: Figure, side: _Side, level: float, days: list[int]) -> None:
    for day in days:
        x = side.at(day)
        line(figure, [(x, level), (x, level + MINOR)], 0.4)


def lay_days(figure: Figure, calendar: Calendar, top: float, level: float) -> None:
    """Draw both scales at a level: months up to the cut, weeks from it on."""
    before, after = _sides(calendar)
    for side in (before, after):
        line(figure, [(side.start, level), (side.end, level)], 0.5)
        _names(figure, side, level, top)
    if before.day_wide * 28 >= LEAST_TICKS:
        months = firsts(before.first, before.last, 1)
        _small_ticks(figure, before, level, [each.toordinal() for each in months])
    if after.day_wide * 7 >= LEAST_TICKS:
        weeks = list(range(after.first, after.last + 1, 7))
        _small_ticks(figure, after, level, weeks)
