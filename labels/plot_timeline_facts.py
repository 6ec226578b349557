"""What a strip from the tree to the tune shows, in plain values."""

from dataclasses import dataclass
from datetime import date

from labels.page import thousands
from labels.plot_figure import ENGLISH, Heading
from labels.tongue import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """Wood of one lot in the instrument; days are YYYY-MM-DD.

    `used_on` are the days on which it went in, and what is not in yet has `is_open`.
    """

    lot: str
    parts: str
    species: str
    came_on: str
    used_on: tuple[str, ...]
    is_open: bool = False
    felled: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A step that somebody signed as done, and the day."""

    step: str
    day: str
    by_machine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Somebody who worked on the instrument: the name, the crafts, the steps by day."""

    name: str
    crafts: str
    works: tuple[Work, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """That the instrument was out of the shop before its certificate."""

    errand: str
    sent_on: str
    home_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """What a strip from the tree to the tune shows.

    `cut_on` is the day of the saw cut between the scales, and `until` the last day
    shown. `gates` are the steps at which somebody else had to say yes, with the day.
    """

    heading: Heading
    serial: str
    cut_on: str
    until: str
    racks: tuple[Rack, ...] = ()
    hands: tuple[Hand, ...] = ()
    gates: tuple[Work, ...] = ()
    trips: tuple[Trip, ...] = ()
    certified_on: str | None = None


def days_between(first: str, last: str) -> int:
    """Return how many days lie between two days."""
    return date.fromisoformat(last).toordinal() - date.fromisoformat(first).toordinal()


def months_between(first: str, last: str) -> int:
    """Return how many whole months lie between two days."""
    a, b = date.fromisoformat(first), date.fromisoformat(last)
    return (b.year - a.year) * 12 + b.month - a.month - (b.day < a.day)


def waited(rack: Rack, words: Tongue = ENGLISH) -> str:
    """Say how long wood waited until the last of it went in, or until now."""
    last = max(rack.used_on)
    months = months_between(rack.came_on, last)
    if months < 1:
        days = max(days_between(rack.came_on, last), 0)
        said = words.many(days, "{number} day", "{number} days")
        return said.format(number=thousands(days))
    said = words.many(months, "{number} month", "{number} months")
    return said.format(number=thousands(months))
