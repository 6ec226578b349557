"""The graduation map: how thick a plate is at known places, and lines between them.

A plate is drawn as it is seen from outside with the neck end up, a back as a top, so
that the picture has the frame in which it was gauged. The outline is that of a kind of
instrument, stretched to the plate's length and width; it says nothing of a shape.
Lines of equal thickness run straight between neighbouring places (`labels/contours`),
and nowhere beyond the outermost of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from labels import contours, faces, plot_axes, plot_places
from labels.contours import Height
from labels.marks import Box, Point
from labels.outlines import family_of
from labels.page import BARK, MM, Page, Style, wrap
from labels.plot_figure import (
    NAME,
    NOTE,
    PLAIN,
    Figure,
    Label,
    begin,
    clip,
    counted,
    disc,
    head,
    line,
    say,
    say_nothing,
    unclip,
)
from labels.plot_graduation_facts import (
    MILLIMETRE,
    Graduation,
    Plate,
    decimals,
    digits,
    is_inside,
    outline_of,
    outside,
)
from ledger.errors import RefusedError

MOST_PLATES: Final = 2
SEEN: Final = (
    "seen from outside, neck end up: x right of the centre line, y from the lower end"
)
WORDS: Final = 0.40  # the share of the width for the words beside one plate
FOOT: Final = 8.4  # for the lines under the plates [mm]
CAPTION: Final = 4.6
LEADING: Final = 4.1
BAR_UM: Final = 100_000
DOT: Final = 0.42  # radius of a place [mm]
CLEAR: Final = 0.75  # between a place and its number [mm]
LINE, WHOLE_LINE = 0.5, 1.1  # of a level, and of a whole millimetre [pt]
LEAST_NAMED: Final = 16.0  # a shorter line has no number [mm]
STEP: Final = 1.5  # between the spots that a number is tried at [mm]

LEVEL = Style(face=faces.DATA_BOLD, size=7.2, floor=6.8)
VALUE = Style(face=faces.DATA, size=6.8, floor=6.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """A plate's frame on the paper: where its lower end is, and its scale [mm/um]."""

    foot: Point
    unit: float
    outline: tuple[Point, ...]
    bounds: Box

    def at(self, x_um: float, y_um: float) -> Point:
        return self.foot[0] + x_um * self.unit, self.foot[1] - y_um * self.unit


def draw(
    page: Page, box: Box, plot: Graduation, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw one plate with words beside it, or two side by side; return all words.

    Raises RefusedError for more plates than two.
    """
    if len(plot.plates) > MOST_PLATES:
        raise RefusedError(
            f"{len(plot.plates)} plates have no room on one sheet of {MOST_PLATES}: "
            f"name the one to draw"
        )
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not plot.plates:
        say_nothing(figure, room, "No plate of this instrument was graduated yet.")
        return tuple(figure.labels)
    x, y, w, h = room
    plates_room = (x, y, w, h - FOOT)
    if len(plot.plates) == 1:
        bare = _one(figure, plates_room, plot)
    else:
        bare = _two(figure, plates_room, plot)
    _under(figure, room, plot, bare)
    return tuple(figure.labels)


def _one(figure: Figure, room: Box, plot: Graduation) -> int:
    """Draw one plate, and what is told of it on its right."""
    x, y, w, h = room
    plate, wide = plot.plates[0], w * (1 - WORDS)
    bare = _plate(figure, (x, y, wide, h), plate, plot.kind)
    level = y + LEADING
    for said in plate.said:
        for words in wrap(said, PLAIN, w * WORDS - 4):
            say(figure, (x + wide + 4, level), words, PLAIN, within=w * WORDS - 4)
            level += LEADING
        level += LEADING * 0.4
    return bare


def _two(figure: Figure, room: Box, plot: Graduation) -> int:
    """Draw two plates side by side, like the leaves of an opened book."""
    x, y, w, h = room
    bare, share = 0, w / len(plot.plates)
    for number, plate in enumerate(plot.plates):
        left = x + number * share
        middle = left + share / 2
        say(figure, (middle, y + 2.4), plate.name, NAME, align="centre", within=share)
        below = (left + 2, y + CAPTION, share - 4, h - CAPTION)
        bare += _plate(figure, below, plate, plot.kind)
    return bare


def _frame(room: Box, plate: Plate, outline: tuple[Point, ...]) -> _Frame:
    """Lay a plate into a room, as large as it goes, with a little air around it."""
    x, y, w, h = room
    reach = max(
        [abs(at[0]) for at in outline] + [abs(place.x_um) for place in plate.places]
    )
    unit = min((h - 2) / plate.length_um, (w - 2) / (2 * max(reach, 1)))
    foot = (x + w / 2, y + h / 2 + plate.length_um * unit / 2)
    drawn = tuple(
        (foot[0] + across * unit, foot[1] - up * unit) for across, up in outline
    )
    return _Frame(foot=foot, unit=unit, outline=drawn, bounds=room)


def _plate(figure: Figure, room: Box, plate: Plate, kind: str) -> int:
    """Draw a plate, and return how many of its numbers had no room."""
    frame = _frame(room, plate, outline_of(plate, kind))
    _edge(figure, frame, plate)
    heights = _heights(plate)
    marks = [frame.at(place.x_um, place.y_um) for place in plate.places]
    for at in marks:
        plot_places.note_mark(figure, at, 0.0)
    named = _levels(figure, frame, heights)
    _name_levels(figure, frame, named)
    bare = _values(figure, frame, plate, marks)
    # Over the white behind words, so that each place is whole.
    for at in marks:
        disc(figure, at, DOT)
    return bare


def _edge(figure: Figure, frame: _Frame, plate: Plate) -> None:
    """Draw the outline and the centre line."""
    if frame.outline:
        closed = [*frame.outline, frame.outline[0], frame.outline[1]]
        line(figure, closed, 0.7)
        plot_places.note_line(figure, closed, plot_places.ON_A_HEAVY_LINE)
    middle = [frame.at(0, 0), frame.at(0, plate.length_um)]
    line(figure, middle, 0.4, colour=BARK, dash=(2.4, 1.2))
    plot_places.note_line(figure, middle)


def _levels(
    figure: Figure, frame: _Frame, heights: Sequence[Height]
) -> list[tuple[int, list[Point]]]:
    """Draw the lines of equal thickness, and return them with their levels."""
    mesh = contours.triangles(heights)
    named = []
    _clip_to(figure, frame)
    for level in contours.levels(heights)[1]:
        weight = LINE if level % MILLIMETRE else WHOLE_LINE
        for points in contours.contour(heights, mesh, level):
            through = [frame.at(*point) for point in points]
            line(figure, through, weight)
            plot_places.note_line(figure, through)
            named.append((level, through))
    unclip(figure)
    return named


def _clip_to(figure: Figure, frame: _Frame) -> None:
    """Let nothing be drawn outside the outline: neighbours may be across the waist."""
    clip(figure, frame.bounds)
    if not frame.outline:
        return
    canvas, height = figure.page.canvas, figure.page.height
    path = canvas.beginPath()
    for number, (x, y) in enumerate(frame.outline):
        step = path.lineTo if number else path.moveTo
        step(round(x * MM, 2), round((height - y) * MM, 2))
    path.close()
    canvas.clipPath(path, stroke=0, fill=0)


def _name_levels(
    figure: Figure, frame: _Frame, named: Sequence[tuple[int, list[Point]]]
) -> None:
    """Set its thickness on each line that is long enough, where it hides no place."""
    for level, through in named:
        spots = [at for at in _along(through) if is_inside(frame.outline, at)]
        if len(spots) * STEP < LEAST_NAMED:
            continue
        words = digits(level, decimals(level for level, _ in named))
        half = faces.width(words, LEVEL.face, LEVEL.size) / MM / 2
        # Not in the middle: there most lines cross the centre line and its places.
        wish = len(spots) // 3
        order = sorted(range(len(spots)), key=lambda n: abs(n - wish))
        starts = [(spots[n][0] - half, spots[n][1] + 0.9) for n in order]
        plot_places.first_free(
            figure, starts, words, LEVEL, frame.bounds, over_lines=True
        )


def _along(through: Sequence[Point]) -> list[Point]:
    """Return spots on a line, each a step after the last."""
    spots, left = [], STEP
    for (ax, ay), (bx, by) in pairwise(through):
        length = ((bx - ax) * (bx - ax) + (by - ay) * (by - ay)) ** 0.5
        while length and left <= length:
            part = left / length
            spots.append((ax + (bx - ax) * part, ay + (by - ay) * part))
            left += STEP
        left -= length
    return spots


def _values(figure: Figure, frame: _Frame, plate: Plate, marks: Sequence[Point]) -> int:
    """Set its thickness beside each place, and return how many had no room."""
    places = decimals(place.thickness_um for place in plate.places)
    bare = 0
    for place, at in zip(plate.places, marks, strict=True):
        words = digits(place.thickness_um, places)
        bare += not plot_places.if_near(
            figure, [at], words, VALUE, frame.bounds, clear=CLEAR
        )
    return bare


def _under(figure: Figure, room: Box, plot: Graduation, bare: int) -> None:
    """Say under the plates how they are drawn, and how long 100 mm of them are."""
    x, y, w, h = room
    said = [_lines_said(plot.plates)]
    odd = sum(outside(each, plot.kind) for each in plot.plates)
    if not family_of(plot.kind):
        said.append("no outline is known of this kind of instrument")
    elif odd:
        said.append(f"{counted(odd, 'place')} outside this outline, which is a kind's")
    if bare:
        said.append(f"{counted(bare, 'number')} left out for want of room")
    level = y + h - 0.9
    say(figure, (x, level - 4.0), "; ".join(said), NOTE, within=w)
    say(figure, (x, level), SEEN, NOTE, within=w - 40)
    if len(plot.plates) == 1:
        _bar(figure, (x + w, level), _frame_unit(room, plot))


def _lines_said(plates: Sequence[Plate]) -> str:
    """Say at which steps of thickness lines are drawn, and how they run."""
    steps: set[int] = set()
    for plate in plates:
        heights = _heights(plate)
        interval, found = contours.levels(heights)
        steps |= {interval} if found and contours.triangles(heights) else set()
    if not steps:
        return "no line: the places lie in a row, or are all of one thickness"
    every = " and ".join(plot_axes.number(step, MILLIMETRE) for step in sorted(steps))
    return (
        f"a line every {every} mm, straight between neighbouring places and none "
        f"beyond them"
    )


def _heights(plate: Plate) -> list[Height]:
    return [Height(p.x_um, p.y_um, p.thickness_um) for p in plate.places]


def _frame_unit(room: Box, plot: Graduation) -> float:
    x, y, w, h = room
    plate = plot.plates[0]
    wide = (x, y, w * (1 - WORDS), h - FOOT)
    return _frame(wide, plate, outline_of(plate, plot.kind)).unit


def _bar(figure: Figure, end: Point, unit: float) -> None:
    """Draw how long 100 mm are on this paper."""
    x, y = end
    start = x - BAR_UM * unit
    line(figure, [(start, y - 0.6), (x, y - 0.6)], 0.9)
    for tick in (start, x):
        line(figure, [(tick, y - 1.4), (tick, y + 0.2)], 0.5)
    say(figure, (start - 1.2, y), "100 mm", NOTE, align="right")
