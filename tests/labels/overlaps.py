"""Find words that run into other words, off their panel, or off the sheet."""

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

import pypdfium2 as pdfium
from pypdfium2 import raw

from labels.plot_figure import Label

MM = 72 / 25.4


class Words(NamedTuple):
    """A run of letters and the edges of its ink, in mm from the top left."""

    text: str
    left: float
    top: float
    right: float
    foot: float


def words(pdf: bytes, page: int = 0) -> list[Words]:
    """Return every run of letters on a page."""
    document = pdfium.PdfDocument(pdf)
    try:
        sheet = document[page]
        height, copied = sheet.get_height(), sheet.get_textpage()
        kind = [raw.FPDF_PAGEOBJ_TEXT]
        found = []
        for item in sheet.get_objects(filter=kind, textpage=copied):
            left, low, right, high = item.get_bounds()
            edges = (left, height - high, right, height - low)
            found.append(Words(item.extract().strip(), *(edge / MM for edge in edges)))
        return [each for each in found if each.text]
    finally:
        document.close()


def overlaps(pdf: bytes, page: int = 0) -> list[tuple[str, str]]:
    """Return every two runs of letters whose ink shares more than a hair's breadth."""
    found = words(pdf, page)
    return [
        (one.text, other.text)
        for number, one in enumerate(found)
        for other in found[:number]
        if min(one.right, other.right) - max(one.left, other.left) > 0.1
        and min(one.foot, other.foot) - max(one.top, other.top) > 0.2
    ]


def outside(pdf: bytes, panels: list[tuple[float, float]], page: int = 0) -> list[str]:
    """Return the runs of letters that stand in none of the panels, left to right.

    An italic J may hang out by up to 0.8 mm to the left, as it does in any margin.
    """
    return [
        each.text
        for each in words(pdf, page)
        if not any(
            start - 0.8 <= each.left and each.right <= end + 0.3
            for start, end in panels
        )
    ]


def off_the_sheet(pdf: bytes, margin: float, page: int = 0) -> list[str]:
    """Return the runs of letters that come nearer to an edge than a margin [mm]."""
    document = pdfium.PdfDocument(pdf)
    try:
        width, height = (edge / MM for edge in document[page].get_size())
    finally:
        document.close()
    return [
        each.text
        for each in words(pdf, page)
        if min(each.left, each.top, width - each.right, height - each.foot) < margin
    ]


def crowded(labels: Sequence[Label]) -> list[tuple[str, str]]:
    """Return every two labels whose boxes share more than a hair's breadth."""
    return [
        (one.words, other.words)
        for one, other in combinations(labels, 2)
        if min(one.right, other.right) - max(one.left, other.left) > 0.2
        and min(one.foot, other.foot) - max(one.top, other.top) > 0.7
    ]
