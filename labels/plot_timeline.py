"""From the tree to the tune: wood that waited, hands that worked, and what they made.

Months run up to a saw cut and weeks from it on, for wood waits for years and is worked
in weeks. Wood in the crib is hatched as its species. A step is a mark on the day it was
signed, above the line of its hand, or below it where a machine did it. The instrument
is black from its first step to its last, and white until its certificate.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from labels.hatches import Hatch
from labels.marks import Box
from labels.page import INK, Page, measure, thousands
from labels.plot_calendar import KERF, Calendar, lay_days
from labels.plot_figure import (
    AXIS_NAME,
    NOTE,
    Figure,
    Label,
    begin,
    head,
    line,
    say,
    say_nothing,
    shape,
)
from labels.plot_timeline_facts import (
    Hand,
    Rack,
    Timeline,
    days_between,
)
from labels.plot_timeline_hands import BODY, CERTIFICATE, IN_WHITE, body, hands
from labels.plot_timeline_wood import Crib, bars, drops
from labels.tongue import Tongue, term
from ledger.errors import RefusedError

LEFT_SHARE = 0.46
LEAD = 4  # days shown between the saw cut and the first step
TOOTH, DEEP = 1.3, 0.55  # of the saw cut: how high a tooth is, and half its depth [mm]
FOOT = 9.6  # under the axis: its names, then what it rests on [mm]
RACK_PITCH, HAND_PITCH = (6.8, 10.5), (4.2, 7.0)  # least and widest [mm]
HANDS_SHARE = 0.4  # of the height, where not all has room
RACK_ROW, HAND_ROW = 6.8, 4.2  # in a strip just as high as it needs to be [mm]
BETWEEN = 1.6  # wood, hands and the instrument [mm]
MONTHS, WEEKS = term("months"), term("weeks")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Which rows have room, and where each kind of them begins [mm]."""

    crib: Crib
    hands: tuple[Hand, ...]
    pitch: float
    hands_top: float
    body_top: float
    floor: float
    unshown: tuple[int, int]  # lots and people for which there is no room


def _last_use(rack: Rack) -> tuple[str, str]:
    return max(rack.used_on), rack.came_on


def _rows(room: Box, plot: Timeline) -> _Rows:
    """Share the height out between wood, hands and the instrument."""
    _, y, _, h = room
    floor = y + h - FOOT
    body_top = floor - BODY - BETWEEN
    free = body_top - 2 * BETWEEN - y
    racks, people = _shown(plot, free)
    needed = RACK_PITCH[0] * len(racks) + HAND_PITCH[0] * len(people)
    pitch = min(HAND_PITCH[1], HAND_PITCH[0] * free / needed)
    left = free - pitch * len(people)
    rack_pitch = min(RACK_PITCH[1], left / max(len(racks), 1))
    # Few rows leave the room under the axis empty, and not the one over it.
    spare = left - rack_pitch * len(racks)
    body_top, floor = body_top - spare, floor - spare
    hands_top = body_top - BETWEEN - pitch * len(people)
    top = hands_top - BETWEEN - rack_pitch * len(racks)
    latest_first = tuple(sorted(racks, key=_last_use, reverse=True))
    return _Rows(
        crib=Crib(racks=latest_first, top=top, pitch=rack_pitch),
        hands=people,
        pitch=pitch,
        hands_top=hands_top,
        body_top=body_top,
        floor=floor,
        unshown=(len(plot.racks) - len(racks), len(plot.hands) - len(people)),
    )


def _shown(plot: Timeline, free: float) -> tuple[tuple[Rack, ...], tuple[Hand, ...]]:
    """Return what has room: the longest waits and the busiest hands before others."""
    racks, people = plot.racks, plot.hands
    wood = RACK_PITCH[0] * len(racks)
    if wood + HAND_PITCH[0] * len(people) <= free:
        return racks, people
    most = int(max(free * HANDS_SHARE, free - wood) / HAND_PITCH[0])
    busy = sorted(people, key=lambda hand: -len(hand.works))[:most]
    people = tuple(hand for hand in people if hand in busy)[:most]
    most = int((free - HAND_PITCH[0] * len(people)) / RACK_PITCH[0])
    longest = sorted(racks, key=lambda r: -days_between(r.came_on, max(r.used_on)))
    return tuple(longest[:most]), people


def _lots(number: int, words: Tongue) -> str:
    return words.many(number, "{number} lot", "{number} lots").format(
        number=thousands(number)
    )


def _people(number: int, words: Tongue) -> str:
    return words.many(number, "{number} person", "{number} people").format(
        number=thousands(number)
    )


def _unshown(lots: int, people: int, words: Tongue) -> str:
    if not lots and not people:
        return ""
    if lots and people:
        both = words(term("{lots} and {people}"))
        said = both.format(lots=_lots(lots, words), people=_people(people, words))
    else:
        said = _lots(lots, words) if lots else _people(people, words)
    return words(term("without {things}, for want of room; ")).format(things=said)


def _calendar(room: Box, plot: Timeline, words: Tongue) -> Calendar:
    x, _, w, _ = room
    starts = [plot.cut_on]
    for rack in plot.racks:
        starts += [rack.came_on, *(rack.felled or ())]
    first = date.fromisoformat(min(starts)).toordinal()
    cut = date.fromisoformat(plot.cut_on).toordinal() - LEAD
    last = date.fromisoformat(max(plot.until, plot.cut_on)).toordinal()
    span = max(last, cut + LEAD + 10) + 1 - cut
    middle = x + w * LEFT_SHARE
    return Calendar(
        first=min(first, cut - 28),
        cut=cut,
        last=cut + _with_room(span, plot, x + w - middle - KERF, words),
        left=x,
        middle=middle,
        right=x + w,
    )


def _with_room(span: int, plot: Timeline, wide: float, words: Tongue) -> int:
    """Return how many days are shown, so that the certificate is named in any case."""
    days = [work.day for hand in plot.hands for work in hand.works]
    if plot.certified_on is None or not days:
        return span
    word = measure(words(CERTIFICATE), IN_WHITE) + 2
    white = max(days_between(max(days), plot.certified_on), 0)
    if white / span * wide >= word:
        return span
    return int(span * wide / (wide - word)) + 1


def _teeth(x: float, top: float, foot: float) -> Iterator[tuple[float, float]]:
    """Yield the edge of a saw cut from above to below."""
    for number in range(int((foot - top) / TOOTH) + 1):
        yield x + (DEEP if number % 2 else -DEEP), top + number * TOOTH


def _saw(figure: Figure, calendar: Calendar, top: float, foot: float) -> None:
    """Saw the picture through where months end and weeks begin."""
    left = list(_teeth(calendar.middle - KERF / 2, top, foot))
    right = list(_teeth(calendar.middle + KERF / 2, top, foot))
    shape(figure, [*left, *reversed(right)], filled=False, weight=0.01)
    for edge in (left, right):
        line(figure, edge, 0.6, colour=INK)


def _notes(figure: Figure, calendar: Calendar, rows: _Rows, plot: Timeline) -> None:
    """Say under the axis what each side counts, and how much it rests on."""
    level = rows.floor + 8.8
    words = figure.words
    left = say(figure, (calendar.left, level), words(MONTHS), AXIS_NAME)
    right = (calendar.right, level)
    weeks = say(figure, right, words(WEEKS), AXIS_NAME, align="right")
    said = _unshown(*rows.unshown, words) + _rests_on(plot, words)
    room = weeks.left - left.right - 8
    middle = (left.right + weeks.left) / 2
    say(figure, (middle, level), said, NOTE, align="centre", within=room)


def _rests_on(plot: Timeline, words: Tongue) -> str:
    """Say how much a strip rests on, and what its marks mean."""
    steps = sum(len(hand.works) for hand in plot.hands)
    done = words.many(steps, "{number} step", "{number} steps")
    said = words(term("{lots}, {steps} by {people}; marks under a line: by machine"))
    return said.format(
        lots=_lots(len(plot.racks), words),
        steps=done.format(number=thousands(steps)),
        people=_people(len(plot.hands), words),
    )


def _require_order(plot: Timeline) -> None:
    """Refuse wood that went in before it came."""
    for rack in plot.racks:
        if not rack.used_on:
            raise RefusedError(
                f"{rack.parts} of {plot.serial} has no day on which it went in: give "
                f"one, or the day until which it waits"
            )
        if min(rack.used_on) < rack.came_on:
            raise RefusedError(
                f"{rack.parts} of {plot.serial} went in on {min(rack.used_on)} and "
                f"came on {rack.came_on}: see which of the two days is right"
            )


def draw(
    page: Page, box: Box, plot: Timeline, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a strip from the tree to the tune, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not plot.racks and not plot.hands:
        say_nothing(
            figure, room, "No wood is in this instrument yet, and no step is signed."
        )
        return tuple(figure.labels)
    draw_in(figure, room, plot)
    return tuple(figure.labels)


def height_for(plot: Timeline, most: float) -> float:
    """Return how high a room a strip needs for all its rows, at most so high [mm]."""
    rows = RACK_ROW * len(plot.racks) + HAND_ROW * len(plot.hands)
    return min(most, rows + 2 * BETWEEN + BODY + BETWEEN + FOOT)


def draw_in(
    figure: Figure,
    room: Box,
    plot: Timeline,
    hatches: Mapping[str, Hatch] = MappingProxyType({}),
) -> None:
    """Draw a strip into a room of a figure, without its heading.

    hatches  those that the paper gives its woods; else they are given here
    """
    _require_order(plot)
    rows, calendar = _rows(room, plot), _calendar(room, plot, figure.words)
    top = rows.crib.top - 0.6
    lay_days(figure, calendar, top, rows.floor)
    drops(figure, calendar, rows.crib)
    bars(figure, calendar, rows.crib, hatches)
    _saw(figure, calendar, top, rows.floor + 1.2)
    hands(figure, calendar, rows.hands, rows.hands_top, rows.pitch)
    body(figure, calendar, rows.body_top, plot)
    _notes(figure, calendar, rows, plot)
