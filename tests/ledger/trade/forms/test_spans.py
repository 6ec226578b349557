"""Codes as a box has room for them."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.forms.spans import codes_in_a_box, spans

BLANKS = [f"L26-004-{n:02}" for n in range(5, 21)]


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        ([], ""),
        (["26-0147-3"], "26-0147-3"),
        (BLANKS, "L26-004-05 to 20"),
        ([*BLANKS, "L26-004-22"], "L26-004-05 to 20 and L26-004-22"),
        (BLANKS[:2], "L26-004-05 and L26-004-06"),
        # Neither another lot nor another width goes on from the one before.
        (["L26-004-99", "L26-004-100", "L26-005-101"], None),
        (["a violin of 1964", "a bow"], "a violin of 1964 and a bow"),
    ],
)
def test_codes_that_follow_each_other_are_told_by_their_ends(
    codes: list[str], said: str | None
) -> None:
    """Three and more; others each by its own."""
    if said is None:
        said = "L26-004-99, L26-004-100 and L26-005-101"

    assert spans(codes) == said


@given(st.lists(st.integers(0, 99), unique=True))
def test_every_code_can_be_copied_from_what_is_said(numbers: list[int]) -> None:
    """None is lost, in whatever order they are."""
    codes = [f"L26-004-{n:02}" for n in numbers]
    found: list[int] = []
    for part in re.split(r", | and ", spans(codes)):
        ends = part.removeprefix("L26-004-").split(" to ")
        if part:
            found += range(int(ends[0]), int(ends[-1]) + 1)

    assert found == numbers


def test_too_many_codes_stand_on_the_packing_list() -> None:
    """Which is named; a box has no room for a list."""
    odd = [f"L26-004-{n:02}" for n in range(1, 40, 2)]

    assert codes_in_a_box(odd, "X26-0003") == "see packing list X26-0003"
    assert codes_in_a_box(odd, "X26-0003", "neck") == "neck, see packing list X26-0003"
    assert codes_in_a_box(BLANKS[:1], "X26-0003", "neck") == "neck L26-004-05"
    assert codes_in_a_box(BLANKS, "X26-0003") == "L26-004-05 to 20"
    assert codes_in_a_box(odd[:6], "X26-0003") == spans(odd[:6])
