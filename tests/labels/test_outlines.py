"""Tests of the outlines of three kinds of instrument."""

from itertools import pairwise
from math import sqrt

import pytest

from labels import outlines
from labels.marks import Point
from labels.outlines import BODIES, NECKS, Family, Outline

FAMILIES = list(BODIES)


def is_inside(at: Point, outline: Outline) -> bool:
    """Tell whether a point is inside a closed outline, by the edges to its right."""
    x, y = at
    within = False
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            within = not within
    return within


def far(at: Point, outline: Outline) -> float:
    """Return how far a point is from the edge of an outline."""
    found = []
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        along, down = bx - ax, by - ay
        square = along * along + down * down or 1.0
        part = ((at[0] - ax) * along + (at[1] - ay) * down) / square
        part = min(max(part, 0.0), 1.0)
        x, y = ax + part * along - at[0], ay + part * down - at[1]
        found.append(sqrt(x * x + y * y))
    return min(found)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_body_is_symmetrical_and_a_hundred_long(family: Family) -> None:
    """From the middle of its top downwards, each side the mirror of the other."""
    body = outlines.body(family)

    assert min(y for _, y in body) == 0.0 and max(y for _, y in body) == 100.0
    assert body[0] == (0.0, 0.0)
    assert {(-x, y) for x, y in body} == set(body)


def test_the_flat_top_is_that_of_the_style_sheet() -> None:
    """Its curves meet where the style sheet says, and are as wide there."""
    body = outlines.body("flat-top")

    assert {(30.2, 18), (27.2, 42), (38.6, 75), (0, 100)} <= set(body)
    assert outlines.half_width("flat-top") == pytest.approx(38.6, abs=0.1)


def test_no_two_kinds_have_one_outline() -> None:
    """At a waist, each has its own width."""
    waists = {
        family: min(x for x, y in outlines.body(family) if 35 < y < 55 and x > 0)
        for family in FAMILIES
    }

    assert len({round(width, 1) for width in waists.values()}) == len(FAMILIES)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_binding_is_as_wide_everywhere(family: Family) -> None:
    """The inner edge is inside, and as far from the outer one all around."""
    whole = outlines.body(family)
    inner = outlines.inset(whole, 1.7)

    assert all(is_inside(at, whole) for at in inner)
    assert [far(at, whole) for at in inner] == pytest.approx(
        [1.7] * len(inner), abs=0.05
    )


@pytest.mark.parametrize("family", FAMILIES)
def test_the_twelfth_fret_halves_the_string(family: Family) -> None:
    """And the frets come nearer and nearer."""
    neck = NECKS[family]
    places = [neck.fret(number) for number in range(neck.frets + 1)]
    gaps = [b - a for a, b in pairwise(places)]

    assert places[0] == 0.0
    assert neck.fret(12) == pytest.approx(neck.strings / 2)
    assert gaps == sorted(gaps, reverse=True)
    assert neck.fret(neck.joint) == neck.length
    assert neck.length + neck.saddle == pytest.approx(neck.strings)


@pytest.mark.parametrize("family", FAMILIES)
def test_what_lies_on_a_body_is_inside_it(family: Family) -> None:
    """Bridge, sound holes, tailpiece, pickguard and pickups, within the binding."""
    inner = outlines.inset(outlines.body(family), outlines.BINDING)
    neck = NECKS[family]
    parts = [outlines.bridge(family)]
    if family == "arch-top":
        parts += [outlines.sound_slot(), *outlines.slot_eyes()]
        parts += [outlines.pickguard(neck)]
    elif family == "flat-top":
        parts += [outlines.round_(*outlines.sound_hole(neck))]
    else:
        parts += outlines.pickups(neck)

    for part in parts:
        assert all(is_inside(at, inner) for at in part)
    for one in range(len(parts)):
        for other in range(one):
            meet = {one, other} & {1, 2, 3} == {one, other}  # a slot and its eyes
            if not meet or family != "arch-top":
                assert not any(is_inside(at, parts[other]) for at in parts[one])


def test_a_tailpiece_ends_at_the_lower_edge() -> None:
    """It hangs there, and reaches over no edge."""
    body = outlines.body("arch-top")
    tailpiece = outlines.tailpiece()

    assert all(is_inside(at, body) for at in tailpiece)
    assert max(y for _, y in tailpiece) == pytest.approx(100, abs=1)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_head_is_straight_topped_and_plain(family: Family) -> None:
    """The same for every kind, but for where it is; its tuners are on it."""
    neck = NECKS[family]
    head = outlines.head(neck)
    top = min(y for _, y in head)
    moved = [(round(x, 6), round(y - top, 6)) for x, y in head]
    other = outlines.head(NECKS["flat-top"])
    first = min(y for _, y in other)

    assert moved == [(round(x, 6), round(y - first, 6)) for x, y in other]
    assert sum(y == top for _, y in head) == 3
    assert all(is_inside(post, head) for post in outlines.posts(neck))


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("has_heel", [True, False])
def test_a_neck_from_behind_is_one_piece_down_to_its_heel(
    family: Family, has_heel: bool
) -> None:
    """With a heel of its own it ends above the body, without one upon it."""
    neck = outlines.neck_behind(family, has_heel=has_heel)
    foot = max(y for _, y in neck)

    assert {(-x, y) for x, y in neck} == set(neck)
    assert min(y for _, y in neck) == -NECKS[family].length - outlines.HEAD
    assert foot == outlines.HEEL_TOP if has_heel else foot > 5


def test_a_heel_closes_the_gap_under_its_neck() -> None:
    """It begins where the neck ends, as wide as it."""
    neck = NECKS["flat-top"]
    above = outlines.neck_behind("flat-top", has_heel=True)
    heel = outlines.heel(neck)
    widths = [
        max(x for x, y in part if y == outlines.HEEL_TOP) for part in (above, heel)
    ]

    assert widths[0] == widths[1]
    assert max(y for _, y in heel) == 9.0


@pytest.mark.parametrize("family", FAMILIES)
def test_marks_stand_between_their_frets(family: Family) -> None:
    """One to a place, and two at the octave."""
    neck = NECKS[family]
    levels = [y for _, y in outlines.marks(neck)]
    frets = [neck.fret(number) - neck.length for number in range(neck.frets + 1)]
    between = [sum(fret < level for fret in frets) for level in levels]

    assert between == [3, 5, 7, 9, 12, 12, 15, 17, 19]


@pytest.mark.parametrize(
    ("kind", "family"),
    [
        ("flat-top guitar, dreadnought-size", "flat-top"),
        ("Flat top guitar", "flat-top"),
        ("archtop guitar", "arch-top"),
        ("arch-top", "arch-top"),
        ("solid-body guitar with a walnut cap", "solid-body"),
        ("violin", None),
        ("", None),
    ],
)
def test_a_kind_is_told_by_its_words(kind: str, family: str | None) -> None:
    """What is none of the three has no outline."""
    assert outlines.family_of(kind) == family


def test_a_curve_goes_through_its_ends() -> None:
    """And at its middle where de Casteljau's halving puts it, by hand."""
    points = outlines.curved((0.0, 0.0), (((0, 8), (8, 8), (8, 0)),), 2)

    assert points == [(0.0, 0.0), (4.0, 6.0), (8.0, 0.0)]


def test_a_circle_is_round() -> None:
    """To three ten-thousandths of its radius, as four curves come."""
    circle = outlines.round_((3.0, 4.0), 10.0)
    radii = [((x - 3) ** 2 + (y - 4) ** 2) ** 0.5 for x, y in circle]

    assert radii == pytest.approx([10.0] * len(circle), abs=0.003)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_plain_body_lies_where_its_mirror_does(family: Family) -> None:
    """What is flipped twice is as it was."""
    slot = outlines.sound_slot()

    assert outlines.flipped(outlines.flipped(slot)) == slot
    assert all(x < 0 for x, _ in outlines.flipped(slot))
    assert outlines.height(family) == NECKS[family].length + outlines.HEAD + 100
