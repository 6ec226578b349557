"""Lines of equal height between scattered places, each height kept as it was read.

The places are joined into triangles so that no place lies in the circle through the
corners of any (Delaunay's triangles), and between the corners of a triangle the height
runs straight. So it is exact at the places, says nothing beyond the outermost of them,
and a plane has straight lines. Places and heights are whole numbers and every question
is answered in whole numbers, so that all machines draw the same.

    mesh = triangles(places)
    lines = contour(places, mesh, level)

Sources: B. Delaunay, Sur la sphère vide (1934); C. L. Lawson, Software for C1 surface
interpolation (1977), for the exchange of diagonals.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from labels.marks import Point

INTERVALS: Final = (100, 200, 250, 500, 1000, 2000, 2500, 5000, 10_000)
MOST_LEVELS: Final = 8

Triangle = tuple[int, int, int]  # places by their index, turning left
Edge = tuple[int, int]
# Directed edges, each with the corner that lies to its left.
Mesh = dict[Edge, int]


class Height(NamedTuple):
    """A place and the height there, in whole numbers."""

    x: int
    y: int
    height: int


def triangles(places: Sequence[Height]) -> tuple[Triangle, ...]:
    """Return the triangles between places, in order; none where all lie on one line.

    No two places may be the same. Where four lie on one circle the diagonal is taken
    whose ends differ less in height, and of equals the one nearer to x = 0, so that
    what is mirrored is drawn mirrored.
    """
    # From left to right, so that the order in which they were gauged does not matter.
    order = sorted(range(len(places)), key=lambda n: places[n])
    mesh = _settled([places[n] for n in order])
    named = {(order[a], order[b], order[c]) for (a, b), c in mesh.items()}
    return tuple(sorted({_from_least(corners) for corners in named}))


def _settled(places: Sequence[Height]) -> Mesh:
    """Join places, and exchange diagonals until none is taken more gladly."""
    mesh = _swept(places)
    waiting = sorted(mesh, reverse=True)
    while waiting:
        a, b = waiting.pop()
        if (a, b) in mesh and (b, a) in mesh and _is_better_flipped(places, mesh, a, b):
            waiting += _flip(mesh, a, b)
    return mesh


def levels(places: Sequence[Height]) -> tuple[int, tuple[int, ...]]:
    """Return the interval of the lines and every level between lowest and highest."""
    heights = [place.height for place in places]
    low, high = min(heights), max(heights)
    for interval in INTERVALS:
        first = (low // interval + 1) * interval
        found = tuple(range(first, high, interval))
        if len(found) <= MOST_LEVELS:
            break
    return interval, found


def contour(
    places: Sequence[Height], mesh: Sequence[Triangle], level: int
) -> list[list[Point]]:
    """Return the lines on which the height is a level; a closed one ends as it began.

    A place of just that height counts as above it.
    """
    beside: dict[Edge, list[Edge]] = {}
    for corners in mesh:
        ends = [edge for edge in _sides(corners) if _crosses(places, edge, level)]
        if ends:
            one, other = ends
            beside.setdefault(one, []).append(other)
            beside.setdefault(other, []).append(one)
    lines = []
    for edges in _chains(beside):
        points = _distinct(_crossing(places, edge, level) for edge in edges)
        if len(points) > 1:
            lines.append(points)
    return lines


def _swept(places: Sequence[Height]) -> Mesh:
    """Join places from left to right: each to all edges of the hull that it sees."""
    far = range(2, len(places))
    tip = next((n for n in far if _turn(places, 0, 1, n)), None)
    mesh: Mesh = {}
    if tip is None:
        return mesh
    line = list(range(tip))
    if _turn(places, line[0], line[1], tip) < 0:
        line.reverse()
    for a, b in pairwise(line):
        _add(mesh, (a, b, tip))
    hull = [*line, tip]
    for new in range(tip + 1, len(places)):
        hull = _widened(places, mesh, hull, new)
    return mesh


def _widened(
    places: Sequence[Height], mesh: Mesh, hull: list[int], new: int
) -> list[int]:
    """Add a place outside a hull that turns left, and return the hull with it."""
    size = len(hull)
    edges = [(hull[n], hull[(n + 1) % size]) for n in range(size)]
    is_seen = [_turn(places, a, b, new) < 0 for a, b in edges]
    for (a, b), seen in zip(edges, is_seen, strict=True):
        if seen:
            _add(mesh, (b, a, new))
    # Seen edges follow each other: what lies between two of them is inside now.
    start = next(n for n in range(size) if is_seen[n] and not is_seen[n - 1])
    kept = [
        hull[(start + n) % size]
        for n in range(size)
        if not (is_seen[(start + n) % size] and is_seen[(start + n - 1) % size])
    ]
    return [kept[0], new, *kept[1:]]


def _add(mesh: Mesh, corners: Triangle) -> None:
    a, b, c = corners
    mesh |= {(a, b): c, (b, c): a, (c, a): b}


def _flip(mesh: Mesh, a: int, b: int) -> list[Edge]:
    """Exchange the diagonal of two triangles, and return the sides of both."""
    c, d = mesh.pop((a, b)), mesh.pop((b, a))
    _add(mesh, (a, d, c))
    _add(mesh, (d, b, c))
    return [(a, d), (d, b), (b, c), (c, a)]


def _is_better_flipped(places: Sequence[Height], mesh: Mesh, a: int, b: int) -> bool:
    c, d = mesh[a, b], mesh[b, a]
    inside = _in_circle(*(places[n] for n in (a, b, c, d)))
    return inside > 0 or (
        inside == 0 and _rank(places[c], places[d]) < _rank(places[a], places[b])
    )


def _rank(one: Height, other: Height) -> tuple[object, ...]:
    """Return how gladly a diagonal is taken: the least first, no two alike."""
    ends = sorted((one, other))
    inner = min((abs(each.x), each.y) for each in ends)
    return abs(one.height - other.height), inner, ends


def _turn(places: Sequence[Height], a: int, b: int, c: int) -> int:
    """Return twice the area of a triangle, below zero where it turns right."""
    p, q, r = places[a], places[b], places[c]
    return (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)


def _in_circle(a: Height, b: Height, c: Height, d: Height) -> int:
    """Return a number above zero where d lies inside the circle through a, b and c.

    The three turn left. On the circle it is nought.
    """
    rows = [(p.x - d.x, p.y - d.y) for p in (a, b, c)]
    (ax, ay), (bx, by), (cx, cy) = rows
    a2, b2, c2 = (x * x + y * y for x, y in rows)
    return (
        a2 * (bx * cy - by * cx) - b2 * (ax * cy - ay * cx) + c2 * (ax * by - ay * bx)
    )


def _from_least(corners: Triangle) -> Triangle:
    """Return a triangle beginning with its first place, so that it is told once."""
    a, b, c = corners
    return min((a, b, c), (b, c, a), (c, a, b))


def _sides(corners: Triangle) -> Iterator[Edge]:
    """Yield the sides of a triangle, each as its neighbour has it too."""
    a, b, c = corners
    for one, other in ((a, b), (b, c), (c, a)):
        yield (one, other) if one < other else (other, one)


def _crosses(places: Sequence[Height], edge: Edge, level: int) -> bool:
    one, other = edge
    return (places[one].height >= level) != (places[other].height >= level)


def _crossing(places: Sequence[Height], edge: Edge, level: int) -> Point:
    """Return where a side has the level; one division of whole numbers rounds it."""
    one, other = places[edge[0]], places[edge[1]]
    span, up = other.height - one.height, level - one.height
    return (
        (one.x * span + up * (other.x - one.x)) / span,
        (one.y * span + up * (other.y - one.y)) / span,
    )


def _chains(beside: dict[Edge, list[Edge]]) -> Iterator[list[Edge]]:
    """Follow crossings from triangle to triangle: lines with ends first, then rings."""
    left = set(beside)
    ends = sorted(edge for edge, next_to in beside.items() if len(next_to) == 1)
    for start in (*ends, *sorted(beside)):
        if start not in left:
            continue
        chain, here = [start], start
        left.discard(start)
        while ahead := [edge for edge in sorted(beside[here]) if edge in left]:
            here = ahead[0]
            left.discard(here)
            chain.append(here)
        is_ring = len(chain) > 2 and start in beside[here]
        yield [*chain, start] if is_ring else chain


def _distinct(points: Iterator[Point]) -> list[Point]:
    """Return points without those that repeat the one before."""
    kept: list[Point] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    return kept
