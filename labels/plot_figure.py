"""A figure on a page: its heading, its inks, and every word that stands in it.

A figure is drawn at a place on a page, in millimetres from the page's top left; it may
be the whole of a sheet or a part of another paper. Each word that is set is kept with
its box, so that no other is put over it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from reportlab.lib.colors import HexColor

from labels import faces, marks
from labels.marks import Box, Point
from labels.page import (
    BARK,
    HAIR,
    INK,
    MM,
    WALNUT,
    WHITE,
    Align,
    Page,
    Style,
    fit,
    measure,
    shortened,
    thousands,
    wrap,
    write,
)
from labels.tongue import Tongue, term, tongue
from ledger.errors import RefusedError

A5 = (210.0, 148.0)
MARGIN = 11.0
SMALLEST = (96.0, 70.0)
ENGLISH = tongue("en")
MAPLE = "#F1E8D6"

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=13, floor=11, may_shorten=True)
WHERE = Style(face=faces.TEXT, size=9, colour=WALNUT, floor=8, may_shorten=True)
ENTRIES = Style(face=faces.DATA, size=7.4, floor=6.8, may_shorten=True)
AXIS_NAME = Style(
    face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT, floor=7.6, may_shorten=True
)
NUMBER = Style(face=faces.DATA, size=8.2, floor=6.8)
NOTE = Style(
    face=faces.TEXT_ITALIC, size=8.4, colour=WALNUT, floor=7.6, may_shorten=True
)
NAME = Style(face=faces.DATA_BOLD, size=8.2, floor=7, may_shorten=True)
PLAIN = Style(face=faces.TEXT, size=8.8, floor=7.8, may_shorten=True)
SMALL = Style(face=faces.DATA, size=6.8, floor=6.4, may_shorten=True)
NOTHING = Style(face=faces.TEXT, size=11)

ENTRIES_WIDTH = 46.0
ENTRIES_NAMED = 3
TITLE_LINES = 2
LEAST_WEIGHT = 0.5  # of a stroke in one colour [pt]
DOTTED = (0.4, 1.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What a figure found, what and where, and the entries it is drawn from."""

    title: str
    where: str
    entries: tuple[int, ...] = ()


class Label(NamedTuple):
    """Words that were set, and the edges of their box [mm]."""

    words: str
    left: float
    top: float
    right: float
    foot: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure being drawn: where, in which inks, and what stands in it already.

    `lines` tells how much ink of the data lies in each square millimetre. One inside
    another paper speaks that paper's language by its `words`.
    """

    page: Page
    box: Box
    one_colour: bool = False
    words: Tongue = ENGLISH
    labels: list[Label] = field(default_factory=list)
    lines: dict[tuple[int, int], int] = field(default_factory=dict)


def begin(page: Page, box: Box, *, one_colour: bool) -> Figure:
    """Begin a figure, unless its place is too small to read."""
    if box[2] < SMALLEST[0] or box[3] < SMALLEST[1]:
        raise RefusedError(
            f"a figure of {box[2]:.0f} by {box[3]:.0f} mm cannot be read; it needs "
            f"{SMALLEST[0]:.0f} by {SMALLEST[1]:.0f} mm, give it more room"
        )
    return Figure(page=page, box=box, one_colour=one_colour)


def ink(figure: Figure, colour: str) -> str:
    """Return the colour in which something is printed."""
    return INK if figure.one_colour and colour != WHITE else colour


def line(
    figure: Figure,
    points: Iterable[Point],
    weight: float,
    *,
    colour: str = INK,
    dash: tuple[float, float] | None = None,
) -> None:
    """Draw a line through points; of one point or none there is nothing to draw."""
    through = [(round(x, 3), round(y, 3)) for x, y in points]
    if len(through) < 2:
        return
    if figure.one_colour:
        weight = max(weight, LEAST_WEIGHT)
        dash = DOTTED if colour == HAIR else dash
    _stroke(figure, through, weight, ink(figure, colour), dash)


def _stroke(
    figure: Figure,
    points: list[Point],
    weight: float,
    colour: str,
    dash: tuple[float, float] | None,
) -> None:
    """Draw a line with round corners: a mitred one would spike at every peak."""
    canvas, height = figure.page.canvas, figure.page.height
    path = canvas.beginPath()
    path.moveTo(points[0][0] * MM, (height - points[0][1]) * MM)
    for x, y in points[1:]:
        path.lineTo(x * MM, (height - y) * MM)
    canvas.setStrokeColor(HexColor(colour))
    canvas.setLineWidth(weight)
    canvas.setLineJoin(1)
    canvas.setDash([dash[0] * MM, dash[1] * MM] if dash else [])
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash([])


def box_of(
    at: Point, words: str, style: Style, *, align: Align = "left", squeeze: float = 1.0
) -> Label:
    """Return the box of words with their baseline at a point."""
    wide = measure(words, style) * squeeze
    left = at[0] - wide * {"left": 0.0, "centre": 0.5, "right": 1.0}[align]
    size = style.size / MM
    return Label(words, left, at[1] - 0.72 * size, left + wide, at[1] + 0.22 * size)


def say(
    figure: Figure,
    at: Point,
    words: str,
    style: Style,
    *,
    align: Align = "left",
    within: float | None = None,
) -> Label:
    """Set words at a point, and keep their box."""
    style = replace(style, colour=ink(figure, style.colour))
    squeeze, room = 1.0, figure.box[2] if within is None else within
    if style.may_shorten:
        words = shortened(words, style, room)
    style, squeeze = fit(words, style, room)
    label = box_of(at, words, style, align=align, squeeze=squeeze)
    if words:
        write(figure.page, at, words, style, align=align, within=room)
        figure.labels.append(label)
    return label


def counted(number: int, one: str, many: str = "") -> str:
    """Write a number of things: 1 board, 2 boards."""
    return f"{thousands(number)} {one if number == 1 else many or one + 's'}"


def entries_said(entries: tuple[int, ...], words: Tongue = ENGLISH) -> str:
    """Name the entries a figure is drawn from, or their range if they are many."""
    if not entries:
        return ""
    spans: list[tuple[int, int]] = []
    for entry in sorted(set(entries)):
        if spans and entry == spans[-1][1] + 1:
            spans[-1] = (spans[-1][0], entry)
        else:
            spans.append((entry, entry))
    if len(spans) > ENTRIES_NAMED:
        return words(term("{number} entries, {first} to {last}")).format(
            number=thousands(len(set(entries))),
            first=thousands(spans[0][0]),
            last=thousands(spans[-1][1]),
        )
    named = ", ".join(
        thousands(a)
        if a == b
        else words(term("{first} to {last}")).format(
            first=thousands(a), last=thousands(b)
        )
        for a, b in spans
    )
    said = words.many(len(set(entries)), "entry {entries}", "entries {entries}")
    return said.format(entries=named)


def _title_lines(title: str, within: float) -> list[str]:
    """Break a title into two lines at most; what has no room there is cut off."""
    lines = wrap(title, TITLE, within)
    if len(lines) <= TITLE_LINES:
        return lines
    return [*lines[: TITLE_LINES - 1], " ".join(lines[TITLE_LINES - 1 :])]


def head(figure: Figure, heading: Heading) -> Box:
    """Set the heading, and return the room that is left under it."""
    x, y, w, h = figure.box
    said = entries_said(heading.entries)
    taken = min(measure(said, ENTRIES), ENTRIES_WIDTH)
    free = w - taken - 6 if said else w
    level = y + 4.4
    say(figure, (x + w, level), said, ENTRIES, align="right", within=ENTRIES_WIDTH)
    for words in _title_lines(heading.title, free):
        say(figure, (x, level), words, TITLE, within=free)
        level += 5.6
    say(figure, (x, level - 0.4), heading.where, WHERE, within=w)
    top = level + 6.2
    return x, top, w, y + h - top


def say_nothing(figure: Figure, room: Box, sentence: str) -> None:
    """Say in a sentence why there is nothing to draw."""
    x, y, w, _ = room
    line(figure, [(x, y), (x + w, y)], 0.22, colour=HAIR)
    level = y + 9
    for words in wrap(sentence, NOTHING, w):
        say(figure, (x, level), words, NOTHING)
        level += 5.2


def clip(figure: Figure, bounds: Box) -> None:
    """Let nothing be drawn outside a box until `unclip`."""
    x, y, w, h = bounds
    canvas = figure.page.canvas
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(x * MM, (figure.page.height - y - h) * MM, w * MM, h * MM)
    canvas.clipPath(path, stroke=0, fill=0)


def unclip(figure: Figure) -> None:
    """Take the last clip away."""
    figure.page.canvas.restoreState()


def fill(figure: Figure, box: Box, colour: str) -> None:
    """Fill a box with a tint; one colour has none."""
    x, y, w, h = box
    if figure.one_colour and colour != WHITE:
        return
    corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
    marks.polygon(figure.page, corners, colour)


def hatched(figure: Figure, box: Box, *, pitch: float = 1.3) -> None:
    """Fill a band with lines at 45 degrees over a tint."""
    x, y, w, h = box
    if w <= 0 or h <= 0:
        return
    fill(figure, box, MAPLE)
    clip(figure, box)
    step = pitch * 2**0.5
    for number in range(int((w + h) / step) + 2):
        start = x - h + number * step
        line(figure, [(start, y + h), (start + h, y)], 0.28, colour=BARK)
    unclip(figure)


def _circle(figure: Figure, at: Point, radius: float, *, filled: bool) -> None:
    canvas = figure.page.canvas
    canvas.setFillColor(HexColor(INK if filled else WHITE))
    canvas.setStrokeColor(HexColor(INK))
    canvas.setLineWidth(0.9)
    x, y = round(at[0] * MM, 2), round((figure.page.height - at[1]) * MM, 2)
    canvas.circle(x, y, round(radius * MM, 2), stroke=0 if filled else 1, fill=1)


def disc(figure: Figure, at: Point, radius: float = 0.95) -> None:
    """Draw a filled disc."""
    _circle(figure, at, radius, filled=True)


def ring(figure: Figure, at: Point, radius: float = 0.9) -> None:
    """Draw a ring that is white inside."""
    _circle(figure, at, radius, filled=False)


def halo(figure: Figure, at: Point, radius: float, weight: float = 1.3) -> None:
    """Draw a circle around something, and leave what is inside it."""
    canvas = figure.page.canvas
    canvas.setStrokeColor(HexColor(INK))
    canvas.setLineWidth(weight)
    x, y = round(at[0] * MM, 2), round((figure.page.height - at[1]) * MM, 2)
    canvas.circle(x, y, round(radius * MM, 2), stroke=1, fill=0)


def shape(
    figure: Figure, corners: list[Point], *, filled: bool, weight: float = 0.9
) -> None:
    """Draw a small shape with straight edges, filled or white inside."""
    marks.polygon(figure.page, corners, INK if filled else WHITE)
    if not filled:
        line(figure, [*corners, corners[0], corners[1]], weight)
