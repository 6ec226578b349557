"""A tap series: one plate tapped as it was worked, expected against measured."""

from dataclasses import dataclass

from labels import faces, plot_axes, plot_places
from labels.faces import THIN_SPACE
from labels.marks import Box, Point
from labels.page import HAIR, INK, WALNUT, Page, Style, thousands
from labels.plot_axes import Axis, Scale
from labels.plot_figure import (
    NAME,
    NOTE,
    NUMBER,
    Figure,
    Heading,
    Label,
    begin,
    disc,
    head,
    line,
    ring,
    say,
    say_nothing,
)
from ledger.errors import RefusedError

HERTZ = 1000
FEET = 17.6  # under the panels: stage, thickness, mass
PANEL = 12.0  # the lowest that can be read [mm]
BETWEEN = 5.6  # between panels: the name of the mode stands there
LEFT = 13.0
COLUMN = 16.0  # of a stage whose words are shown
INSET = 9.5  # of the first and the last stage
EXPECTED = (1.2, 0.9)
STAGE = Style(face=faces.TEXT_SEMIBOLD, size=8.8, floor=7.6, may_shorten=True)
FACT = Style(face=faces.DATA, size=7.8, colour=WALNUT, floor=6.8, may_shorten=True)


Tones = tuple[tuple[int, int | None, int | None], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTone:
    """One mode at one stage: what was measured, and what was expected of it."""

    mode: str
    measured_millihertz: int | None = None
    expected_millihertz: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TapStage:
    """One stage of the work on a plate."""

    name: str
    tones: tuple[StageTone, ...]
    thickness_um: int | None = None
    mass_mg: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TapSeries:
    """What a tap series shows, its stages in order."""

    heading: Heading
    stages: tuple[TapStage, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The tones of one mode: (stage, measured, expected), and where they are drawn."""

    mode: str
    tones: Tones
    scale: Scale
    places: tuple[float, ...]


def _modes(plot: TapSeries) -> list[str]:
    """Return the modes that have a tone, in the order in which they first appear."""
    return list(
        dict.fromkeys(
            tone.mode
            for stage in plot.stages
            for tone in stage.tones
            if tone.measured_millihertz or tone.expected_millihertz
        )
    )


def _tones(plot: TapSeries, mode: str) -> Tones:
    return tuple(
        (number, tone.measured_millihertz, tone.expected_millihertz)
        for number, stage in enumerate(plot.stages)
        for tone in stage.tones
        if tone.mode == mode
    )


def _axis(tones: Tones, high: float) -> Axis:
    """Return an axis just wide enough, with two round ticks at least."""
    values = [v for _, *pair in tones for v in pair if v is not None]
    low, top = min(values), max(values)
    room = max((top - low) // 5, HERTZ // 2)
    low, top = max(low - room, 0), top + room
    ticks: tuple[int, ...] = ()
    for most in range(min(max(3, int(high / 7)), 8), 12):
        round_ones = plot_axes.even("", (low, top), per=HERTZ, most=most).ticks
        ticks = tuple(v for v in round_ones if low <= v <= top)
        if len(ticks) > 1:
            break
    return Axis(name="Hz", low=low, high=top, ticks=ticks, per=HERTZ)


def _panels(room: Box, plot: TapSeries) -> list[Panel]:
    x, y, w, h = room
    modes = _modes(plot)
    high = (h - FEET) / len(modes) - BETWEEN
    if high < PANEL:
        most = int((h - FEET) / (PANEL + BETWEEN))
        raise RefusedError(
            f"{len(modes)} modes, and the figure has room for {most}; choose fewer"
        )
    count = len(plot.stages)
    inset = max((w - LEFT) / count / 2, INSET)
    pitch = (w - LEFT - 2 * inset) / max(count - 1, 1)
    places = tuple(x + LEFT + inset + pitch * n for n in range(count))
    found = []
    for number, mode in enumerate(modes):
        top = y + number * (high + BETWEEN) + BETWEEN
        tones = _tones(plot, mode)
        scale = Scale(axis=_axis(tones, high), start=top + high, end=top)
        found.append(Panel(mode=mode, tones=tones, scale=scale, places=places))
    return found


def _frame(figure: Figure, room: Box, panel: Panel) -> None:
    """Draw the axis of a mode, its name above, and a hair line at every tick."""
    x, _, w, _ = room
    start, scale = x + LEFT, panel.scale
    line(figure, [(start, scale.start), (start, scale.end)], 0.5)
    line(figure, [(start, scale.start), (x + w, scale.start)], 0.5)
    for value in scale.axis.ticks:
        y = plot_axes.place(scale, value)
        line(figure, [(start - plot_axes.MAJOR, y), (start, y)], 0.5)
        level = [(start, y), (x + w, y)]
        line(figure, level, 0.22, colour=HAIR)
        plot_places.note_line(figure, level)
        said = plot_axes.number(value, HERTZ)
        at = (start - 2.3, y + 1.0)
        say(figure, at, said, NUMBER, align="right", within=LEFT - 2.5)
    said = f"{panel.mode}, Hz"
    say(figure, (start, scale.end - 1.6), said, NOTE, within=w / 3)


def _points(panel: Panel, which: int) -> list[Point]:
    """Return the places of the measured (1) or the expected (2) tones."""
    found = []
    for tone in panel.tones:
        value = tone[which]
        if value is not None:
            x = panel.places[tone[0]]
            found.append((x, plot_axes.place(panel.scale, value)))
    return found


def _curves(figure: Figure, panel: Panel) -> None:
    expected, measured = _points(panel, 2), _points(panel, 1)
    line(figure, expected, 0.6, colour=WALNUT, dash=EXPECTED)
    line(figure, measured, 1.3, colour=INK)
    plot_places.note_line(figure, expected)
    plot_places.note_line(figure, measured, plot_places.ON_A_HEAVY_LINE)
    for at in expected:
        ring(figure, at, 0.85)
        plot_places.note_mark(figure, at)
    for at in measured:
        disc(figure, at, 0.85)
        plot_places.note_mark(figure, at)


def _hertz(millihertz: int) -> str:
    tenth = (millihertz + 50) // 100
    return f"{thousands(tenth // 10)}.{tenth % 10}"


def difference_said(measured: int, expected: int) -> str:
    """Say by how much the measured tone is off the expected one."""
    tenth = round((measured - expected) * 1000 / expected)
    sign = "+" if tenth > 0 else "−" if tenth < 0 else "±"
    whole, rest = divmod(abs(tenth), 10)
    return f"{sign}{thousands(whole)}.{rest}{THIN_SPACE}%"


def _values(figure: Figure, room: Box, panel: Panel) -> None:
    """Say the last tone and its expectation in full, the others where there is room."""
    x, _, w, _ = room
    top = panel.scale.end - BETWEEN + 1
    bounds = (x + LEFT + 0.5, top, w - LEFT, panel.scale.start - top - 0.3)
    heard = [tone for tone in panel.tones if tone[1] is not None]
    for number, (stage, measured, expected) in reversed(list(enumerate(heard))):
        if measured is None:
            continue
        marks = [(panel.places[stage], plot_axes.place(panel.scale, measured))]
        said = _hertz(measured)
        if expected:
            marks.append((marks[0][0], plot_axes.place(panel.scale, expected)))
            said += f", {difference_said(measured, expected)}"
        if number == len(heard) - 1:
            plot_places.beside(figure, marks, said, NAME, bounds)
        else:
            plot_places.if_near(figure, marks, said, NUMBER, bounds)


def _feet(figure: Figure, room: Box, panel: Panel, plot: TapSeries) -> None:
    """Set stage, thickness and mass under the columns, of every n-th if they crowd."""
    x, y, w, h = room
    level = y + h - FEET
    count = len(plot.stages)
    pitch = panel.places[1] - panel.places[0] if count > 1 else w / 3
    every = max(1, -int(-COLUMN // pitch))
    for number, (at, stage) in enumerate(zip(panel.places, plot.stages, strict=True)):
        line(figure, [(at, level), (at, level + 1.0)], 0.5)
        if number % every == 0:
            facts = _facts(stage)
            wide = min(pitch * every, w / 3) - 1.5
            for row, (said, style) in enumerate(
                zip(facts, (STAGE, FACT, FACT), strict=True)
            ):
                at_row = (at, level + 4.6 + 4.0 * row)
                say(figure, at_row, said, style, align="centre", within=wide)
    for row, said in enumerate(("stage", "thickness", "mass")):
        say(figure, (x, level + 4.6 + 4.0 * row), said, NOTE, within=LEFT)
    said = "disc measured, ring expected; per cent: measured against expected"
    say(figure, (x + LEFT, level + 16.5), said, NOTE, within=w - LEFT)


def _facts(stage: TapStage) -> tuple[str, str, str]:
    thick = heavy = "–"
    if stage.thickness_um is not None:
        hundredth = (stage.thickness_um + 5) // 10
        thick = f"{thousands(hundredth // 100)}.{hundredth % 100:02d}{THIN_SPACE}mm"
    if stage.mass_mg is not None:
        tenth = (stage.mass_mg + 50) // 100
        heavy = f"{thousands(tenth // 10)}.{tenth % 10}{THIN_SPACE}g"
    return stage.name, thick, heavy


def draw(
    page: Page, box: Box, plot: TapSeries, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a tap series at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not _modes(plot):
        say_nothing(figure, room, "This plate has not been tapped at any stage.")
        return tuple(figure.labels)
    panels = _panels((room[0], room[1] - 4, room[2], room[3] + 4), plot)
    for panel in panels:
        _frame(figure, room, panel)
        _curves(figure, panel)
    for panel in panels:
        _values(figure, room, panel)
    _feet(figure, room, panels[0], plot)
    return tuple(figure.labels)
