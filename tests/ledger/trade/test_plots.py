"""Plots: the shapes of RFC 7946, what is refused, and one way to write them."""

import json
from collections.abc import Sequence
from decimal import Decimal
from math import cos, pi, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.trade.plots import Plot, middle, read_plots, write_plots

FACTS = {"lot": "L26-001", "species": "Picea abies", "harvested": "2025-01-07/2025-02"}


def geometry(kind: str, coordinates: Any) -> bytes:
    """Return a file of one geometry; numbers are text, so that their noughts stay."""
    numbers = json.dumps(coordinates).replace('"', "")
    return f'{{"type":"{kind}","coordinates":{numbers}}}'.encode()


def box(west: int, south: int, size: int) -> list[list[str]]:
    """Return a square ring that runs left round, in degrees of six decimals."""
    corners = ((0, 0), (size, 0), (size, size), (0, size), (0, 0))
    return [[f"{west + x}.000000", f"{south + y}.000000"] for x, y in corners]


# The four kinds of a plot, with the shapes of RFC 7946 appendix A (a point, two
# points, a square, a square with a square hole, two squares), drawn anew.
SHAPES: tuple[tuple[str, Any, int], ...] = (
    ("Point", ["100.000000", "0.000000"], 1),
    ("MultiPoint", [["100.000000", "0.000000"], ["101.000000", "1.000000"]], 2),
    ("Polygon", [box(100, 0, 1)], 1),
    ("Polygon", [box(100, 0, 9), box(102, 2, 3)[::-1]], 1),
    ("MultiPolygon", [[box(102, 2, 1)], [box(100, 0, 1)]], 2),
)


@pytest.mark.parametrize(("kind", "coordinates", "count"), SHAPES)
def test_every_shape_of_a_plot_is_read_and_written(
    kind: str, coordinates: Any, count: int
) -> None:
    """A plot of many parts is as many plots, each written as one of a single kind."""
    read = read_plots(geometry(kind, coordinates))
    written = write_plots((plot, FACTS) for plot in read.plots)
    told = json.loads(written, parse_float=str)["features"]

    parts = coordinates if kind.startswith("Multi") else [coordinates]
    assert len(read.plots) == count
    assert [each["geometry"]["coordinates"] for each in told] == parts
    assert all(each["properties"] == FACTS for each in told)


@given(
    st.lists(
        st.tuples(st.integers(-179, 170), st.integers(-89, 80), st.integers(1, 9)),
        min_size=1,
        max_size=6,
        unique_by=lambda each: each,
    ),
    st.booleans(),
)
def test_what_is_written_is_read_as_the_same_and_written_alike(
    squares: list[tuple[int, int, int]], backwards: bool
) -> None:
    """Whichever way round the rings ran that came in."""
    way = -1 if backwards else 1
    data = geometry("MultiPolygon", [[box(*square)[::way]] for square in squares])
    read = read_plots(data)
    written = write_plots((plot, FACTS) for plot in read.plots)
    again = read_plots(written)

    assert write_plots((plot, FACTS) for plot in again.plots) == written
    assert [plot.hectares for plot in again.plots] == pytest.approx(
        [plot.hectares for plot in read.plots]
    )
    assert again.notes == ()
    assert bool(read.notes) == backwards


@given(
    st.decimals(-180, 180, places=6, allow_nan=False),
    st.decimals(-90, 90, places=7, allow_nan=False),
)
def test_no_digit_is_lost_or_made_up(longitude: Decimal, latitude: Decimal) -> None:
    """A number is written as it was given."""
    data = geometry("Point", [f"{longitude:f}", f"{latitude:f}"])
    (plot,) = read_plots(data).plots
    written = json.loads(write_plots([(plot, {})]), parse_float=str)
    x, y = written["features"][0]["geometry"]["coordinates"]

    assert (Decimal(x), Decimal(y)) == (longitude, latitude)
    assert len(x.partition(".")[2]) == 6 and len(y.partition(".")[2]) == 7
    assert "-0.000000" not in (x, y)


def test_a_ring_the_wrong_way_round_is_read_and_turned() -> None:
    """RFC 7946 section 3.1.6: such files are still read; and ours are right."""
    hole = box(102, 2, 3)
    read = read_plots(geometry("Polygon", [box(100, 0, 9)[::-1], hole]))
    told = json.loads(write_plots([(read.plots[0], {})]), parse_float=str)

    assert read.notes == (
        "2 rings run against the right-hand rule, and will be written the right way "
        "round",
    )
    assert told["features"][0]["geometry"]["coordinates"] == [
        box(100, 0, 9),
        hole[::-1],
    ]


def test_a_hole_is_not_part_of_the_plot() -> None:
    """Areas of the outline and the hole, one taken from the other."""
    whole, hole, both = (
        read_plots(geometry("Polygon", each)).plots[0].hectares or 0.0
        for each in (
            [box(10, 40, 9)],
            [box(12, 42, 3)],
            [box(10, 40, 9), box(12, 42, 3)[::-1]],
        )
    )

    assert both == pytest.approx(whole - hole)


def test_each_plot_is_called_by_its_place_in_the_file() -> None:
    """A geometry of many has its parts counted, and is one plot of the file."""
    features = ",".join(
        f'{{"type":"Feature","geometry":{geometry(kind, coordinates).decode()}}}'
        for kind, coordinates in (
            ("MultiPoint", [["11.600124", "46.300127"], ["11.600125", "46.300127"]]),
            ("Point", ["11.600123", "46.300127"]),
        )
    )
    file = f'{{"type":"FeatureCollection","features":[{features}]}}'

    assert read_plots(file.encode()).names == (
        "plot 1, part 1",
        "plot 1, part 2",
        "plot 2",
    )


def test_noughts_that_a_writer_left_out_are_put_back() -> None:
    """A tenth of honest numbers end in a nought, and JSON drops it."""
    ring = [
        ["11.612301", "46.287701"],
        ["11.61885", "46.287911"],
        ["11.619021", "46.2912"],
        ["11.612301", "46.287701"],
    ]
    (plot,) = read_plots(geometry("Polygon", [ring])).plots
    written = write_plots([(plot, {})]).decode()

    assert "[11.618850,46.287911],[11.619021,46.291200]" in written


@pytest.mark.parametrize(
    ("kind", "coordinates", "why"),
    [
        ("Point", ["11.6", "46.300127"], "1 of its 2 numbers have fewer than 6"),
        ("Point", ["11.60012", "46.30012"], "2 of its 2 numbers"),
        ("Point", ["1.16e1", "46.300127"], "fewer than 6 decimals"),
        ("Point", ["46.300127", "111.600123"], "are the two swapped"),
        ("Point", ["181.000001", "46.300127"], "181.000001 is no longitude from -180"),
        ("Point", ["171.000001", "96.300127"], "96.300127 is no latitude from -90 to"),
        ("Point", ["681234.250000", "5127812.500000"], "the metres of a map grid"),
        ("Point", ["11.600123"], "and this has 1$"),
        ("Point", ["1.600123"] * 4, "and this has 4$"),
        ("Point", [], "and this has 0$"),
        ("Point", "null", "a position is a list of numbers"),
        ("Point", [["11.600123", "46.300127"]], "a position is a list of numbers"),
        ("Point", ["true", "46.300127"], "a position is a list of numbers"),
        ("Point", ["1e-99", "46.300127"], "a number has 99 decimals"),
        ("MultiPoint", [], "has no coordinates"),
        ("MultiPoint", [["11.600123", "46.300127"]] * 2, "part 2 is plot 1, part 1"),
        ("Polygon", [], "its polygon has no ring"),
        ("Polygon", "null", "its polygon has no ring"),
        ("Polygon", box(1, 2, 3), "a ring is a list of positions"),
        ("Polygon", ["3"], "a ring is a list of positions"),
        ("Polygon", [box(1, 2, 3)[:4]], "its ring is open"),
        ("Polygon", [[*box(1, 2, 3)[:2], box(1, 2, 3)[0]]], "its ring has 3 positions"),
        ("Polygon", [box(1, 2, 3)[:2] * 2 + box(1, 2, 3)[:1]], "meets itself"),
        ("Polygon", [[box(1, 2, 3)[0]] * 4], "holds no land"),
        ("Polygon", [box(1, 2, 3), box(0, 0, 2)], "hole 1 is not wholly within"),
        ("Polygon", [box(1, 2, 3), box(20, 20, 2)], "hole 1 is not wholly within"),
        ("Polygon", [box(1, 2, 3) * 1001], "5005 positions, and 5000 are the most"),
        ("MultiPolygon", [[box(1, 2, 3)], [box(1, 2, 3)[::-1]]], "once more: leave"),
        ("Polygon", [box(0, 0, 9), *[box(1, 1, 7)[::-1]] * 2], "none over another"),
    ],
)
def test_a_plot_that_is_none_is_refused(kind: str, coordinates: Any, why: str) -> None:
    """In one sentence that says which plot, and what is wrong."""
    with pytest.raises(RefusedError, match=why):
        read_plots(geometry(kind, coordinates))


def test_an_outline_over_the_180th_meridian_is_refused() -> None:
    """It is cut in two there (RFC 7946 section 3.1.9)."""
    ring = [
        ["179.500001", "-17.000001"],
        ["-179.500001", "-17.000001"],
        ["-179.500001", "-16.000001"],
        ["179.500001", "-16.000001"],
        ["179.500001", "-17.000001"],
    ]
    with pytest.raises(RefusedError, match="180th meridian"):
        read_plots(geometry("Polygon", [ring]))


@pytest.mark.parametrize(("area", "is_read"), [("4", True), ("4.1", False)])
def test_a_point_will_not_do_above_four_hectares(area: str, is_read: bool) -> None:
    """Where the file says how large the plot is; Regulation 2023/1115, art. 2(28)."""
    data = (
        '{"type":"Feature","properties":{"Area":' + area + '},"geometry":{"type":'
        '"Point","coordinates":[11.600123,46.300127]}}'
    ).encode()
    if is_read:
        assert read_plots(data).points == 1
        return
    with pytest.raises(RefusedError, match="more than 4 ha needs its outline"):
        read_plots(data)


def test_heights_are_left_out() -> None:
    """A third number is a height (RFC 7946 section 3.1.1)."""
    (plot,) = read_plots(geometry("Point", ["11.600123", "46.300127", "1204.5"])).plots

    assert plot.rings == (((Decimal("11.600123"), Decimal("46.300127")),),)


def test_where_plots_lie_is_said_in_words() -> None:
    """North or south, east or west, of the middle of all."""

    def at(*spots: Sequence[str]) -> str:
        return middle(
            [Plot(kind="Point", rings=(((Decimal(x), Decimal(y)),),)) for x, y in spots]
        )

    assert at(("11.600123", "46.300127")) == "46.30° N, 11.60° E"
    assert at(("-70.5", "-33.25"), ("-70.25", "-33.75")) == "33.50° S, 70.38° W"


def test_an_outline_of_many_positions_is_read() -> None:
    """Five thousand around a lake, whichever the starting point."""
    around = [2 * pi * n / 4_999 for n in range(4_999)]
    ring = [[f"{11 + cos(a) / 9:.7f}", f"{46 + sin(a) / 9:.7f}"] for a in around]
    (plot,) = read_plots(geometry("Polygon", [[*ring, ring[0]]])).plots

    # A circle of a ninth of a degree, flattened by its latitude.
    assert plot.hectares == pytest.approx(
        pi * (6_371_007.181 * pi / 180 / 9) ** 2 * cos(46 * pi / 180) / 1e4, rel=1e-3
    )


@pytest.mark.parametrize(("count", "is_read"), [(10_000, True), (10_001, False)])
def test_a_file_has_ten_thousand_plots_at_most(count: int, is_read: bool) -> None:
    """Common practice, no source: so many are worked through in seconds."""
    spots = [[f"11.{n:06}", "46.300127"] for n in range(count)]
    data = geometry("MultiPoint", spots)
    if is_read:
        assert len(read_plots(data).plots) == count
        return
    with pytest.raises(RefusedError, match="has 10001 plots, and 10000 are the most"):
        read_plots(data)


@pytest.mark.parametrize("size", range(1, 60))
def test_a_file_of_plots_that_was_cut_off_is_never_read(size: int) -> None:
    """At every place of a small one, from its end."""
    data = geometry("Polygon", [box(100, 0, 9)])
    with pytest.raises(RefusedError, match="ends in the middle"):
        read_plots(data[:-size])
