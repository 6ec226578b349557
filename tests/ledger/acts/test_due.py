"""A copy, and a slip, is due a week after the last one if anything came since."""

import pytest

from ledger.acts.due import is_due


@pytest.mark.parametrize(
    ("last_on", "newer", "due"),
    [
        ("2026-01-02", 1, False),
        ("2026-01-01", 1, True),
        ("2026-01-01", 0, False),
        ("2019-05-05", 0, False),
        ("Friday", 0, True),
        ("", 1, True),
        (None, 0, True),
    ],
)
def test_it_is_due_after_a_week_with_entries(
    last_on: str | None, newer: int, due: bool
) -> None:
    """Also where the day is none, and where there was none."""
    assert is_due(last_on, "2026-01-09", entries_since=newer) is due
