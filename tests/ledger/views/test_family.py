"""A family is whole: every descendant forward, every ancestor back, each one once."""

from collections import defaultdict
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import TamperError
from ledger.events import Event
from ledger.scales import shared
from ledger.views.boards import plain_boards
from ledger.views.family import (
    Way,
    every_family,
    family,
    firsts_of,
    lots_of,
    part_of,
    shares_of,
)
from ledger.views.fold import fold
from tests.ledger.views.forests import (
    Parents,
    board,
    entry_of,
    forests,
    glued,
    grown,
    lot,
    sawn,
)
from tests.skerrymoor import Loft

DEEP = 40


def reached(edges: dict[str, tuple[str, ...]], start: str) -> set[str]:
    """Walk the edges from a code, plainly, and return all that is met and itself."""
    met, waiting = {start}, [start]
    while waiting:
        for other in edges.get(waiting.pop(), ()):
            if other not in met:
                met.add(other)
                waiting.append(other)
    return met


def turned(parents: Parents) -> dict[str, tuple[str, ...]]:
    """Return for each board its pieces."""
    pieces: dict[str, tuple[str, ...]] = defaultdict(tuple)
    for piece, of in parents.items():
        for code in of:
            pieces[code] += (piece,)
    return pieces


@settings(max_examples=50)
@given(forest=forests())
def test_every_descendant_is_reached_forward_and_every_ancestor_back(
    forest: tuple[list[Event], Parents],
) -> None:
    """Of every board of every forest, as a plain walk over the edges finds them."""
    events, parents = forest
    pieces = turned(parents)
    with grown(events) as session:
        for code in parents:
            forward = family(session, [code], "pieces")
            back = family(session, [code], "parents")
            firsts = {b for b in reached(parents, code) if not parents[b]}

            assert set(forward.boards) == reached(pieces, code)
            assert set(back.boards) == reached(parents, code)
            assert lots_of(session, code) == sorted({first[:7] for first in firsts})
            for other in forward.boards:
                assert set(forward.next_of.get(other, ())) == set(pieces[other])
            for other in back.boards:
                assert set(back.next_of.get(other, ())) == set(parents[other])


@settings(max_examples=50)
@given(forest=forests(), data=st.data())
def test_many_boards_have_the_families_of_each_together(
    forest: tuple[list[Event], Parents], data: st.DataObject
) -> None:
    """Also where one of them is a piece of another, or is named twice."""
    events, parents = forest
    codes = data.draw(st.lists(st.sampled_from(list(parents)), max_size=5))
    with grown(events) as session:
        for way in ("pieces", "parents"):
            edges = parents if way == "parents" else turned(parents)
            found = family(session, codes, way)

            everyone = {other for code in codes for other in reached(edges, code)}
            assert set(found.boards) == everyone
            assert all(len(set(n)) == len(n) for n in found.next_of.values())


def chain() -> list[Event]:
    """Return a board sawn into a piece, that into a piece, and so on."""
    codes = [board(1, 1, child) for child in range(DEEP + 1)]
    return [*lot(1, 1), *(sawn([here], [there]) for here, there in pairwise(codes))]


def diamond() -> list[Event]:
    """Return a board whose two pieces were glued again, with one of another lot."""
    return [
        *lot(1, 1),
        *lot(2, 1),
        sawn([board(1, 1)], [board(1, 1, 1), board(1, 1, 2)]),
        glued([board(1, 1, 1), board(1, 1, 2), board(2, 1)], board(1, 1, 3)),
        sawn([board(1, 1, 3)], [board(1, 1, 4)]),
    ]


def test_forty_cuts_deep_is_as_good_as_one() -> None:
    """An offcut of an offcut keeps its tree."""
    with grown(chain()) as session:
        down = family(session, [board(1, 1)], "pieces")
        up = family(session, [board(1, 1, DEEP)], "parents")

    assert len(down.boards) == len(up.boards) == DEEP + 1
    assert down.next_of[board(1, 1, 7)] == (board(1, 1, 8),)
    assert up.next_of[board(1, 1, 8)] == (board(1, 1, 7),)


def test_families_that_meet_again_are_walked_once() -> None:
    """Each board once, and each of its parents once."""
    with grown(diamond()) as session:
        found = family(session, [board(1, 1, 4)], "parents")

        assert set(found.boards) == {
            *(board(1, 1, child) for child in range(5)),
            board(2, 1),
        }
        assert found.next_of[board(1, 1, 3)] == (
            board(2, 1),
            board(1, 1, 1),
            board(1, 1, 2),
        )
        assert lots_of(session, board(1, 1, 4)) == ["L26-001", "L26-002"]
        assert lots_of(session, board(1, 1, 2)) == ["L26-001"]


def test_pieces_come_by_number_and_not_by_spelling() -> None:
    """The tenth is after the second."""
    made = [board(1, 1, child) for child in range(1, 13)]
    with grown([*lot(1, 1), sawn([board(1, 1)], made)]) as session:
        assert family(session, [board(1, 1)], "pieces").next_of == {
            board(1, 1): tuple(made)
        }


def test_a_lot_s_first_boards_are_those_that_came_in() -> None:
    """No piece, and none whose number was struck, in the order of numbering."""
    with grown([*lot(1, 101), sawn([board(1, 3)], [board(1, 3, 1)])]) as session:
        codes = [board(1, number) for number in range(1, 102)]

        assert firsts_of(session, "L26-001") == codes
        assert firsts_of(session, "L26-002") == []


@pytest.mark.parametrize("way", ["pieces", "parents"])
def test_nobody_has_no_family(way: Way) -> None:
    """A code that was never given, and no code at all."""
    with grown(lot(1, 1)) as session:
        for codes in ([], ["L26-001-09"]):
            found = family(session, codes, way)
            assert (found.boards, found.next_of) == ({}, {})


@settings(max_examples=50)
@given(forest=forests(), data=st.data())
def test_no_forest_grows_back_into_itself(
    forest: tuple[list[Event], Parents], data: st.DataObject
) -> None:
    """A piece that was given a code before is never given it again."""
    events, parents = forest
    codes = st.sampled_from(list(parents))
    used = data.draw(st.lists(codes, min_size=2, max_size=3))
    again = data.draw(codes)
    with grown(events) as session:
        for event in (sawn(used, [again]), glued(used, again)):
            with pytest.raises(TamperError), session.begin_nested():
                fold(session, entry_of(event, 99))


def test_a_family_is_the_same_on_each_database(loft_on_each: Loft) -> None:
    """Said in a shop that judges, within the turn that says it and after."""
    loft_on_each.supplier()
    with loft_on_each.shop.turn() as turn:
        for event in diamond():
            turn.say(event, loft_on_each.hands())
        within = family(turn.session, [board(1, 1)], "pieces")
    with loft_on_each.shop.store.reading() as session:
        after = family(session, [board(1, 1)], "pieces")
        back = family(session, [board(1, 1, 4)], "parents")

    assert within == after
    assert list(after.boards) == [board(1, 1, child) for child in range(5)]
    assert list(back.boards)[:2] == [board(1, 1), board(2, 1)]


@settings(max_examples=50)
@given(forest=forests())
def test_the_shares_of_a_board_are_of_its_lots_and_add_up_to_it(
    forest: tuple[list[Event], Parents],
) -> None:
    """However often it was sawn and glued."""
    events, parents = forest
    with grown(events) as session:
        for code in parents:
            shares = shares_of(session, code)

            assert sorted(shares) == lots_of(session, code)
            assert sum(shares.values()) == 1
            assert all(share > 0 for share in shares.values())


@given(
    whole=st.integers(0, 10**9),
    weights=st.lists(st.integers(1, 10**6), min_size=1, max_size=6),
)
def test_what_is_shared_out_adds_up_again(whole: int, weights: list[int]) -> None:
    """And nobody gets a milligram more or less than the share says."""
    shares = {f"lot {n}": Fraction(w, sum(weights)) for n, w in enumerate(weights)}
    parts = shared(whole, shares)

    assert sum(parts.values()) == whole
    assert all(abs(parts[name] - whole * shares[name]) < 1 for name in shares)


@settings(max_examples=25)
@given(forest=forests())
def test_a_part_of_every_family_is_the_family_of_its_boards(
    forest: tuple[list[Event], Parents],
) -> None:
    """Read once for all, or asked for board by board: the same boards and pieces."""
    with grown(forest[0]) as session:
        whole = every_family(session, plain_boards(session))
        for code in whole.boards:
            alone, part = family(session, [code], "pieces"), part_of(whole, [code])

            assert part.boards == alone.boards
            assert part.next_of == alone.next_of
