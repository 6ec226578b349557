"""Hatches on a page: a wood inside an outline, and the swatch that stands for it.

In one colour there is no tint, every line is ink, and none is lighter than half a
point.
"""

from collections.abc import Iterable, Sequence
from typing import Final

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.pathobject import PDFPathObject

from labels import faces
from labels.hatches import Hatch, strokes
from labels.marks import Box, Point
from labels.page import INK, MM, WHITE, Page, Style, write

SWATCH: Final = (7.0, 5.35)  # width and height [mm]
OUTLINE: Final = 0.4  # [pt]
LEAST: Final = 0.5  # of a stroke in one colour [pt]
BROKEN: Final = (1.0, 0.8)  # dash and gap of what is not known [mm]
FINE_BROKEN: Final = (0.55, 0.45)  # of small figures
PLACES: Final = 2  # of a point, to which every coordinate is rounded
SMALLEST_MARK: Final = 6.0  # a question mark under this is left out [pt]
LARGEST_MARK: Final = 15.0


def box_around(outline: Sequence[Point]) -> Box:
    """Return the box that an outline just fits into [mm]."""
    across, down = [x for x, _ in outline], [y for _, y in outline]
    left, top = min(across), min(down)
    return left, top, max(across) - left, max(down) - top


def draw_wood(
    page: Page,
    outline: Sequence[Point],
    hatch: Hatch,
    *,
    one_colour: bool = False,
    only: Box | None = None,
) -> None:
    """Fill a closed outline [mm] with a wood; nothing is drawn outside of it.

    With `only`, that part of the outline is filled: one lamina of several.
    """
    canvas = page.canvas
    canvas.saveState()
    canvas.clipPath(_closed(page, outline), stroke=0, fill=0)
    place = box_around(outline)
    if only is not None:
        canvas.clipPath(_closed(page, _corners(only)), stroke=0, fill=0)
    ground = hatch.anatomy.tint
    if one_colour:
        ground = INK if hatch.is_dark else WHITE
    canvas.setFillColor(HexColor(ground))
    canvas.drawPath(_closed(page, _corners(place)), stroke=0, fill=1)
    ink = INK if one_colour else hatch.anatomy.line
    canvas.setStrokeColor(HexColor(WHITE if hatch.is_dark else ink))
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    _stroke(page, hatch, only or place, one_colour=one_colour)
    canvas.restoreState()


def draw_outline(
    page: Page,
    outline: Sequence[Point],
    *,
    is_known: bool = True,
    one_colour: bool = False,
    weight: float = OUTLINE,
) -> None:
    """Draw the edge of a part; that of a wood nobody knows is broken."""
    canvas = page.canvas
    canvas.saveState()
    canvas.setStrokeColor(HexColor(INK))
    canvas.setLineWidth(max(weight, LEAST) if one_colour or not is_known else weight)
    canvas.setLineJoin(1)
    if not is_known:
        dash = FINE_BROKEN if weight < OUTLINE else BROKEN
        canvas.setDash([round(part * MM, PLACES) for part in dash])
    canvas.drawPath(_closed(page, outline), stroke=1, fill=0)
    canvas.restoreState()


def draw_question(page: Page, middle: Point, room: float) -> None:
    """Set a question mark in a free circle of a radius [mm], if it is legible there."""
    size = min(2 * room * MM, LARGEST_MARK)
    if size < SMALLEST_MARK:
        return
    style = Style(face=faces.DATA_BOLD, size=size)
    level = middle[1] + 0.334 * size / MM
    write(page, (middle[0], level), "?", style, align="centre")


def draw_swatch(
    page: Page,
    at: Point,
    hatch: Hatch,
    size: tuple[float, float] = SWATCH,
    *,
    one_colour: bool = False,
) -> None:
    """Draw a wood as a swatch, its top left at a place [mm]."""
    x, y = at
    box = (x, y, *size)
    outline = _corners(box)
    is_known = hatch.anatomy.pattern != "?"
    draw_wood(page, outline, hatch, one_colour=one_colour)
    draw_outline(page, outline, is_known=is_known, one_colour=one_colour)
    if not is_known:
        middle = (x + size[0] / 2, y + size[1] / 2)
        draw_question(page, middle, min(size) / 2)


def _stroke(page: Page, hatch: Hatch, box: Box, *, one_colour: bool) -> None:
    """Draw the lines of a hatch, those of one weight in one path."""
    lines = strokes(hatch, box)
    for heavy in sorted({line.weight for line in lines}):
        weight = hatch.weight * heavy
        path = page.canvas.beginPath()
        for line in lines:
            if line.weight == heavy:
                _follow(page, path, line.points)
        page.canvas.setLineWidth(round(max(weight, LEAST) if one_colour else weight, 3))
        page.canvas.drawPath(path, stroke=1, fill=0)


def _corners(box: Box) -> list[Point]:
    x, y, w, h = box
    return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]


def _closed(page: Page, points: Iterable[Point]) -> PDFPathObject:
    path = page.canvas.beginPath()
    _follow(page, path, points)
    path.close()
    return path


def _follow(page: Page, path: PDFPathObject, points: Iterable[Point]) -> None:
    for index, (x, y) in enumerate(points):
        step = path.lineTo if index else path.moveTo
        step(round(x * MM, PLACES), round((page.height - y) * MM, PLACES))
