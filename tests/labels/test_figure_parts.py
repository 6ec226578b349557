"""Tests of what is seen of an instrument from both sides."""

from itertools import combinations

import pytest

from labels.figure_parts import Piece, Side, pieces
from labels.outlines import BODIES, Family
from tests.labels.test_outlines import far, is_inside

PARTS: dict[Family, tuple[str, ...]] = {
    "flat-top": ("binding", "rosette", "headplate", "heel", "bridge"),
    "arch-top": ("binding", "pickguard", "tailpiece", "headplate", "heel"),
    "solid-body": ("binding", "cap", "headplate", "bridge"),
}
SEEN: dict[Family, set[str]] = {
    "flat-top": {"top", "back", "neck", "fingerboard", "bridge"},
    "arch-top": {"top", "back", "neck", "fingerboard", "bridge"},
    "solid-body": {"body", "neck", "fingerboard"},
}
ALWAYS = ("top", "back", "body", "neck", "fingerboard")


def choices(family: Family) -> list[frozenset[str]]:
    """Return every choice of the parts that an instrument may have."""
    parts = PARTS[family]
    return [
        frozenset((*ALWAYS, *chosen))
        for size in range(len(parts) + 1)
        for chosen in combinations(parts, size)
    ]


def woods(
    family: Family, side: Side, has: frozenset[str]
) -> dict[str, tuple[Piece, tuple[Piece, ...]]]:
    """Return the first piece of each part that is seen, and what lies over it."""
    shown = pieces(family, side, has)
    found: dict[str, tuple[Piece, tuple[Piece, ...]]] = {}
    for number, piece in enumerate(shown):
        if piece.look == "wood":
            found.setdefault(piece.part(has), (piece, shown[number + 1 :]))
    return found


@pytest.mark.parametrize("family", BODIES)
@pytest.mark.parametrize("side", ["front", "back"])
def test_a_leader_ends_on_its_own_part(family: Family, side: Side) -> None:
    """Nothing lies over the point, whatever parts the instrument has."""
    for has in choices(family):
        for piece, above in woods(family, side, has).values():
            assert is_inside(piece.anchor, piece.outline)
            assert not any(is_inside(piece.anchor, over.outline) for over in above)


@pytest.mark.parametrize("family", BODIES)
@pytest.mark.parametrize("side", ["front", "back"])
def test_a_question_mark_stands_free(family: Family, side: Side) -> None:
    """On its own part, away from the leader's end, and nothing is near it."""
    for has in choices(family):
        for piece, above in woods(family, side, has).values():
            if not piece.room:
                continue
            dx, dy = (a - b for a, b in zip(piece.mark, piece.anchor, strict=True))
            assert is_inside(piece.mark, piece.outline)
            assert far(piece.mark, piece.outline) > piece.room
            assert dx * dx + dy * dy > 3.5 * 3.5
            for over in above:
                assert not is_inside(piece.mark, over.outline)
                assert far(piece.mark, over.outline) > 0.5 * piece.room


@pytest.mark.parametrize("family", BODIES)
def test_every_part_is_seen_that_can_be(family: Family) -> None:
    """Those of the instrument, and no other."""
    for has in choices(family):
        named = {*woods(family, "front", has), *woods(family, "back", has)}

        assert named == (SEEN[family] | set(PARTS[family])) & (SEEN[family] | has)


@pytest.mark.parametrize("family", BODIES)
def test_the_least_is_seen_of_every_instrument(family: Family) -> None:
    """Of one whose parts nobody wrote down there is the whole shape."""
    shown = [*pieces(family, "front", ()), *pieces(family, "back", ())]
    named = {piece.parts[-1] for piece in shown if piece.look == "wood"}

    assert named == SEEN[family]


def test_a_rosette_is_around_its_sound_hole() -> None:
    """A ring, open in the middle where the hole is painted over it."""
    shown = pieces("flat-top", "front", ("rosette",))
    ring = next(piece for piece in shown if piece.parts == ("rosette",))
    hole = next(piece for piece in shown if piece.look == "hole")

    assert shown.index(ring) < shown.index(hole)
    assert ring.inner == max(x for x, _ in hole.outline)
    assert max(x for x, _ in ring.outline) > ring.inner


def test_a_solid_body_has_a_bridge_that_is_no_wood() -> None:
    """Unless somebody made it of wood."""
    plain = pieces("solid-body", "front", ())
    wooden = pieces("solid-body", "front", ("bridge",))

    assert not any("bridge" in piece.parts for piece in plain)
    assert any("bridge" in piece.parts for piece in wooden)
    assert sum(piece.look == "fitting" for piece in plain) == 1 + sum(
        piece.look == "fitting" for piece in wooden
    )
