"""The sheet of a species paper: its edges, the head of later pages, and the foot."""

from collections.abc import Sequence
from dataclasses import dataclass

from labels import faces
from labels.materials_table import WIDTH, Block
from labels.page import (
    A4,
    HAIR,
    LETTER,
    Page,
    Style,
    bookmark,
    oxford,
    rule,
    wrap,
    write,
)

NEXT_TITLE = Style(face=faces.TEXT_SEMIBOLD, size=15.5, floor=11)
NUMBER = Style(face=faces.DATA_HEAVY, size=17, floor=10)
ASK = Style(face=faces.TEXT, size=8)
PAGE = Style(face=faces.DATA_MEDIUM, size=8.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The paper and where things stand on it [mm]."""

    size: tuple[float, float]
    top: float  # upper edge of the band
    foot: float  # hair rule above the last lines

    @property
    def left(self) -> float:
        """The left edge of the type."""
        return (self.size[0] - WIDTH) / 2

    @property
    def sides(self) -> tuple[float, float]:
        """Both edges of the type."""
        return self.left, self.left + WIDTH


SHEETS = {
    "A4": Sheet(size=A4, top=12, foot=281.6),
    "Letter": Sheet(size=LETTER, top=10, foot=265.6),
}


def named(words: str, blocks: Sequence[Block]) -> list[Block]:
    """Name what begins with the first of some blocks in the list of contents."""
    if not blocks:
        return []
    first = blocks[0]

    def draw(page: Page, left: float, y: float) -> None:
        bookmark(page, words, y, level=1)
        first.draw(page, left, y)

    return [first._replace(draw=draw), *blocks[1:]]


def next_head(page: Page, sheet: Sheet, number: str, title: str) -> None:
    """Set the head of every page after the first."""
    left, right = sheet.sides
    y = sheet.top + 27
    write(page, (left, y), title, NEXT_TITLE, within=WIDTH - 72, field="title")
    end = (right, y)
    write(page, end, number, NUMBER, align="right", within=70, field="number")
    oxford(page, sheet.sides, y + 3.2)


def page_foot(page: Page, sheet: Sheet, said: str, number: str, field: str) -> None:
    """Say a sentence or two under a hair rule, and which page this is."""
    left, right = sheet.sides
    rule(page, sheet.sides, sheet.foot, 0.22, HAIR)
    first, *rest = wrap(said, ASK, WIDTH - 20)
    for line, y in ((first, 4.0), (" ".join(rest), 7.6)):
        at, free = (left, sheet.foot + y), WIDTH - 20
        write(page, at, line, ASK, within=free, field=field)
    write(page, (right, sheet.foot + 4), number, PAGE, align="right")
