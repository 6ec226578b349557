"""How the boards of a lot came to rest: their mass against the days in the rack."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from labels import plot_axes, plot_places
from labels.faces import THIN_SPACE
from labels.marks import Box, Point
from labels.page import BARK, INK, WALNUT, Page, measure, thousands
from labels.plot_axes import DAYS, Field
from labels.plot_figure import (
    NAME,
    NOTE,
    PLAIN,
    Figure,
    Heading,
    Label,
    begin,
    disc,
    hatched,
    head,
    line,
    ring,
    say_nothing,
)
from labels.tongue import Tongue, term

GRAM = 1000
LAST = 3
DASHED = (2.0, 1.1)
FITTED = (3.2, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """A board lay on the scale: on which day of its rest, and how heavy it was."""

    rest_days: int
    mass_mg: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """The weights of one board or set, in the order of their days."""

    name: str
    weights: tuple[Weight, ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """The day on which a board is expected to be ready, and how sure that is."""

    likely_days: int
    first_days: int
    last_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RestBand:
    """Between which masses a board is at rest in the air of the room."""

    low_mg: int
    high_mg: int
    why: str = ""  # such as: room at 8.2 to 8.8 % EMC


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasoning:
    """What a seasoning curve shows; `fitted` is the curve through the chosen set."""

    heading: Heading
    what: str  # one of what was weighed: set, board
    chosen: Series | None = None
    stubborn: tuple[Series, ...] = ()
    siblings: tuple[Series, ...] = ()
    fitted: tuple[Weight, ...] = ()
    ready: Ready | None = None
    rest: RestBand | None = None
    least_days: int | None = None
    preferred_days: int | None = None


def _every(plot: Seasoning) -> list[Series]:
    chosen = [plot.chosen] if plot.chosen else []
    return [*chosen, *plot.stubborn, *plot.siblings]


def _axes(figure: Figure, room: Box, plot: Seasoning) -> Field:
    weights = [w for series in _every(plot) for w in series.weights]
    weights += plot.fitted
    days = [0, *(w.rest_days for w in weights)]
    days += [d for d in (plot.least_days, plot.preferred_days) if d is not None]
    if plot.ready:
        days += [plot.ready.first_days, plot.ready.last_days]
    masses = [w.mass_mg for w in weights]
    if plot.rest:
        masses += [plot.rest.low_mg, plot.rest.high_mg]
    words = figure.words
    name = words(term("days in the rack"))
    x = plot_axes.even_within(room[2] * 0.8, name, days, series=DAYS, least_span=7)
    what = words(plot.what)
    name = words(term("g, of each {thing}")).format(thing=what)
    y = plot_axes.even(name, masses, per=GRAM, most=7, least_span=4 * GRAM)
    return plot_axes.lay(figure, room, x, y)


def _points(field: Field, weights: Iterable[Weight]) -> list[Point]:
    return [
        (plot_axes.place(field.x, w.rest_days), plot_axes.place(field.y, w.mass_mg))
        for w in weights
    ]


def _grams(milligrams: int) -> str:
    tenth = (milligrams + GRAM // 20) // (GRAM // 10) * (GRAM // 10)
    return f"{plot_axes.number(tenth, GRAM)}{THIN_SPACE}g"


def _curve(
    figure: Figure,
    points: list[Point],
    weight: float,
    colour: str,
    dash: tuple[float, float] | None = None,
) -> None:
    line(figure, points, weight, colour=colour, dash=dash)
    plot_places.note_line(figure, points)


def _lines(figure: Figure, field: Field, plot: Seasoning) -> None:
    """Draw the siblings hair-thin, the stubborn dashed, the fitted and the chosen."""
    for series in plot.siblings:
        points = _points(field, series.weights)
        _curve(figure, points, 0.3, BARK)
        if len(points) == 1:
            disc(figure, points[0], 0.5)
            plot_places.note_mark(figure, points[0], 0.5)
    for series in plot.stubborn:
        points = _points(field, series.weights)
        _curve(figure, points, 0.9, INK, DASHED)
        for at in points[-1:]:
            disc(figure, at, 0.6)
            plot_places.note_mark(figure, at, 0.6)
    _curve(figure, _points(field, plot.fitted), 0.6, WALNUT, FITTED)
    if plot.chosen:
        _chosen(figure, _points(field, plot.chosen.weights))


def _chosen(figure: Figure, points: list[Point]) -> None:
    line(figure, points, 1.3)
    plot_places.note_line(figure, points, plot_places.ON_A_HEAVY_LINE)
    for number, at in enumerate(points):
        is_last = len(points) > LAST and number >= len(points) - LAST
        (ring if is_last else disc)(figure, at)
        plot_places.note_mark(figure, at)


def _rest(figure: Figure, field: Field, rest: RestBand) -> None:
    x, _, w, _ = field.bounds
    top = plot_axes.place(field.y, rest.high_mg)
    foot = plot_axes.place(field.y, rest.low_mg)
    hatched(figure, (x, top, w, foot - top))
    plot_places.note_band(figure, (x, top, w, foot - top))


def _ready(figure: Figure, field: Field, ready: Ready) -> None:
    """Span the days on which the chosen set may be ready, with the likely one."""
    x, top, w, h = field.bounds
    first, likely, last = (
        plot_axes.place(field.x, day)
        for day in (ready.first_days, ready.likely_days, ready.last_days)
    )
    level, foot = top + 1.2, top + h
    line(figure, [(first, level), (last, level)], 2.0)
    for at in (first, last):
        line(figure, [(at, level), (at, foot)], 0.5, dash=(0.3, 1.0))
        plot_places.note_line(figure, [(at, level), (at, foot)])
    line(figure, [(likely, level - 1.2), (likely, level + 2.4)], 0.9)
    plot_places.note_line(figure, [(first, level), (last, level)])
    said = (
        f"at rest about day {ready.likely_days}, "
        f"{ready.first_days} to {ready.last_days} (k = 2)"
    )
    plot_places.beside(
        figure,
        [(likely, level)],
        said,
        PLAIN,
        (x, level + 0.8, w, foot - level - 0.8),
        clear=2.6,
    )


def _limits(figure: Figure, field: Field, plot: Seasoning) -> None:
    """Mark the least and the preferred days as ticks that stand on the axis."""
    x, top, w, h = field.bounds
    words = figure.words
    for days, word in (
        (plot.least_days, words(term("least {days}"))),
        (plot.preferred_days, words(term("preferred {days}"))),
    ):
        if days is None:
            continue
        at = plot_axes.place(field.x, days)
        line(figure, [(at, top + h), (at, top + h - 3.6)], 1.3)
        plot_places.note_line(figure, [(at, top + h), (at, top + h - 3.6)])
        said = word.format(days=days)
        wide = measure(said, NOTE)
        level = top + h - 1.2
        spots = [(at - wide - 1, level), (at + 1, level), (at - wide / 2, level - 3.6)]
        plot_places.first_free(figure, spots, said, NOTE, (x + 0.4, top, w, h))


def _rest_said(rest: RestBand, words: Tongue) -> str:
    low = _grams(rest.low_mg).removesuffix(THIN_SPACE + "g")
    said = words(term("hatched: at rest, {low} to {high}"))
    said = said.format(low=low, high=_grams(rest.high_mg))
    return f"{said}; {rest.why}" if rest.why else said


def _rest_name(figure: Figure, field: Field, rest: RestBand) -> None:
    x, top, w, h = field.bounds
    upper = plot_axes.place(field.y, rest.high_mg) - 1.4
    lower = plot_axes.place(field.y, rest.low_mg) + 3.2
    said = _rest_said(rest, figure.words)
    across = [x + 1.5 + w * n / 24 for n in range(24)]
    elsewhere = [top + 4.0 * n for n in range(1, int(h / 4))]
    spots = [(at, level) for level in (lower, upper, *elsewhere) for at in across]
    plot_places.first_free(figure, spots, said, NOTE, (x, top, w, h))


def _names(figure: Figure, field: Field, plot: Seasoning) -> None:
    """Name the chosen set and the stubborn ones where their lines leave room."""
    if plot.chosen and plot.chosen.weights:
        points = _points(field, plot.chosen.weights)
        _last_three(figure, field, plot.chosen)
        marks = points[: max(1, len(points) - LAST)]
        plot_places.beside(figure, marks, plot.chosen.name, NAME, field.bounds)
    for series in plot.stubborn:
        points = _points(field, series.weights)
        if points:
            said = f"{series.name}: {series.note}" if series.note else series.name
            plot_places.beside(figure, points, said, PLAIN, field.bounds)


def _last_three(figure: Figure, field: Field, chosen: Series) -> None:
    last, words = chosen.weights[-LAST:], figure.words
    said = chosen.note
    if not said and len(chosen.weights) > LAST:
        spread = max(w.mass_mg for w in last) - min(w.mass_mg for w in last)
        said = words(term("last three alike"))
        if spread:
            within = words(term("last three within {grams}"))
            said = within.format(grams=_grams(spread))
    if said:
        marks = _points(field, last)
        plot_places.beside(figure, marks, said, PLAIN, field.bounds)


def _how_many(figure: Figure, field: Field, every: Sequence[Series]) -> None:
    count = sum(len(series.weights) for series in every)
    words = figure.words
    weights = words.many(count, "{number} weight", "{number} weights")
    said = words(term("{number} weighed, {weights}")).format(
        number=len(every), weights=weights.format(number=thousands(count))
    )
    plot_axes.foot(figure, field, said)


def draw(
    page: Page, box: Box, plot: Seasoning, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a seasoning curve at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not any(series.weights for series in _every(plot)):
        say_nothing(figure, room, f"No {plot.what} of these has been weighed yet.")
        return tuple(figure.labels)
    draw_in(figure, room, plot)
    return tuple(figure.labels)


def draw_in(figure: Figure, room: Box, plot: Seasoning) -> None:
    """Draw a seasoning curve into a room of a figure, without its heading."""
    every = [series for series in _every(plot) if series.weights]
    field = _axes(figure, room, plot)
    if plot.rest:
        _rest(figure, field, plot.rest)
    _lines(figure, field, plot)
    if plot.ready:
        _ready(figure, field, plot.ready)
    _limits(figure, field, plot)
    _names(figure, field, plot)
    if plot.rest:
        _rest_name(figure, field, plot.rest)
    _how_many(figure, field, every)
