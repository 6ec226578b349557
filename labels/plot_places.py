"""Find a place for words beside what they name, where nothing else stands.

Places are tried in a fixed order, near ones first. One that runs into other words or
out of its bounds is never taken; of the others the one with the least ink under it and
the shortest way is.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from labels.marks import Box, Point
from labels.page import WHITE, Style, measure, shortened
from labels.plot_figure import Figure, Label, box_of, fill, line, say

CLEAR = 1.9  # between a mark and its words [mm]
APART = 0.5  # between words and words
PLATE = 0.4
WIDEST = 62.0
SHORTEST_LEADER = 1.5
RINGS = (CLEAR, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0)
ON_A_LINE, ON_A_HEAVY_LINE, ON_A_MARK = 1, 4, 8
# Right, left, above and below first, then between them: unit steps, written out.
DIRECTIONS = (
    (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0),
    (0.7, -0.7), (0.7, 0.7), (-0.7, -0.7), (-0.7, 0.7),
    (0.92, -0.38), (0.92, 0.38), (-0.92, -0.38), (-0.92, 0.38),
    (0.38, -0.92), (0.38, 0.92), (-0.38, -0.92), (-0.38, 0.92),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A box that words could take, what it costs, and the leader to what they name."""

    label: Label
    cost: float
    leader: tuple[Point, Point] | None = None


def note_line(figure: Figure, points: Sequence[Point], weight: int = ON_A_LINE) -> None:
    """Remember where a line of the data runs; a heavy one is better not hidden."""
    for (ax, ay), (bx, by) in pairwise(points):
        steps = max(1, round(max(abs(bx - ax), abs(by - ay))))
        for n in range(steps + 1):
            part = n / steps
            _note(figure, (ax + (bx - ax) * part, ay + (by - ay) * part), weight)


def note_band(figure: Figure, band: Box) -> None:
    """Remember a hatched band: words may stand there, but better elsewhere."""
    x, y, w, h = band
    for column in range(round(x), round(x + w) + 1):
        for row in range(round(y), round(y + h) + 1):
            _note(figure, (column, row), ON_A_LINE)


def note_mark(figure: Figure, at: Point, radius: float = 1.0) -> None:
    """Remember where a mark of the data stands."""
    for dx in (-radius, 0.0, radius):
        for dy in (-radius, 0.0, radius):
            _note(figure, (at[0] + dx, at[1] + dy), ON_A_MARK)


def note_ring(figure: Figure, middle: Point, radius: float) -> None:
    """Remember where a ring around a mark runs."""
    for dx, dy in DIRECTIONS:
        at = (middle[0] + dx * radius, middle[1] + dy * radius)
        _note(figure, at, ON_A_MARK)


def _note(figure: Figure, at: Point, weight: int) -> None:
    cell = (round(at[0]), round(at[1]))
    figure.lines[cell] = max(weight, figure.lines.get(cell, 0))


def _cells(box: Label) -> Iterator[tuple[int, int]]:
    """Yield the square millimetres that a box covers, a little less at its edges."""
    for x in range(round(box.left + 0.3), round(box.right - 0.3) + 1):
        for y in range(round(box.top + 0.3), round(box.foot - 0.3) + 1):
            yield x, y


def ink_under(figure: Figure, box: Label) -> int:
    """Count the ink of the data under a box."""
    return sum(figure.lines.get(cell, 0) for cell in _cells(box))


def mark_under(figure: Figure, box: Label) -> bool:
    """Tell whether a box would hide a mark."""
    return any(figure.lines.get(cell, 0) >= ON_A_MARK for cell in _cells(box))


def runs_into(figure: Figure, box: Label, apart: float = APART) -> bool:
    """Tell whether a box touches words that stand already."""
    _, left, top, right, foot = box
    left, top, right, foot = left - apart, top - apart, right + apart, foot + apart
    return any(
        right > other.left
        and left < other.right
        and foot > other.top
        and top < other.foot
        for other in figure.labels
    )


def _inside(box: Label, bounds: Box) -> bool:
    x, y, w, h = bounds
    return x <= box.left and box.right <= x + w and y <= box.top and box.foot <= y + h


def _leader(box: Label, anchor: Point, clear: float) -> tuple[Point, Point]:
    """Return the line from the nearest edge of a box to just before its mark."""
    x = min(max(anchor[0], box.left), box.right)
    y = min(max(anchor[1], box.top), box.foot)
    dx, dy = anchor[0] - x, anchor[1] - y
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    near = (x + dx / length * 0.7, y + dy / length * 0.7)
    far = (anchor[0] - dx / length * clear, anchor[1] - dy / length * clear)
    return near, far


def _length(leader: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = leader
    return float(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5)


def _crosses(figure: Figure, leader: tuple[Point, Point]) -> bool:
    (ax, ay), (bx, by) = leader
    for n in range(21):
        x, y = ax + (bx - ax) * n / 20, ay + (by - ay) * n / 20
        if runs_into(figure, Label("", x, y, x, y), 0.2):
            return True
    return False


def _around(
    anchor: Point, words: str, style: Style, rings: Sequence[float], clear: float
) -> Iterator[tuple[Label, float]]:
    """Yield boxes around a point with their distance, the near ones first."""
    flat = box_of((0.0, 0.0), words, style)
    wide, high = flat.right, flat.foot - flat.top
    for ring in rings:
        away = ring + clear - CLEAR
        for dx, dy in DIRECTIONS:
            x = anchor[0] + dx * (away + wide / 2)
            y = anchor[1] + dy * (away + high / 2)
            yield (
                Label(words, x - wide / 2, y - high / 2, x + wide / 2, y + high / 2),
                ring,
            )


def _spots(
    figure: Figure,
    anchor: Point,
    boxes: Iterable[tuple[Label, float]],
    bounds: Box,
    clear: float,
) -> Iterator[Spot]:
    """Yield what words could take; whether a leader crosses others is asked later."""
    for box, ring in boxes:
        if _inside(box, bounds) and not runs_into(figure, box):
            leader = None if ring == CLEAR else _leader(box, anchor, clear)
            cost = ring + 0.6 * ink_under(figure, box)
            yield Spot(label=box, cost=cost, leader=leader)


def _best(figure: Figure, spots: Iterable[Spot]) -> Spot | None:
    """Return the cheapest spot whose leader crosses no words; of equals the first."""
    in_order = sorted(spots, key=lambda spot: spot.cost)
    return next(
        (s for s in in_order if not (s.leader and _crosses(figure, s.leader))), None
    )


def _everywhere(words: str, style: Style, bounds: Box) -> Iterator[tuple[Label, float]]:
    """Yield boxes all over the bounds, from the top left."""
    flat = box_of((0.0, 0.0), words, style)
    x, y, w, h = bounds
    for row in range(int(h / 2)):
        for column in range(int(w / 3)):
            left, top = x + 3 * column, y + 2 * row
            foot = top + flat.foot - flat.top
            yield Label(words, left, top, left + flat.right, foot), 60.0


def _set(figure: Figure, spot: Spot, style: Style) -> Label:
    """Set words on their spot, on a white plate where they cross a line."""
    box = spot.label
    if ink_under(figure, box):
        wide, high = box.right - box.left, box.foot - box.top
        plate = (box.left - PLATE, box.top - 0.1, wide + 2 * PLATE, high + 0.2)
        fill(figure, plate, WHITE)
    if spot.leader and _length(spot.leader) >= SHORTEST_LEADER:
        line(figure, spot.leader, 0.5)
        note_line(figure, spot.leader, ON_A_MARK)
    flat = box_of((0.0, 0.0), box.words, style)
    return say(figure, (box.left, box.top - flat.top), box.words, style)


def beside(
    figure: Figure,
    anchors: Sequence[Point],
    words: str,
    style: Style,
    bounds: Box,
    *,
    clear: float = CLEAR,
    tail: str = "",
) -> Label | None:
    """Name something beside one of its marks, or farther off with a leader.

    Words that are too long are shortened, but never their `tail`. Where all is full,
    nothing is set and nothing returned.
    """
    words = shortened(words, style, min(WIDEST, bounds[2] * 0.6), tail=tail)
    if not words:
        return None
    style = _natural(words, style, bounds)
    near = [
        spot
        for at in anchors
        for spot in _spots(
            figure, at, _around(at, words, style, RINGS, clear), bounds, clear
        )
    ]
    best = _best(figure, near)
    if best is None:
        boxes = _everywhere(words, style, bounds)
        best = _best(figure, _spots(figure, anchors[0], boxes, bounds, clear))
    return _set(figure, best, style) if best else None


def _natural(words: str, style: Style, bounds: Box) -> Style:
    """Return the style at the size at which words go into a part of the bounds."""
    room = min(WIDEST, bounds[2] * 0.6)
    natural = measure(words, style)
    if natural <= room or not words:
        return style
    size = max(style.size * room / natural, style.floor or style.size)
    return replace(style, size=size)


def if_free(
    figure: Figure, anchor: Point, words: str, style: Style, bounds: Box
) -> Label | None:
    """Name a mark right beside it where nothing at all is in the way, or not at all."""
    around = _around(anchor, words, style, (CLEAR,), CLEAR)
    for spot in _spots(figure, anchor, around, bounds, CLEAR):
        if not ink_under(figure, spot.label):
            return _set(figure, spot, style)
    return None


def if_near(
    figure: Figure,
    anchors: Sequence[Point],
    words: str,
    style: Style,
    bounds: Box,
    *,
    clear: float = CLEAR,
) -> Label | None:
    """Name a mark right beside it, over lines if need be but over no other mark."""
    spots = [
        spot
        for at in anchors
        for spot in _spots(
            figure, at, _around(at, words, style, (CLEAR,), clear), bounds, clear
        )
        if not mark_under(figure, spot.label)
    ]
    if not spots:
        return None
    return _set(figure, min(spots, key=lambda spot: spot.cost), style)


def first_free(
    figure: Figure,
    spots: Sequence[Point],
    words: str,
    style: Style,
    bounds: Box,
    *,
    over_lines: bool = False,
) -> Label | None:
    """Set words with their left end at the spot that has the least ink under it."""
    words = shortened(words, style, min(bounds[2] * 0.8, 90.0))
    found = []
    for number, at in enumerate(spots):
        box = box_of(at, words, style)
        if _inside(box, bounds) and not runs_into(figure, box):
            ink = ink_under(figure, box)
            if over_lines and not mark_under(figure, box):
                ink = 0
            cost = 0.05 * number + ink
            found.append(Spot(label=box, cost=cost))
    if not found or not words:
        return None
    return _set(figure, min(found, key=lambda spot: spot.cost), style)
