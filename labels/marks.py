"""Marks from the bench: state plates, framers' numerals, the cabinet-maker's triangle.

A state is a word and an edge before it is a colour: solid for yes, hollow for open,
sawn for stop, broken for not known.
"""

from typing import Literal

from reportlab.lib.colors import HexColor

from labels import faces
from labels.page import INK, MM, WHITE, Page, Style, fit, write

State = Literal["solid", "hollow", "sawn", "broken"]
Point = tuple[float, float]
Box = tuple[float, float, float, float]  # x, y, width, height [mm]

CAP_HEIGHT = 0.668  # of the data face, in ems
TEETH = 3


def polygon(page: Page, points: list[Point], colour: str = INK) -> None:
    """Fill a shape with straight edges."""
    path = page.canvas.beginPath()
    for index, (x, y) in enumerate(points):
        step = path.lineTo if index else path.moveTo
        step(x * MM, (page.height - y) * MM)
    path.close()
    page.canvas.setFillColor(HexColor(colour))
    page.canvas.drawPath(path, stroke=0, fill=1)


def stroke(
    page: Page,
    points: list[Point],
    weight: float,
    *,
    dash: tuple[float, float] | None = None,
    colour: str = INK,
) -> None:
    """Draw a line through points; dash is length and gap [mm]."""
    path = page.canvas.beginPath()
    for index, (x, y) in enumerate(points):
        step = path.lineTo if index else path.moveTo
        step(x * MM, (page.height - y) * MM)
    page.canvas.setStrokeColor(HexColor(colour))
    page.canvas.setLineWidth(weight)
    page.canvas.setLineJoin(0)
    if dash:
        page.canvas.setDash(dash[0] * MM, dash[1] * MM)
    page.canvas.drawPath(path, stroke=1, fill=0)
    page.canvas.setDash()


def _sawn(box: Box) -> list[Point]:
    """Return a plate with three teeth cut into each end."""
    x, y, w, h = box
    depth = min(0.8 * h / TEETH, 0.12 * w)
    steps = range(2 * TEETH + 1)
    levels = [(y + h * n / (2 * TEETH), depth if n % 2 else 0.0) for n in steps]
    left = [(x + cut, level) for level, cut in levels]
    right = [(x + w - cut, level) for level, cut in reversed(levels)]
    return left + right


def _outline(box: Box, inset: float) -> list[Point]:
    x, y, w, h = box
    left, top, right, bottom = x + inset, y + inset, x + w - inset, y + h - inset
    return [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]


def edge(page: Page, box: Box, state: State, colour: str = INK) -> None:
    """Draw the plate of a state, without its word."""
    x, y, w, h = box
    if state == "solid":
        polygon(page, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)], colour)
    elif state == "sawn":
        polygon(page, _sawn(box), colour)
    elif state == "hollow":
        weight = max(1.0, 0.14 * h)
        ring = _outline(box, weight / 2 / MM)
        # The last side runs on into the first, so that the corner closes square.
        stroke(page, [*ring, ring[1]], weight, colour=colour)
    else:
        weight = max(0.9, 0.12 * h)
        ring = _outline(box, weight / 2 / MM)
        dash = (0.19 * h, 0.15 * h)
        stroke(page, ring, weight, dash=dash, colour=colour)


def plate(page: Page, box: Box, state: State, word: str, colour: str = INK) -> None:
    """Draw a state: its edge, and its word in capitals."""
    x, y, w, h = box
    edge(page, box, state, colour)
    reversed_out = state in ("solid", "sawn")
    size = 0.4 * h / CAP_HEIGHT * MM
    style = Style(
        face=faces.DATA_HEAVY,
        size=size,
        colour=WHITE if reversed_out else colour,
        tracking=0.04,
        floor=size * 0.6,
    )
    # A word that must shrink keeps its middle in that of the plate.
    shown, _ = fit(word, style, w * 0.72, "state")
    middle = y + h / 2 + 0.2 * h * (shown.size / size)
    write(
        page,
        (x + w / 2, middle),
        word,
        style,
        align="centre",
        within=w * 0.72,
        field="state",
    )


def numeral(number: int) -> str:
    """Write a number as a timber framer cuts it: VIIII, never IX.

    Additive, so that it reads the same from either end of the timber. Common practice,
    no source.
    """
    tens, rest = divmod(number, 10)
    fives, ones = divmod(rest, 5)
    return "X" * tens + "V" * fives + "I" * ones


def _chisel(page: Page, start: Point, end: Point, height: float) -> None:
    """Cut one stroke with a chisel: broad a third of the way down, then tapering."""
    k = 0.13 * height
    run, fall = end[0] - start[0], end[1] - start[1]
    length = (run**2 + fall**2) ** 0.5
    across = (-fall / length * k, run / length * k)
    spine = [(0.0, 0.375), (0.3, 0.5), (1.0, 0.09)]

    def at(part: float, half: float) -> Point:
        return (
            start[0] + run * part + across[0] * half,
            start[1] + fall * part + across[1] * half,
        )

    one_side = [at(part, half) for part, half in spine]
    other_side = [at(part, -half) for part, half in reversed(spine)]
    polygon(page, one_side + other_side)


CUTS: dict[str, tuple[float, tuple[tuple[float, float], ...]]] = {
    # letter: advance, then (x at the top, x at the foot) of each stroke, in heights
    "I": (0.30, ((0.05, 0.05),)),
    "V": (0.72, ((0.0, 0.30), (0.60, 0.30))),
    "X": (0.74, ((0.0, 0.55), (0.55, 0.0))),
}


def hand_mark(page: Page, x: float, y: float, badge: str, height: float) -> None:
    """Cut a badge number beside a name; y is the foot of the strokes.

    Badges that are no number from 1 to 39 have no numeral and leave the place empty.
    """
    if not badge.isascii() or not badge.isdigit() or not 1 <= int(badge) <= 39:
        return
    for letter in numeral(int(badge)):
        advance, strokes = CUTS[letter]
        for top, foot in strokes:
            _chisel(
                page,
                (x + top * height, y - height),
                (x + foot * height, y),
                height,
            )
        x += advance * height


def triangle(page: Page, x: float, y: float, half: str | None) -> None:
    """Draw the cabinet-maker's triangle, 8 by 3.6 mm, or the half a board bears.

    (x, y) is the top of its centre line. Laid as they grew, the two halves close it.
    Common practice, no source.
    """
    foot, reach = y + 3.6, 4.0
    left, right, apex = (x - reach, foot), (x + reach, foot), (x, y)
    middle = (x, foot)
    shape = {
        "A": [middle, left, apex],
        "B": [middle, right, apex],
    }.get(half or "", [middle, left, apex, right, middle])
    stroke(page, shape, 1.45)
    if half:
        dash = (1.2 / MM, 1.2 / MM)
        stroke(page, [(x, y - 0.5), (x, foot + 0.5)], 0.65, dash=dash)
