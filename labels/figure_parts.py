"""What is seen of an instrument from the front and from behind, in painting order.

Each piece lies over those before it. Lengths are in units of a hundredth of the body's
length, as the outlines are.
"""

from collections.abc import Collection, Iterator
from typing import Final, Literal, NamedTuple

from labels import outlines
from labels.marks import Point
from labels.outlines import NECKS, Family, Neck, Outline

Side = Literal["front", "back"]
Look = Literal["wood", "hole", "fitting"]

ROSETTE: Final = 2.9  # width of the rings around a sound hole
BUTTON: Final = 1.45  # radius of a tuner's button
POST: Final = 0.75
CASE: Final = 1.5  # half-width of a tuner's case


class Piece(NamedTuple):
    """One thing that is seen: wood, an opening, or a fitting that is no wood.

    The first of its `parts` that the instrument has says which wood it is of. `anchor`
    is where a leader points; at `mark` a circle of radius `room` is free for a question
    mark. `inner` is what is left open of a piece of rings.
    """

    look: Look
    outline: Outline
    parts: tuple[str, ...] = ()
    anchor: Point = (0.0, 0.0)
    mark: Point = (0.0, 0.0)
    room: float = 0.0
    inner: float = 0.0

    def part(self, has: Collection[str]) -> str:
        """Return the part whose wood this is; the last one where it has none."""
        return next((part for part in self.parts if part in has), self.parts[-1])


def pieces(family: Family, side: Side, has: Collection[str]) -> tuple[Piece, ...]:
    """Return what is seen of an instrument that has these parts.

    Top or body, back, neck, fingerboard and head are seen of every one, a bridge of
    all but a solid body, whose bridge is a fitting; the others where it has them.
    """
    view = _front if side == "front" else _back
    return tuple(view(family, NECKS[family], frozenset(has)))


def _front(family: Family, neck: Neck, has: frozenset[str]) -> Iterator[Piece]:
    face = ("cap", "body") if family == "solid-body" else ("top",)
    yield from _box(family, face, (-21.0, 86.0), has)
    if family == "flat-top":
        yield from _mouth(neck, has)
    elif family == "arch-top":
        yield from _slots()
    else:
        for pickup in outlines.pickups(neck):
            yield Piece("fitting", pickup)
    yield from _strung(family, neck, has)
    yield from _tuners(neck)
    yield Piece(
        "wood",
        outlines.head(neck),
        ("headplate", "neck"),
        (-1.8, -neck.length - 21.8),
        (0.0, -neck.length - 14.0),
        3.2,
    )
    for x, y in outlines.posts(neck):
        yield Piece("fitting", outlines.round_((x, y), POST))
        yield Piece("fitting", outlines.round_((-x, y), POST))
    yield Piece(
        "wood",
        outlines.fingerboard(neck),
        ("fingerboard",),
        (-2.4, _between_frets(neck, 6)),
        (0.0, _between_frets(neck, 4)),
        2.8,
    )
    yield Piece("fitting", outlines.nut(neck))


def _back(family: Family, neck: Neck, has: frozenset[str]) -> Iterator[Piece]:
    face = ("body",) if family == "solid-body" else ("back",)
    yield from _box(family, face, (15.0, 31.0), has)
    yield from _tuners(neck)
    has_heel = "heel" in has and family != "solid-body"
    whole = outlines.neck_behind(family, has_heel=has_heel)
    level = -neck.length * 0.6
    yield Piece("wood", whole, ("neck",), (1.6, level), (0.0, level + 8.0), 3.6)
    for x, y in outlines.posts(neck):
        for place in (x, -x):
            yield Piece("fitting", _case((place, y)))
    if has_heel:
        wood = outlines.heel(neck)
        yield Piece("wood", wood, ("heel",), (3.0, -1.0), (-1.2, 2.0), 3.2)


def _box(
    family: Family, face: tuple[str, ...], anchor: Point, has: frozenset[str]
) -> Iterator[Piece]:
    """Yield a body's face, inside its binding where it has one."""
    whole = outlines.body(family)
    mark = (-anchor[0], anchor[1])
    if "binding" not in has:
        yield Piece("wood", whole, face, anchor, mark, 7.0)
        return
    inner = outlines.inset(whole, outlines.BINDING)
    # On the strip itself, to the right of the shoulder.
    edge = min(range(len(whole) // 2), key=lambda n: abs(whole[n][1] - 15.0))
    strip = (whole[edge][0] + inner[edge][0]) / 2, (whole[edge][1] + inner[edge][1]) / 2
    yield Piece("wood", whole, ("binding",), strip)
    yield Piece("wood", inner, face, anchor, mark, 7.0)


def _mouth(neck: Neck, has: frozenset[str]) -> Iterator[Piece]:
    """Yield a round sound hole, in its rosette where there is one."""
    middle, radius = outlines.sound_hole(neck)
    if "rosette" in has:
        whole = radius + ROSETTE
        yield Piece(
            "wood",
            outlines.round_(middle, whole),
            ("rosette",),
            (-radius - ROSETTE / 2, middle[1]),
            inner=radius,
        )
    yield Piece("hole", outlines.round_(middle, radius))


def _slots() -> Iterator[Piece]:
    for part in (outlines.sound_slot(), *outlines.slot_eyes()):
        yield Piece("hole", part)
        yield Piece("hole", outlines.flipped(part))


def _strung(family: Family, neck: Neck, has: frozenset[str]) -> Iterator[Piece]:
    """Yield what carries the strings' lower ends, and what lies beside them."""
    if "tailpiece" in has:
        plate = outlines.tailpiece()
        yield Piece("wood", plate, ("tailpiece",), (-3.2, 82.0), (0.0, 75.0), 4.0)
    if "pickguard" in has:
        plate = outlines.pickguard(neck)
        x = plate[0][0] + 3.3
        yield Piece("wood", plate, ("pickguard",), (x, 24.0), (x, 12.0), 2.8)
    bridge = outlines.bridge(family)
    if family != "solid-body" or "bridge" in has:
        yield Piece("wood", bridge, ("bridge",), (-7.0, neck.saddle + 0.4))
    else:
        yield Piece("fitting", outlines.upright(neck.saddle, neck.saddle + 5, 6.8, 6.8))


def _tuners(neck: Neck) -> Iterator[Piece]:
    """Yield the buttons of the tuners, which the head covers in part."""
    for x, y in outlines.posts(neck):
        reach = x + 4.7
        yield Piece("fitting", outlines.round_((reach, y), BUTTON))
        yield Piece("fitting", outlines.round_((-reach, y), BUTTON))


def _between_frets(neck: Neck, number: int) -> float:
    """Return the level in the middle between a fret and the one before it."""
    return (neck.fret(number - 1) + neck.fret(number)) / 2 - neck.length


def _case(middle: Point) -> Outline:
    x, y = middle
    return (
        (x - CASE, y - CASE),
        (x + CASE, y - CASE),
        (x + CASE, y + CASE),
        (x - CASE, y + CASE),
    )
