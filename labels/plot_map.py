"""The wood map: stiffness along the grain over density, with curves of equal R.

R is the radiation ratio, sound speed over density: c/rho = sqrt(E/rho^3) [m^4/(kg s)].
It is a measured number and says nothing of a tone. The cross is one of each by itself:
errors of E and density come from the same rule and scale, and R is known far better
than the arms of the cross suggest.
"""

from dataclasses import dataclass, replace

from labels import plot_axes, plot_places
from labels.marks import Box, Point
from labels.page import BARK, Page, measure
from labels.plot_axes import Field
from labels.plot_figure import (
    NAME,
    NOTE,
    PLAIN,
    SMALL,
    Figure,
    Heading,
    Label,
    begin,
    clip,
    counted,
    disc,
    halo,
    head,
    line,
    ring,
    say,
    say_nothing,
    shape,
    unclip,
)

MOST_GROUPS = 5
OTHERS = "others"
KILO, GIGA = 1000, 10**9
DASHED = (1.0, 0.9)
CURVES = 5
NEAR = 3.0  # halves that one ring goes around [mm]
KEY = 5.0  # height of the row of marks under the map [mm]


@dataclass(frozen=True, slots=True, kw_only=True)
class Half:
    """One tapped piece: its density and its stiffness along the grain."""

    density_gram_per_m3: int
    e_along_pa: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A board, or the two halves of a pair; `group` is what sets its mark."""

    name: str
    halves: tuple[Half, ...]
    group: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodMap:
    """What a wood map shows; `typical` is the expanded uncertainty of one piece."""

    heading: Heading
    condition: str  # such as: at 12 % MC
    pieces: tuple[Piece, ...]
    typical: Half | None = None


def _groups(plot: WoodMap) -> list[str]:
    """Return the groups in the order of their marks, the largest first."""
    tally: dict[str, int] = {}
    for piece in plot.pieces:
        tally[piece.group] = tally.get(piece.group, 0) + 1
    order = sorted(tally, key=lambda name: (-tally[name], name))
    if len(order) > MOST_GROUPS:
        order = [*order[: MOST_GROUPS - 1], OTHERS]
    return order


def _corners(at: Point, which: str, r: float = 0.95) -> list[Point]:
    x, y = at
    if which == "square":
        return [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
    if which == "triangle":
        return [
            (x, y - 1.2 * r),
            (x + 1.15 * r, y + 0.9 * r),
            (x - 1.15 * r, y + 0.9 * r),
        ]
    return [(x, y - 1.3 * r), (x + 1.3 * r, y), (x, y + 1.3 * r), (x - 1.3 * r, y)]


def _mark(figure: Figure, at: Point, number: int) -> None:
    """Draw the mark of a group: disc, square, triangle, lozenge, ring."""
    if number == 0:
        disc(figure, at)
    elif number == MOST_GROUPS - 1:
        ring(figure, at)
    else:
        which = ("", "square", "triangle", "lozenge")[number]
        shape(figure, _corners(at, which), filled=which == "lozenge", weight=0.7)


def _axes(figure: Figure, room: Box, plot: WoodMap) -> Field:
    halves = [half for piece in plot.pieces for half in piece.halves]
    densities = [half.density_gram_per_m3 for half in halves]
    moduli = [half.e_along_pa for half in halves]
    x = plot_axes.even_within(
        room[2] * 0.8, "density, kg/m³", densities, per=KILO, least_span=40 * KILO
    )
    name = f"E along the grain, GPa{', ' * bool(plot.condition)}{plot.condition}"
    y = plot_axes.even(name, moduli, per=GIGA, most=7, least_span=2 * GIGA)
    return plot_axes.lay(figure, room, x, y, under=plot_axes.FOOT + KEY)


def ratio_milli(density_gram_per_m3: int, e_along_pa: int) -> int:
    """Return R in thousandths of m^4/(kg s)."""
    density = density_gram_per_m3 / KILO
    return round(float((e_along_pa / density**3) ** 0.5) * 1000)


def curves_milli(field: Field) -> tuple[int, ...]:
    """Return the round values of R whose curves cross a map."""
    x, y = field.x.axis, field.y.axis
    low = ratio_milli(x.high, max(y.low, 1))
    high = ratio_milli(max(x.low, 1), y.high)
    ticks = plot_axes.even("", (low, high), most=CURVES + 3, least_span=1000).ticks
    return tuple(value for value in ticks if low < value < high)


def _curve(field: Field, value_milli: int) -> list[Point]:
    """Return the points of one R inside the map, from the left."""
    x, y = field.x.axis, field.y.axis
    points = []
    for n in range(241):
        density = x.low + (x.high - x.low) * n / 240
        modulus = (value_milli / 1000) ** 2 * (density / KILO) ** 3
        if y.low <= modulus <= y.high:
            at = plot_axes.place(field.x, density), plot_axes.place(field.y, modulus)
            points.append(at)
    return points


def _curves(figure: Figure, field: Field) -> list[tuple[str, list[Point]]]:
    """Draw the curves of equal R, and return where their names may stand."""
    named = []
    for value in curves_milli(field):
        points = _curve(field, value)
        line(figure, points, 0.35, colour=BARK, dash=DASHED)
        plot_places.note_line(figure, points)
        if len(points) > 20:
            named.append((f"R {plot_axes.number(value, 1000)}", points))
    return named


def _name_curves(
    figure: Figure, field: Field, named: list[tuple[str, list[Point]]]
) -> None:
    for words, points in named:
        half = measure(words, NOTE) / 2
        tail = points[len(points) // 2 :][::-6]
        spots = [(x - half, y + 0.9) for x, y in tail]
        plot_places.first_free(
            figure, spots, words, NOTE, field.bounds, over_lines=True
        )


def _place(field: Field, half: Half) -> Point:
    return (
        plot_axes.place(field.x, half.density_gram_per_m3),
        plot_axes.place(field.y, half.e_along_pa),
    )


def _pieces(figure: Figure, field: Field, plot: WoodMap, groups: list[str]) -> None:
    for piece in plot.pieces:
        ends = [_place(field, half) for half in piece.halves]
        line(figure, ends, 0.5)
        plot_places.note_line(figure, ends)
    for piece in plot.pieces:
        known = piece.group in groups
        number = groups.index(piece.group) if known else MOST_GROUPS - 1
        for half in piece.halves:
            at = _place(field, half)
            _mark(figure, at, number)
            plot_places.note_mark(figure, at)


def _ringed(figure: Figure, field: Field, piece: Piece) -> tuple[list[Point], float]:
    """Ring the chosen: one ring around near halves, or one around each of far ones."""
    ends = [_place(field, half) for half in piece.halves]
    middle = sum(x for x, _ in ends) / len(ends), sum(y for _, y in ends) / len(ends)
    far = max(((x - middle[0]) ** 2 + (y - middle[1]) ** 2) ** 0.5 for x, y in ends)
    centres, radius = ([middle], far + 2.2) if far < NEAR else (ends, 2.2)
    for at in centres:
        clip(figure, figure.box)
        halo(figure, at, radius)
        unclip(figure)
        plot_places.note_mark(figure, at, radius * 0.7)
        plot_places.note_ring(figure, at, radius)
    return centres, radius


def _typical(figure: Figure, field: Field, typical: Half) -> None:
    """Draw one cross as wide and high as the uncertainty, where there is room."""
    x, y = field.x.axis, field.y.axis
    left, top, w, h = field.bounds
    wide = typical.density_gram_per_m3 / (x.high - x.low) * w
    high = typical.e_along_pa / (y.high - y.low) * h
    words = "typical, k = 2"
    if wide > w / 4 or high > h / 4:
        return
    reach = measure(words, NOTE) + 2 * wide + 4
    corners = [
        (left + 3, top + h - 2 * high - 3),
        (left + w - reach - 3, top + h - 2 * high - 3),
        (left + 3, top + 3),
        (left + w - reach - 3, top + 3),
    ]

    def cost(at: Point) -> int:
        box = Label("", at[0], at[1], at[0] + reach, at[1] + max(2 * high, 4))
        crowded = 10_000 if plot_places.runs_into(figure, box) else 0
        return crowded + plot_places.ink_under(figure, box)

    at = min(corners, key=cost)
    cx, cy = at[0] + wide, at[1] + high
    box = (left, top, w, h)
    aside = cx - wide - 1.5 - measure(words, NOTE)
    spots = [(cx + wide + 1.5, cy + 1), (cx + 1.5, cy - 1.2), (cx + 1.5, cy + 3.6)]
    spots += [(cx - wide, cy - high - 1.2), (cx - wide, cy + high + 3), (aside, cy + 1)]
    if plot_places.first_free(figure, spots, words, NOTE, box) is None:
        return  # a cross without its words is taken for a board
    line(figure, [(cx - wide, cy), (cx + wide, cy)], 0.7)
    line(figure, [(cx, cy - high), (cx, cy + high)], 0.7)
    plot_places.note_mark(figure, (cx, cy), max(wide, high, 1.0))


def _name_chosen(figure: Figure, field: Field, plot: WoodMap) -> None:
    """Ring all the chosen, then name each of them."""
    chosen = [piece for piece in plot.pieces if piece.chosen]
    rings = [(piece, *_ringed(figure, field, piece)) for piece in chosen]
    for piece, centres, radius in rings:
        said = f"{piece.name}, chosen"
        plot_places.beside(
            figure,
            centres,
            said,
            NAME,
            field.bounds,
            clear=radius + 0.8,
            tail=", chosen",
        )


def _other_names(figure: Figure, field: Field, plot: WoodMap) -> int:
    """Name the others where nothing is in the way, and return how many stay bare."""
    bare = 0
    for piece in plot.pieces:
        if not piece.chosen:
            ends = [_place(field, half) for half in piece.halves]
            named = any(
                plot_places.if_free(figure, at, piece.name, SMALL, field.bounds)
                for at in ends
            )
            bare += not named
    return bare


def _key(figure: Figure, field: Field, plot: WoodMap, groups: list[str]) -> None:
    """Set under the map which mark is whose, and how many each has."""
    x, top, w, h = field.bounds
    level = top + h + plot_axes.FOOT + 3.6
    shown = [name for name in groups if name]
    share = w / max(len(shown), 1)
    for number, name in enumerate(groups):
        if not name:
            continue
        some = [
            piece
            for piece in plot.pieces
            if piece.group == name or (name == OTHERS and piece.group not in groups)
        ]
        _mark(figure, (x + 1, level - 1), number)
        said = f"{name}, {len(some)}"
        x = say(figure, (x + 3.2, level), said, PLAIN, within=share - 9).right + 5


def _how_many(plot: WoodMap, bare: int) -> str:
    pairs = sum(len(piece.halves) > 1 for piece in plot.pieces)
    said = counted(len(plot.pieces), "piece")
    if pairs:
        said += f", {counted(pairs, 'pair')} joined by a line"
    return f"{said}; {bare} unnamed for want of room" if bare else said


def draw(
    page: Page, box: Box, plot: WoodMap, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a wood map at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    pieces = tuple(piece for piece in plot.pieces if piece.halves)
    if not pieces:
        say_nothing(figure, room, "No board of these has been tapped and weighed yet.")
        return tuple(figure.labels)
    _fill(figure, room, replace(plot, pieces=pieces))
    return tuple(figure.labels)


def _fill(figure: Figure, room: Box, plot: WoodMap) -> None:
    groups = _groups(plot)
    field = _axes(figure, room, plot)
    named = _curves(figure, field)
    _pieces(figure, field, plot, groups)
    _name_chosen(figure, field, plot)
    _name_curves(figure, field, named)
    if plot.typical:
        _typical(figure, field, plot.typical)
    bare = _other_names(figure, field, plot)
    plot_axes.foot(figure, field, _how_many(plot, bare))
    _key(figure, field, plot, groups)
