"""The woods as hatches: which lines stand for which wood, and where each one runs.

Lengths are millimetres and never scaled, so that a swatch and a part of a figure show
the same wood alike. Only + - × ÷ √ and comparison make a coordinate, so that every
machine draws the same.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count, cycle, pairwise
from math import ceil, sqrt
from typing import Final

from labels.anatomy import Anatomy, anatomy_of, has_own_row, is_known
from labels.marks import Box, Point
from labels.ornament import Stroke, wave

# Ways a pattern is turned when another wood on the paper has it already: along its
# lines, y downwards. No two patterns of bare straight lines share one.
WAYS: Final[dict[str, tuple[Point, ...]]] = {
    "straight": ((0, 1), (1, 3), (-1, 3)),
    "waves": ((0, 1), (1, 2), (-1, 2), (1, 0)),
    "dashes": ((0, 1), (1, 2), (-1, 2), (1, 0)),
    "solid": ((0, 1), (1, 1), (-1, 1), (1, 0)),
    "slanted": ((3, -4), (-3, -4), (4, -3), (-4, -3)),
    "flame": ((1, 0), (3, 1), (3, -1), (0, 1)),
    "blank": ((0, 1), (1, 1), (-1, 1), (1, 0)),
    "crossed": ((1, -1), (1, -2), (2, -1)),
    "?": ((0, 1),),
}
WIDER: Final = 0.45  # a pattern that has been turned every way is set this much wider
WEIGHTS: Final = {  # [pt]
    "straight": 0.28,
    "waves": 0.3,
    "dashes": 0.42,
    "solid": 0.5,
    "slanted": 0.4,
    "flame": 0.32,
    "blank": 0.3,
    "crossed": 0.3,
}
HEAVY: Final = 2.6  # every fourth wave, against the others
STEP: Final = 0.5  # from point to point of a line that bends [mm]
EDGE: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """The drawing of one wood on one paper: its anatomy, turned and set wider."""

    anatomy: Anatomy
    way: Point
    spread: float = 1.0

    @property
    def is_turned(self) -> bool:
        """Whether another wood on the paper has the plain pattern."""
        return (self.way, self.spread) != (WAYS[self.anatomy.pattern][0], 1.0)

    @property
    def is_dark(self) -> bool:
        """Whether lines on it are seen only if they are white."""
        return self.anatomy.pattern == "solid"

    @property
    def weight(self) -> float:
        """How heavy its lines are in colour [pt]."""
        return WEIGHTS.get(self.anatomy.pattern, 0.0)


def hatches_for(species: Iterable[str]) -> dict[str, Hatch]:
    """Give each wood on a paper its hatch; no two known ones get the same.

    Woods with a drawing of their own come first, then the others by name, so that the
    order in which they are named changes nothing. Of woods with one pattern the first
    has it plain, and each later one is turned, then set wider.
    """
    names = sorted(set(species), key=lambda name: (not has_own_row(name), name))
    given: dict[str, int] = {}
    found = {}
    for name in names:
        anatomy = anatomy_of(name)
        turns = given.get(anatomy.pattern, 0)
        given[anatomy.pattern] = turns + is_known(name)
        ways = WAYS[anatomy.pattern]
        found[name] = Hatch(
            anatomy=anatomy,
            way=ways[turns % len(ways)],
            spread=1 + WIDER * (turns // len(ways)),
        )
    return found


def strokes(hatch: Hatch, box: Box) -> tuple[Stroke, ...]:
    """Return the lines of a hatch in a box [mm], cut off at its edges.

    The weight of each is against the hatch's own. A pattern that is mirrored has its
    mirror in the middle of the box.
    """
    if box[2] <= 0 or box[3] <= 0:
        return ()
    frame = _Frame(hatch=hatch, box=box)
    return tuple(
        Stroke(points, stroke.weight)
        for stroke in _PATTERNS[hatch.anatomy.pattern](frame)
        for points in cut(frame.laid(stroke.points), box)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """A hatch's own axes in a box: u across its lines, v along, 0 in the middle."""

    hatch: Hatch
    box: Box

    @property
    def reach(self) -> float:
        """How far the box's corners are from its middle [mm]."""
        _, _, w, h = self.box
        return sqrt(w * w + h * h) / 2

    def pitch(self, plain: float) -> float:
        return plain * self.hatch.spread

    def laid(self, points: Iterable[Point]) -> list[Point]:
        """Return points of the hatch's axes on the page."""
        x, y, w, h = self.box
        along, down = self.hatch.way
        length = sqrt(along * along + down * down)
        along, down = along / length, down / length
        middle = x + w / 2, y + h / 2
        return [
            (middle[0] + u * down + v * along, middle[1] - u * along + v * down)
            for u, v in points
        ]


def _level(u: float, reach: float) -> Stroke:
    return Stroke(((u, -reach), (u, reach)), 1.0)


def _even(frame: _Frame, pitch: float) -> Iterator[Stroke]:
    """Yield parallel lines, the middle between two of them in the middle of the box."""
    pitch = frame.pitch(pitch)
    for n in range(ceil(frame.reach / pitch)):
        yield _level((n + 0.5) * pitch, frame.reach)
        yield _level(-(n + 0.5) * pitch, frame.reach)


def _straight(frame: _Frame) -> Iterator[Stroke]:
    """Yield rings of a conifer: wide in the middle, narrow at the edges."""
    half = frame.box[2] / 2
    u = 0.0
    while u <= frame.reach:
        yield _level(u, frame.reach)
        if u:
            yield _level(-u, frame.reach)
        u += frame.pitch(0.95 - 0.25 * min(u / half, 1.0))


def _waves(frame: _Frame) -> Iterator[Stroke]:
    """Yield long waves mirrored on the middle, every fourth heavy."""
    reach, u = frame.reach + 1.5, frame.pitch(0.3)
    steps = ceil(2 * reach / STEP)
    for number, gap in zip(count(), cycle((0.62, 0.88, 0.7, 1.0))):
        if u > reach:
            return
        weight = HEAVY if number % 4 == 3 else 1.0
        line = []
        for n in range(steps + 1):
            v = -reach + n * STEP
            sway = 0.95 * wave(v / 21 + u / 37) + 0.4 * wave(v / 8.5 + u / 15 + 0.3)
            line.append((u + sway * min(1.0, u / 4), v))
        yield Stroke(tuple(line), weight)
        yield Stroke(tuple((-at, v) for at, v in line), weight)
        u += frame.pitch(gap)


def _dashed(frame: _Frame, pitch: float, on: float, off: float) -> Iterator[Stroke]:
    """Yield dashes in rows, each row a different way along."""
    pitch, reach = frame.pitch(pitch), frame.reach
    rows = ceil(reach / pitch)
    for row in range(-rows, rows + 1):
        start = -reach - (row * 7 % 5) / 5 * (on + off)
        for n in range(ceil((reach - start) / (on + off))):
            v = start + n * (on + off)
            yield Stroke(((row * pitch, v), (row * pitch, v + on)), 1.0)


def _dashes(frame: _Frame) -> Iterator[Stroke]:
    return _dashed(frame, 0.8, 1.5, 1.0)


def _slanted(frame: _Frame) -> Iterator[Stroke]:
    return _even(frame, 0.75)


def _sparse(frame: _Frame) -> Iterator[Stroke]:
    """Yield nothing for the first wood of a plain kind, and few dashes for others."""
    return _dashed(frame, 1.3, 0.9, 1.9) if frame.hatch.is_turned else iter(())


def _flame(frame: _Frame) -> Iterator[Stroke]:
    """Yield flames across the grain that rise to the middle, as a pair is opened."""
    pitch, reach = frame.pitch(0.85), frame.reach + 0.5
    steps = ceil(reach / STEP)
    rows = ceil(1.3 * reach / pitch)
    for row in range(-rows, rows + 1):
        line = []
        for n in range(-steps, steps + 1):
            off = abs(n) * STEP
            rise = 0.34 * wave(off / 6.5 + row * 0.17) * min(1.0, off / 2)
            line.append((row * pitch - rise - 0.1 * off, n * STEP))
        yield Stroke(tuple(line), 1.0)


def _crossed(frame: _Frame) -> Iterator[Stroke]:
    """Yield lines both ways, the one the mirror of the other."""
    along, down = frame.hatch.way
    turn = along * along + down * down
    for stroke in _even(frame, 0.7):
        yield stroke
        # Mirrored on the upright through the middle, told in the hatch's own axes.
        (u, start), (_, end) = stroke.points
        cos, sin = (down * down - along * along) / turn, 2 * along * down / turn
        yield Stroke(
            ((-u * cos - start * sin, start * cos - u * sin),
             (-u * cos - end * sin, end * cos - u * sin)),
            1.0,
        )  # fmt: skip


def _no_lines(_: _Frame) -> Iterator[Stroke]:
    return iter(())


_PATTERNS: Final = {
    "straight": _straight,
    "waves": _waves,
    "dashes": _dashes,
    "solid": _sparse,
    "slanted": _slanted,
    "flame": _flame,
    "blank": _sparse,
    "crossed": _crossed,
    "?": _no_lines,
}


def cut(points: Sequence[Point], box: Box) -> Iterator[tuple[Point, ...]]:
    """Yield the parts of a line that are in a box, in order."""
    part: list[Point] = []
    for start, end in pairwise(points):
        inside = _part_inside(start, end, box)
        if inside is None:
            continue
        first, last = inside
        if part and part[-1] != first:
            yield tuple(part)
            part = []
        part = part or [first]
        part.append(last)
    if part:
        yield tuple(part)


def _part_inside(start: Point, end: Point, box: Box) -> tuple[Point, Point] | None:
    """Return the part of a straight line that is in a box, or None.

    Source: Y.-D. Liang and B. A. Barsky, ACM Transactions on Graphics 3 (1984), 1-22.
    """
    x, y, w, h = box
    first, last = 0.0, 1.0
    for at, step, low, high in (
        (start[0], end[0] - start[0], x, x + w),
        (start[1], end[1] - start[1], y, y + h),
    ):
        if abs(step) < EDGE:
            if not low <= at <= high:
                return None
            continue
        near, far = sorted(((low - at) / step, (high - at) / step))
        first, last = max(first, near), min(last, far)
    if first >= last:
        return None
    return _between(start, end, first, box), _between(start, end, last, box)


def _between(start: Point, end: Point, part: float, box: Box) -> Point:
    """Return a point on a line, never a rounding outside of the box."""
    if part in (0.0, 1.0):
        return end if part else start
    x, y, w, h = box
    across = start[0] + part * (end[0] - start[0])
    down = start[1] + part * (end[1] - start[1])
    return min(max(across, x), x + w), min(max(down, y), y + h)
