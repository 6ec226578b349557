"""Parts that the papers of the rack share: head and hole, facts in lines, the foot.

A card for the rack is A6, upright, with a hole to hang it by. What has no room is
shortened or counted, and the last line says by which command all of it is told.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from labels import faces, qr
from labels.page import (
    INK,
    MM,
    WALNUT,
    Page,
    Style,
    least,
    measure,
    oxford,
    rule,
    shortened,
    wrap,
    write,
)
from labels.tongue import Say

A6 = (105.0, 148.0)
LEFT, RIGHT = 6.0, 99.0
SIDES = (LEFT, RIGHT)
HOLE = 8.0  # its middle below the upper edge [mm]

HEAD = Style(
    face=faces.CAPS, size=9.6, colour=WALNUT, tracking=0.07, floor=7.6, may_shorten=True
)
SHOP_WRAPPED = replace(HEAD, size=8.6, floor=7)
NUMBER = Style(face=faces.DATA_HEAVY, size=50.5, floor=20)
LABEL = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7.6)
VALUE = Style(face=faces.TEXT, size=10.2, floor=8, may_shorten=True)
DATA = Style(face=faces.DATA_MEDIUM, size=9, floor=7, may_shorten=True)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.4, floor=8, may_shorten=True)
SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=7.6, may_shorten=True)
FOOT = Style(face=faces.TEXT, size=8, colour=WALNUT, floor=6.8, may_shorten=True)
MORE = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7.6, may_shorten=True)
FACT_LEADING, FACT_GAP, FOOT_LEADING = 4.0, 1.3, 3.4


class Fact(NamedTuple):
    """A label, what it says in at most so many lines, and the style of its words."""

    label: str
    words: str
    style: Style = VALUE
    most: int = 2


def head(page: Page, title: str, shop: str, sides: tuple[float, float] = SIDES) -> None:
    """Set the line over a paper, and the two rules under it."""
    left, right = sides
    room = (right - left) / 2 - 6
    write(page, (left, 9), title, HEAD, within=room)
    lines, levels, style = [shop], [9.0], HEAD
    if measure(shop, HEAD) * HEAD.narrow > room:
        lines, levels = lines_of(shop, SHOP_WRAPPED, room, 2), [6.6, 10.4]
        style = SHOP_WRAPPED
    for words, level in zip(lines, levels, strict=False):
        write(page, (right, level), words, style, align="right", within=room)
    oxford(page, sides, 14.6, "small")


def hole(page: Page, middle: float | None = None) -> None:
    """Show where to punch, 5 mm, inside a ring of 8.6 mm: in the middle, or at x."""
    x = (page.width / 2 if middle is None else middle) * MM
    y = (page.height - HOLE) * MM
    page.canvas.setStrokeColor(INK)
    for radius, weight in ((4.3, 0.8), (2.5, 0.5)):
        page.canvas.setLineWidth(weight)
        page.canvas.circle(x, y, radius * MM, stroke=1, fill=0)


def symbol(page: Page, text: str, at: tuple[float, float], dots: int) -> float:
    """Draw a symbol with modules of so many dots at 600 dpi; return its side [mm]."""
    drawn, module = qr.board_symbol(text), dots * qr.INCH / qr.DOTS_PER_INCH
    x, y = (qr.snap(edge, qr.DOTS_PER_INCH) for edge in at)
    qr.draw(page, drawn, x, y, module)
    return drawn.side * module


def payload(host: str, mark: str, code: str, check: str) -> str:
    """Return what a symbol says of a code; without a host, the code alone."""
    place = f"HTTPS://{host.upper()}/" if host else ""
    return f"{place}{mark}/{code}{check}"


def lines_of(words: str, style: Style, within: float, most: int) -> list[str]:
    """Break words into at most so many lines; the last one loses what has no room."""
    if measure(words, style) * style.narrow <= within:
        return [words]
    lines = wrap(words, style, within)
    if len(lines) <= most:
        return lines
    # The last line is cut where the first ones break, not set smaller than they are.
    last = replace(style, floor=0, narrow=1.0)
    rest = " ".join(lines[most - 1 :])
    return [*lines[: most - 1], shortened(rest, last, within)]


def facts(
    page: Page, x: tuple[float, float], y: float, rows: Sequence[Fact], offset: float
) -> float:
    """Set facts one under another, and return the baseline after the last.

    x       the left edge of the labels and the right edge of the words [mm]
    offset  how far the words stand from the labels' left edge, or further where a
            label needs it [mm]
    """
    offset = max(offset, max(least(row.label, LABEL) for row in rows) + 1.5 + 1e-6)
    left, within = x[0] + offset, x[1] - x[0] - offset
    for label, words, style, most in rows:
        write(page, (x[0], y), label, LABEL, within=offset - 1.5, field=label)
        for line in lines_of(words, style, within, most):
            write(page, (left, y), line, style, within=within, field=label)
            y += FACT_LEADING
        y += FACT_GAP
    return y


def heading(
    page: Page, y: float, words: str, aside: str, sides: tuple[float, float] = SIDES
) -> None:
    """Set a section's heading over its rule, and an aside beside it."""
    left, right = sides
    taken = write(page, (left, y), words, HEAD, within=right - left) + 2
    at, within = (left + taken, y), right - left - taken
    write(page, at, aside, MORE, within=within, field=words)
    rule(page, sides, y + 1.7)


def foot(
    page: Page, level: float, words: str, sides: tuple[float, float] = SIDES
) -> None:
    """Set the last lines of a paper, the lowest one on a level."""
    left, right = sides
    lines = wrap(words, FOOT, right - left)
    y = level - FOOT_LEADING * (len(lines) - 1)
    for line in lines:
        write(page, (left, y), line, FOOT, within=right - left)
        y += FOOT_LEADING


def printed_words(printed_at: str, say: Say) -> str:
    """Say when a paper was printed, and that the record may know more."""
    return say("Printed {time}. The ledger may know more: scan, or ask it.").format(
        time=printed_at
    )


def room_for(count: int, lines: int) -> int:
    """Count the rows there is room for; the last line counts those left over."""
    return count if count <= lines else max(lines - 1, 0)


def texts_of(rows: Sequence[Fact]) -> Iterator[str]:
    """Yield the words of facts, to look for letters that no face has."""
    yield from (row.words for row in rows)
