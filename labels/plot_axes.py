"""Axes: round numbers at the ticks, and the way from a value to a place on paper.

Values are whole numbers in small units; `per` of them make one of the unit shown. Ticks
are found by whole-number arithmetic, so that they are the same on every machine.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from labels.faces import THIN_SPACE
from labels.marks import Box
from labels.page import measure
from labels.plot_figure import AXIS_NAME, NOTE, NUMBER, Figure, line, say

ROUND = (1, 2, 5)
DAYS = (1, 2, 5, 10, 15, 30, 60, 90, 180, 360)
MOST_TICKS = 9
MAJOR, MINOR = 1.5, 0.8  # lengths of ticks [mm]
BETWEEN_NUMBERS = 2.4
NAME_ABOVE = 2.6
FOOT = 9.6  # under an axis: its numbers, then its name


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """A range of values with its ticks; `logarithmic` ones rise by factors."""

    name: str
    low: int
    high: int
    ticks: tuple[int, ...]
    minor: tuple[int, ...] = ()
    per: int = 1
    logarithmic: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """An axis laid from `start` to `end` on the paper [mm]."""

    axis: Axis
    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The room between two axes."""

    x: Scale
    y: Scale

    @property
    def bounds(self) -> Box:
        """Left, top, width and height [mm]."""
        wide, high = self.x.end - self.x.start, self.y.start - self.y.end
        return self.x.start, self.y.end, wide, high


def place(scale: Scale, value: float) -> float:
    """Return where a value stands on the paper [mm]."""
    axis = scale.axis
    if axis.logarithmic:
        span = math.log(axis.high / axis.low)
        share = math.log(max(value, 1) / axis.low) / span
    else:
        share = (value - axis.low) / (axis.high - axis.low)
    return scale.start + share * (scale.end - scale.start)


def number(value: int, per: int) -> str:
    """Print a tick in the unit shown, exactly."""
    exact = Fraction(abs(value), per)
    places = next(
        (n for n in range(13) if (exact * 10**n).denominator == 1),
        12,
    )
    digits = f"{int(exact * 10**places):0{places + 1}d}"
    whole, rest = digits[: len(digits) - places], digits[len(digits) - places :]
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", THIN_SPACE)
    return ("−" if value < 0 else "") + whole + (f".{rest}" if rest else "")


def _steps(span: int, most: int, series: Sequence[int]) -> tuple[int, int]:
    """Return the least round step that needs no more ticks than `most`."""
    scale = 1
    while True:
        for lead in series:
            if span <= lead * scale * (most - 1):
                return lead * scale, lead
        scale *= 10 if tuple(series) == ROUND else series[-1]


def _minor(low: int, high: int, step: int, lead: int) -> tuple[int, ...]:
    """Divide each step in five, or in four where it is a two."""
    parts = {2: 4, 30: 3, 60: 2, 90: 3, 180: 6, 360: 4}.get(lead, 5)
    if step % parts:
        return ()
    fine = step // parts
    return tuple(v for v in range(low, high + 1, fine) if v % step)


def even(
    name: str,
    values: Sequence[int],
    *,
    per: int = 1,
    most: int = MOST_TICKS,
    series: Sequence[int] = ROUND,
    least_span: int = 4,
) -> Axis:
    """Return an axis of even steps that holds all values and ends on ticks."""
    low, high = min(values), max(values)
    if high - low < least_span:
        low -= (least_span - (high - low)) // 2
        if min(values) >= 0:
            low = max(low, 0)
        high = max(high, low + least_span)
    step, lead = _steps(high - low, most, series)
    low, high = low // step * step, -(-high // step) * step
    ticks = tuple(range(low, high + 1, step))
    minor = _minor(low, high, step, lead)
    return Axis(name=name, low=low, high=high, ticks=ticks, minor=minor, per=per)


def even_within(
    width: float,
    name: str,
    values: Sequence[int],
    *,
    per: int = 1,
    series: Sequence[int] = ROUND,
    least_span: int = 4,
) -> Axis:
    """Return an axis of even steps whose numbers have room on a width [mm]."""
    axis = even(name, values, per=per, series=series, least_span=least_span)
    for most in range(MOST_TICKS - 1, 1, -1):
        widest = max(measure(number(v, per), NUMBER) for v in axis.ticks)
        if (widest + BETWEEN_NUMBERS) * (len(axis.ticks) - 1) <= width:
            break
        axis = even(
            name, values, per=per, most=most, series=series, least_span=least_span
        )
    return axis


def by_factors(name: str, values: Sequence[int], *, per: int) -> Axis:
    """Return an axis on which equal steps are equal factors: an octave is an octave."""
    low, high = max(1, min(values)), max(1, max(values))
    low, high = low * 19 // 20, high * 21 // 20 + 1
    decade = 10 ** (len(str(low)) - 1)
    rounds: list[int] = []
    while decade <= high:
        rounds += [decade * lead for lead in ROUND]
        decade *= 10
    ticks = tuple(v for v in rounds if low <= v <= high)
    if len(ticks) < 2:
        plain = even(name, (low, high), per=per, most=5)
        ticks = tuple(v for v in plain.ticks if low <= v <= high)
    if len(ticks) > MOST_TICKS:
        ticks = tuple(v for v in ticks if str(v)[0] == "1")
    return Axis(name=name, low=low, high=high, ticks=ticks, per=per, logarithmic=True)


def _x_axis(figure: Figure, scale: Scale, level: float) -> None:
    line(figure, [(scale.start, level), (scale.end, level)], 0.5)
    for value in scale.axis.minor:
        x = place(scale, value)
        line(figure, [(x, level), (x, level + MINOR)], 0.4)
    end = -1e9
    for value in scale.axis.ticks:
        x, words = place(scale, value), number(value, scale.axis.per)
        line(figure, [(x, level), (x, level + MAJOR)], 0.5)
        half = measure(words, NUMBER) / 2
        if x - half > end + 1:
            say(figure, (x, level + 4.7), words, NUMBER, align="centre")
            end = x + half


def upright(figure: Figure, scale: Scale, x: float) -> None:
    """Draw an upright axis with its ticks and numbers on the left of it."""
    line(figure, [(x, scale.start), (x, scale.end)], 0.5)
    for value in scale.axis.minor:
        y = place(scale, value)
        line(figure, [(x - MINOR, y), (x, y)], 0.4)
    for value in scale.axis.ticks:
        y = place(scale, value)
        line(figure, [(x - MAJOR, y), (x, y)], 0.5)
        words = number(value, scale.axis.per)
        say(figure, (x - 2.3, y + 1.0), words, NUMBER, align="right")


def margin(axis: Axis) -> float:
    """Return how much room the numbers of an upright axis take [mm]."""
    return max(measure(number(v, axis.per), NUMBER) for v in axis.ticks) + 2.5


def lay(
    figure: Figure,
    room: Box,
    x_axis: Axis,
    y_axis: Axis,
    *,
    under: float = FOOT,
    right: float = 4.0,
) -> Field:
    """Draw two axes in a room, and return what lies between them."""
    x, y, w, h = room
    left, top = x + margin(y_axis), y + NAME_ABOVE + 1.6
    across = Scale(axis=x_axis, start=left, end=x + w - right)
    up = Scale(axis=y_axis, start=y + h - under, end=top)
    say(figure, (x, y + 0.6), y_axis.name, AXIS_NAME, within=w)
    _x_axis(figure, across, up.start)
    upright(figure, up, left)
    at = (across.end, up.start + 8.8)
    say(figure, at, x_axis.name, AXIS_NAME, align="right", within=w * 0.4)
    return Field(x=across, y=up)


def foot(figure: Figure, field: Field, words: str, *, share: float = 0.56) -> None:
    """Say under the axis on the left how much the figure rests on."""
    x, top, w, h = field.bounds
    say(figure, (x, top + h + 8.8), words, NOTE, within=w * share)
