"""Pairs: the best of all, by brute force; sisters first; ties and left boards told."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.craft import pairs as rule
from ledger.craft.likeness import Candidate, likeness
from ledger.craft.matching_policy import (
    MatchingPolicy,
    first_matching_policy,
    matching_policy,
)
from ledger.craft.pairs import COMPARED_WHOLE, NEAREST, Pairing, best_pairs
from ledger.errors import RefusedError
from tests.ledger.craft.racks import FIRST, RACKS, TOP, half

TEXT = first_matching_policy()
ACROSS_LOTS = matching_policy(TEXT | {"kin": {**TEXT["kin"], "strangers": 60}})


def made(pairing: Pairing) -> list[tuple[str, str]]:
    """Return the codes of the pairs without their lot, in the order of the codes."""
    codes = [tuple(str(b).partition("-")[2] for b in p.boards) for p in pairing.pairs]
    return sorted((a[4:], b[4:]) for a, b in codes)


def every_pairing(boards: Sequence[Candidate]) -> Iterator[list[tuple[Any, Any]]]:
    """Yield every way to pair some of the boards."""
    if len(boards) < 2:
        yield []
        return
    first, rest = boards[0], boards[1:]
    yield from every_pairing(rest)
    for place, other in enumerate(rest):
        for pairs in every_pairing([*rest[:place], *rest[place + 1 :]]):
            yield [(first, other), *pairs]


def cheapest(boards: Sequence[Candidate], policy: MatchingPolicy) -> tuple[int, int]:
    """Return how many pairs can be made, and their least points, by trying all ways."""
    found = []
    for pairs in every_pairing(boards):
        alike = [likeness(a, b, policy) for a, b in pairs]
        if not any(like.against for like in alike):
            found.append((-len(alike), sum(like.points_milli for like in alike)))
    return min(found)


@settings(max_examples=60)
@given(RACKS, st.sampled_from([FIRST, ACROSS_LOTS]))
def test_no_other_way_to_pair_is_better(
    boards: tuple[Candidate, ...], policy: MatchingPolicy
) -> None:
    """Every way to pair eight halves is tried, and none is better."""
    found = best_pairs(boards, TOP, policy)

    assert (-len(found.pairs), found.points_milli) == cheapest(boards, policy)
    assert len(found.left) + 2 * len(found.pairs) == len(boards)


@given(
    RACKS.flatmap(lambda boards: st.tuples(st.just(boards), st.permutations(boards)))
)
def test_the_order_of_the_boards_is_nothing(both: Any) -> None:
    """However the rack is shuffled, the answer is the same to the last word."""
    boards, shuffled = both

    assert best_pairs(boards, TOP, FIRST) == best_pairs(shuffled, TOP, FIRST)


def test_sisters_stay_together_where_all_is_alike() -> None:
    """Halves of one board are paired, whatever else lies there."""
    boards = [half(f"L26-001-{n:02d}.{side}") for n in (3, 1, 2) for side in "BA"]
    found = best_pairs(boards, TOP, FIRST)

    assert made(found) == [("01.A", "01.B"), ("02.A", "02.B"), ("03.A", "03.B")]
    assert found.points_milli == 0
    assert found.pairs[0].reasons[0] == "halves of one board"
    assert (found.policy, found.remarks, found.left) == ("first 1", (), ())
    assert found.method == "minimum-cost maximum matching in a general graph/1"


def test_halves_without_their_sister_find_a_neighbour() -> None:
    """The sisters of two boards were spoiled; the rest are neighbours."""
    found = best_pairs([half("L26-001-07.A"), half("L26-001-08.B")], TOP, FIRST)

    assert made(found) == [("07.A", "08.B")]
    assert found.pairs[0].reasons[0] == "neighbours in the billet"
    assert found.points_milli == 10_000


def test_boards_of_two_lots_are_paired_only_where_the_house_says() -> None:
    """By the first policy they are left, with the reason."""
    boards = [half("L26-001-07.A"), half("L26-002-07.B")]
    left = best_pairs(boards, TOP, FIRST)

    assert left.pairs == ()
    assert left.left[0].reasons == (
        "no other board of Picea abies that it may be paired with would do",
    )
    assert len(best_pairs(boards, TOP, ACROSS_LOTS).pairs) == 1


def test_two_woods_are_never_a_pair() -> None:
    """Even halves of one code, if somebody named them differently."""
    other = half("L26-001-07.B", species="Picea sitchensis")

    assert best_pairs([half("L26-001-07.A"), other], TOP, ACROSS_LOTS).pairs == ()


def test_the_whole_is_better_than_the_nearest_two() -> None:
    """Two and three are nearest, but one and four would be left too far apart."""
    boards = [
        half(f"L26-001-0{2 * n}", density)
        for n, density in ((1, 400), (2, 415), (3, 416), (4, 431))
    ]

    assert made(best_pairs(boards, TOP, FIRST)) == [("02", "04"), ("06", "08")]


def test_a_tie_is_told_and_broken_by_the_codes() -> None:
    """Of four boards all alike the nearest codes pair, and the others would do."""
    boards = [half(f"L26-001-0{n}") for n in (1, 3, 5, 7)]
    found = best_pairs(boards, TOP, FIRST)
    other = found.pairs[0].runner_up

    assert made(found) == [("01", "03"), ("05", "07")]
    assert other is not None
    assert other.extra_milli == 0
    assert other.words == (
        "L26-001-01 with L26-001-05 and L26-001-03 with L26-001-07 would do as well, "
        "as would 1 other exchange"
    )


def test_the_next_best_is_told_with_what_it_costs() -> None:
    """Of three boards one is left; the runner-up says how much dearer it would be."""
    boards = [
        half("L26-001-01.A"),
        half("L26-001-01.B", 424),
        half("L26-001-02.A", 424),
    ]
    found = best_pairs(boards, TOP, FIRST)
    other = found.pairs[0].runner_up

    assert made(found) == [("01.A", "01.B")]
    assert other is not None
    assert [str(board) for board in other.left] == ["L26-001-01.A"]
    assert other.words == (
        "nearest exchange: L26-001-01.B with L26-001-02.A, 6.2 points more in all"
    )
    assert found.left[0].reasons == (
        "the odd one out: every board that would go with it is in another pair",
    )


def test_a_board_that_does_not_do_says_every_reason() -> None:
    """Too narrow and not ready: it is left, and its sister finds nobody."""
    narrow = half("L26-001-01.A", width_um=195_000, waits=("rested 12 of 90 days",))
    found = best_pairs([narrow, half("L26-001-01.B")], TOP, FIRST)

    assert [len(left.reasons) for left in found.left] == [2, 1]


def test_a_board_too_far_from_all_others_says_so() -> None:
    """A heavy board among light ones has no partner."""
    boards = [half("L26-001-01", 400), half("L26-001-02", 480)]

    assert best_pairs(boards, TOP, FIRST).left[0].reasons == (
        "none of 1 other board of Picea abies is near enough",
    )


def test_in_a_large_heap_too_nobody_is_told_that_none_is_near() -> None:
    """Two of 209 boards go only with each other, far apart by code and by density."""
    sides = [
        f"L26-001-{number:02d}.{side}" for number in range(1, 100) for side in "AB"
    ]
    boards = [half(code, 380 + at // 8) for at, code in enumerate(sides)]
    boards += [half(f"L26-001-{number}", 390) for number in range(101, 112)]
    coarse = (0, 150)
    for at, density in zip(coarse, (383, 402), strict=True):
        boards[at] = half(sides[at], density, ring_width_um=3_000)
    found = best_pairs(boards, TOP, FIRST)

    assert {boards[at].board for at in coarse} in [set(p.boards) for p in found.pairs]


def test_no_boards_make_no_pairs() -> None:
    """An empty rack is no error."""
    assert best_pairs([], TOP, FIRST).pairs == ()


def test_one_board_named_twice_is_refused() -> None:
    """A board cannot be its own partner."""
    with pytest.raises(RefusedError, match=r"board L26-001-07\.A stands twice"):
        best_pairs([half("L26-001-07.A")] * 2, TOP, FIRST)


def test_a_great_heap_is_compared_with_the_nearest_and_says_so() -> None:
    """Above two hundred boards a remark tells what was weighed; sisters are found."""
    numbers = range(1, COMPARED_WHOLE // 2 + 2)
    boards = [
        half(f"L26-001-{n:02d}.{side}", 400 + n % 29) for n in numbers for side in "AB"
    ]
    found = best_pairs(boards, TOP, FIRST)

    assert len(found.pairs) == len(numbers)
    assert found.points_milli == 0
    assert found.remarks == (
        f"of {len(boards)} boards together each was compared with its nearest by code "
        f"and density, and its {NEAREST} most alike were weighed against each other",
    )


def clumps(number: int, size: int) -> list[Candidate]:
    """Return boards in clumps that are alike, each a little heavier than the last."""
    return [
        half(f"L26-001-{1 + 40 * clump + n:02d}", 400 + 4 * clump)
        for clump in range(number)
        for n in range(size)
    ]


def test_what_is_left_of_a_great_heap_is_compared_once_more() -> None:
    """Seven odd clumps leave one each, which lie too far apart to be met at first."""
    boards = clumps(7, 31)
    found = best_pairs(boards, TOP, FIRST)

    assert len(boards) > COMPARED_WHOLE
    assert (len(found.pairs), len(found.left)) == (108, 1)
    assert found.remarks[0].endswith(
        "most alike were weighed against each other; the 7 left over were compared "
        "once more, all with each other"
    )


def test_of_very_many_left_the_first_are_compared_and_it_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No more than would be compared as a whole heap; the rest is told as left."""
    monkeypatch.setattr(rule, "COMPARED_WHOLE", 4)
    found = best_pairs(clumps(7, 31), TOP, FIRST)

    assert "; the first 4 of 7 left over were compared once more" in found.remarks[0]


@settings(max_examples=60)
@given(RACKS)
def test_however_few_are_weighed_no_two_that_are_left_would_go_together(
    boards: tuple[Candidate, ...],
) -> None:
    """As if three boards were a whole heap, and each had one other near it."""
    whole = best_pairs(boards, TOP, FIRST)
    with pytest.MonkeyPatch.context() as small:
        small.setattr(rule, "COMPARED_WHOLE", 3)
        for name in ("BESIDE_BY_DENSITY", "BESIDE_BY_CODE", "NEAREST"):
            small.setattr(rule, name, 1)
        found = best_pairs(boards, TOP, FIRST)
    fit = {board.board: board for board in boards}
    left = [fit[each.board] for each in found.left]

    assert len(found.pairs) <= len(whole.pairs)
    assert all(p.runner_up is None or p.runner_up.extra_milli >= 0 for p in found.pairs)
    for one, other in combinations(left[:3], 2):
        assert one.board.lot != other.board.lot or likeness(one, other, FIRST).against


def test_in_a_great_heap_the_odd_one_says_only_what_was_weighed() -> None:
    """Nobody compared it with all of them, so nobody speaks of all of them."""
    numbers = range(1, COMPARED_WHOLE // 2 + 2)
    boards = [half(f"L26-001-{n:02d}.{side}") for n in numbers for side in "AB"]
    found = best_pairs([*boards, half("L26-001-150")], TOP, FIRST)

    assert [(str(left.board), left.reasons) for left in found.left] == [
        (
            "L26-001-150",
            ("every board that it was weighed against is in another pair",),
        )
    ]
