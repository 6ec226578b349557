"""Tests of what is seen of an instrument from its side."""

import pytest

from labels import outlines
from labels.figure_parts import Piece
from labels.figure_side import BEHIND, PROFILES, half_width, pieces
from labels.outlines import BODIES, NECKS, Family
from tests.labels.test_figure_parts import choices
from tests.labels.test_outlines import far, is_inside

SEEN: dict[Family, set[str]] = {
    "flat-top": {"top", "back", "sides", "neck", "fingerboard", "bridge"},
    "arch-top": {"top", "back", "sides", "neck", "fingerboard", "bridge"},
    "solid-body": {"body", "neck", "fingerboard"},
}


def woods(
    family: Family, has: frozenset[str]
) -> dict[str, tuple[Piece, tuple[Piece, ...]]]:
    """Return the first piece of each part that is seen, and what lies over it."""
    shown = pieces(family, has)
    found: dict[str, tuple[Piece, tuple[Piece, ...]]] = {}
    for number, piece in enumerate(shown):
        if piece.look == "wood":
            found.setdefault(piece.part(has), (piece, shown[number + 1 :]))
    return found


@pytest.mark.parametrize("family", BODIES)
def test_a_leader_ends_on_its_own_part(family: Family) -> None:
    """Nothing lies over the point, whatever parts the instrument has.

    A binding's leader may end on either of its two strips.
    """
    for has in choices(family):
        for part, (piece, above) in woods(family, has).items():
            over = [p for p in above if not (p.parts and p.part(has) == part)]
            own = [piece, *(p for p in above if p not in over)]

            assert any(is_inside(piece.anchor, each.outline) for each in own), part
            assert not any(is_inside(piece.anchor, p.outline) for p in over), part


@pytest.mark.parametrize("family", BODIES)
def test_a_question_mark_stands_free(family: Family) -> None:
    """On its own part, and nothing lies over it."""
    for has in choices(family):
        for piece, above in woods(family, has).values():
            if not piece.room:
                continue
            assert is_inside(piece.mark, piece.outline)
            assert far(piece.mark, piece.outline) > piece.room
            assert not any(is_inside(piece.mark, over.outline) for over in above)


@pytest.mark.parametrize("family", BODIES)
def test_each_part_that_stands_out_is_seen(family: Family) -> None:
    """The least that an instrument has, and whatever else it may have."""
    fewest, *_, most = choices(family)

    assert woods(family, fewest).keys() == SEEN[family]
    assert woods(family, most).keys() >= SEEN[family] | (most & {"heel", "headplate"})
    assert BEHIND & woods(family, most).keys()


@pytest.mark.parametrize("family", BODIES)
def test_all_of_it_is_within_its_size(family: Family) -> None:
    """From the top of the head to the lower edge, and no deeper than is said."""
    wide = half_width(family)
    places = [
        at for piece in pieces(family, choices(family)[-1]) for at in piece.outline
    ]
    top = 100.0 - outlines.height(family)

    assert all(-wide <= x <= wide for x, _ in places)
    assert all(top - 1e-9 <= y <= 100.0 + 1e-9 for _, y in places)


@pytest.mark.parametrize("family", BODIES)
def test_strings_would_clear_the_board(family: Family) -> None:
    """A straight line from the nut to the bridge never meets the fingerboard."""
    profile, neck = PROFILES[family], NECKS[family]
    nut = profile.board(-neck.length) - 2.0
    bridge = profile.face - profile.arch - profile.bridge
    whole = neck.length + neck.saddle
    for number in range(neck.frets + 1):
        y = neck.fret(number) - neck.length
        string = nut + (bridge - nut) * (y + neck.length) / whole

        assert string < profile.board(y) - 1.5, number
