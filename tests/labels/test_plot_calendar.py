"""Tests of a calendar in two scales."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.page import open_document
from labels.plot_calendar import (
    KERF,
    Calendar,
    firsts,
    lay_days,
    place_date,
    place_day,
    step_for,
)
from labels.plot_figure import begin

CUT = date(2026, 7, 13).toordinal()
SAWN = Calendar(
    first=date(2023, 9, 14).toordinal(),
    cut=CUT,
    last=CUT + 140,
    left=11.0,
    middle=97.0,
    right=199.0,
)


@given(st.integers(SAWN.first - 400, SAWN.last + 400))
def test_a_later_day_stands_farther_right(day: int) -> None:
    """No day stands in the kerf, and none outside the calendar."""
    here, after = place_day(SAWN, day), place_day(SAWN, day + 1)

    assert SAWN.left <= here <= after <= SAWN.right
    assert not SAWN.middle - KERF + 1e-9 < here < SAWN.middle + KERF - 1e-9


def test_both_scales_end_at_the_kerf() -> None:
    """The first day, the cut and the last day stand where they were told."""
    assert place_date(SAWN, "2023-09-14") == 11.0
    assert place_date(SAWN, "2026-07-13") == 97.0 + KERF
    assert place_day(SAWN, CUT + 140) == pytest.approx(199.0)


def test_a_week_is_broader_than_a_month_before_the_cut() -> None:
    """Weeks get more paper than months do."""
    week = place_day(SAWN, CUT + 14) - place_day(SAWN, CUT + 7)
    month = place_date(SAWN, "2026-02-01") - place_date(SAWN, "2026-01-01")

    assert week > 1.5 * month


def test_firsts_are_of_months_and_of_years() -> None:
    """Every January of a span, and every first of a month. Worked out by hand."""
    span = date(2023, 9, 14).toordinal(), date(2026, 1, 1).toordinal()

    years = [str(each) for each in firsts(*span, 12)]
    months = [str(each) for each in firsts(span[0], span[0] + 60, 1)]

    assert years == ["2024-01-01", "2025-01-01", "2026-01-01"]
    assert months == ["2023-10-01", "2023-11-01"]


def test_decades_are_those_that_ten_divides() -> None:
    """Of ten years each the ticks are the years that end in nought."""
    span = date(1987, 3, 1).toordinal(), date(2026, 7, 1).toordinal()

    assert [each.year for each in firsts(*span, 120)] == [1990, 2000, 2010, 2020]


@given(st.floats(1e-4, 20))
def test_names_have_room(day_wide: float) -> None:
    """A month is named from 8.4 mm on; of less, so many years that one has room."""
    months = step_for(day_wide)

    assert months == 1 or months % 12 == 0
    assert months > 12 * 500 - 1 or months * 30.4 * day_wide > 8


def test_names_stand_apart() -> None:
    """Years before the cut, months after it, none over another."""
    page = open_document((210, 148), "calendar")
    figure = begin(page, (11, 11, 188, 126), one_colour=False)
    lay_days(figure, SAWN, 30.0, 110.0)
    names = [label.words for label in figure.labels]

    assert names == ["2023", "2024", "2025", "2026", "Jul 2026", "Aug", "Sep", "Oct",
                     "Nov"]  # fmt: skip
    assert all(a.right < b.left for a, b in pairwise(figure.labels))
