"""Symbols as a print head burns them: every module a whole number of dots.

A paper is drawn for one printer; on another a module may be 3.4 dots wide, and would
come out as 3 here and as 4 there. Its symbols are found among the paths of the page,
by being nothing but level boxes on one square grid, and are burnt again in their own
middle with the whole dots that a module has room for.

Source: ISO/IEC 18004, a symbol has 17 + 4 n modules along an edge, n from 1 to 40.
"""

from collections.abc import Iterator
from ctypes import byref, c_float
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from PIL import Image, ImageDraw
from pypdfium2 import raw

from labels.qr import row_runs

INCH_PT = 72
NEAR = 0.02  # of a module: what is left of a position once a file has rounded it
SIDES = range(21, 178, 4)
WHITE = 255
CORNERS = 4

Corners = tuple[float, float, float, float]  # left, foot, right, top


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A symbol on a page: its modules, and its left top corner and its module [pt].

    Its corner is measured from the left and the upper edge of the page.
    """

    rows: tuple[tuple[bool, ...], ...]
    left: float
    top: float
    module: float


def symbols(page: Any) -> Iterator[Placed]:
    """Yield every symbol of an open page of a PDF."""
    height = page.get_height()
    for number in range(raw.FPDFPage_CountObjects(page)):
        part = raw.FPDFPage_GetObject(page, number)
        if raw.FPDFPageObj_GetType(part) != raw.FPDF_PAGEOBJ_PATH:
            continue
        found = _symbol(_boxes(part), height)
        if found:
            yield found


def burn(image: Image.Image, placed: Placed, dpi: float) -> None:
    """Draw a symbol anew on a page of dots; a module under one dot stays as it is."""
    side, scale = len(placed.rows), dpi / INCH_PT
    module = placed.module * scale
    dots = floor(module + NEAR)
    if not dots:
        return
    left, top = placed.left * scale, placed.top * scale
    ink = ImageDraw.Draw(image)
    far = side * module - NEAR
    around = (floor(left + NEAR), floor(top + NEAR))
    ink.rectangle((*around, ceil(left + far) - 1, ceil(top + far) - 1), fill=WHITE)
    slack = side * (module - dots) / 2
    x, y = round(left + slack), round(top + slack)
    for row, modules in enumerate(placed.rows):
        for start, length in row_runs(modules):
            corner = (x + start * dots, y + row * dots)
            end = (corner[0] + length * dots - 1, corner[1] + dots - 1)
            ink.rectangle((*corner, *end), fill=0)


def _boxes(part: Any) -> list[Corners] | None:
    """Return the boxes that a path is made of; None where it is of anything else."""
    turned = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(part, byref(turned))
    outlines: list[list[tuple[float, float]]] = []
    for number in range(raw.FPDFPath_CountSegments(part)):
        segment = raw.FPDFPath_GetPathSegment(part, number)
        kind = raw.FPDFPathSegment_GetType(segment)
        if kind == raw.FPDF_SEGMENT_BEZIERTO:
            return None
        x, y = c_float(), c_float()
        raw.FPDFPathSegment_GetPoint(segment, byref(x), byref(y))
        if kind == raw.FPDF_SEGMENT_MOVETO:
            outlines.append([])
        outlines[-1].append(
            (
                turned.a * x.value + turned.c * y.value + turned.e,
                turned.b * x.value + turned.d * y.value + turned.f,
            )
        )
    boxes = [_box(outline) for outline in outlines]
    return None if None in boxes else [box for box in boxes if box]


def _box(outline: list[tuple[float, float]]) -> Corners | None:
    """Return the corners of a level box, or None."""
    across, up = ([point[n] for point in outline] for n in (0, 1))
    box = (min(across), min(up), max(across), max(up))
    at_corners = all(x in box[::2] and y in box[1::2] for x, y in outline)
    return box if at_corners and len(set(outline)) == CORNERS else None


def _symbol(boxes: list[Corners] | None, height: float) -> Placed | None:
    """Return the symbol that boxes make, or None."""
    if not boxes:
        return None
    left, right = min(b[0] for b in boxes), max(b[2] for b in boxes)
    foot, top = min(b[1] for b in boxes), max(b[3] for b in boxes)
    module = min(b[3] - b[1] for b in boxes)
    side = round((right - left) / module) if module else 0
    if side not in SIDES or abs((top - foot) - side * module) > side * module * NEAR:
        return None
    module = (right - left) / side
    dark = [[False] * side for _ in range(side)]
    for box in boxes:
        first, last = ((edge - left) / module for edge in box[::2])
        upper, lower = ((top - edge) / module for edge in (box[3], box[1]))
        places = [first, last, upper, lower]
        if any(abs(place - round(place)) > NEAR * side for place in places):
            return None
        for row in range(round(upper), round(lower)):
            dark[row][round(first) : round(last)] = [True] * round(last - first)
    rows = tuple(map(tuple, dark))
    return Placed(rows=rows, left=left, top=height - top, module=module)
