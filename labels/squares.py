"""The small squares of tables and lists: four edges that need no colour."""

from labels.marks import Point, State, polygon, stroke
from labels.page import MM, Page

LINE = 0.18  # of a hollow or broken square's side
NOTCH = 0.36
DASH, GAP = 0.22, 0.20


def _hourglass(x: float, y: float, side: float) -> list[Point]:
    """Return a square with a notch cut into its left and its right side."""
    middle, cut = y + side / 2, NOTCH * side
    return [
        (x, y),
        (x + side, y),
        (x + side - cut, middle),
        (x + side, y + side),
        (x, y + side),
        (x + cut, middle),
    ]


def square(page: Page, x: float, y: float, side: float, state: State) -> None:
    """Draw the square of a state; (x, y) is its top left corner."""
    if state == "sawn":
        polygon(page, _hourglass(x, y, side))
        return
    right, foot = x + side, y + side
    if state == "solid":
        polygon(page, [(x, y), (right, y), (right, foot), (x, foot)])
        return
    inset = LINE * side / 2
    left, top, right, foot = x + inset, y + inset, right - inset, foot - inset
    ring = [(left, top), (right, top), (right, foot), (left, foot), (left, top)]
    dash = (DASH * side, GAP * side) if state == "broken" else None
    # The last side runs on into the first, so that the corner closes square.
    run_on = [] if dash else ring[1:2]
    stroke(page, ring + run_on, LINE * side * MM, dash=dash)
