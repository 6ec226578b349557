"""What a graduation map shows: plates, their places, and where they are thickest.

Places have the frame in which they were gauged: seen from outside with the neck end
up, x to the right of the centre line and y from the lower end, in micrometres.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from typing import Final

from labels import faces, outlines
from labels.marks import Point
from labels.plot_figure import Heading

MILLIMETRE: Final = 1000
# Within this share of the length a place is at the edge, or on the centre line.
AT_THE_EDGE, ON_THE_LINE = 0.07, 0.04
# So near to an outline a place lies on it [um].
ON_THE_EDGE_UM = 0.5
# Where the bouts end, as shares of the length from the lower end.
WAIST_BEGINS, WAIST_ENDS = 0.47, 0.68


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place of a plate: right of the centre line, up from its lower end."""

    x_um: int
    y_um: int
    thickness_um: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate that was gauged; `said` are the lines that are told of it."""

    name: str
    length_um: int
    width_um: int | None = None
    places: tuple[Place, ...] = ()
    said: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Graduation:
    """What a graduation map shows; `kind` is such as "arch-top guitar"."""

    heading: Heading
    kind: str
    plates: tuple[Plate, ...]


def finding(plate: Plate, kind: str) -> str:
    """Say in a sentence where a plate is thickest and where it is thinnest."""
    values = [place.thickness_um for place in plate.places]
    thick, thin = max(values), min(values)
    if thick == thin:
        return f"{_said(thick, plate)} thick at all {len(values)}\u00a0places"
    return (
        f"Thickest {_said(thick, plate)} {_whereabouts(plate, kind, thick)}, thinnest "
        f"{_said(thin, plate)} {_whereabouts(plate, kind, thin)}"
    )


def outline_of(plate: Plate, kind: str) -> tuple[Point, ...]:
    """Return the outline of a kind, stretched to a plate, in its own frame [um].

    A kind without an outline has none.
    """
    family = outlines.family_of(kind)
    if family is None:
        return ()
    up = plate.length_um / 100
    half = outlines.half_width(family)
    across = up if plate.width_um is None else plate.width_um / (2 * half)
    return tuple((x * across, (100 - y) * up) for x, y in outlines.body(family))


def outside(plate: Plate, kind: str) -> int:
    """Count the places that lie outside the outline of a kind."""
    outline = outline_of(plate, kind)
    return sum(
        not is_inside(outline, (place.x_um, place.y_um)) for place in plate.places
    )


def is_inside(outline: Sequence[Point], at: Point) -> bool:
    """Tell whether a point is in an outline or on it; in none at all everything is."""
    if not outline:
        return True
    x, y = at
    inside = False
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        if _is_on((ax, ay), (bx, by), at):
            return True
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def _is_on(start: Point, end: Point, at: Point) -> bool:
    """Tell whether a point lies on a straight line, as near as a hand marks it."""
    along = end[0] - start[0], end[1] - start[1]
    reach = along[0] * along[0] + along[1] * along[1]
    to = at[0] - start[0], at[1] - start[1]
    share = (to[0] * along[0] + to[1] * along[1]) / reach if reach else 0.0
    share = min(max(share, 0.0), 1.0)
    off = to[0] - share * along[0], to[1] - share * along[1]
    return off[0] * off[0] + off[1] * off[1] <= ON_THE_EDGE_UM * ON_THE_EDGE_UM


def _whereabouts(plate: Plate, kind: str, value: int) -> str:
    """Say where a plate has a thickness, in words, or at how many places it has it."""
    there = [place for place in plate.places if place.thickness_um == value]
    if len(there) > 1:
        return f"at {len(there)}\u00a0places"
    return _region(there[0], plate, outline_of(plate, kind))


def _region(place: Place, plate: Plate, outline: Sequence[Point]) -> str:
    part = place.y_um / plate.length_um
    bout = "waist" if WAIST_BEGINS < part <= WAIST_ENDS else "upper bout"
    bout = "lower bout" if part <= WAIST_BEGINS else bout
    if not outline:
        bout = "lower half" if part <= 0.5 else "upper half"
    if _from_edge(place, outline) <= AT_THE_EDGE * plate.length_um:
        return f"at the edge of the {bout}"
    if abs(place.x_um) <= ON_THE_LINE * plate.length_um:
        return f"on the centre line of the {bout}"
    return f"in the {bout}"


def _from_edge(place: Place, outline: Sequence[Point]) -> float:
    """Return how far a place is from the nearest corner of an outline [um]."""
    if not outline:
        return float("inf")
    squares = (
        (x - place.x_um) * (x - place.x_um) + (y - place.y_um) * (y - place.y_um)
        for x, y in outline
    )
    return sqrt(min(squares))


def decimals(thicknesses: Iterable[int]) -> int:
    """Return how many decimals numbers have: as many as the finest, two at most."""
    return 1 if all(um % 100 == 0 for um in thicknesses) else 2


def digits(um: int, places: int) -> str:
    """Print a thickness in millimetres, without its unit."""
    unit = 10 ** (3 - places)
    whole, part = divmod((um + unit // 2) // unit, 10**places)
    return f"{whole}.{part:0{places}d}"


def _said(um: int, plate: Plate) -> str:
    places = decimals(place.thickness_um for place in plate.places)
    return f"{digits(um, places)}{faces.THIN_SPACE}mm"
