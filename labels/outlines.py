"""Plain outlines of three kinds of instrument, drawn by the house and nobody's model.

Lengths are in units of a hundredth of the body's length; x runs to the right from the
centre line, y downwards from the top of the body. An outline is closed: its last point
runs on into its first. All three have the same plain, straight-topped head.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from typing import Final, Literal, NamedTuple

from labels.marks import Point

Family = Literal["flat-top", "arch-top", "solid-body"]
Outline = tuple[Point, ...]
Curve = tuple[Point, Point, Point]  # two handles and the end

STEPS: Final = 20  # straight pieces that a curve is drawn in
ROUND: Final = 0.5523  # a handle of a quarter circle, against its radius
# The twelfth root of two, written out: no two machines need agree on a power.
SEMITONE: Final = 1.0594630943592953
HEAD: Final = 34.0  # length of the head
HEAD_FOOT, HEAD_SHOULDER, HEAD_TOP = 4.9, 7.0, 7.9  # half-widths of the head
NUT: Final = 1.1  # how much of the neck the nut takes
BINDING: Final = 1.7  # width of the binding
HEEL_TOP: Final = -8.0  # where the neck begins to widen towards the body


class Neck(NamedTuple):
    """The neck of an instrument: its string length, and where it meets the body."""

    strings: float
    joint: int  # the fret at the edge of the body
    frets: int
    nut: float  # half-widths of the fingerboard
    end: float

    def fret(self, number: int) -> float:
        """Return how far a fret is from the nut; each leaves as much as the last."""
        left = self.strings
        for _ in range(number):
            left /= SEMITONE
        return self.strings - left

    @property
    def length(self) -> float:
        """How far the nut is above the body."""
        return self.fret(self.joint)

    @property
    def saddle(self) -> float:
        """How far the strings' lower end is below the top of the body."""
        return self.strings - self.length

    @property
    def foot(self) -> float:
        """How far the fingerboard reaches over the body."""
        return self.fret(self.frets) - self.length + 1.4


# String lengths of 645, 635 and 648 mm on bodies of 500, 525 and 470 mm; nuts of 44 mm.
# Common practice, no source.
NECKS: Final[dict[Family, Neck]] = {
    "flat-top": Neck(129.0, 14, 20, 4.4, 5.6),
    "arch-top": Neck(121.0, 14, 20, 4.2, 5.4),
    "solid-body": Neck(138.0, 17, 22, 4.6, 5.9),
}

# The right half of each body, from the middle of its top to that of its bottom.
BODIES: Final[dict[Family, tuple[Curve, ...]]] = {
    "flat-top": (
        ((16, 0), (29.5, 3), (30.2, 18)),
        ((30.6, 28), (27.2, 33), (27.2, 42)),
        ((27.2, 53), (38.3, 58), (38.6, 75)),
        ((38.8, 92), (22, 100), (0, 100)),
    ),
    "arch-top": (
        ((17, 0), (30.6, 2.4), (31.4, 19)),
        ((31.8, 30), (25.6, 33), (25.6, 43.5)),
        ((25.6, 55), (40.6, 58), (41, 77)),
        ((41.2, 93), (25, 100), (0, 100)),
    ),
    "solid-body": (
        ((19, 0), (31.6, 0.6), (32.4, 15)),
        ((32.8, 25), (29.6, 33), (29.6, 44)),
        ((29.6, 56), (34.6, 62), (35, 78)),
        ((35.2, 94), (20, 100), (0, 100)),
    ),
}


def family_of(kind: str) -> Family | None:
    """Return which outline a kind of instrument has, such as: flat-top guitar."""
    words = (
        kind.casefold().replace("archtop", "arch-top").replace("flattop", "flat-top")
    )
    for family in BODIES:
        if family in words or family.replace("-", " ") in words:
            return family
    return None


def curved(start: Point, curves: Sequence[Curve], steps: int = STEPS) -> list[Point]:
    """Return the points of Bézier curves, one after another, the start among them."""
    points = [start]
    for first, second, end in curves:
        begin = points[-1]
        for n in range(1, steps + 1):
            t, rest = n / steps, 1 - n / steps
            a, b = rest * rest * rest, 3 * rest * rest * t
            c, d = 3 * rest * t * t, t * t * t
            x = a * begin[0] + b * first[0] + c * second[0] + d * end[0]
            y = a * begin[1] + b * first[1] + c * second[1] + d * end[1]
            points.append((x, y))
    return points


def mirrored(half: Sequence[Point]) -> Outline:
    """Close a right half, from top to bottom, with its mirror on the centre line."""
    other = [(-x, y) for x, y in reversed(half) if x]
    return (*half, *other)


def flipped(outline: Outline) -> Outline:
    """Return an outline on the other side of the centre line."""
    return tuple((-x, y) for x, y in outline)


def body(family: Family) -> Outline:
    """Return the outline of a body, clockwise from the middle of its top."""
    return mirrored(curved((0.0, 0.0), BODIES[family]))


def inset(outline: Outline, by: float) -> Outline:
    """Return a clockwise outline moved inwards along its normals."""
    around = (outline[-1], *outline, outline[0])
    found = []
    for (ax, ay), (x, y), (bx, by_) in zip(
        around, around[1:], around[2:], strict=False
    ):
        along, down = bx - ax, by_ - ay
        length = sqrt(along * along + down * down)
        found.append((x - by * down / length, y + by * along / length))
    return tuple(found)


def round_(middle: Point, radius: float) -> Outline:
    """Return a circle."""
    x, y = middle
    r, h = radius, radius * ROUND
    curves: tuple[Curve, ...] = (
        ((x + h, y - r), (x + r, y - h), (x + r, y)),
        ((x + r, y + h), (x + h, y + r), (x, y + r)),
        ((x - h, y + r), (x - r, y + h), (x - r, y)),
        ((x - r, y - h), (x - h, y - r), (x, y - r)),
    )
    return tuple(curved((x, y - r), curves, 12)[:-1])


def upright(top: float, foot: float, half: float, half_foot: float) -> Outline:
    """Return a plate on the centre line, as wide at its foot as its second half."""
    return ((-half, top), (half, top), (half_foot, foot), (-half_foot, foot))


def _head_side(neck: Neck) -> list[Point]:
    """Return the right side of a head, from the middle of its top down."""
    nut = -neck.length
    top, shoulder = nut - HEAD, nut - 6.5
    return [
        (0.0, top),
        (HEAD_TOP - 0.6, top),
        (HEAD_TOP, top + 0.6),
        (HEAD_SHOULDER, shoulder),
        (HEAD_FOOT, nut - NUT),
    ]


def head(neck: Neck) -> Outline:
    """Return the head: straight across its top, straight down its sides."""
    return mirrored([*_head_side(neck), (0.0, -neck.length - NUT)])


def nut(neck: Neck) -> Outline:
    """Return the nut, between head and fingerboard."""
    return upright(-neck.length - NUT, -neck.length, neck.nut + 0.3, neck.nut + 0.3)


def fingerboard(neck: Neck) -> Outline:
    """Return the fingerboard, from the nut to a little over its last fret."""
    return upright(-neck.length, neck.foot, neck.nut, neck.end)


def half_at(neck: Neck, y: float) -> float:
    """Return half the fingerboard's width at a level."""
    part = (y + neck.length) / (neck.foot + neck.length)
    return neck.nut + (neck.end - neck.nut) * part


def _heel_side(neck: Neck) -> list[Point]:
    """Return the right side of a heel: it widens to the body, and ends round on it."""
    top = half_at(neck, HEEL_TOP) + 0.1
    wide = top + 1.2
    return curved(
        (top, HEEL_TOP),
        (
            ((top, -5.0), (wide, -2.0), (wide, 0.0)),
            ((wide, 4.5), (3.6, 8.8), (0.0, 9.0)),
        ),
    )


def _pocket_side(neck: Neck) -> list[Point]:
    """Return the right side of a neck's foot, set square into a solid body."""
    foot = neck.foot - 1.0
    top = half_at(neck, HEEL_TOP) + 0.1
    return [(top, HEEL_TOP), (neck.end, foot), (0.0, foot)]


def neck_behind(family: Family, *, has_heel: bool) -> Outline:
    """Return head and neck from behind, as of one piece of wood.

    It ends in the heel or in the pocket, or above a heel of another piece.
    """
    neck = NECKS[family]
    foot = _pocket_side(neck) if family == "solid-body" else _heel_side(neck)
    if has_heel:
        foot = [foot[0], (0.0, HEEL_TOP)]
    return mirrored([*_head_side(neck), (neck.nut + 0.5, -neck.length), *foot])


def heel(neck: Neck) -> Outline:
    """Return the heel from behind, where it is a piece of its own."""
    return mirrored([(0.0, HEEL_TOP), *_heel_side(neck)])


def sound_hole(neck: Neck) -> tuple[Point, float]:
    """Return the middle and the radius of a round sound hole under a fingerboard."""
    radius = 9.8
    return (0.0, neck.foot + 0.8 + radius), radius


def bridge(family: Family) -> Outline:
    """Return the bridge: glued down, or on two feet where the strings pass over it."""
    level = NECKS[family].saddle
    if family == "flat-top":
        return mirrored(
            [(0.0, level - 1.6), (9.2, level - 1.6), (9.9, level - 0.9),
             (9.9, level + 2.3), (9.2, level + 3.0), (0.0, level + 3.0)]
        )  # fmt: skip
    return mirrored(
        [(0.0, level - 1.3), (8.4, level - 1.3), (12.2, level - 0.4),
         (12.2, level + 1.8), (6.6, level + 1.8), (5.8, level + 1.1),
         (0.0, level + 1.1)]
    )  # fmt: skip


def tailpiece() -> Outline:
    """Return a tailpiece: one straight plate from the lower edge upwards."""
    return upright(69.0, 99.2, 7.2, 4.2)


def pickguard(neck: Neck) -> Outline:
    """Return a pickguard beside the fingerboard, on the side of the thin strings."""
    start = half_at(neck, 4.0) + 0.7
    outer = curved(
        (start + 6.0, 4.0),
        (((start + 8.0, 12), (start + 7.0, 24), (start + 3.4, 40)),),
    )
    return ((start, 4.0), *outer, (start + 0.6, 40.0))


def sound_slot() -> Outline:
    """Return the right one of two slender sound holes, bowed at both ends.

    It is swept along a curve, thin at its ends, which close in two small eyes.
    """
    spine = curved((13.8, 42.0), (((24.6, 42.5), (13.2, 67.0), (23.4, 67.5)),), 32)
    one, other = [], []
    for n, ((ax, ay), (bx, by)) in enumerate(pairwise(spine)):
        t = (n + 0.5) / (len(spine) - 1)
        half = 0.42 + 2.6 * t * (1 - t)
        along, down = bx - ax, by - ay
        length = sqrt(along * along + down * down)
        x, y = (ax + bx) / 2, (ay + by) / 2
        one.append((x + half * down / length, y - half * along / length))
        other.append((x - half * down / length, y + half * along / length))
    return (*one, *reversed(other))


def slot_eyes() -> tuple[Outline, Outline]:
    """Return the eyes of the right slot."""
    return round_((14.0, 43.2), 1.35), round_((23.2, 66.3), 1.55)


def posts(neck: Neck) -> list[Point]:
    """Return where the tuners stand on the right half of the head."""
    top = -neck.length - HEAD
    return [(4.7, top + 8.2 + n * 8.0) for n in range(3)]


def marks(neck: Neck) -> list[Point]:
    """Return the dots of a fingerboard, between their frets; at the octave two."""
    found = []
    for number in (3, 5, 7, 9, 12, 15, 17, 19):
        if number < neck.frets:
            level = (neck.fret(number - 1) + neck.fret(number)) / 2 - neck.length
            places = (-1.9, 1.9) if number == 12 else (0.0,)
            found += [(x, level) for x in places]
    return found


def pickups(neck: Neck) -> tuple[Outline, Outline]:
    """Return two plain pickups between fingerboard and bridge."""
    upper, lower = neck.foot + 5.4, neck.saddle - 9.0
    return (
        upright(upper - 2.4, upper + 2.4, 8.0, 8.0),
        upright(lower - 2.4, lower + 2.4, 8.0, 8.0),
    )


def height(family: Family) -> float:
    """Return how long an instrument is, from the top of its head to its lower edge."""
    return NECKS[family].length + HEAD + 100.0


def half_width(family: Family) -> float:
    """Return half of an instrument's width."""
    return max(x for x, _ in body(family))
