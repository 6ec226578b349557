"""Rings: widths by hand, evenness, gradient, and counts that nobody could have made."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.rings import (
    RingCount,
    mean_ring_width_um,
    ring_spread_ppm,
    surest_ring_spread_ppm,
)
from ledger.errors import RefusedError

COUNTS = st.builds(
    RingCount, rings=st.integers(20, 60), span_um=st.integers(20_000, 80_000)
)


def inch(rings: int) -> RingCount:
    """Return so many rings counted over an inch."""
    return RingCount(rings=rings, span_um=25_400)


@pytest.mark.parametrize(
    ("rings", "width"),
    # 25.4 mm over the count, by hand.
    [(6, 4_233), (15, 1_693), (20, 1_270)],
)
def test_rings_an_inch_are_a_width(rings: int, width: int) -> None:
    """Six, fifteen and twenty rings an inch are the widths that limits are set at."""
    assert mean_ring_width_um([inch(rings)]) == width


def test_spans_of_unlike_length_count_by_their_rings() -> None:
    """Ten rings over 10 mm and thirty over 60 mm are forty over 70, not 1.5 mm each."""
    counts = [
        RingCount(rings=10, span_um=10_000),
        RingCount(rings=30, span_um=60_000),
    ]

    assert mean_ring_width_um(counts) == 1_750
    assert ring_spread_ppm(counts) == 666_667


def test_one_place_says_nothing_of_evenness() -> None:
    """Evenness takes two places, a mean one, and nothing counted is nothing known."""
    assert mean_ring_width_um([]) is None
    assert ring_spread_ppm([inch(20)]) is None
    assert ring_spread_ppm([inch(20), inch(20)]) == 0


@given(st.lists(COUNTS, min_size=2, max_size=6))
def test_a_mean_lies_within_its_places(
    counts: list[RingCount],
) -> None:
    """No mean is wider than the widest place, and no spread is below nothing."""
    widths = [Fraction(count.span_um, count.rings) for count in counts]
    mean, spread = mean_ring_width_um(counts), ring_spread_ppm(counts)

    assert mean is not None
    assert spread is not None and spread >= 0
    assert min(widths) - 1 <= mean <= max(widths) + 1


def test_two_places_bound_what_a_third_can_mend() -> None:
    """Of 1 and 2 mm: 66.7 % now, and 50 % of the widest however many more are 2 mm."""
    wide, narrow = (
        RingCount(rings=rings, span_um=20_000)  # 2 mm and 1 mm
        for rings in (10, 20)
    )

    assert ring_spread_ppm([wide, narrow]) == 666_667
    assert surest_ring_spread_ppm([wide, narrow]) == 500_000
    assert surest_ring_spread_ppm([wide]) is None
    assert ring_spread_ppm([narrow, *[wide] * 23]) == 510_639


@given(
    st.lists(COUNTS, min_size=2, max_size=6), st.lists(COUNTS, min_size=0, max_size=18)
)
def test_no_further_place_brings_the_spread_below_the_surest(
    counts: list[RingCount], more: list[RingCount]
) -> None:
    """Whatever is counted beside, the spread stays at or above what was foretold."""
    spread, surest = ring_spread_ppm(counts + more), surest_ring_spread_ppm(counts)

    assert spread is not None and surest is not None
    assert spread >= surest


@pytest.mark.parametrize(
    ("rings", "span", "said"),
    [
        (0, 25_400, "0 rings cannot be counted"),
        (10_001, 25_400, "count from 1 to 10000"),
        (10, 0, "a span of 0 µm"),
        (10, -5, "a span of -5 µm"),
        (10, 2_000_001, "no span on a board"),
        (1, 25_400, "25400 µm each"),
        (900, 25_400, "28 µm each"),
    ],
)
def test_a_count_that_nobody_could_make_is_refused(
    rings: int, span: int, said: str
) -> None:
    """What cannot be counted on wood is asked about, with the numbers."""
    with pytest.raises(RefusedError, match=said):
        RingCount(rings=rings, span_um=span)
