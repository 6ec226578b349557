"""The voice ladder: the tones of one instrument as plate, braced, closed and strung.

Octaves are of equal height. Nothing joins across the closing of the body, because the
modes before and after it are different ones.
"""

from dataclasses import dataclass
from itertools import accumulate, pairwise

from labels import faces, plot_axes, plot_places
from labels.faces import THIN_SPACE
from labels.marks import Box, Point
from labels.page import (
    HAIR,
    INK,
    WALNUT,
    WHITE,
    Page,
    Style,
    measure,
    shortened,
    thousands,
)
from labels.plot_axes import Axis, Scale
from labels.plot_figure import (
    NOTE,
    Figure,
    Heading,
    Label,
    begin,
    box_of,
    fill,
    head,
    line,
    say,
    say_nothing,
)
from ledger.errors import RefusedError

HERTZ = 1000
RUNG, RUNG_WEIGHT = 5.2, 2.2  # width [mm], height [pt]
DASHES: dict[str, tuple[float, float] | None] = {
    "along": None,
    "across": (2.0, 1.1),
    "twist": (0.5, 1.0),
    "air": None,
    "top": (2.0, 1.1),
    "back": (0.5, 1.0),
}
OTHER_DASH = (4.0, 1.0)
FEET = 10.6  # under the rails: stage and mass
LEAST_GAP = 20.0  # between rails [mm]
FIRST, LAST = 34.0, 25.0  # from the edges to the outer rails [mm]
OCTAVES = 11.0  # the numbers of the octaves
CLOSING_GAP = 1.6  # against a gap without a closing
OFF = 3.2  # from a rung to words that had to give way
APART = 3.7  # between the words of two rungs [mm]
STAGE = Style(face=faces.TEXT_SEMIBOLD, size=9.6, floor=7.6, may_shorten=True)
MASS = Style(face=faces.DATA, size=8.2, colour=WALNUT, floor=6.8)
FREQUENCY = Style(face=faces.DATA, size=8.2, floor=6.8)
OCTAVE = Style(face=faces.DATA, size=7.6, colour=WALNUT, floor=6.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One mode at one stage."""

    mode: str
    frequency_millihertz: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One stage of the work: what was tapped, its mass, whether the body is closed."""

    stage: str
    closed: bool
    rungs: tuple[Rung, ...]
    mass_mg: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """What a voice ladder shows, its stages in order."""

    heading: Heading
    rails: tuple[Rail, ...]


def octaves(low_millihertz: int, high_millihertz: int) -> tuple[int, ...]:
    """Return the octaves of 50 Hz around and between two frequencies [mHz]."""
    every = [round(50 * HERTZ * 2.0**power) for power in range(-6, 20)]
    start = max(n for n, tone in enumerate(every) if not n or tone <= low_millihertz)
    end = next((n for n, t in enumerate(every) if t >= high_millihertz), len(every) - 1)
    return tuple(every[start : max(end, start + 1) + 1])


def spread(levels: list[float], apart: float, top: float, foot: float) -> list[float]:
    """Move levels just so far that none is nearer than `apart` to the next.

    Levels are in rising order; they stay between `top` and `foot` where they can.
    """
    moved: list[float] = []
    for level in levels:
        moved.append(max(level, moved[-1] + apart) if moved else max(level, top))
    limit = foot
    for number in range(len(moved) - 1, -1, -1):
        moved[number] = min(moved[number], limit)
        limit = moved[number] - apart
    return moved


def _scale(room: Box, plot: Voice) -> Scale:
    _, y, _, h = room
    tones = [r.frequency_millihertz for rail in plot.rails for r in rail.rungs]
    ticks = octaves(min(tones), max(tones))
    axis = Axis(
        name="Hz",
        low=ticks[0] * 95 // 100,
        high=ticks[-1] * 105 // 100,
        ticks=ticks,
        per=HERTZ,
        logarithmic=True,
    )
    return Scale(axis=axis, start=y + h - FEET, end=y)


def _octaves(figure: Figure, room: Box, scale: Scale) -> None:
    x, _, w, _ = room
    ticks = scale.axis.ticks
    for number, value in enumerate(ticks):
        level = plot_axes.place(scale, value)
        line(figure, [(x, level), (x + w, level)], 0.22, colour=HAIR)
        said = plot_axes.number(value, HERTZ)
        if number == len(ticks) - 1:
            said += f"{THIN_SPACE}Hz"
        say(figure, (x, level - 1.0), said, OCTAVE)


def _rail_places(room: Box, plot: Voice) -> list[float]:
    """Return where the rails stand, farther apart where the body was closed."""
    x, _, w, _ = room
    gaps = _gaps(plot)
    first, last = x + FIRST, x + w - LAST
    if not gaps:
        return [(first + last) / 2]
    return [
        first + (last - first) * part / sum(gaps) for part in (0, *accumulate(gaps))
    ]


def _word_rooms(room: Box, places: list[float], sides: list[str]) -> list[float]:
    """Return how wide the words beside each rail may be."""
    x, _, w, _ = room
    found = []
    for number, (at, side) in enumerate(zip(places, sides, strict=True)):
        last = len(places) - 1
        if side == "left":
            free = at - (places[number - 1] if number else x + OCTAVES)
            faced = number > 0 and sides[number - 1] == "right"
        else:
            free = (places[number + 1] if number < last else x + w) - at
            faced = number < last and sides[number + 1] == "left"
        outer = (side == "left" and not number) or (side == "right" and number == last)
        free -= RUNG / 2 if outer else RUNG
        found.append((free / 2 if faced else free) - OFF - 0.8)
    return found


def _joins(figure: Figure, places: list[float], scale: Scale, plot: Voice) -> None:
    """Join each mode to itself on the next rail, but never across the closing."""
    both = zip(pairwise(plot.rails), pairwise(places), strict=True)
    for (rail, after), (start, end) in both:
        if rail.closed != after.closed:
            continue
        later = {rung.mode: rung for rung in after.rungs}
        for rung in rail.rungs:
            if rung.mode in later:
                a = plot_axes.place(scale, rung.frequency_millihertz)
                b = plot_axes.place(scale, later[rung.mode].frequency_millihertz)
                points = [(start, a), (end, b)]
                dash = DASHES.get(rung.mode, OTHER_DASH)
                line(figure, points, 1.0, dash=dash)
                plot_places.note_line(figure, points)


def _side(plot: Voice, number: int) -> str:
    """Tell on which side of a rail its words stand: where no line comes in."""
    rails = plot.rails
    before = number > 0 and rails[number - 1].closed == rails[number].closed
    after = number + 1 < len(rails) and rails[number + 1].closed == rails[number].closed
    return "left" if after and not before else "right"


def _rungs(
    figure: Figure, x: float, side: str, scale: Scale, rail: Rail, wide: float
) -> None:
    order = sorted(rail.rungs, key=lambda r: (-r.frequency_millihertz, r.mode))
    levels = [plot_axes.place(scale, r.frequency_millihertz) for r in order]
    for level in levels:
        line(figure, [(x - RUNG / 2, level), (x + RUNG / 2, level)], RUNG_WEIGHT)
    foot = scale.start - 0.6
    apart = min(APART, (foot - scale.end) / max(len(levels), 1))
    sign = -1.0 if side == "left" else 1.0
    for rung, level, moved in zip(
        order, levels, spread(levels, apart, scale.end, foot), strict=True
    ):
        start = x + sign * (RUNG / 2 + 0.4)
        at = x + sign * (RUNG / 2 + (1.0 if moved == level else OFF))
        if moved != level:
            line(figure, [(start, level), (at - sign * 0.5, moved)], 0.5)
        _name(figure, (at, moved + 1.0), side, rung, wide)


def _name(figure: Figure, at: Point, side: str, rung: Rung, wide: float) -> None:
    """Set frequency and mode beside a rung, on white where a line runs under them."""
    tenth = (rung.frequency_millihertz + 50) // 100
    said = f"{thousands(tenth // 10)}.{tenth % 10}"
    number = box_of(at, said, FREQUENCY)
    length = number.right - number.left
    free = wide - length - 2
    mode = shortened(rung.mode, NOTE, free)
    name = measure(mode, NOTE)
    left = at[0] if side == "right" else at[0] - length - 1.2 - name
    if side == "right":
        spots = (left, left + length + 1.2)
    else:
        spots = (left + name + 1.2, left)
    over = (left - 0.3, number.top, length + name + 1.8, number.foot - number.top)
    fill(figure, over, WHITE)
    say(figure, (spots[0], at[1]), said, FREQUENCY)
    say(figure, (spots[1], at[1]), mode, NOTE, within=free)


def _feet(figure: Figure, x: float, scale: Scale, rail: Rail, wide: float) -> None:
    level = scale.start
    say(figure, (x, level + 4.6), rail.stage, STAGE, align="centre", within=wide)
    said = "not weighed"
    if rail.mass_mg is not None:
        said = f"{thousands((rail.mass_mg + 500) // 1000)}{THIN_SPACE}g"
    say(figure, (x, level + 9), said, MASS, align="centre", within=wide)


def _closings(figure: Figure, room: Box, places: list[float], plot: Voice) -> None:
    """Say between the rails where the body was closed."""
    level = room[1] + room[3] - FEET + 4.6
    both = zip(pairwise(plot.rails), pairwise(places), strict=True)
    for (rail, after), (x, end) in both:
        if rail.closed != after.closed:
            said = "body closed" if after.closed else "body opened"
            at = ((x + end - measure(said, NOTE)) / 2, level)
            plot_places.first_free(figure, [at], said, NOTE, room)


def _gaps(plot: Voice) -> list[float]:
    """Return the gaps between the rails, a closing being wider."""
    return [
        CLOSING_GAP if rail.closed != after.closed else 1.0
        for rail, after in pairwise(plot.rails)
    ]


def _refuse_full(room: Box, plot: Voice) -> None:
    """Refuse more than can be told apart."""
    free = (room[2] - FIRST - LAST) / LEAST_GAP
    if sum(_gaps(plot)) > free:
        raise RefusedError(
            f"{len(plot.rails)} stages, and a ladder {room[2]:.0f} mm wide has room "
            f"for {int(free - CLOSING_GAP) + 2}; choose fewer"
        )
    most = int((room[3] - FEET) / APART)
    for rail in plot.rails:
        if len(rail.rungs) > most:
            raise RefusedError(
                f"stage {rail.stage!r} has {len(rail.rungs)} modes, and the ladder "
                f"has room for {most}; choose fewer"
            )


def _refuse_no_tone(plot: Voice) -> None:
    for rail in plot.rails:
        for rung in rail.rungs:
            if rung.frequency_millihertz < HERTZ:
                raise RefusedError(
                    f"{rung.mode} at stage {rail.stage!r} is "
                    f"{rung.frequency_millihertz} mHz, and no tone of a body is under "
                    f"{HERTZ} mHz; tap it again"
                )


def draw(
    page: Page, box: Box, plot: Voice, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a voice ladder at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not any(rail.rungs for rail in plot.rails):
        say_nothing(figure, room, "This instrument has not been tapped at any stage.")
        return tuple(figure.labels)
    _refuse_no_tone(plot)
    _refuse_full(room, plot)
    scale = _scale(room, plot)
    places = _rail_places(room, plot)
    sides = [_side(plot, number) for number in range(len(places))]
    rooms = _word_rooms(room, places, sides)
    gaps = [b - a for a, b in pairwise(places)] or [room[2] / 2]
    wide = min(*gaps, 2 * LAST, 60.0)
    _octaves(figure, room, scale)
    _joins(figure, places, scale, plot)
    for x, rail, side, free in zip(places, plot.rails, sides, rooms, strict=True):
        line(figure, [(x, scale.end), (x, scale.start)], 0.8, colour=INK)
        _rungs(figure, x, side, scale, rail, free)
        _feet(figure, x, scale, rail, wide - 2)
    _closings(figure, room, places, plot)
    return tuple(figure.labels)
