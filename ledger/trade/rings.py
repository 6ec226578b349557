"""The outline of a plot: which way it runs, how large and wide it is, where it crosses.

A ring is the positions around it, the first one again at its end, each longitude first,
in whole units of 10^-20 degree, so that no rounding decides what crosses what.
"""

from collections.abc import Iterable, Sequence
from itertools import islice, pairwise
from math import asin, cos, dist, radians, sin
from typing import Literal, NamedTuple

Spot = tuple[int, int]
Ring = Sequence[Spot]
Side = tuple[Spot, Spot]
Meeting = Literal["", "touch", "cross"]

DECIMALS = 20
DEGREE = 10**DECIMALS
# The sphere with the area of the Earth's ellipsoid [m].
# Source: GRS 80 (Moritz, Geodetic Reference System 1980), the authalic radius R2.
RADIUS = 6_371_007.181
HECTARE = 10_000.0  # m²


class Apart(NamedTuple):
    """Two of several spots, by their places in the row, and how far apart [km]."""

    one: int
    other: int
    kilometres: float


def doubled_area(ring: Ring) -> int:
    """Return twice the area within a ring, more than nought where it runs left round.

    Source: the shoelace formula; RFC 7946 section 3.1.6 on the right-hand rule.
    """
    return sum(x * v - u * y for (x, y), (u, v) in pairwise(ring))


def hectares(ring: Ring) -> float:
    """Return the area within a ring on the globe [ha], to about half a per cent.

    Each side is taken for a line of even slope on the map of longitude and latitude.
    domain: sides much shorter than a degree, as around a plot

    Source: Chamberlain and Duquette, Some Algorithms for Polygons on a Sphere, JPL
    Publication 07-03 (2007), equation for the area of a polygon.
    """
    total = 0.0
    for (x, y), (u, v) in pairwise(ring):
        lower, upper = (sin(radians(level / DEGREE)) for level in (y, v))
        total += radians((u - x) / DEGREE) * (2 + lower + upper)
    return abs(total) * RADIUS**2 / 2 / HECTARE


def widest(spots: Sequence[Spot]) -> Apart:
    """Return which two spots lie farthest apart on the globe, and how far [km].

    No pair is looked at whose two distances from the middle of all add up to less than
    what was found already.

    Source: chords of a sphere, and the triangle inequality; RADIUS for the sphere.
    """
    at = [_on_sphere(spot) for spot in spots]
    middle = [sum(side) / len(at) for side in zip(*at, strict=True)]
    reach = [dist(each, middle) for each in at]
    outer = sorted(range(len(at)), key=lambda place: reach[place], reverse=True)
    found, chord = (0, 0), 0.0
    for number, one in enumerate(outer):
        for other in islice(outer, number):
            if reach[one] + reach[other] <= chord:
                break
            if (apart := dist(at[one], at[other])) > chord:
                found, chord = (min(one, other), max(one, other)), apart
    return Apart(*found, 2 * RADIUS * asin(min(1.0, chord / 2)) / 1000)


def first_crossing(ring: Ring) -> Side | None:
    """Return a side of a ring that meets another than its neighbours, or None.

    A ring that touches itself is no simple one either.

    Source: OGC 06-103r4 (Simple Feature Access), section 6.1.11: rings are simple.
    """
    sides = _sides(ring)
    last = len(sides) - 1
    for one, other in _near(sides):
        near = abs(one - other) == 1 or {one, other} == {0, last}
        met = _meeting(sides[one], sides[other])
        # Neighbours share the spot between them, and no more unless they turn back.
        if met == "cross" or (met and not near):
            return sides[max(one, other)]
    return None


def crosses(ring: Ring, other: Ring) -> Side | None:
    """Return a side of a ring that crosses another ring, or None; a touch is well.

    Source: OGC 06-103r4 (Simple Feature Access), section 6.1.11: rings do not cross.
    """
    own = _sides(ring)
    sides = [*own, *_sides(other)]
    for one, two in _near(sides):
        across = (one < len(own)) != (two < len(own))
        if across and _meeting(sides[one], sides[two]) == "cross":
            return sides[one]
    return None


def is_within(spot: Spot, ring: Ring) -> bool:
    """Tell whether a spot lies within a ring or on it.

    Source: the rule of odd crossings of a ray; common practice, no source.
    """
    inside = False
    for start, end in _sides(ring):
        side = _turn(start, end, spot)
        if side == 0 and _spans((start, end), spot):
            return True
        if (start[1] > spot[1]) != (end[1] > spot[1]) and (side > 0) == (
            end[1] > start[1]
        ):
            inside = not inside
    return inside


def _on_sphere(spot: Spot) -> tuple[float, float, float]:
    """Return a spot as a point of the sphere whose radius is 1."""
    east, north = (radians(level / DEGREE) for level in spot)
    return cos(north) * cos(east), cos(north) * sin(east), sin(north)


def _sides(ring: Ring) -> list[Side]:
    """Return the sides of a ring; a position said twice in a row makes none."""
    return [(start, end) for start, end in pairwise(ring) if start != end]


def _near(sides: Sequence[Side]) -> Iterable[tuple[int, int]]:
    """Yield pairs of sides whose boxes meet, as only they can, from west to east."""
    boxes = [
        (min(a[0], b[0]), max(a[0], b[0]), min(a[1], b[1]), max(a[1], b[1]))
        for a, b in sides
    ]
    waiting: list[int] = []
    for index in sorted(range(len(sides)), key=lambda each: boxes[each][0]):
        west, _, south, north = boxes[index]
        waiting = [other for other in waiting if boxes[other][1] >= west]
        for other in waiting:
            if boxes[other][2] <= north and boxes[other][3] >= south:
                yield other, index
        waiting.append(index)


def _turn(start: Spot, end: Spot, spot: Spot) -> int:
    """Return more than nought where a spot lies to the left of a way, less to right."""
    return (end[0] - start[0]) * (spot[1] - start[1]) - (end[1] - start[1]) * (
        spot[0] - start[0]
    )


def _spans(side: Side, spot: Spot) -> bool:
    """Tell whether the box of a side holds a spot."""
    (x, y), (u, v) = side
    return min(x, u) <= spot[0] <= max(x, u) and min(y, v) <= spot[1] <= max(y, v)


def _meeting(one: Side, other: Side) -> Meeting:
    """Tell how two sides meet: not at all, at an end of one, or across."""
    (a, b), (c, d) = one, other
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if all(turns):
        apart = (turns[0] > 0) == (turns[1] > 0) or (turns[2] > 0) == (turns[3] > 0)
        return "" if apart else "cross"
    met = [
        spot
        for turn, spot, side in zip(
            turns, (c, d, a, b), (one, one, other, other), strict=True
        )
        if turn == 0 and _spans(side, spot)
    ]
    if not met:
        return ""
    # Sides on one line share more than a spot where two different ends lie on them.
    return "cross" if not any(turns) and len(set(met)) > 1 else "touch"
