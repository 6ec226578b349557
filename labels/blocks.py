"""Things of a height that are set one under another, over as many pages as it takes."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from labels.page import Page


class Block(NamedTuple):
    """Something of a height [mm] that is drawn from its upper edge, on one page.

    `begins` names what begins with it, for whoever wants to know on which page;
    `over` goes before it where a page begins with it, such as its heading once more.
    """

    height: float
    draw: Callable[[Page, float], None]
    begins: str = ""
    over: "Block | None" = None


def space(height: float) -> Block:
    """Leave a height [mm] free."""
    return Block(height, lambda _page, _y: None)


def together(blocks: Sequence[Block]) -> Block:
    """Keep blocks on one page."""

    def draw(page: Page, y: float) -> None:
        for block in blocks:
            block.draw(page, y)
            y += block.height

    begins = next((block.begins for block in blocks if block.begins), "")
    return Block(sum(block.height for block in blocks), draw, begins)


def share_out(blocks: Sequence[Block], whole: float) -> list[list[Block]]:
    """Fill pages of a height [mm] with blocks, in order."""
    pages: list[list[Block]] = [[]]
    left = whole
    for block in blocks:
        if block.height > left and pages[-1]:
            pages.append([])
            left = whole
            if block.over is not None:
                pages[-1].append(block.over)
                left -= block.over.height
        pages[-1].append(block)
        left -= block.height
    return pages


def page_of(pages: Sequence[Sequence[Block]], begins: str) -> int | None:
    """Return on which of the pages, from nought, something begins, or None."""
    return next(
        (
            number
            for number, blocks in enumerate(pages)
            if any(block.begins == begins for block in blocks)
        ),
        None,
    )
