"""What plots can hardly be: on both sides of each limit, of one plot and of several."""

from collections.abc import Sequence
from decimal import Decimal

import pytest

from ledger.trade.plots import Plot, Plots
from ledger.trade.plotsizes import doubts, reach, size_words, span

# Kilometres in a degree of a great circle: 2 π R / 360, R = 6371.007 km.
DEGREE = 111.195


def box(
    wide: float, high: float, *, west: float = 11.6, south: float = -0.0005
) -> Plot:
    """Return a plot of so many kilometres by so many, near the equator."""
    x, y = wide / DEGREE, high / DEGREE
    corners = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y), (0.0, 0.0))
    ring = tuple((at(west + east), at(south + north)) for east, north in corners)
    return Plot(kind="Polygon", rings=(ring,))


def point(longitude: float, latitude: float) -> Plot:
    """Return a plot that is a point."""
    return Plot(kind="Point", rings=(((at(longitude), at(latitude)),),))


def at(degrees: float) -> Decimal:
    """Return degrees as a file has them."""
    return Decimal(f"{degrees:.10f}")


def told(*plots: Plot) -> list[str]:
    """Return what is unlikely about plots that are called by their number."""
    names = tuple(f"plot {number}" for number in range(1, len(plots) + 1))
    return [one.said for one in doubts(Plots(plots=plots, names=names))]


@pytest.mark.parametrize(
    ("plot", "why"),
    [
        (box(0.45, 0.4), ""),
        (box(9.99, 10), ""),
        (box(10.01, 10), "plot 1 (10010 ha) is larger than 10000 ha"),
        (box(4_000, 5_000), " ha) is larger than 10000 ha"),
        (box(0.0101, 0.01), ""),
        (box(0.0099, 0.01), "plot 1 (99 m²) is smaller than 100 m²"),
        (box(0.001, 0.002), "plot 1 (2 m²) is smaller than 100 m²"),
        (box(49.9, 0.4), ""),
        (box(50.1, 0.4), "plot 1 (50.1 km) is wider than 50 km"),
        (box(780, 0.1), "plot 1 (780.0 km) is wider than 50 km"),
        (point(11.6, 46.3), ""),
        (point(0, 46.3), ""),
        (point(11.6, 0), ""),
        (point(0, 0), "plot 1 has a position at 0, 0, which is in the Atlantic"),
        (box(0.45, 0.4, west=0, south=0), "plot 1 has a position at 0, 0"),
    ],
)
def test_a_plot_is_doubted_beyond_a_limit_and_not_within(plot: Plot, why: str) -> None:
    """Once for each plot; a common plot of 18 ha never."""
    found = told(plot)

    assert len(found) == bool(why)
    assert why in "".join(found)


def test_what_is_left_out_of_a_plot_is_no_part_of_its_size() -> None:
    """A forest with a clearing that is nearly all of it is a small plot."""
    outer, hole = box(12, 12), box(11.999, 11.999, west=11.600005, south=-0.000495)
    rest = Plot(kind="Polygon", rings=(*outer.rings, *hole.rings))

    assert told(outer) and told(outer)[0].startswith("plot 1 (14400 ha)")
    assert told(rest) == []


@pytest.mark.parametrize(
    ("spots", "why"),
    [
        (((0, 50), (0, 58.9)), ""),
        (((0, 50), (0, 59.1)), "plot 1 and plot 2 lie 1012 km apart"),
        (((0, 55), (0, 59.1), (0, 50)), "plot 2 and plot 3 lie 1012 km apart"),
        (((179.9, -17), (-179.9, -17)), ""),
        (((11.6, 46.3), (46.3, 11.6)), "plot 1 and plot 2 lie 5052 km apart"),
    ],
)
def test_plots_of_one_lot_lie_near_each_other(
    spots: Sequence[tuple[float, float]], why: str
) -> None:
    """The two that are farthest apart are named; the 180th meridian parts nothing."""
    found = told(*(point(*spot) for spot in spots))

    assert len(found) == bool(why)
    assert why in "".join(found)


def test_several_plots_of_one_kind_are_told_together() -> None:
    """A few by their names, and of many how many more."""
    two = told(box(20, 20), box(0.4, 0.4), box(30, 30))
    many = told(*(box(0.001, 0.001, west=n / 10) for n in range(1, 10)))

    assert two == [
        "plot 1 (40000 ha) and plot 3 (90000 ha) are larger than 10000 ha, and a lot "
        "hardly grew on so much land"
    ]
    assert "plot 5 (1 m²) and 4 more are smaller than 100 m²" in many[0]


def test_each_kind_of_doubt_says_what_to_do() -> None:
    """Of one file all of them are told at once, so that it is drawn once more only."""
    plots = (
        point(0, 0),
        box(20, 20, west=1),
        box(80, 0.1, west=2),
        box(0.001, 0.001, west=3),
        point(3, 60),
    )
    names = tuple(f"plot {number}" for number in range(1, 6))
    found = doubts(Plots(plots=plots, names=names))

    assert [one.remedy for one in found] == [
        "fill in where it is",
        "draw what was felled, and not the forest around it",
        "look for a corner with a wrong digit",
        "draw it again, or give a point where it was a single tree",
        "see that both are of this lot, and that no digit is wrong",
    ]


@pytest.mark.parametrize(
    ("hectares", "words"),
    [
        (None, "a point"),
        (0.0002, "2 m²"),
        (0.085, "850 m²"),
        (0.1, "0.10 ha"),
        (18.004, "18.00 ha"),
        (12_500.4, "12500 ha"),
    ],
)
def test_a_size_is_told_in_the_unit_it_is_read_in(
    hectares: float | None, words: str
) -> None:
    """Square metres of little, whole hectares of much."""
    assert size_words(hectares) == words


def test_how_far_a_plot_reaches_and_plots_lie() -> None:
    """From corner to corner, and from one plot to another."""
    plots = [box(3, 4), point(11.6, 1), box(3, 4, west=12.6)]

    assert reach(plots[0]) == pytest.approx(5, rel=1e-4)
    assert span(plots)[:2] == (1, 2)
    assert span(plots).kilometres == pytest.approx(DEGREE * 2**0.5, rel=1e-3)
