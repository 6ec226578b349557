"""The moments of a log, as loggers write them, in seconds.

A moment is read as the wall clock shows it, counted from 1970 as if it were universal
time; where the log tells how far the clock is from universal time, that is kept too.
Days and months in figures are ordered by what the whole log allows, never by the place
where this runs.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise

from ledger.acts.packing.words import plain
from ledger.errors import RefusedError
from ledger.scales import shown

DAY = 86_400
EPOCH = date(1970, 1, 1).toordinal()
FIRST_YEAR, LAST_YEAR = 1990, 2100
ORDERS = ("day-first", "month-first")
# A day written in another order makes steps so many times as long.
CLEARER = 3

_CLOCK = re.compile(
    r"(?<!\d)(\d{1,2})[:h](\d{2})(?::(\d{2}))?(?:[.,]\d+)?"
    r"\s*(?:([ap])\.?\s?m\.?)?\s*(Z|UTC|GMT)?([+-]\d{2}:?\d{2})?\s*\Z",
    re.IGNORECASE,
)
_FIGURES = re.compile(r"(\d{1,4})\s*([-/.])\s*(\d{1,2})\s*[-/.]\s*(\d{1,4})\.?")
_WITH_NAME = re.compile(r"(\d{1,2})[ .-]*([^\W\d]+)[ .,-]*(\d{2,4})")
_NAME_FIRST = re.compile(r"([^\W\d]+)[ .]*(\d{1,2})[ ,]+(\d{4})")
_EPOCH = re.compile(r"(\d{10})(?:\d{3}|[.]\d+)?")
_MONTHS = (
    "jan gen ene",
    "feb fev fevr",
    "mar mrz marz mars maerz maart",
    "apr avr abr avril",
    "may mai mag mayo mei",
    "jun giu juin",
    "jul lug juil",
    "aug aou ago aout",
    "sep set sept",
    "oct okt ott out",
    "nov",
    "dec dez dic",
)
MONTHS = {
    name: number
    for number, names in enumerate(_MONTHS, start=1)
    for name in names.split()
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """What a cell tells: a day as written, the seconds into it, and the offset."""

    day: str
    seconds: int
    offset_seconds: int | None


def clock_of(text: str) -> Clock | None:
    """Return what a cell of a date and a time tells, or None where it tells nothing."""
    bare = text.strip()
    if since := _EPOCH.fullmatch(bare):
        days, seconds = divmod(int(since[1]), DAY)
        day = date.fromordinal(EPOCH + days).isoformat()
        return Clock(day=day, seconds=seconds, offset_seconds=0)
    found = _CLOCK.search(bare)
    if found is None:
        return Clock(day=bare, seconds=0, offset_seconds=None)
    told = _told(bare[found.start() :])
    if told is None:
        return None
    day = bare[: found.start()].rstrip(" T,;t")
    return Clock(day=day, seconds=told[0], offset_seconds=told[1])


@lru_cache(maxsize=100_000)
def _told(text: str) -> tuple[int, int | None] | None:
    """Return the seconds of a time of day, and its offset from universal time."""
    found = _CLOCK.match(text)
    if found is None:
        return None
    hour, minute, second = (int(found[n] or 0) for n in (1, 2, 3))
    if found[4]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found[4].casefold() == "p" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return None
    return (hour * 60 + minute) * 60 + second, _offset(found[5], found[6])


def _offset(universal: str | None, told: str | None) -> int | None:
    if told is None:
        return 0 if universal else None
    seconds = int(told[1:3]) * 3600 + int(told[-2:]) * 60
    return -seconds if told[0] == "-" else seconds


def days_of(texts: Iterable[str], *, order: str = "") -> dict[str, int]:
    """Return the number of each day as written, since 1970; what is no day is absent.

    texts  each day as written, in the order of the log
    order  "day-first" or "month-first", where the log leaves it open

    Raises RefusedError where both orders fit, or neither.
    """
    figures, days = [], {}
    for text in texts:
        found = _FIGURES.fullmatch(text)
        if found and len(found[1]) < 3:
            if any(_ordered(found, is_day_first=way) for way in (True, False)):
                figures.append((text, found))
        elif (day := _plain_day(text, found)) is not None:
            days[text] = day
    if figures:
        is_day_first = _is_day_first(figures, order)
        for text, found in figures:
            day = _ordered(found, is_day_first=is_day_first)
            if day is not None:
                days[text] = day
    return days


def _plain_day(text: str, found: re.Match[str] | None) -> int | None:
    """Return a day whose order nobody can mistake."""
    if found:
        return _day(int(found[1]), int(found[3]), int(found[4]))
    if named := _WITH_NAME.fullmatch(text):
        return _day(_year(named[3]), _month(named[2]), int(named[1]))
    if named := _NAME_FIRST.fullmatch(text):
        return _day(int(named[3]), _month(named[1]), int(named[2]))
    return None


def _month(name: str) -> int:
    bare = plain(name)
    return next((MONTHS[bare[:n]] for n in (4, 3) if bare[:n] in MONTHS), 0)


def _is_day_first(figures: list[tuple[str, re.Match[str]]], order: str) -> bool:
    """Tell which of two figures is the day."""
    if order:
        if order not in ORDERS:
            raise RefusedError(
                f"{shown(order)} is no order of dates: say {' or '.join(ORDERS)}"
            )
        return order == ORDERS[0]
    first = next((text for text, found in figures if int(found[1]) > 12), "")
    second = next((text for text, found in figures if int(found[3]) > 12), "")
    if first and second:
        raise RefusedError(
            f"{shown(first)} has the day first and {shown(second)} the month: the log "
            f"is two logs in one, take them apart"
        )
    if first or second:
        return bool(first)
    if all(found[2] == "." for _, found in figures):
        return True
    steps = [_steps(figures, is_day_first=way) for way in (True, False)]
    if min(steps) * CLEARER >= max(steps):
        raise RefusedError(
            f"{shown(figures[0][0])} can be read in two ways: say --dates day-first or "
            f"--dates month-first"
        )
    return steps[0] < steps[1]


def _steps(figures: list[tuple[str, re.Match[str]]], *, is_day_first: bool) -> int:
    """Return how far the days lie apart, one after the other."""
    days = [_ordered(found, is_day_first=is_day_first) or 0 for _, found in figures]
    return sum(abs(b - a) for a, b in pairwise(days))


def _ordered(found: re.Match[str], *, is_day_first: bool) -> int | None:
    day, month = (1, 3) if is_day_first else (3, 1)
    return _day(_year(found[4]), int(found[month]), int(found[day]))


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) <= 2 else 0)


def _day(year: int, month: int, day: int) -> int | None:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return None
    try:
        return date(year, month, day).toordinal() - EPOCH
    except ValueError:
        return None
