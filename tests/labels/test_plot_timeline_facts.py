"""Tests of what a strip from the tree to the tune shows."""

from dataclasses import replace

import pytest

from labels.plot_timeline_facts import days_between, months_between, waited
from tests.labels.book_samples import rack


@pytest.mark.parametrize(
    ("first", "last", "months", "days"),
    [
        ("2026-01-31", "2026-02-28", 0, 28),
        ("2026-01-31", "2026-03-31", 2, 59),
        ("2023-09-14", "2026-07-17", 34, 1037),
        ("2024-02-29", "2025-02-28", 11, 365),
        ("2026-07-17", "2026-07-17", 0, 0),
    ],
)
def test_spans_are_counted_whole(first: str, last: str, months: int, days: int) -> None:
    """A month that is not over is none. Worked out by hand."""
    assert months_between(first, last) == months
    assert days_between(first, last) == days


@pytest.mark.parametrize(
    ("came_on", "used_on", "said"),
    [
        ("2024-02-03", ("2026-07-27", "2026-09-03"), "31 months"),
        ("2026-06-03", ("2026-07-27",), "1 month"),
        ("2026-07-26", ("2026-07-27",), "1 day"),
        ("2026-07-27", ("2026-07-27",), "0 days"),
    ],
)
def test_wood_waits_until_the_last_of_it_goes_in(
    came_on: str, used_on: tuple[str, ...], said: str
) -> None:
    """Of a fingerboard and a bridge of one lot the bridge waited longest."""
    wood = replace(
        rack("bridge", "Diospyros crassiflora", 1, 0), came_on=came_on, used_on=used_on
    )

    assert waited(wood) == said
