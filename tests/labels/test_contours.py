"""Triangles between places, and the lines of equal height over them."""

from collections import Counter
from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull, Delaunay

from labels.contours import Height, contour, levels, triangles

SQUARE = [(0, 0), (10, 0), (0, 10), (10, 10)]
PLACES = st.lists(
    st.tuples(st.integers(-300_000, 300_000), st.integers(0, 600_000)),
    min_size=3,
    max_size=40,
    unique=True,
)
# So few numbers that many places lie in rows and on circles.
GRID = st.lists(
    st.tuples(st.integers(-4, 4), st.integers(0, 6)),
    min_size=3,
    max_size=40,
    unique=True,
)


def flat(places: list[tuple[int, int]]) -> list[Height]:
    """Return places that are all of one height."""
    return [Height(x, y, 3000) for x, y in places]


def doubled_area(places: list[Height], corners: tuple[int, int, int]) -> int:
    """Return twice the area of a triangle that turns left."""
    a, b, c = (places[n] for n in corners)
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)


def is_within_circle(corners: list[Height], other: Height) -> bool:
    """Tell by exact fractions whether a place is inside the circle through three."""
    a, b, c = corners
    rows = [(p.x - a.x, p.y - a.y) for p in (b, c)]
    (bx, by), (cx, cy) = rows
    twice = 2 * (bx * cy - by * cx)
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = Fraction(cy * b2 - by * c2, twice), Fraction(bx * c2 - cx * b2, twice)
    there = (other.x - a.x - x) ** 2 + (other.y - a.y - y) ** 2
    return there < x * x + y * y


@settings(max_examples=60)
@given(PLACES)
def test_the_triangles_are_those_of_another_program(
    places: list[tuple[int, int]],
) -> None:
    """Qhull finds the same, where no four places lie on one circle."""
    ours = triangles(flat(places))
    points = np.array(places, float)
    if not ours:
        assert np.linalg.matrix_rank(points - points[0]) < 2
        return
    tied = any(
        not is_within_circle([flat(places)[n] for n in each], flat(places)[m])
        and is_on_circle([flat(places)[n] for n in each], flat(places)[m])
        for each in ours
        for m in set(range(len(places))) - set(each)
    )
    theirs = {frozenset(map(int, each)) for each in Delaunay(points).simplices}
    if not tied:
        assert {frozenset(each) for each in ours} == theirs


def is_on_circle(corners: list[Height], other: Height) -> bool:
    """Tell whether four places lie on one circle, by the determinant."""
    rows = [
        [p.x - other.x, p.y - other.y, (p.x - other.x) ** 2 + (p.y - other.y) ** 2]
        for p in corners
    ]
    (a, b, c), (d, e, f), (g, h, i) = rows
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) == 0


@settings(max_examples=60)
@given(PLACES | GRID)
def test_the_triangles_fill_the_hull_and_hold_no_other_place(
    places: list[tuple[int, int]],
) -> None:
    """Also on a grid: each turns left, their areas add up, each circle is empty."""
    heights = flat(places)
    ours = triangles(heights)
    areas = [doubled_area(heights, each) for each in ours]

    assert all(area > 0 for area in areas)
    if ours:
        hull = ConvexHull(np.array(places, float)).volume
        assert sum(areas) == pytest.approx(2 * hull, rel=1e-9)
    for each in ours:
        corners = [heights[n] for n in each]
        assert not any(is_within_circle(corners, other) for other in heights)


@settings(max_examples=40)
@given(GRID, st.randoms(use_true_random=False))
def test_the_triangles_do_not_depend_on_the_order(
    places: list[tuple[int, int]], chance: object
) -> None:
    """Whoever gauges the places in another order draws the same map."""
    heights = [Height(x, y, 3000 + 100 * (x * x + y) % 700) for x, y in places]
    other = list(heights)
    chance.shuffle(other)  # type: ignore[attr-defined]

    def named(some: list[Height]) -> set[frozenset[Height]]:
        return {frozenset(some[n] for n in each) for each in triangles(some)}

    assert named(heights) == named(other)


def test_places_in_a_row_have_no_triangle() -> None:
    """And no line: nobody knows what is beside them."""
    row = [Height(0, 100 * n, 3000 + n) for n in range(5)]

    assert triangles(row) == ()
    assert contour(row, (), 3002) == []


def test_the_diagonal_is_the_one_along_which_the_height_hardly_changes() -> None:
    """Four places on one circle leave it open; a ridge is not cut across."""
    ridge = [Height(x, y, 30 if x == y else 20) for x, y in SQUARE]
    corners = {frozenset(SQUARE[n] for n in each) for each in triangles(ridge)}

    assert all({(0, 0), (10, 10)} <= each for each in corners)


def test_what_is_mirrored_is_joined_mirrored() -> None:
    """A plate that is the same on both sides looks the same on both sides."""
    half = [(x, y, 30 + x * y % 7) for x in (10, 20, 30) for y in (0, 10, 20)]
    whole = [Height(s * x, y, h) for x, y, h in half for s in (1, -1)]
    ours = {frozenset(whole[n] for n in each) for each in triangles(whole)}
    there = {
        each
        for each in ours
        if all(p.x > 0 for p in each) or all(p.x < 0 for p in each)
    }
    mirrored = {frozenset(Height(-p.x, p.y, p.height) for p in each) for each in there}

    assert there and mirrored == there


@settings(max_examples=60)
@given(PLACES, st.integers(-3, 3), st.integers(-3, 3))
def test_a_plane_has_straight_lines(
    places: list[tuple[int, int]], right: int, up: int
) -> None:
    """Every point of a line has the height, to the last digit that a float keeps."""
    heights = [Height(x, y, 1_000_000 + right * x + up * y) for x, y in places]
    mesh = triangles(heights)
    for level in levels(heights)[1]:
        for points in contour(heights, mesh, level):
            for x, y in points:
                assert 1_000_000 + right * x + up * y == pytest.approx(level, abs=1e-3)


@settings(max_examples=40)
@given(PLACES | GRID, st.integers(0, 10_000))
def test_a_line_goes_on_until_it_closes_or_meets_the_hull(
    places: list[tuple[int, int]], seed: int
) -> None:
    """None ends in the middle, and all of them stay between the outermost places."""
    heights = [
        Height(x, y, 2000 + (seed + 37 * x + 101 * y + x * y) % 3000) for x, y in places
    ]
    mesh = triangles(heights)
    sides = Counter(frozenset(pair) for each in mesh for pair in combinations(each, 2))
    hull = [tuple(pair) for pair, count in sides.items() if count == 1]
    left, right = min(x for x, _ in places), max(x for x, _ in places)
    for points in contour(heights, mesh, 3500):
        assert all(left <= x <= right for x, _ in points)
        if points[0] != points[-1]:
            for end in (points[0], points[-1]):
                assert any(is_between(heights[a], heights[b], end) for a, b in hull)


def is_between(one: Height, other: Height, at: tuple[float, float]) -> bool:
    """Tell whether a point lies on a side, as near as a float tells."""
    dx, dy = other.x - one.x, other.y - one.y
    off = dx * (at[1] - one.y) - dy * (at[0] - one.x)
    along = dx * (at[0] - one.x) + dy * (at[1] - one.y)
    length = dx * dx + dy * dy
    return abs(off) <= 1e-6 * length and -1e-6 * length <= along <= 1.000001 * length


def test_a_line_is_exact_at_the_places() -> None:
    """A place of just that height lies on it."""
    heights = [Height(0, 0, 20), Height(100, 0, 30), Height(0, 100, 40)]
    (points,) = contour(heights, triangles(heights), 30)

    assert sorted(points) == [(0.0, 50.0), (100.0, 0.0)]


def test_a_peak_has_rings_around_it() -> None:
    """A closed line ends where it began, and a lower one lies around a higher."""
    heights = [
        Height(x, y, 60 - x * x - y * y) for x in range(-5, 6) for y in range(-5, 6)
    ]
    mesh = triangles(heights)
    (outer,), (inner,) = (contour(heights, mesh, level) for level in (40, 55))

    assert outer[0] == outer[-1] and inner[0] == inner[-1]
    assert max(x for x, _ in inner) < max(x for x, _ in outer)
    assert all(one != other for one, other in pairwise(outer))


@pytest.mark.parametrize(
    ("low", "high", "interval", "first", "last"),
    [
        (2400, 3100, 100, 2500, 3000),
        (2400, 4000, 200, 2600, 3800),
        (2400, 4400, 250, 2500, 4250),
        (2400, 6100, 500, 2500, 6000),
        (2000, 9000, 1000, 3000, 8000),
    ],
)
def test_the_lines_are_as_close_as_they_can_be_told_apart(
    low: int, high: int, interval: int, first: int, last: int
) -> None:
    """At most eight of them, at round steps, none at the ends."""
    step, found = levels([Height(0, 0, low), Height(1, 0, high)])

    assert (step, found[0], found[-1]) == (interval, first, last)
    assert len(found) <= 8


def test_a_plate_of_one_thickness_has_no_level() -> None:
    """There is nothing to draw a line at."""
    assert levels(flat(SQUARE))[1] == ()
