"""The hands on a strip from the tree to the tune, and the instrument under them."""

from collections.abc import Sequence

from labels import faces
from labels.marks import Box
from labels.page import HAIR, WHITE, Style, measure
from labels.plot_calendar import KERF, Calendar, place_date, place_day
from labels.plot_figure import (
    NAME,
    NOTE,
    PLAIN,
    Figure,
    box_of,
    fill,
    hatched,
    line,
    say,
    shape,
)
from labels.plot_places import runs_into
from labels.plot_timeline_facts import Hand, Timeline
from labels.tongue import term

BODY = 5.4  # how high the instrument is [mm]
BEFORE_CUT = 3.0  # between a name and the saw cut [mm]
LEAST_CRAFTS = 12.0  # crafts with less room are left away [mm]
STEP = Style(face=faces.DATA, size=7, floor=6.6)
IN_BLACK = Style(face=faces.DATA_MEDIUM, size=7.4, colour=WHITE, floor=6.8)
IN_WHITE = Style(face=faces.DATA_BOLD, size=7.6, floor=6.8)
CERTIFICATE = term("certificate")


def hands(
    figure: Figure, calendar: Calendar, people: Sequence[Hand], top: float, pitch: float
) -> None:
    """Draw a line for each of several people, with a mark for each step."""
    day_wide = place_day(calendar, calendar.cut + 1) - calendar.middle - KERF
    wide = min(max(day_wide * 0.86, 0.5), 1.6)
    high = min(pitch / 2 - 0.5, 2.0)
    for number, hand in enumerate(people):
        level = top + (number + 0.5) * pitch + 0.3
        start = calendar.middle + KERF
        line(figure, [(start, level), (calendar.right, level)], 0.22, colour=HAIR)
        for work in hand.works:
            x = place_date(calendar, work.day)
            upper, lower = (
                (level, level + high) if work.by_machine else (level - high, level)
            )
            mark = [(x, upper), (x + wide, upper), (x + wide, lower), (x, lower)]
            shape(figure, mark, filled=True)
        _hand_words(figure, calendar, hand, level)
        _step_words(figure, calendar, hand, level, wide)


def _hand_words(figure: Figure, calendar: Calendar, hand: Hand, level: float) -> None:
    """Set name and crafts before the saw cut, the name nearest to it."""
    x, base = calendar.middle - BEFORE_CUT, level + 1.0
    free = x - calendar.left
    name = say(figure, (x, base), hand.name, PLAIN, align="right", within=free * 0.6)
    room = name.left - 1.8 - calendar.left
    if room > LEAST_CRAFTS:
        at = (name.left - 1.8, base)
        crafts = ", ".join(figure.words(craft) for craft in hand.crafts.split(", "))
        say(figure, at, crafts, NOTE, align="right", within=room)


def _step_words(
    figure: Figure, calendar: Calendar, hand: Hand, level: float, wide: float
) -> None:
    """Name the last step of a day where there is room before the next mark."""
    last_of_day = {work.day: work for work in sorted(hand.works, key=lambda w: w.day)}
    days = sorted(last_of_day)
    for number, day in enumerate(days):
        x = place_date(calendar, day) + wide + 0.7
        is_last = number + 1 == len(days)
        end = (
            calendar.right if is_last else place_date(calendar, days[number + 1]) - 1.2
        )
        words = figure.words(last_of_day[day].step)
        if x + measure(words, STEP) <= end:
            length = measure(words, STEP)
            fill(figure, (x - 0.2, level - 1.6, length + 0.4, 3.0), WHITE)
            say(figure, (x, level + 0.9), words, STEP)


def body(figure: Figure, calendar: Calendar, top: float, plot: Timeline) -> None:
    """Draw the instrument: black in the builders' hands, white when they had done."""
    days = [work.day for hand in plot.hands for work in hand.works]
    foot, base = top + BODY, top + BODY / 2 + 1.0
    at = (calendar.middle - BEFORE_CUT, base)
    within = at[0] - calendar.left
    say(figure, at, plot.serial, NAME, align="right", within=within)
    if not days:
        return
    start, end = place_date(calendar, min(days)), place_date(calendar, max(days))
    end = max(end, start + 0.6)
    shape(figure, [(start, top), (end, top), (end, foot), (start, foot)], filled=True)
    done = place_date(calendar, plot.certified_on) if plot.certified_on else end
    if done > end:
        corners = [(end, top), (done, top), (done, foot), (end, foot)]
        shape(figure, corners, filled=False, weight=0.6)
    out = [(place_date(calendar, t.sent_on), t) for t in plot.trips]
    _gates(figure, calendar, plot, top, (start, min([end, *(x for x, _ in out)])))
    for number, (x, trip) in enumerate(out):
        ends = [end] if x < end else [done]
        ends += [later for later, _ in out[number + 1 :]]
        home = max(place_date(calendar, trip.home_on), x + 0.8)
        errand = figure.words(trip.errand)
        _trip(figure, errand, (x, top, home - x, BODY), min(ends), x < end)
    if plot.certified_on:
        _certificate(figure, (end, done), base)


def _trip(figure: Figure, errand: str, box: Box, limit: float, in_black: bool) -> None:
    """Hatch when it was out, and say for what where that fits beside it."""
    x, y, w, h = box
    fill(figure, box, WHITE)
    hatched(figure, box)
    corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y), (x + w, y)]
    line(figure, corners, 0.5)
    style = IN_BLACK if in_black else IN_WHITE
    if measure(errand, style) + 1.6 <= limit - x - w:
        say(figure, (x + w + 0.8, y + h / 2 + 0.9), errand, style)


def _gates(
    figure: Figure,
    calendar: Calendar,
    plot: Timeline,
    top: float,
    span: tuple[float, float],
) -> None:
    """Divide the black bar where somebody else said yes; name it where it fits."""
    before = span[0]
    for gate in sorted(plot.gates, key=lambda gate: gate.day):
        x = place_date(calendar, gate.day)
        if not span[0] < x < span[1]:
            continue
        line(figure, [(x, top), (x, top + BODY)], 0.8, colour=WHITE)
        step = figure.words(gate.step)
        if measure(step, IN_BLACK) <= x - before - 1.6:
            at = (x - 0.8, top + BODY / 2 + 0.9)
            say(figure, at, step, IN_BLACK, align="right")
        before = x


def _certificate(figure: Figure, span: tuple[float, float], level: float) -> None:
    """Say in the white bar that it was certified at its end, or right after it."""
    at, word = (span[1] - 0.8, level), figure.words(CERTIFICATE)
    label = box_of(at, word, IN_WHITE, align="right")
    if label.left >= span[0] + 0.8 and not runs_into(figure, label):
        say(figure, at, word, IN_WHITE, align="right")
    elif span[1] + 0.8 + label.right - label.left <= figure.box[0] + figure.box[2]:
        say(figure, (span[1] + 0.8, level), word, IN_WHITE)
