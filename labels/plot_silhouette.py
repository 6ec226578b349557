"""The silhouette: an instrument from both sides, and which wood every part is of.

Each part that is seen has a leader to it; those that are not, such as braces, stand
under the others. The outline is that of a kind of instrument and of no model.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

from labels import faces
from labels.figure import (
    FigureFacts,
    PartWood,
    Seen,
    draw_figure,
    size_of,
    size_of_side,
)
from labels.marks import Box, Point
from labels.page import BARK, WALNUT, WHITE, Page, Style, measure, wrap
from labels.plot_figure import (
    NOTE,
    Figure,
    Heading,
    Label,
    begin,
    counted,
    head,
    line,
    ring,
    say,
    say_nothing,
)
from ledger.errors import RefusedError
from ledger.scales import in_a_row

Edge = Literal["left", "right"]
View = Literal["faces", "side"]

APART: Final = 92.0  # between both centre lines [units]
COLUMN: Final = 0.25  # the least share of the width for each column of words
GUTTER: Final = 3.0  # between a column and the instrument [mm]
SPOT: Final = 0.62  # radius of a leader's end [mm]
HALF_LINE: Final = 0.5  # a leader begins at the middle of a callout's first line
RULE: Final = 34.0  # over the parts that are not seen [mm]
NOT_SEEN: Final = "not seen from here"

PART = Style(face=faces.TEXT_SEMIBOLD, size=9.6, floor=7.6)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9.4, floor=7.6)
BOARD = Style(face=faces.DATA, size=7.8, floor=6.4, colour=WALNUT)


class _Density(NamedTuple):
    """How closely the words of a callout stand: share of size, leading, gap [mm]."""

    size: float
    leading: float
    gap: float


DENSITIES: Final = (
    _Density(1.0, 3.95, 2.6),
    _Density(0.9, 3.55, 1.4),
    _Density(0.8, 3.15, 0.8),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """A part, the woods it is of, and the board or set it was made from.

    `without` is said instead of the species where no wood is known.
    """

    part: str
    species: tuple[str, ...] = ()
    board: str = ""
    without: str = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Silhouette:
    """What a silhouette shows; `kind` is such as "flat-top guitar".

    The view is of both faces, or from the side.
    """

    heading: Heading
    kind: str
    callouts: tuple[Callout, ...]
    view: View = "faces"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Block:
    """The lines of one callout, and where its leader ends; unseen parts have none.

    Above one that `is_headed` a rule parts those that are seen from those that are not.
    """

    lines: tuple[tuple[str, Style], ...]
    seen: Seen | None
    density: _Density
    is_headed: bool = False

    @property
    def height(self) -> float:
        return len(self.lines) * self.density.leading

    @property
    def wish(self) -> float:
        """Where the top of the block would best be [mm]; unseen parts go down."""
        if self.seen is None:
            return 1e6
        return self.seen.at[1] - HALF_LINE * self.density.leading


def draw(
    page: Page, box: Box, plot: Silhouette, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw a silhouette at a place, and return the words that were set.

    Raises RefusedError for a kind of instrument without an outline, and for more words
    than there is room for.
    """
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    if not plot.callouts:
        say_nothing(figure, room, "This instrument has no part yet.")
        return tuple(figure.labels)
    seen = _instrument(figure, room, plot)
    within = _column(room, plot)
    said = _joined(plot.callouts, {each.part for each in seen})
    columns = _fitted(said, {each.part: each for each in seen}, within, room)
    for edge, blocks in columns.items():
        _set(figure, room, edge, blocks, within)
    return tuple(figure.labels)


def stacked(
    wishes: Sequence[tuple[float, float]], gap: float, top: float, foot: float
) -> list[float]:
    """Return the tops of blocks, each as near to where it would best be as may be.

    wishes  [mm]  the best top of each block and its height, in order

    Blocks keep their order and the gap between them, and stay between top and foot
    where they all have room.
    """
    tops: list[float] = []
    least = top
    for wish, height in wishes:
        tops.append(max(wish, least))
        least = tops[-1] + height + gap
    limit = foot
    for number in range(len(tops) - 1, -1, -1):
        tops[number] = min(tops[number], limit - wishes[number][1])
        limit = tops[number] - gap
    return tops


def _size(plot: Silhouette) -> tuple[float, float]:
    """Return how wide and high all that is drawn is [units]."""
    if plot.view == "side":
        return size_of_side(plot.kind, 1.0)
    wide, high = size_of(plot.kind, 1.0)
    return wide + APART, high


def _unit(room: Box, plot: Silhouette) -> float:
    """Return the largest scale at which both sides and two columns have room [mm]."""
    wide, high = _size(plot)
    free = room[2] * (1 - 2 * COLUMN) - 2 * GUTTER
    return min(room[3] / high, free / wide)


def _column(room: Box, plot: Silhouette) -> float:
    """Return how wide each column of words is [mm]."""
    return (room[2] - _size(plot)[0] * _unit(room, plot)) / 2 - GUTTER


def _instrument(figure: Figure, room: Box, plot: Silhouette) -> tuple[Seen, ...]:
    """Draw both sides in the middle of the room, and return where parts are seen."""
    x, y, w, h = room
    unit, is_side = _unit(room, plot), plot.view == "side"
    facts = FigureFacts(
        kind=plot.kind,
        parts=tuple(PartWood(each.part, each.species) for each in plot.callouts),
    )
    top = y + (h - _size(plot)[1] * unit) / 2
    start = x + w / 2 - (0.0 if is_side else APART * unit / 2)
    return draw_figure(
        figure.page,
        (start, top),
        unit,
        facts,
        one_colour=figure.one_colour,
        show="side" if is_side else "both",
        apart=APART * unit,
    )


def _joined(
    callouts: Sequence[Callout], seen: set[str]
) -> list[tuple[Callout, str | None]]:
    """Return the callouts, each with the part that its leader goes to.

    A part that is not seen stands with one of the same board, where there is one.
    """
    found: list[tuple[Callout, str | None]] = [
        (each, each.part) for each in callouts if each.part in seen
    ]
    for each in callouts:
        if each.part in seen:
            continue
        for number, (other, part) in enumerate(found):
            if each.board and (other.board, other.species) == (
                each.board,
                each.species,
            ):
                joined = replace(other, part=f"{other.part}, {each.part}")
                found[number] = joined, part
                break
        else:
            found.append((each, None))
    return found


def _fitted(
    said: Sequence[tuple[Callout, str | None]],
    seen: dict[str, Seen],
    within: float,
    room: Box,
) -> dict[Edge, list[_Block]]:
    """Return the blocks of both columns, set as loosely as they have room."""
    for density in DENSITIES:
        columns = _columns(said, seen, within, density)
        if all(_needed(blocks) <= room[3] for blocks in columns.values()):
            return columns
    raise RefusedError(
        f"{len(said)} parts with their woods need more room than {room[2]:.0f} by "
        f"{room[3]:.0f} mm; give the silhouette a larger place"
    )


def _needed(blocks: Sequence[_Block]) -> float:
    return sum(block.height + block.density.gap for block in blocks)


def _columns(
    said: Sequence[tuple[Callout, str | None]],
    seen: dict[str, Seen],
    within: float,
    density: _Density,
) -> dict[Edge, list[_Block]]:
    """Share the callouts out: the front's left, the back's right, the rest between."""
    columns: dict[Edge, list[_Block]] = {"left": [], "right": []}
    unseen = []
    for callout, part in said:
        place = seen[part] if part else None
        block = _Block(
            lines=tuple(_lines(callout, within, density)), seen=place, density=density
        )
        if place is None:
            unseen.append(block)
        else:
            columns["left" if place.side == "front" else "right"].append(block)
    for blocks in columns.values():
        blocks.sort(key=lambda block: block.wish)
    hidden: dict[Edge, list[_Block]] = {"left": [], "right": []}
    for block in unseen:
        edge = min(columns, key=lambda edge: _needed(columns[edge] + hidden[edge]))
        hidden[edge].append(block)
    for edge, blocks in hidden.items():
        columns[edge] += _headed(blocks, density)
    return columns


def _headed(blocks: list[_Block], density: _Density) -> list[_Block]:
    """Return parts that are not seen under a heading, which says how many they are."""
    if not blocks:
        return []
    first, *rest = blocks
    words = f"{counted(len(blocks), 'part')} {NOT_SEEN}"
    heading = (words, _sized(NOTE, density))
    return [replace(first, lines=(heading, *first.lines), is_headed=True), *rest]


def _lines(
    callout: Callout, within: float, density: _Density
) -> Iterator[tuple[str, Style]]:
    """Yield the lines of a callout: what is too long goes on in the next one."""
    known = in_a_row(callout.species) if callout.species else callout.without
    for words, plain in (
        (callout.part, PART),
        (known, SPECIES),
        (callout.board, BOARD),
    ):
        if words:
            style = _whole_words(words, _sized(plain, density), within)
            yield from ((each, style) for each in wrap(words, style, within))


def _sized(style: Style, density: _Density) -> Style:
    size = max(style.size * density.size, style.floor)
    return replace(style, size=size, may_shorten=False)


def _whole_words(words: str, style: Style, within: float) -> Style:
    """Return the style at a size at which no word has to be broken, if there is one."""
    longest = max(measure(word, style) for word in words.split())
    if longest <= within:
        return style
    return replace(style, size=max(style.floor, style.size * within / longest))


def _set(
    figure: Figure, room: Box, edge: Edge, blocks: Sequence[_Block], within: float
) -> None:
    """Set a column of callouts, each with its leader."""
    x, _, w, _ = room
    inner = x + within if edge == "left" else x + w - within
    out = inner + (0.9 if edge == "left" else -0.9)
    align: Edge = "right" if edge == "left" else "left"
    for block, top in _untangled(blocks, room, out):
        leading = block.density.leading
        for number, (words, style) in enumerate(block.lines):
            at = (inner, top + (number + 0.75) * leading)
            say(figure, at, words, style, align=align, within=within)
        if block.is_headed:
            over = top - block.density.gap / 2 + 0.3
            wide = min(RULE, within)
            end = inner - wide if edge == "left" else inner + wide
            line(figure, [(inner, over), (end, over)], 0.4, colour=BARK)
        if block.seen:
            _leader(figure, (out, top + HALF_LINE * leading), block.seen)


def _untangled(
    blocks: Sequence[_Block], room: Box, start: float
) -> list[tuple[_Block, float]]:
    """Return the blocks of a column with their tops, so that no two leaders cross.

    They stand by the height of what they name; where two leaders cross nevertheless,
    the two change places.
    """
    order = list(blocks)
    for _ in range(len(order) ** 2):
        placed = list(zip(order, _tops(order, room), strict=True))
        ends = [
            ((start, top + HALF_LINE * block.density.leading), block.seen.at)
            for block, top in placed
            if block.seen
        ]
        crossed = _first_crossed(ends)
        if crossed is None:
            break
        one, other = crossed
        order[one], order[other] = order[other], order[one]
    return placed if order else []


def _tops(blocks: Sequence[_Block], room: Box) -> list[float]:
    wishes = [(block.wish, block.height) for block in blocks]
    gap = blocks[0].density.gap
    return stacked(wishes, gap, room[1], room[1] + room[3])


def _first_crossed(leaders: Sequence[tuple[Point, Point]]) -> tuple[int, int] | None:
    """Return which two leaders cross, the first ones that do, or None."""
    for number, (start, end) in enumerate(leaders):
        for later in range(number + 1, len(leaders)):
            if _cross(start, end, *leaders[later]):
                return number, later
    return None


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Tell whether two straight lines cross between their ends."""
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    """Return on which side of a line from a to b a point c lies, by its sign."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _leader(figure: Figure, start: tuple[float, float], seen: Seen) -> None:
    """Draw a leader to a part, white beside it so that it is seen on every wood."""
    line(figure, [start, seen.at], 1.5, colour=WHITE)
    line(figure, [start, seen.at], 0.5)
    ring(figure, seen.at, SPOT)
