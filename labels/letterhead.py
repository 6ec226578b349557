"""The head of a letter: the shop's emblem and name over a rule, how to reach it below.

It is set as an engraver would: the name in spaced small capitals, the thick and the
thin line under it, and the address small, in one row as long as it fits.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from labels import faces
from labels.emblem import Emblem, draw_emblem
from labels.page import WALNUT, Page, Style, in_two, measure, oxford, write
from labels.sections import NUMBER, Frame

NAME = Style(
    face=faces.CAPS, size=15, colour=WALNUT, tracking=0.1, floor=9, may_shorten=True
)
NAME_WRAPPED, NAME_LEADING = replace(NAME, size=11), 4.6
REACH = Style(face=faces.TEXT, size=8.6, colour=WALNUT, floor=6.8, may_shorten=True)
EMBLEM_HEIGHT, EMBLEM_WIDTH = 11.0, 24.0  # at most [mm]
FOR_DATE = 40.0  # at the right end [mm]
REACH_AT, REACH_LEADING = 8.2, 3.6  # below the name's baseline [mm]
BETWEEN = "  ·  "


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """Who writes: the shop, its town, how to reach it in at most three lines."""

    shop: str
    place: str = ""
    lines: tuple[str, ...] = ()
    emblem: Emblem | None = None

    @property
    def reach(self) -> tuple[str, ...]:
        """What stands under the rule: the lines, or the town where there are none."""
        return self.lines or tuple(filter(None, (self.place,)))


def draw(page: Page, frame: Frame, head: Letterhead, day: str) -> float:
    """Set the head and the day, and return how far what follows moves down [mm]."""
    start = frame.left
    if head.emblem is not None:
        height = min(EMBLEM_HEIGHT, EMBLEM_WIDTH / head.emblem.ratio)
        draw_emblem(page, head.emblem, (start, frame.head + 1.2 - height), height)
        start += head.emblem.width(height) + 3.5
    at = (frame.right, frame.head)
    taken = write(page, at, day, NUMBER, align="right", within=FOR_DATE, field="day")
    within = frame.right - taken - 4 - start
    lines = in_two(head.shop, NAME, within)
    style = NAME if len(lines) == 1 else NAME_WRAPPED
    for number, line in enumerate(lines, 1 - len(lines)):
        at = (start, frame.head + NAME_LEADING * number)
        write(page, at, line, style, within=within, field="shop")
    oxford(page, frame.sides, frame.head + 3)
    return REACH_LEADING * max(reach(page, frame, head.reach) - 1, 0)


def reach(page: Page, frame: Frame, lines: tuple[str, ...]) -> int:
    """Set how to reach the shop under the rule, and return in how many rows."""
    wide = frame.right - frame.left
    rows = list(_rows(lines, wide))
    for number, row in enumerate(rows):
        at = (frame.left, frame.head + REACH_AT + REACH_LEADING * number)
        write(page, at, row, REACH, within=wide, field="letterhead")
    return len(rows)


def texts(head: Letterhead) -> tuple[str, ...]:
    """Return the words of a head, to look for letters that no face has."""
    return (head.shop, head.place, *head.lines)


def _rows(lines: tuple[str, ...], within: float) -> Iterator[str]:
    """Yield lines side by side, as many in a row as it holds."""
    row = ""
    for line in lines:
        longer = f"{row}{BETWEEN}{line}" if row else line
        if row and measure(longer, REACH) > within:
            yield row
            longer = line
        row = longer
    if row:
        yield row
