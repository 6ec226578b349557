"""Eight small pages on both sides of one sheet, to be folded twice and cut.

    front        back
    5'  4'       7'  2'       with an apostrophe: head down
    8   1        6   3

The back is printed turned on the sheet's short edge.
Fold the upper half backwards, then the left half backwards: page 1 lies in front, and
every head is in the first fold, along which the sheet is cut.
"""

from dataclasses import replace
from typing import Final, Literal, NamedTuple

from labels import faces, qr
from labels.page import MM, WALNUT, Page, Style, rule, turn_over, write
from labels.tongue import Tongue

Side = Literal["front", "back"]

PAGES: Final = 8
CUT: Final = 4.0  # what falls off on each side of the first fold [mm]
TICK: Final = 5.0
BARK_LINE: Final = 0.5
HINT = Style(face=faces.TEXT_ITALIC, size=6.8, colour=WALNUT, floor=6, narrow=0.8)


class Panel(NamedTuple):
    """Where a page lies on the sheet: its quarter, and whether its head is down.

    column  0 at the left, 1 at the right; row 0 above, 1 below
    """

    number: int
    side: Side
    column: int
    row: int

    @property
    def is_turned(self) -> bool:
        """Whether the page stands on its head: the upper half folds over."""
        return self.row == 0


FORME: Final = (
    Panel(5, "front", 0, 0),
    Panel(4, "front", 1, 0),
    Panel(8, "front", 0, 1),
    Panel(1, "front", 1, 1),
    Panel(7, "back", 0, 0),
    Panel(2, "back", 1, 0),
    Panel(6, "back", 0, 1),
    Panel(3, "back", 1, 1),
)


def leaf_size(sheet: tuple[float, float]) -> tuple[float, float]:
    """Return the width and height of a quarter of a sheet [mm]."""
    return sheet[0] / 2, sheet[1] / 2


def on_panel(page: Page, panel: Panel) -> Page:
    """Lay out a quarter of the sheet as a page of its own; `off_panel` ends it."""
    wide, high = leaf_size((page.width, page.height))
    left = qr.snap(wide, qr.DOTS_PER_INCH) * panel.column
    low = 0.0 if panel.row else qr.snap(high, qr.DOTS_PER_INCH)
    canvas = page.canvas
    canvas.saveState()
    if panel.is_turned:
        canvas.transform(-1, 0, 0, -1, (left + wide) * MM, (low + high) * MM)
    else:
        canvas.transform(1, 0, 0, 1, left * MM, low * MM)
    return replace(page, width=wide, height=high)


def off_panel(page: Page) -> None:
    """Go back from a quarter to the whole sheet."""
    page.canvas.restoreState()


def finish_side(page: Page, side: Side, say: Tongue) -> None:
    """Mark where to fold and to cut, say how in tiny words, and turn the sheet."""
    wide, high = leaf_size((page.width, page.height))
    for start, end in ((0.0, TICK), (page.width - TICK, page.width)):
        rule(page, (start, end), high, BARK_LINE)
    for top in (0.0, page.height - TICK):
        _upright(page, wide, top, top + TICK)
    for level in (high - CUT, high + CUT):
        _dotted(page, level)
    for x, words in zip((TICK + 2, wide + 3), _hints(side, say), strict=True):
        within = wide - TICK - 5
        write(page, (x, high - 0.9), words, HINT, within=within, field="how to fold")
    turn_over(page)


def _hints(side: Side, say: Tongue) -> tuple[str, str]:
    if side == "back":
        return say("Back: turned on the short edge."), say("Cut off after folding.")
    return (
        say("Print on both sides, turned on the short edge."),
        say("Fold here backwards, then the left half; staple; cut off this strip."),
    )


def _upright(page: Page, x: float, top: float, foot: float) -> None:
    page.canvas.setLineWidth(BARK_LINE)
    level, low = (page.height - top) * MM, (page.height - foot) * MM
    page.canvas.line(x * MM, level, x * MM, low)


def _dotted(page: Page, level: float) -> None:
    page.canvas.setDash(0.8 * MM, 2.2 * MM)
    rule(page, (0.0, page.width), level, BARK_LINE)
    page.canvas.setDash()
