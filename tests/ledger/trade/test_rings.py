"""Rings: areas against closed formulas, crossings against a plain search."""

from itertools import pairwise
from math import pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade import rings
from ledger.trade.rings import Spot

SQUARE = [(0, 0), (4, 0), (4, 4), (0, 4), (0, 0)]
BOW = [(0, 0), (4, 4), (4, 0), (0, 4), (0, 0)]
SPIKE = [(0, 0), (4, 0), (4, 4), (4, 9), (4, 4), (0, 4), (0, 0)]
PINCHED = [(0, 0), (4, 0), (2, 2), (4, 4), (0, 4), (2, 2), (0, 0)]
LINGERING = [(0, 0), (4, 0), (4, 0), (4, 4), (0, 4), (0, 0), (0, 0)]
spots = st.tuples(st.integers(-6, 6), st.integers(-6, 6))


def degrees(ring: list[tuple[float, float]]) -> list[Spot]:
    """Return a ring in degrees in the units of the module."""
    return [(round(x * rings.DEGREE), round(y * rings.DEGREE)) for x, y in ring]


@pytest.mark.parametrize("south", [-80.0, -0.5, 0.0, 46.25, 70.0])
def test_a_cell_of_the_globe_has_the_area_of_its_zone(south: float) -> None:
    """Between two parallels and two meridians: R² Δλ (sin φ2 - sin φ1), exactly.

    Source: area of a spherical zone; Snyder, Map Projections (USGS PP 1395), ch. 10.
    """
    north, wide = south + 0.5, 0.25
    cell = degrees([(7, south), (7 + wide, south), (7 + wide, north), (7, north)])
    zone = radians(wide) * (sin(radians(north)) - sin(radians(south)))

    area = zone * rings.RADIUS**2 / rings.HECTARE
    assert rings.hectares([*cell, cell[0]]) == pytest.approx(area, rel=1e-9)


def test_the_whole_globe_has_its_own_area() -> None:
    """Four cells of a hemisphere, doubled, are 4 π R²."""
    cell = degrees([(0, 0), (90, 0), (90, 90), (0, 90), (0, 0)])

    assert 8 * rings.hectares(cell) * rings.HECTARE == pytest.approx(
        4 * pi * rings.RADIUS**2
    )


@pytest.mark.parametrize(
    ("one", "other", "kilometres"),
    [
        ((0, 0), (1, 0), 111.195),  # a degree of a great circle: 2 π R / 360
        ((0, 60), (180, 60), 60 * 111.195),  # over the pole
        ((179.5, 0), (-179.5, 0), 111.195),  # over the 180th meridian
        ((0, -90), (17, 90), 180 * 111.195),
        ((11.6, 46.3), (11.6, 46.3), 0.0),
    ],
)
def test_how_far_apart_two_spots_are(
    one: tuple[float, float], other: tuple[float, float], kilometres: float
) -> None:
    """Along a great circle of the sphere of the Earth's own area."""
    found = rings.widest(degrees([one, other]))

    assert found.kilometres == pytest.approx(kilometres, rel=1e-5)


@given(st.lists(st.tuples(st.integers(-180, 180), st.integers(-90, 90)), min_size=1))
def test_the_widest_pair_is_that_of_a_plain_search(
    corners: list[tuple[float, float]],
) -> None:
    """Of all pairs, wherever on the globe; and the pair is as far apart as is said."""
    spread = degrees(corners)
    found = rings.widest(spread)
    pairs = [
        rings.widest([one, other]).kilometres for one in spread for other in spread
    ]
    pair = [spread[found.one], spread[found.other]]

    assert found.kilometres == pytest.approx(max(pairs), abs=0.01)
    assert rings.widest(pair).kilometres == pytest.approx(found.kilometres, abs=0.01)


def test_which_way_a_ring_runs() -> None:
    """To the left is more than nought, to the right is less."""
    assert rings.doubled_area(SQUARE) == 32
    assert rings.doubled_area(SQUARE[::-1]) == -32


@pytest.mark.parametrize("ring", [SQUARE, SQUARE[::-1], LINGERING])
def test_a_simple_ring_meets_itself_nowhere(ring: list[Spot]) -> None:
    """Also where a position is said twice in a row."""
    assert rings.first_crossing(ring) is None


@pytest.mark.parametrize("ring", [BOW, SPIKE, PINCHED])
def test_a_ring_that_meets_itself_is_seen(ring: list[Spot]) -> None:
    """A bow tie, a spike, and a waist of one spot."""
    assert rings.first_crossing(ring) is not None


def met(one: rings.Side, other: rings.Side) -> bool:
    """Tell whether two sides share a spot, by plain fractions of both ways."""
    (a, b), (c, d) = one, other
    across = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if across == 0:
        ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
        return any(lies_on(start, end, spot) for start, end, spot in ends)
    t = (c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])
    u = (c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0])
    sign = 1 if across > 0 else -1
    return 0 <= t * sign <= across * sign and 0 <= u * sign <= across * sign


def lies_on(start: Spot, end: Spot, spot: Spot) -> bool:
    """Tell whether a spot lies on a side: on its line, and between its ends."""
    line = (end[0] - start[0]) * (spot[1] - start[1]) == (end[1] - start[1]) * (
        spot[0] - start[0]
    )
    return (
        line
        and min(start[0], end[0]) <= spot[0] <= max(start[0], end[0])
        and min(start[1], end[1]) <= spot[1] <= max(start[1], end[1])
    )


@given(st.lists(spots, min_size=4, max_size=7, unique=True))
def test_crossings_are_those_of_a_plain_search(corners: list[Spot]) -> None:
    """Sides that are no neighbours meet, or neighbours turn back over each other."""
    ring = [*corners, corners[0]]
    sides = list(pairwise(ring))
    last = len(sides) - 1
    apart = any(
        met(one, other)
        for n, one in enumerate(sides)
        for m, other in enumerate(sides[:n])
        if n - m > 1 and (m, n) != (0, last)
    )
    back = any(
        lies_on(*one, other[1]) or lies_on(*other, one[0])
        for one, other in pairwise([*sides, sides[0]])
    )

    assert (rings.first_crossing(ring) is not None) == (apart or back)


@given(spots)
def test_what_lies_within_a_square_is_between_its_sides(spot: Spot) -> None:
    """On the outline counts as within."""
    between = 0 <= spot[0] <= 4 and 0 <= spot[1] <= 4

    assert rings.is_within(spot, SQUARE) == between
    assert rings.is_within(spot, SQUARE[::-1]) == between


def test_a_ring_may_touch_another_and_not_cross_it() -> None:
    """A hole that touches the outline from within is one still."""
    touching = [(0, 2), (2, 1), (2, 3), (0, 2)]
    across = [(-1, 2), (2, 1), (2, 3), (-1, 2)]
    along = [(0, 1), (2, 2), (0, 3), (0, 1)]

    assert rings.crosses(touching, SQUARE) is None
    assert rings.crosses(across, SQUARE) is not None
    assert rings.crosses(along, SQUARE) is not None
