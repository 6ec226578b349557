"""Tests of axes: round ticks, and values in their places."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import plot_axes
from labels.page import measure, open_document
from labels.plot_axes import DAYS, Axis, Scale
from labels.plot_figure import NUMBER, Figure, begin
from tests.labels.plot_trials import LONG

MOST = 9_007_199_254_740_991


def figure() -> Figure:
    """Return an empty figure."""
    page = open_document((210, 148), "axes")
    return begin(page, (10, 10, 190, 128), one_colour=False)


@pytest.mark.parametrize(
    ("values", "most", "ticks"),
    [
        ((0, 10), 9, (0, 2, 4, 6, 8, 10)),
        ((3, 97), 6, (0, 20, 40, 60, 80, 100)),
        ((405_000, 466_000), 7, tuple(range(400_000, 480_001, 20_000))),
        ((-7, 12), 5, (-10, -5, 0, 5, 10, 15)),
        ((412, 412), 9, (410, 411, 412, 413, 414)),
    ],
)
def test_ticks_are_round(
    values: tuple[int, ...], most: int, ticks: tuple[int, ...]
) -> None:
    """Steps are one, two or five times a power of ten. Worked out by hand."""
    assert plot_axes.even("", values, most=most).ticks == ticks


@pytest.mark.parametrize(
    ("last", "ticks"),
    [
        (7, tuple(range(8))),
        (28, (0, 5, 10, 15, 20, 25, 30)),
        (188, (0, 30, 60, 90, 120, 150, 180, 210)),
        (700, (0, 90, 180, 270, 360, 450, 540, 630, 720)),
    ],
)
def test_days_go_by_weeks_of_work_and_months(last: int, ticks: tuple[int, ...]) -> None:
    """An axis of days has months and quarters for ticks. Worked out by hand."""
    assert plot_axes.even("days", (0, last), series=DAYS).ticks == ticks


def test_small_ticks_lie_between_the_great() -> None:
    """A step of two is divided in four, one of ten in five. Worked out by hand."""
    assert plot_axes.even("", (0, 80), most=5).minor == tuple(
        n for n in range(0, 81, 5) if n % 20
    )
    assert plot_axes.even("", (0, 50), most=6).minor == tuple(
        n for n in range(0, 51, 2) if n % 10
    )


def test_octaves_have_ticks_at_one_two_and_five() -> None:
    """An axis by factors names 20, 50, 100, 200, 500. Worked out by hand."""
    axis = plot_axes.by_factors("Hz", (20_000, 800_000), per=1000)

    assert axis.ticks == (20_000, 50_000, 100_000, 200_000, 500_000)
    assert axis.low < 20_000 and axis.high > 800_000


def test_a_narrow_axis_by_factors_still_has_two_ticks() -> None:
    """Between 60 and 90 Hz there is no 1, 2 or 5, and the axis is not left bare."""
    assert len(plot_axes.by_factors("Hz", (60_000, 90_000), per=1000).ticks) >= 2


@pytest.mark.parametrize(
    ("value", "per", "said"),
    [
        (400_000, 1000, "400"),
        (12_500, 1000, "12.5"),
        (-6000, 100, "−60"),
        (10_000_000, 1000, "10\u2009000"),
        (9_999_000, 1000, "9999"),
        (1, 10**9, "0.000000001"),
        (0, 1000, "0"),
    ],
)
def test_numbers_are_exact(value: int, per: int, said: str) -> None:
    """A tick says its value in the unit shown, as the house writes numbers."""
    assert plot_axes.number(value, per) == said


@given(
    st.lists(st.integers(0, MOST), min_size=1, max_size=9),
    st.integers(2, 9),
    st.sampled_from([plot_axes.ROUND, DAYS]),
)
def test_an_axis_holds_every_value(
    values: list[int], most: int, series: tuple[int, ...]
) -> None:
    """It begins and ends on ticks, with few of them, however far values lie apart."""
    axis = plot_axes.even("", values, most=most, series=series)

    assert axis.ticks[0] == axis.low <= min(values)
    assert axis.ticks[-1] == axis.high >= max(values)
    assert 2 <= len(axis.ticks) <= most + 2
    assert all(axis.low <= value <= axis.high for value in axis.minor)


@given(st.lists(st.integers(0, MOST), min_size=1, max_size=9))
def test_the_numbers_of_an_axis_have_room(values: list[int]) -> None:
    """On a given width no number is set over the next."""
    axis = plot_axes.even_within(150, "", values, per=1000)
    widest = max(measure(plot_axes.number(v, 1000), NUMBER) for v in axis.ticks)

    assert len(axis.ticks) <= 3 or widest * (len(axis.ticks) - 1) < 150


@given(st.integers(0, 1000))
def test_values_lie_evenly(value: int) -> None:
    """The share of the way is the share of the range."""
    axis = Axis(name="", low=0, high=1000, ticks=(0, 1000))
    scale = Scale(axis=axis, start=20.0, end=120.0)

    assert plot_axes.place(scale, value) == pytest.approx(20 + value / 10)


def test_an_octave_is_an_octave() -> None:
    """By factors, 50 to 100 Hz takes as much room as 100 to 200 Hz."""
    axis = plot_axes.by_factors("Hz", (40_000, 300_000), per=1000)
    scale = Scale(axis=axis, start=100.0, end=0.0)
    levels = [plot_axes.place(scale, tone) for tone in (50_000, 100_000, 200_000)]

    assert levels[0] - levels[1] == pytest.approx(levels[1] - levels[2])


def test_axes_stay_in_their_room() -> None:
    """Numbers, names and what lies between them are all inside the room given."""
    drawn = figure()
    room = (30.0, 40.0, 120.0, 80.0)
    x = plot_axes.even(LONG, (0, 100))
    y = plot_axes.even(LONG, (0, MOST), per=1000)
    left, top, wide, high = plot_axes.lay(drawn, room, x, y).bounds

    assert left > 30 and top > 40 and left + wide < 150 and top + high < 120
    assert min(label.left for label in drawn.labels) >= 30 - 0.01
    assert max(label.right for label in drawn.labels) <= 150
    assert max(label.foot for label in drawn.labels) <= 120
