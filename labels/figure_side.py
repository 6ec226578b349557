"""What is seen of an instrument from its side: ribs, plates, neck, and what stands up.

Depths are in the units of the outlines, x from the face on the left to the back on the
right. Plates and boards are drawn thicker than they are, so that their wood is seen.
"""

from collections.abc import Collection, Iterator
from typing import Final, NamedTuple

from labels import outlines
from labels.figure_parts import BUTTON, Piece
from labels.marks import Point
from labels.outlines import BINDING, HEAD, HEEL_TOP, NECKS, Family, Neck, Outline

BOARD: Final = 1.5  # thickness of a fingerboard
PLATE: Final = 0.9  # of a plate's edge, and of a headplate
HEAD_SLOPE: Final = 0.24  # how far a head leans back, to its length
HEAD_DEPTH: Final = 3.3
NECK_DEPTH: Final = 4.3  # at the nut; at the heel a little more
STANDING_OUT: Final = ("bridge", "headplate", "heel", "tailpiece")
# Leaders to these come from the right, to the others from the left.
BEHIND: Final = frozenset({"sides", "back", "binding", "body", "neck", "heel"})


class Profile(NamedTuple):
    """How deep a body is, how its plates rise, and how its neck stands on it.

    deep and shallow are the depths at the lower edge and at the neck. slope is how far
    the neck leans back, to its length, and raised how far its board stands over the
    face. bridge is how high the bridge is.
    """

    deep: float
    shallow: float
    arch: float
    slope: float
    raised: float
    bridge: float

    @property
    def face(self) -> float:
        """Where the ribs end at the face."""
        return -self.deep / 2

    def board(self, y: float) -> float:
        """Return where the fingerboard lies on the neck, at a level."""
        return self.face - self.raised - self.slope * y


# Bodies of 105, 80 and 45 mm at the lower edge; necks that lean 1, 4 and 1 degrees.
# Common practice, no source.
PROFILES: Final[dict[Family, Profile]] = {
    "flat-top": Profile(21.0, 18.4, 0.9, 0.018, 0.2, 1.7),
    "arch-top": Profile(15.2, 15.2, 3.0, 0.07, 2.2, 4.6),
    "solid-body": Profile(9.6, 9.6, 0.0, 0.022, 0.5, 3.5),
}


def half_width(family: Family) -> float:
    """Return how far anything may stand out to the left or the right of the middle."""
    return max(
        abs(x) for piece in pieces(family, STANDING_OUT) for x, _ in piece.outline
    )


def pieces(family: Family, has: Collection[str]) -> tuple[Piece, ...]:
    """Return what is seen from the side of an instrument that has these parts."""
    profile, neck = PROFILES[family], NECKS[family]
    return tuple(_pieces(family, profile, neck, frozenset(has)))


def _pieces(
    family: Family, profile: Profile, neck: Neck, has: frozenset[str]
) -> Iterator[Piece]:
    if family == "solid-body":
        yield from _slab(profile, has)
    else:
        yield from _box(profile, has)
    yield from _stands_on(family, profile, neck, has)
    yield from _neck(family, profile, neck, has)


def _strip(profile: Profile, left: float, right: float) -> Outline:
    """Return what lies along the ribs, between shares of their depth from the face."""
    return (
        (profile.face + left * profile.shallow, 0.0),
        (profile.face + right * profile.shallow, 0.0),
        (profile.face + right * profile.deep, 100.0),
        (profile.face + left * profile.deep, 100.0),
    )


def _bowed(profile: Profile, *, is_back: bool) -> Outline:
    """Return a plate that rises over the edge of the ribs."""
    top, foot = (profile.shallow, profile.deep) if is_back else (0.0, 0.0)
    out = profile.arch if is_back else -profile.arch
    edge = -PLATE if is_back else PLATE
    start, end = (profile.face + top, 0.0), (profile.face + foot, 100.0)
    outer = outlines.curved(
        start,
        (((start[0] + 1.4 * out, 24.0), (end[0] + 1.4 * out, 76.0), end),),
    )
    return (*outer, (end[0] + edge, 100.0), (start[0] + edge, 0.0))


def _box(profile: Profile, has: frozenset[str]) -> Iterator[Piece]:
    """Yield the ribs between two plates, each with its binding."""
    face, back = profile.face, profile.face + profile.deep
    rise = profile.arch / 2
    at = (profile.face + profile.shallow * 0.34 + profile.deep * 0.66 + rise, 66.0)
    yield Piece("wood", _bowed(profile, is_back=False), ("top",), (face - rise, 36.0))
    yield Piece("wood", _bowed(profile, is_back=True), ("back",), at)
    rim = PLATE / profile.deep
    ribs = _strip(profile, rim, 1 - rim)
    yield Piece("wood", ribs, ("sides",), (2.0, 24.0), (0.0, 50.0), profile.deep * 0.25)
    if "binding" in has:
        share = BINDING / profile.deep
        middle = (back - BINDING / 2, 88.0)
        yield Piece("wood", _strip(profile, 0.0, share), ("binding",), middle)
        yield Piece("wood", _strip(profile, 1 - share, 1.0), ("binding",), middle)


def _slab(profile: Profile, has: frozenset[str]) -> Iterator[Piece]:
    """Yield a body of one thickness, under its cap where it has one."""
    cap = 0.3 if "cap" in has else 0.0
    middle = (1.6, 40.0)
    slab = _strip(profile, cap, 1.0)
    yield Piece("wood", slab, ("body",), middle, (0.8, 60.0), 2.6)
    if cap:
        at = (profile.face + 0.15 * profile.deep, 36.0)
        yield Piece("wood", _strip(profile, 0.0, cap), ("cap",), at)
    if "binding" in has:
        strip = _strip(profile, 0.0, BINDING / profile.deep / 2)
        yield Piece("wood", strip, ("binding",), (profile.face + 0.4, 90.0))


def _stands_on(
    family: Family, profile: Profile, neck: Neck, has: frozenset[str]
) -> Iterator[Piece]:
    """Yield what carries the strings' lower ends over the face."""
    foot = profile.face - profile.arch
    head, level = foot - profile.bridge, neck.saddle
    if "tailpiece" in has:
        plate = (
            (head + 1.4, 70.0),
            (head + 2.4, 70.0),
            (profile.face + 0.4, 99.2),
            (profile.face - 0.8, 99.2),
        )
        yield Piece("wood", plate, ("tailpiece",), (head + 3.0, 78.0))
    block: Outline = (
        (head, level - 0.5),
        (head, level + 1.1),
        (foot + PLATE, level + 2.6),
        (foot + PLATE, level - 1.7),
    )
    if family != "solid-body" or "bridge" in has:
        yield Piece("wood", block, ("bridge",), (head + 0.7, level + 0.3))
    else:
        yield Piece("fitting", block)


def _neck(
    family: Family, profile: Profile, neck: Neck, has: frozenset[str]
) -> Iterator[Piece]:
    """Yield neck and head of one piece, the heel, and what is glued upon them."""
    has_heel = "heel" in has and family != "solid-body"
    for middle in _buttons(profile, neck):
        yield Piece("fitting", outlines.round_(middle, BUTTON))
    whole = (*_head(profile, neck), *_under(family, profile, neck, has_heel=has_heel))
    level = -neck.length * 0.55
    at = (profile.board(level) + NECK_DEPTH * 0.6, level)
    yield Piece("wood", whole, ("neck",), at, (at[0] - 0.4, level + 8.0), 1.8)
    if has_heel:
        wood = _heel(profile)
        at = (profile.board(0.0) + 8.4, -1.4)
        yield Piece("wood", wood, ("heel",), at)
    yield _over(profile, neck, -neck.length, neck.foot)
    if "headplate" in has:
        yield _headplate(profile, neck)
    nut = profile.board(-neck.length)
    yield Piece("fitting", _plate(nut - BOARD - 0.5, nut, -neck.length, 1.1))


def _plate(left: float, right: float, foot: float, height: float) -> Outline:
    return (
        (left, foot - height),
        (right, foot - height),
        (right, foot),
        (left, foot),
    )


def _over(profile: Profile, neck: Neck, start: float, end: float) -> Piece:
    """Return the fingerboard, straight from the nut out over the body."""
    one, other = profile.board(start), profile.board(end)
    wood = (
        (one - BOARD, start),
        (one, start),
        (other, end),
        (other - BOARD, end),
    )
    level = -neck.length * 0.35
    return Piece("wood", wood, ("fingerboard",), (profile.board(level) - 0.75, level))


def _head_at(profile: Profile, neck: Neck, up: float) -> Point:
    """Return a place on the front of the head, so far above the nut."""
    nut = profile.board(-neck.length)
    return nut + HEAD_SLOPE * up, -neck.length - up


def _head(profile: Profile, neck: Neck) -> list[Point]:
    """Return the head from its foot behind, over its top, to the nut."""
    x, y = _head_at(profile, neck, HEAD)
    nut = profile.board(-neck.length)
    return [
        (nut + NECK_DEPTH, -neck.length + 1.0),
        (x + HEAD_DEPTH, y),
        (x, y),
        (nut, -neck.length),
    ]


def _headplate(profile: Profile, neck: Neck) -> Piece:
    (x, y), (nut, foot) = (
        _head_at(profile, neck, HEAD),
        _head_at(profile, neck, outlines.NUT),
    )
    wood = ((nut - PLATE, foot), (x - PLATE, y), (x, y), (nut, foot))
    at = _head_at(profile, neck, 20.0)
    return Piece("wood", wood, ("headplate",), (at[0] - PLATE / 2, at[1]))


def _buttons(profile: Profile, neck: Neck) -> Iterator[Point]:
    """Yield where the tuners' buttons are seen, behind the middle of the head."""
    for _, y in outlines.posts(neck):
        x, level = _head_at(profile, neck, -neck.length - y)
        yield x + HEAD_DEPTH + 0.6, level


def _heel_end(profile: Profile) -> float:
    """Return how far a heel reaches down on the ribs."""
    return profile.face + profile.shallow * 0.82


def _under(
    family: Family, profile: Profile, neck: Neck, *, has_heel: bool
) -> list[Point]:
    """Return the rest of a neck: its foot on the body, and back along its underside."""
    deep = profile.board(HEEL_TOP) + NECK_DEPTH + 0.6
    if has_heel:
        return [(profile.board(HEEL_TOP), HEEL_TOP), (deep, HEEL_TOP)]
    if family == "solid-body":
        foot = profile.face + profile.deep * 0.55
        return [(profile.board(0.0), 0.0), (foot, 0.0), (deep, HEEL_TOP)]
    return [(profile.board(0.0), 0.0), *_heel_side(profile)]


def _heel_side(profile: Profile) -> list[Point]:
    """Return the underside of a heel, from the ribs up to the neck."""
    deep = profile.board(HEEL_TOP) + NECK_DEPTH + 0.6
    end = _heel_end(profile)
    curve = ((end - 1.5, -3.4), (deep + 1.4, -4.6), (deep, HEEL_TOP))
    return [(end, 0.0), *outlines.curved((end, -1.4), (curve,), 10)]


def _heel(profile: Profile) -> Outline:
    start = profile.board(HEEL_TOP)
    return ((start, HEEL_TOP), (profile.board(0.0), 0.0), *_heel_side(profile))
