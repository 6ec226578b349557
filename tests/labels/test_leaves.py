"""Tests of the leaves of a paper."""

import pytest

from labels import label, leaves
from labels.page import A4
from labels.tag import draw
from tests.labels import reading
from tests.labels.samples import BACK_A, BACK_B, TAG


def test_a_leaf_is_as_large_as_it_was_laid_out() -> None:
    """In millimetres, whichever way it lies."""
    assert leaves.size(draw(TAG, paper="A4")) == pytest.approx(A4[::-1], abs=0.01)
    assert leaves.size(label.roll([BACK_A])) == pytest.approx((51, 22), abs=0.01)


def test_every_leaf_is_a_paper_of_its_own() -> None:
    """With its own words and size and nobody else's, and the same bytes each time."""
    pdf = label.roll([BACK_A, BACK_B])
    apart = leaves.apart(pdf)

    assert [reading.pages(leaf) for leaf in apart] == [1, 1]
    for number, (leaf, shown) in enumerate(zip(apart, (BACK_A, BACK_B), strict=True)):
        assert reading.text(leaf) == reading.text(pdf, number)
        assert shown.code in reading.text(leaf)
        assert leaves.size(leaf) == leaves.size(pdf)
    assert leaves.apart(pdf) == apart
