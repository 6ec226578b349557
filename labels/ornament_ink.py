"""Ornaments on a page: cores to lay edge to edge, end grain, frames and spines.

Beside each of them stands what it is made from. Rings are a quick look and no proof.
"""

from collections.abc import Iterable
from typing import Final, NamedTuple

from reportlab.lib.colors import HexColor

from labels.ornament import Board, Point, Stroke, board, core, end_grain
from labels.page import INK, MM, WALNUT, Page
from labels.polyline import along

RING: Final = 0.25  # a ring's line in a core [mm]
BARK: Final = 0.9  # [pt]
EDGE: Final = 0.25  # [pt]
DECADE, PRICK = 10, 0.17  # every tenth ring is pricked with a dot [mm]
PITH: Final = 0.14  # radius of the pith [mm]
FINE: Final = 0.2  # boards on offset and laser papers [pt]
OFFICE: Final = 0.28  # on office printers and slips [pt]
PLACES: Final = 2  # of a point, to which every coordinate is rounded
ROUND: Final = (
    0.5523  # how far a curve's handle stands off, for a quarter of an ellipse
)


class CoreSize(NamedTuple):
    """How high a row of a core is, and how far apart the two are [mm]."""

    row: float = 2.2
    gap: float = 0.7

    @property
    def height(self) -> float:
        """The height of both rows and what is between them [mm]."""
        return 2 * self.row + self.gap


CORE: Final = CoreSize()


def draw_core(
    page: Page, at: Point, digest: bytes, size: CoreSize = CORE, *, ink: str = INK
) -> None:
    """Draw the core of a hash, its top left at a place [mm].

    Its rings are never scaled, so that two papers can be laid edge to edge.
    """
    canvas = page.canvas
    canvas.saveState()
    canvas.setLineCap(0)
    canvas.setStrokeColor(HexColor(ink))
    canvas.setFillColor(HexColor(ink))
    x, y = at
    for place, ends in enumerate(core(digest)):
        top = y + place * (size.row + size.gap)
        bottom = top + size.row
        _lines(page, [((x, top), (x, bottom))], BARK)
        level = [((x, edge), (x + ends[-1], edge)) for edge in (top, bottom)]
        _lines(page, level, EDGE)
        _lines(page, [((x + e, top), (x + e, bottom)) for e in ends], RING * MM)
        for ring in range(DECADE - 1, len(ends), DECADE):
            middle = (ends[ring - 1] + ends[ring]) / 2
            _dot(page, (x + middle, (top + bottom) / 2), PRICK / 2)
    canvas.restoreState()


def core_width(digest: bytes) -> float:
    """Return how long the longer row of a core is [mm]; 57 is the most to allow."""
    return max(ends[-1] for ends in core(digest))


def draw_end_grain(
    page: Page,
    middle: Point,
    digest: bytes,
    radius: float,
    *,
    weight: float = OFFICE,
    ink: str = WALNUT,
    with_check: bool = True,
) -> None:
    """Draw the end grain of a hash around a place [mm]; its check may be left out."""
    found = end_grain(digest, radius)
    canvas = page.canvas
    canvas.saveState()
    canvas.setStrokeColor(HexColor(ink))
    canvas.setFillColor(HexColor(ink))
    canvas.setLineJoin(1)
    for ring in found.rings:
        _ring(page, middle, ring, weight)
    _dot(page, _moved(found.pith, middle), PITH)
    if with_check:
        _fill(page, [_moved(point, middle) for point in found.check])
    canvas.restoreState()


def draw_frame(
    page: Page,
    digest: bytes,
    *,
    inset: float,
    breadth: float,
    weight: float = FINE,
    ink: str = WALNUT,
) -> None:
    """Draw four mitred boards around a page, so far in from its edges [mm]."""
    across, down = page.width - 2 * inset, page.height - 2 * inset
    canvas = page.canvas
    for place, length in enumerate((across, down, across, down)):
        made = board(digest, place, length=length, breadth=breadth)
        canvas.saveState()
        canvas.transform(*_placed(page, place, inset))
        _board(page, made, weight, ink)
        canvas.restoreState()
    far, low = page.width - inset, page.height - inset
    corners = [(inset, inset, 1, 1), (far, inset, -1, 1)]
    corners += [(far, low, -1, -1), (inset, low, 1, -1)]
    canvas.saveState()
    canvas.setStrokeColor(HexColor(ink))
    mitres = [
        ((x, y), (x + right * breadth, y + below * breadth))
        for x, y, right, below in corners
    ]
    _lines(page, mitres, 1.2 * weight)
    canvas.restoreState()


def draw_spine(
    page: Page,
    digest: bytes,
    *,
    at: Point,
    length: float,
    breadth: float,
    weight: float = FINE,
    ink: str = WALNUT,
) -> None:
    """Draw a lone board that stands upright, its top left at a place [mm]."""
    made = board(digest, 3, length=length, breadth=breadth, mitred=False)
    canvas = page.canvas
    canvas.saveState()
    x, y = at
    # Along it is downwards, and its outer edge is to the left.
    canvas.transform(0, -1, 1, 0, _pt(x), _pt(page.height - y))
    _board(page, made, weight, ink)
    canvas.restoreState()


def _placed(page: Page, place: int, inset: float) -> tuple[float, ...]:
    """Return how a board's own axes lie on the page: along it, then inwards."""
    near, far = _pt(inset), _pt(page.width - inset)
    low, high = _pt(inset), _pt(page.height - inset)
    return (
        (1, 0, 0, -1, near, high),
        (0, -1, -1, 0, far, high),
        (-1, 0, 0, 1, far, low),
        (0, 1, 1, 0, near, low),
    )[place]


def _board(page: Page, made: Board, weight: float, ink: str) -> None:
    canvas = page.canvas
    canvas.setStrokeColor(HexColor(ink))
    canvas.setFillColor(HexColor(ink))
    canvas.setLineJoin(1)
    for line in made.lines:
        path = along((_pt(x), _pt(y)) for x, y in line.points)
        canvas.setLineWidth(round(weight * line.weight, 3))
        canvas.drawPath(path, stroke=1, fill=0)
    canvas.setLineWidth(weight)
    for eye in made.eyes:
        for share in (0.25, 0.55, 0.85):
            _ellipse(page, eye.middle, eye.along * share, eye.across * share)
        _lozenge(page, eye.middle, eye.along * 0.12, eye.across * 0.12)


def _ellipse(page: Page, middle: Point, along: float, across: float) -> None:
    (x, y), canvas = middle, page.canvas
    path = canvas.beginPath()
    path.moveTo(_pt(x + along), _pt(y))
    for right, up in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        # Two quarters begin on the long axis, the two others on the short one.
        first, second = (
            ((right * along, up * across * ROUND), (right * along * ROUND, up * across))
            if right * up > 0
            else (
                (right * along * ROUND, up * across),
                (right * along, up * across * ROUND),
            )
        )
        end = (0.0, up * across) if right * up > 0 else (right * along, 0.0)
        path.curveTo(
            *(_pt(x + first[0]), _pt(y + first[1])),
            *(_pt(x + second[0]), _pt(y + second[1])),
            *(_pt(x + end[0]), _pt(y + end[1])),
        )
    canvas.drawPath(path, stroke=1, fill=0)


def _lozenge(page: Page, middle: Point, along: float, across: float) -> None:
    x, y = middle
    path = page.canvas.beginPath()
    path.moveTo(_pt(x - along), _pt(y))
    for px, py in ((x, y - across), (x + along, y), (x, y + across)):
        path.lineTo(_pt(px), _pt(py))
    path.close()
    page.canvas.drawPath(path, stroke=0, fill=1)


def _ring(page: Page, middle: Point, line: Stroke, weight: float) -> None:
    moved = (_moved(point, middle) for point in line.points)
    path = along(((_pt(x), _pt(page.height - y)) for x, y in moved), closed=True)
    page.canvas.setLineWidth(round(weight * line.weight, 3))
    page.canvas.drawPath(path, stroke=1, fill=0)


def _lines(page: Page, lines: Iterable[tuple[Point, Point]], weight: float) -> None:
    path = page.canvas.beginPath()
    for (x, y), (to_x, to_y) in lines:
        path.moveTo(_pt(x), _pt(page.height - y))
        path.lineTo(_pt(to_x), _pt(page.height - to_y))
    page.canvas.setLineWidth(round(weight, 3))
    page.canvas.drawPath(path, stroke=1, fill=0)


def _dot(page: Page, middle: Point, radius: float) -> None:
    x, y = middle
    page.canvas.circle(_pt(x), _pt(page.height - y), _pt(radius), stroke=0, fill=1)


def _fill(page: Page, points: list[Point]) -> None:
    path = page.canvas.beginPath()
    for number, (x, y) in enumerate(points):
        step = path.lineTo if number else path.moveTo
        step(_pt(x), _pt(page.height - y))
    path.close()
    page.canvas.drawPath(path, stroke=0, fill=1)


def _moved(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]


def _pt(length: float) -> float:
    """Return a length in points, to a hundredth: what every machine writes alike."""
    return round(length * MM, PLACES)
