"""The voice ladder: the tones of one instrument as plate, braced, closed and strung.

Octaves are of equal height. Nothing joins across the closing of the body, because the
modes before and after it are different ones.
"""

from dataclasses import dataclass, replace
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
    Label,
    begin,
    box_of,
    fill,
    head,
    line,
    say,
    say_nothing,
)
from labels.plot_voice_facts import NARROW, WIDE, Rail, Room, Rung, Voice, with_room
from labels.tongue import term
from ledger.errors import RefusedError

__all__ = ["NARROW", "Rail", "Rung", "Voice", "draw", "draw_in", "most_modes"]

HERTZ = 1000
RUNG_WEIGHT = 2.2  # the height of a rung [pt]
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
APART = 3.7  # modes that a ladder has room for are so far apart [mm]
STAGE = Style(face=faces.TEXT_SEMIBOLD, size=9.6, floor=7.6, may_shorten=True)
MASS = Style(face=faces.DATA, size=8.2, colour=WALNUT, floor=6.8, may_shorten=True)
FREQUENCY = Style(face=faces.DATA, size=8.2, floor=6.8)
OCTAVE = Style(face=faces.DATA, size=7.6, colour=WALNUT, floor=6.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A rail on the paper: where, on which side its words stand, how wide [mm]."""

    x: float
    side: str
    wide: float
    rail: Rail
    unnamed: frozenset[str]  # modes that the rail beside names
    foot_left: float  # how far the words under it may reach
    foot_right: float


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
    for value in scale.axis.ticks:
        level = plot_axes.place(scale, value)
        line(figure, [(x, level), (x + w, level)], 0.22, colour=HAIR)


def _octave_numbers(figure: Figure, room: Box, scale: Scale) -> None:
    """Set the numbers of the octaves left, or right where words stand there."""
    x, y, w, h = room
    ticks = scale.axis.ticks
    for number, value in enumerate(ticks):
        level = plot_axes.place(scale, value) - 1.0
        said = plot_axes.number(value, HERTZ)
        if number == len(ticks) - 1:
            said += f"{THIN_SPACE}Hz"
        spots = [(x, level), (x + w - measure(said, OCTAVE), level)]
        over = (x, y - 6, w + 0.01, h + 6)
        plot_places.first_free(figure, spots, said, OCTAVE, over)


def _rail_places(room: Box, plot: Voice, layout: Room) -> list[float]:
    """Return where the rails stand, farther apart where the body was closed."""
    x, _, w, _ = room
    gaps = _gaps(plot, layout)
    first, last = x + layout.first, x + w - layout.last
    if not gaps:
        return [(first + last) / 2]
    return [
        first + (last - first) * part / sum(gaps) for part in (0, *accumulate(gaps))
    ]


def _word_rooms(
    room: Box, places: list[float], sides: list[str], layout: Room
) -> list[float]:
    """Return how wide the words beside each rail may be."""
    x, _, w, _ = room
    found = []
    for number, (at, side) in enumerate(zip(places, sides, strict=True)):
        last = len(places) - 1
        if side == "left":
            free = at - (places[number - 1] if number else x + layout.octaves)
            faced = number > 0 and sides[number - 1] == "right"
        else:
            free = (places[number + 1] if number < last else x + w) - at
            faced = number < last and sides[number + 1] == "left"
        outer = (side == "left" and not number) or (side == "right" and number == last)
        free -= layout.rung / 2 if outer else layout.rung
        found.append((free / 2 if faced else free) - layout.off - 0.8)
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


def _named_elsewhere(plot: Voice, number: int) -> frozenset[str]:
    """Return the modes of a rail that are named on the one it is joined to."""
    rail, found = plot.rails[number], set[str]()
    for other in (number - 1, number + 1):
        if 0 <= other < len(plot.rails) and plot.rails[other].closed == rail.closed:
            found |= {rung.mode for rung in plot.rails[other].rungs}
    return frozenset(found)


def _is_outer(plot: Voice, number: int) -> bool:
    return number in (0, len(plot.rails) - 1)


def _rungs(figure: Figure, laid: _Laid, scale: Scale, layout: Room) -> None:
    x, side, rail, half = laid.x, laid.side, laid.rail, layout.rung / 2
    order = sorted(rail.rungs, key=lambda r: (-r.frequency_millihertz, r.mode))
    levels = [plot_axes.place(scale, r.frequency_millihertz) for r in order]
    for level in levels:
        line(figure, [(x - half, level), (x + half, level)], RUNG_WEIGHT)
    foot = scale.start - 0.6
    apart = min(layout.apart, (foot - scale.end) / max(len(levels), 1))
    sign = -1.0 if side == "left" else 1.0
    for rung, level, moved in zip(
        order, levels, spread(levels, apart, scale.end, foot), strict=True
    ):
        start = x + sign * (half + 0.4)
        at = x + sign * (half + (layout.near if moved == level else layout.off))
        if moved != level:
            line(figure, [(start, level), (at - sign * 0.5, moved)], 0.5)
        _name(figure, (at, moved + 1.0), laid, rung)


def _name(figure: Figure, at: Point, laid: _Laid, rung: Rung) -> None:
    """Set frequency and mode beside a rung, on white where a line runs under them."""
    side, wide = laid.side, laid.wide
    tenth = (rung.frequency_millihertz + 50) // 100
    said = f"{thousands(tenth // 10)}.{tenth % 10}"
    number = box_of(at, said, FREQUENCY)
    length = number.right - number.left
    free = wide - length - 2
    mode = "" if rung.mode in laid.unnamed else figure.words(rung.mode)
    mode = shortened(mode, NOTE, free)
    name = measure(mode, NOTE)
    left = at[0] if side == "right" else at[0] - length - 1.2 - name
    if side == "right":
        spots = (left, left + length + 1.2)
    else:
        spots = (left + name + 1.2, left)
    over = (left - 0.3, number.top, length + name + 1.8, number.foot - number.top)
    if not mode:
        spots = (at[0] - (length if side == "left" else 0.0), at[0])
        over = (spots[0] - 0.3, number.top, length + 0.6, number.foot - number.top)
    fill(figure, over, WHITE)
    say(figure, (spots[0], at[1]), said, FREQUENCY)
    say(figure, (spots[1], at[1]), mode, NOTE, within=free)


def _feet(figure: Figure, laid: _Laid, scale: Scale, size: float) -> None:
    level, rail = scale.start, laid.rail
    stage, style = figure.words(rail.stage), replace(STAGE, size=size)
    _foot(figure, laid, level + 4.6, stage, style)
    said = figure.words(term("not weighed"))
    if rail.mass_mg is not None:
        said = f"{thousands((rail.mass_mg + 500) // 1000)}{THIN_SPACE}g"
    _foot(figure, laid, level + 9, said, MASS)


def _foot(figure: Figure, laid: _Laid, level: float, words: str, style: Style) -> None:
    """Set words under a rail, or beside its middle where only one side has room."""
    x, left, right = laid.x, laid.foot_left, laid.foot_right
    even = 2 * min(left, right)
    if left == right or measure(words, style) <= even:
        say(figure, (x, level), words, style, align="centre", within=even)
    elif right < left:
        at = (x + right, level)
        say(figure, at, words, style, align="right", within=left + right)
    else:
        say(figure, (x - left, level), words, style, within=left + right)


def _closings(figure: Figure, room: Box, places: list[float], plot: Voice) -> None:
    """Say between the rails where the body was closed."""
    level = room[1] + room[3] - FEET + 4.6
    both = zip(pairwise(plot.rails), pairwise(places), strict=True)
    for (rail, after), (x, end) in both:
        if rail.closed != after.closed:
            word = term("body closed") if after.closed else term("body opened")
            said = figure.words(word)
            at = ((x + end - measure(said, NOTE)) / 2, level)
            plot_places.first_free(figure, [at], said, NOTE, room)


def _gaps(plot: Voice, layout: Room) -> list[float]:
    """Return the gaps between the rails, a closing being wider."""
    return [
        layout.closing if rail.closed != after.closed else 1.0
        for rail, after in pairwise(plot.rails)
    ]


def _refuse_full(room: Box, plot: Voice, layout: Room) -> None:
    """Refuse more than can be told apart."""
    free = (room[2] - layout.first - layout.last) / layout.least_gap
    if sum(_gaps(plot, layout)) > free:
        raise RefusedError(
            f"{len(plot.rails)} stages, and a ladder {room[2]:.0f} mm wide has room "
            f"for {int(free - layout.closing) + 2}; choose fewer"
        )
    most = most_modes(room[3])
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
    draw_in(figure, room, plot)
    return tuple(figure.labels)


def draw_in(figure: Figure, room: Box, plot: Voice, layout: Room = WIDE) -> None:
    """Draw a voice ladder into a room of a figure, without its heading."""
    _refuse_no_tone(plot)
    _refuse_full(room, plot, layout)
    layout = with_room(layout, plot, figure.words)
    scale = _scale(room, plot)
    rails = _laid(room, plot, layout)
    places = [laid.x for laid in rails]
    _octaves(figure, room, scale)
    _joins(figure, places, scale, plot)
    for laid in rails:
        line(figure, [(laid.x, scale.end), (laid.x, scale.start)], 0.8, colour=INK)
        _rungs(figure, laid, scale, layout)
        _feet(figure, laid, scale, layout.stage_size)
    _octave_numbers(figure, room, scale)
    _closings(figure, room, places, plot)


def most_modes(height: float) -> int:
    """Return how many modes of a stage a ladder of a height [mm] has room for."""
    return int((height - FEET) / APART)


def _laid(room: Box, plot: Voice, layout: Room) -> list[_Laid]:
    """Lay the rails out on the width."""
    places = _rail_places(room, plot, layout)
    sides = [_side(plot, number) for number in range(len(places))]
    if layout.is_narrow and len(places) > 1:
        sides[0] = "left"
    rooms = _word_rooms(room, places, sides, layout)
    return [
        _Laid(
            x=places[number],
            side=sides[number],
            wide=rooms[number],
            rail=rail,
            foot_left=_foot_room(places, number, layout)[0],
            foot_right=_foot_room(places, number, layout)[1],
            unnamed=_named_elsewhere(plot, number)
            if layout.is_narrow and not _is_outer(plot, number)
            else frozenset(),
        )
        for number, rail in enumerate(plot.rails)
    ]


def _foot_room(places: list[float], number: int, layout: Room) -> tuple[float, float]:
    """Return how far the words under a rail may reach left and right of it [mm].

    Where there is width enough they reach equally far on both sides of every rail.
    """
    gaps = [b - a for a, b in pairwise(places)] or [2 * layout.last]
    even = (min(*gaps, 2 * layout.last, 60.0) - layout.between) / 2
    if not layout.is_narrow:
        return even, even
    around = [2 * layout.last, *(b - a for a, b in pairwise(places)), 2 * layout.last]
    left, right = ((gap - layout.between) / 2 for gap in around[number : number + 2])
    return left, right
