"""What the pages of a booklet share: margins, heads, and paragraphs that fit a page."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from labels import faces
from labels.page import (
    HAIR,
    MM,
    WALNUT,
    Align,
    Page,
    Style,
    rule,
    wrap,
    write,
    write_lines,
)
from ledger.errors import RefusedError

MARGIN: Final = 9.5
HEAD: Final = 15.0  # the heading's baseline; above it a sheet may be cut
FIRST: Final = 22.6  # the first line under it
BEYOND_FOOT: Final = 6.4  # from the page's number to its edge
TEXT_FOOT: Final = 12.0  # from the lowest line of text to the edge

HEADING = Style(face=faces.CAPS, size=10.5, colour=WALNUT, tracking=0.07, floor=8)
BODY = Style(face=faces.TEXT, size=9.2)
LEAST_BODY, STEP = 7.2, 0.2
NOTE = Style(face=faces.TEXT, size=7.6, colour=WALNUT, floor=6.8)
MORE = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT)
FOLIO = Style(face=faces.DATA, size=7, floor=6)
LEADING: Final = 0.46  # of the size in points [mm]
PARAGRAPH: Final = 0.55  # of a line, between two paragraphs


def sides(page: Page) -> tuple[float, float]:
    """Return both edges of the type."""
    return MARGIN, page.width - MARGIN


def width(page: Page) -> float:
    """Return the width of the type [mm]."""
    return page.width - 2 * MARGIN


def foot(page: Page) -> float:
    """Return the lowest level of a line of text [mm]."""
    return page.height - TEXT_FOOT


def head(page: Page, words: str, y: float = HEAD) -> None:
    """Set the heading of a page, or one within it, over its rule."""
    write(page, (MARGIN, y), words, HEADING, within=width(page), field="heading")
    rule(page, sides(page), y + 1.7)


def folio(page: Page, number: int, serial: str) -> None:
    """Set the page's number at its outer edge, and the serial at the inner one."""
    y, (left, right) = page.height - BEYOND_FOOT, sides(page)
    is_left = number % 2 == 0
    ends: tuple[Align, Align] = ("left", "right") if is_left else ("right", "left")
    outer, inner = (left, right) if is_left else (right, left)
    write(page, (outer, y), f"{number}", FOLIO, align=ends[0])
    write(page, (inner, y), serial, FOLIO, align=ends[1], within=60, field="serial")
    rule(page, (left, right), y - 3.4, 0.22, HAIR)


def paragraphs(
    page: Page, y: float, until: float, texts: Sequence[str], style: Style = BODY
) -> float:
    """Set paragraphs between two levels, smaller where there is much to say.

    Returns the level after them. Raises RefusedError where not even small type fits.
    """
    size = style.size
    while True:
        chosen, leading = replace(style, size=size), size * LEADING
        lines = [wrap(text, chosen, width(page)) for text in texts if text]
        high = sum(map(len, lines)) + PARAGRAPH * (len(lines) - 1)
        if y + (high - 1) * leading <= until + 0.01:
            break
        size = round(size - STEP, 1)
        if size < LEAST_BODY:
            raise RefusedError(
                f"a page of the booklet does not fit the paper: {high:.0f} lines need "
                f"{high * leading:.0f} mm and {until - y:.0f} mm are free; shorten "
                f"the shop's or the room's name"
            )
    for each in lines:
        y = write_lines(page, (MARGIN, y), each, chosen, leading)
        y += PARAGRAPH * leading
    return y - PARAGRAPH * leading


def upright(page: Page, x: float, top: float, low: float) -> None:
    """Draw an upright hair line between columns to write in."""
    page.canvas.setLineWidth(0.5)
    page.canvas.line(x * MM, (page.height - top) * MM, x * MM, (page.height - low) * MM)
