"""Tests of what is set one under another, page after page."""

from hypothesis import given
from hypothesis import strategies as st

from labels.blocks import Block, page_of, share_out, space, together
from labels.page import Page, open_document

HEIGHTS = st.lists(st.floats(min_value=0.5, max_value=60), max_size=40)


@given(HEIGHTS)
def test_nothing_is_lost_and_no_page_is_too_full(heights: list[float]) -> None:
    """Blocks stay in order, and a page holds no more than it has room for."""
    blocks = [space(height) for height in heights]
    pages = share_out(blocks, 60)

    assert [block for page in pages for block in page] == blocks
    assert all(sum(block.height for block in page) <= 60.001 for page in pages)


def test_a_block_higher_than_a_page_still_gets_one() -> None:
    """It stands alone, and what follows begins a new page."""
    pages = share_out([space(10), space(90), space(10)], 60)

    assert [[block.height for block in page] for page in pages] == [[10], [90], [10]]


def test_it_is_known_on_which_page_something_begins() -> None:
    """By the name of its first block; what never begins is nowhere."""
    first = together([Block(50, lambda _page, _y: None, "hands"), space(5)])
    pages = share_out([space(30), first], 60)

    assert (page_of(pages, "hands"), page_of(pages, "trees")) == (1, None)


def test_what_is_kept_together_is_drawn_one_under_another() -> None:
    """Each begins where the one before it ends."""
    levels: list[float] = []

    def note(_page: Page, y: float) -> None:
        levels.append(y)

    both = together([Block(7, note), space(3), Block(5, note)])
    both.draw(open_document((100, 100), "levels"), 20)

    assert (both.height, levels) == (15, [20, 30])


def test_what_goes_on_over_a_page_has_its_heading_once_more() -> None:
    """It takes its height there, and stands nowhere else."""
    over = space(10)
    rows = [space(20), *(space(20)._replace(over=over) for _ in range(4))]
    pages = share_out(rows, 60)

    assert [[block.height for block in page] for page in pages] == [
        [20, 20, 20],
        [10, 20, 20],
    ]
