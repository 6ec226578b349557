"""Wood and papers are followed both ways, each line with the entry it rests on."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings

from ledger.acts import corrections, overrides, policies
from ledger.craft.policy import first_house_policy
from ledger.errors import NotFoundError
from ledger.events import Event
from ledger.log.entry import parse_record
from ledger.views.boards import Board, boards_of
from ledger.views.trace import Line, trace
from tests.ledger.views.forests import Parents, board, forests, glued, grown, lot, sawn
from tests.sentences import PLANNED
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"


def traced(loft: Loft, code: str) -> list[Line]:
    """Follow a code."""
    with loft.shop.store.reading() as session:
        return trace(session, code)


def shown(loft: Loft, code: str) -> list[tuple[int, str]]:
    """Return depth and code of every line."""
    return [(line.depth, line.code) for line in traced(loft, code)]


def test_an_instrument_leads_to_its_wood_its_papers_and_its_people(
    certified: Loft,
) -> None:
    """Boards with their lots, steps, certificate and owner."""
    certified.sell(SERIAL)

    assert shown(certified, SERIAL) == [
        (0, SERIAL),
        (1, "L26-001-01.A"),
        (2, "L26-001"),
        (3, "D26-0001"),
        (1, "L26-001-01.B"),
        (2, "L26-001"),
        (3, "D26-0001"),
        (1, "L26-002-01"),
        (2, "L26-002"),
        (1, "step"),
        (1, "step"),
        (1, "C-2026-00001"),
        (1, "owner"),
    ]


def test_a_paper_leads_to_every_instrument_it_is_in(certified: Loft) -> None:
    """Through its lots and their boards, in the rack or not."""
    certified.number(certified.receive(), NECK)

    assert shown(certified, "D26-0001") == [
        (0, "D26-0001"),
        (1, "L26-001"),
        (2, "D26-0001"),
        (2, "L26-001-01.A"),
        (2, "L26-001-01.B"),
    ]
    said = [line.said for line in traced(certified, "L26-001")]
    assert said[-1] == f"top of {SERIAL}"
    assert traced(certified, "L26-003")[-1].said == "neck, in the rack"


def test_a_set_is_followed_by_its_code_or_by_a_half_s(certified: Loft) -> None:
    """Both halves, or the one."""
    assert [line.depth for line in traced(certified, "L26-001-01")].count(0) == 2
    assert [line.depth for line in traced(certified, "L26-001-01.B")].count(0) == 1


def test_every_line_names_the_entry_it_rests_on(certified: Loft) -> None:
    """Whoever doubts it looks there, and finds the code in it."""
    certified.sell(SERIAL)
    for line in traced(certified, SERIAL):
        entry = parse_record(certified.shop.store.record(line.entry)).entry
        if line.code not in ("step", "owner"):
            assert line.code in str(entry.event)


@pytest.mark.parametrize("code", ["", "26-0002-6", "L26-001-99", "Jakub", "%"])
def test_what_was_never_recorded_is_not_found(certified: Loft, code: str) -> None:
    """It says so, and traces nothing."""
    with pytest.raises(NotFoundError, match="never recorded"):
        traced(certified, code)


def test_boards_come_in_the_order_in_which_they_were_numbered(loft: Loft) -> None:
    """The hundredth comes after the eleventh."""
    loft.supplier()
    lot = loft.receive(boards=101)
    codes = loft.number(lot, *[NECK] * 101)
    with loft.shop.store.reading() as session:
        assert [board.code for board in boards_of(session, str(lot))] == codes


TOLD = ", told above"


def told_once(lines: list[Line]) -> Counter[str]:
    """Return how often each board is told, where it is not told above."""
    return Counter(
        line.code for line in lines if "-" in line.code and TOLD not in line.said
    )


def all_from(parents: Parents, start: str) -> set[str]:
    """Return the pieces of a lot or a board at any depth, by their parents alone."""
    found = {code for code in parents if code == start or code[:7] == start}
    found = {code for code in found if code == start or not parents[code]}
    while more := {c for c, of in parents.items() if found & {*of}} - found:
        found |= more
    return found


def all_before(parents: Parents, start: str) -> set[str]:
    """Return what a board came from, at any depth, and the lots of the first ones."""
    found, waiting = set[str](), [start]
    while waiting:
        code = waiting.pop()
        found.add(code)
        waiting += parents[code]
        if not parents[code]:
            found.add(code[:7])
    return found


@settings(max_examples=50)
@given(forest=forests())
def test_a_lot_tells_everything_that_was_made_of_it_once(
    forest: tuple[list[Event], Parents],
) -> None:
    """Every descendant at any depth, and nothing of another tree."""
    events, parents = forest
    with grown(events) as session:
        for code in sorted({code[:7] for code in parents}):
            lines = trace(session, code)

            assert told_once(lines) == Counter({code} | all_from(parents, code))
            assert_each_line_belongs(lines)


@settings(max_examples=50)
@given(forest=forests())
def test_a_board_tells_all_before_it_and_all_after(
    forest: tuple[list[Event], Parents],
) -> None:
    """Its trees, its lots, and its pieces; itself once."""
    events, parents = forest
    with grown(events) as session:
        for code in parents:
            lines = trace(session, code)
            told = told_once(lines)

            assert {*told} == all_before(parents, code) | all_from(parents, code)
            assert all(n == 1 for c, n in told.items() if len(c) > len("L26-001"))
            assert_each_line_belongs(lines)


def assert_each_line_belongs(lines: list[Line]) -> None:
    """See that each line is as deep as the one before it, or less, or one deeper."""
    assert lines[0].depth == 0
    for before, line in pairwise(lines):
        assert 0 <= line.depth <= before.depth + 1


def test_a_joint_is_told_in_full_under_its_first_board_only() -> None:
    """Under the other it is named again, and its pieces are told above."""
    events = [
        *lot(1, 2),
        glued([board(1, 1), board(1, 2)], board(1, 1, 1)),
        sawn([board(1, 1, 1)], [board(1, 1, 2)]),
    ]
    with grown(events) as session:
        lines = trace(session, "L26-001")
        back = trace(session, board(1, 1, 2))

    assert [(line.depth, line.code, TOLD in line.said) for line in lines] == [
        (0, "L26-001", False),
        (1, board(1, 1), False),
        (2, board(1, 1, 1), False),
        (3, board(1, 1, 2), False),
        (1, board(1, 2), False),
        (2, board(1, 1, 1), True),
    ]
    assert [(line.depth, line.code, line.said) for line in back] == [
        (0, board(1, 1, 2), "strip, in the rack"),
        (1, board(1, 1, 1), "came from this: neck, made into pieces"),
        (2, board(1, 1), "came from this: back, made into pieces"),
        (3, "L26-001", "Picea abies, came in 2026-01-05"),
        (2, board(1, 2), "came from this: back, made into pieces"),
        (3, "L26-001", "Picea abies, came in 2026-01-05"),
    ]


def test_each_half_of_a_set_is_told_with_its_own_pieces(certified: Loft) -> None:
    """What became of one half never stands under the other."""
    halves = certified.number(certified.receive())
    made = [f"{halves[0][:-2]}.C1", f"{halves[0][:-2]}.C2"]
    with certified.shop.turn() as turn:
        for half, piece in zip(halves, made, strict=True):
            turn.say(sawn([half], [piece]), certified.hands())

    assert shown(certified, halves[0][:-2]) == [
        (0, halves[0]),
        (1, "L26-003"),
        (1, made[0]),
        (0, halves[1]),
        (1, "L26-003"),
        (1, made[1]),
    ]


def test_a_board_whose_number_was_struck_says_so_and_is_in_no_lot(
    certified: Loft,
) -> None:
    """Whoever finds its label learns by which entry."""
    (code,) = certified.number(certified.receive(), NECK)
    with certified.shop.store.reading() as session:
        index = session.get_one(Board, code).idx
    struck = corrections.correct(
        certified.shop, index, reason="numbered twice", hands=certified.hands("02")
    )

    (first, *_) = traced(certified, code)
    assert (first.said, first.entry) == ("neck, its number was struck", struck.index)
    assert shown(certified, "L26-003") == [(0, "L26-003")]


def test_a_board_used_before_it_was_ready_says_so(certified: Loft) -> None:
    """From the serial, from the board and from the lot, for each instrument."""
    (code,) = certified.number(certified.receive(), NECK)
    house = first_house_policy() | {"id": "rest", "version": 1}
    policies.adopt_policy(certified.shop, house, certified.hands())
    serials = [certified.begin(), certified.begin()]
    told: dict[str, Any] = {"code": code, "reason": "a promise"}
    told["hands"] = certified.hands()
    given = [
        overrides.override(certified.shop, serial=serial, **told)[0].index
        for serial in serials
    ]
    certified.allot(serials[0], "neck", code)

    lines = [
        (line.depth, line.said, line.entry)
        for line in traced(certified, code)
        if line.code == "override"
    ]
    rule = "the house's limits rest, version 1"
    assert lines == [
        (1, f"let through for {serial} before it was ready, under {rule}", entry)
        for serial, entry in zip(serials, given, strict=True)
    ]
    for start in (serials[0], "L26-003"):
        assert "override" in [line.code for line in traced(certified, start)]
    assert "override" not in [line.code for line in traced(certified, "L26-001")]


def test_a_board_that_left_the_shop_says_with_which_shipment(certified: Loft) -> None:
    """Beneath the board, also where the lot is followed."""
    (code,) = certified.number(certified.receive(), NECK)
    with certified.shop.turn() as turn:
        planned = replace(PLANNED, serials=(SERIAL,), boards=(code,))
        turn.say(planned, certified.hands())

    for start, depth in ((code, 1), ("L26-003", 2), (SERIAL, 1)):
        (line,) = (li for li in traced(certified, start) if li.code == "X26-0001")
        assert (line.depth, line.said) == (depth, "planned to JP, moves 2026-02-01")
