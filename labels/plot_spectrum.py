"""The spectrum of a tap, with the peaks that were chosen, the hum and the band."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from labels import plot_axes, plot_places
from labels.faces import THIN_SPACE
from labels.marks import Box, Point
from labels.page import BARK, WALNUT, Page
from labels.plot_axes import Axis, Field
from labels.plot_figure import (
    NAME,
    NOTE,
    SMALL,
    Figure,
    Heading,
    Label,
    begin,
    clip,
    counted,
    disc,
    hatched,
    head,
    line,
    ring,
    say_nothing,
    unclip,
)

HERTZ = 1000
FLOOR = -6000  # the lowest level shown, in hundredths of a decibel
FULL = 1_000_000
WIDE = 12  # from this factor on, octaves are of equal width
LEAST_HERTZ = 10
COLUMN = 0.15  # what the eye can tell apart [mm]
HUM_LINES = 12
DOTTED = (0.3, 1.1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """One peak: its mode, if somebody chose it, its frequency and its Q."""

    frequency_millihertz: int
    mode: str = ""
    q_milli: int | None = None
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Spectrum:
    """What a spectrum shows; levels are amplitudes, in parts of the highest.

    Level n is at `start_millihertz` plus n times `step_millihertz`.
    """

    heading: Heading
    start_millihertz: int
    step_millihertz: int
    levels_ppm: tuple[int, ...]
    peaks: tuple[Peak, ...] = ()
    mains_millihertz: int | None = None
    band_millihertz: tuple[int, int] | None = None
    how: str = ""  # such as: 6 taps, 48 kHz


def decibels_hundredth(level_ppm: int) -> int:
    """Return a level in hundredths of a decibel under the highest, not under -60 dB."""
    if level_ppm <= 0:
        return FLOOR
    return max(FLOOR, round(2000 * math.log10(level_ppm / FULL)))


def _tones(plot: Spectrum) -> Iterator[tuple[int, int]]:
    for number, level in enumerate(plot.levels_ppm):
        yield plot.start_millihertz + number * plot.step_millihertz, level


def _view(plot: Spectrum) -> tuple[int, int]:
    """Return from where to where the spectrum is shown: band, peaks, a little more."""
    first = max(plot.start_millihertz, LEAST_HERTZ * HERTZ)
    last = plot.start_millihertz + (len(plot.levels_ppm) - 1) * plot.step_millihertz
    if not plot.band_millihertz:
        return first, last
    tones = [*plot.band_millihertz, *(p.frequency_millihertz for p in plot.peaks)]
    return max(first, min(tones) * 4 // 5), min(last, max(tones) * 5 // 4)


def _axes(figure: Figure, room: Box, plot: Spectrum) -> Field:
    low, high = _view(plot)
    if high >= low * WIDE:
        x = plot_axes.by_factors("Hz", (low, high), per=HERTZ)
    else:
        x = plot_axes.even_within(
            room[2] * 0.8, "Hz", (low, high), per=HERTZ, least_span=HERTZ
        )
    ticks = tuple(range(FLOOR, 1, 1000))
    y = Axis(name="dB under the highest peak", low=FLOOR, high=0, ticks=ticks, per=100)
    return plot_axes.lay(figure, room, x, y)


def _curve(field: Field, plot: Spectrum) -> list[Point]:
    """Return the spectrum with its highest and lowest point in every column."""
    columns: dict[int, list[Point]] = {}
    low, high = field.x.axis.low, field.x.axis.high
    for tone, level in _tones(plot):
        if low <= tone <= high:
            x = plot_axes.place(field.x, tone)
            at = (x, plot_axes.place(field.y, decibels_hundredth(level)))
            columns.setdefault(int(x / COLUMN), []).append(at)
    points: list[Point] = []
    for held in columns.values():
        ends = {min(held, key=lambda at: at[1]), max(held, key=lambda at: at[1])}
        points += sorted(ends)
    return points


def _outside(figure: Figure, field: Field, band: tuple[int, int]) -> None:
    """Hatch what lies outside the band, where no peak was looked for."""
    x, top, w, h = field.bounds
    start, end = (
        min(max(plot_axes.place(field.x, max(edge, 1)), x), x + w) for edge in band
    )
    for side in ((x, top, start - x, h), (end, top, x + w - end, h)):
        if side[2] > 0:
            hatched(figure, side, pitch=2.2)
            plot_places.note_band(figure, side)
    for edge in (start, end):
        if x < edge < x + w:
            line(figure, [(edge, top), (edge, top + h)], 0.5)


def _hum(figure: Figure, field: Field, mains: int) -> None:
    """Draw the mains and its multiples, and name the first that has room."""
    x, top, w, h = field.bounds
    axis = field.x.axis
    every = range(mains, min(axis.high, mains * HUM_LINES) + 1, mains)
    places = [plot_axes.place(field.x, tone) for tone in every if tone >= axis.low]
    for at in places:
        line(figure, [(at, top), (at, top + h)], 0.5, colour=BARK, dash=DOTTED)
        plot_places.note_line(figure, [(at, top), (at, top + h)])
    said = (
        f"dotted: mains, {plot_axes.number(mains, HERTZ)}{THIN_SPACE}Hz and multiples"
    )
    spots = [
        (x + 2 + w * n / 20, top + 3 + row) for row in (0, h - 5) for n in range(20)
    ]
    if places:
        plot_places.first_free(figure, spots, said, NOTE, field.bounds)


def _height(plot: Spectrum, tone: int) -> int:
    """Return the level [ppm] of the spectrum at a peak."""
    nearest = (tone - plot.start_millihertz) // plot.step_millihertz
    near = plot.levels_ppm[max(0, nearest) : max(0, nearest) + 2]
    return max(near, default=0)


def peak_said(peak: Peak) -> str:
    """Say a peak's frequency to a tenth, and its Q to a whole number."""
    tenth = (peak.frequency_millihertz + 50) // 100
    said = f"{plot_axes.number(tenth // 10, 1)}.{tenth % 10}{THIN_SPACE}Hz"
    if peak.q_milli is None:
        return said
    return f"{said}, Q {plot_axes.number((peak.q_milli + 500) // 1000, 1)}"


def _peaks(figure: Figure, field: Field, plot: Spectrum) -> None:
    """Mark the peaks: a disc where chosen, a ring where not; the chosen are named."""
    shown = [p for p in plot.peaks if _is_shown(field.x.axis, p)]
    marked = []
    for peak in shown:
        level = decibels_hundredth(_height(plot, peak.frequency_millihertz))
        at = (
            plot_axes.place(field.x, peak.frequency_millihertz),
            plot_axes.place(field.y, level),
        )
        (disc if peak.chosen else ring)(figure, at)
        plot_places.note_mark(figure, at)
        marked.append((peak, at))
    x, top, w, h = field.bounds
    bounds = (x + 0.5, top - 3.5, w, h + 3.5)
    for peak, at in marked:
        if peak.chosen:
            tail = f" {peak_said(peak)}"
            said = f"{peak.mode}{tail}".strip()
            plot_places.beside(figure, [at], said, NAME, bounds, tail=tail)
    for peak, at in marked:
        if not peak.chosen:
            plot_places.if_free(figure, at, peak_said(peak), SMALL, bounds)


def _foot(figure: Figure, field: Field, plot: Spectrum) -> None:
    """Say how it was heard, where nobody listened, and what peaks are not shown."""
    said = [plot.how] if plot.how else []
    if plot.band_millihertz:
        low, high = (plot_axes.number(edge, HERTZ) for edge in plot.band_millihertz)
        said.append(f"listened from {low} to {high}{THIN_SPACE}Hz, not where hatched")
    axis = field.x.axis
    outside = [p for p in plot.peaks if not _is_shown(axis, p)]
    if outside:
        said.append(f"{counted(len(outside), 'peak')} outside")
    plot_axes.foot(figure, field, "; ".join(said), share=0.8)


def _is_shown(axis: Axis, peak: Peak) -> bool:
    return axis.low <= peak.frequency_millihertz <= axis.high


def _is_silent(plot: Spectrum) -> bool:
    """Tell whether there is nothing that a curve could be drawn through."""
    if len(plot.levels_ppm) < 2 or max(plot.levels_ppm) <= 0:
        return True
    low, high = _view(plot)
    return high - low < 2 * plot.step_millihertz


def draw(
    page: Page, box: Box, plot: Spectrum, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw the spectrum of a tap at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if _is_silent(plot):
        said = f"Nothing was heard above {LEAST_HERTZ}{THIN_SPACE}Hz in this recording."
        say_nothing(figure, room, said)
        return tuple(figure.labels)
    field = _axes(figure, room, plot)
    if plot.band_millihertz:
        _outside(figure, field, plot.band_millihertz)
    points = _curve(field, plot)
    clip(figure, field.bounds)
    line(figure, points, 0.65, colour=WALNUT)
    unclip(figure)
    plot_places.note_line(figure, points)
    _peaks(figure, field, plot)
    if plot.mains_millihertz:
        _hum(figure, field, plot.mains_millihertz)
    _foot(figure, field, plot)
    return tuple(figure.labels)
