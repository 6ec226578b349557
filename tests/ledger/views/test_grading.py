"""Grades, rejects and matches: what counts, and what a board shows of it."""

from dataclasses import replace

import pytest

from ledger.acts.copies import rebuild
from ledger.errors import RefusedError, TamperError
from ledger.events import BoardAllotted, BoardWeighed, Event
from ledger.views.boards import Board
from ledger.views.grading import (
    found_in,
    gradings_by,
    gradings_of,
    matched_boards,
    matches_of,
    rejection_of,
)
from tests.sentences import GRADED, MATCHED, REJECTED
from tests.skerrymoor import NECK, Loft

CODE, OTHER = "L26-001-01", "L26-001-02"
KEPT = replace(REJECTED, returned=None)


@pytest.fixture
def bench(loft_on_each: Loft) -> Loft:
    """Give a shop with two boards, on each database."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(), NECK, NECK)
    return loft_on_each


def shown(loft: Loft, code: str = CODE) -> tuple[int | None, int | None, int | None]:
    """Return which entries a board shows as its rejection, its return and its end."""
    with loft.shop.store.reading() as session:
        board = session.get_one(Board, code)
        return board.rejected_idx, board.returned_idx, board.gone_idx


def test_two_graders_stand_side_by_side(bench: Loft) -> None:
    """With all that each found; what was struck counts no more."""
    first = bench.say(GRADED, "02")
    bench.say(replace(GRADED, grade="third", rings=None, defects=()), "03")
    bench.say(bench.strike(bench.say(replace(GRADED, grade="first"), "03").index))
    rebuild(bench.shop)

    with bench.shop.store.reading() as session:
        rows = gradings_of(session, CODE)
        assert [(r.grade, r.suggested) for r in rows] == [
            ("second", "second"),
            ("third", "second"),
        ]
        assert found_in(rows[0]) == GRADED
        assert found_in(rows[1]).defects == ()
        assert rows[0].why == "not first: runout 2.5° is above 2°"
        assert rows[0].day == "2026-01-05"
        assert [r.idx for r in gradings_by(session, [first.key])] == [first.index]
        assert gradings_by(session, []) == []
        assert gradings_of(session, OTHER) == []


def test_a_rejected_board_shows_it_until_that_is_struck(bench: Loft) -> None:
    """The newest rejection is shown; struck, the one before it."""
    first = bench.say(KEPT).index
    second = bench.say(replace(KEPT, faults=("knot",))).index
    assert shown(bench) == (second, None, None)
    bench.say(bench.strike(second))
    assert shown(bench) == (first, None, None)
    with bench.shop.store.reading() as session:
        row = rejection_of(session, CODE)
        assert row is not None and row.faults == "shake\nworm"
        assert row.day == "2026-01-05" and not row.is_returned
    bench.say(bench.strike(first))

    assert shown(bench) == (None, None, None)
    with bench.shop.store.reading() as session:
        assert rejection_of(session, CODE) is None
        assert rejection_of(session, OTHER) is None


def test_what_went_back_to_the_sawyer_is_gone(bench: Loft) -> None:
    """Nothing more is said of it, until its return is struck."""
    index = bench.say(REJECTED).index
    assert shown(bench) == (index, index, index)
    matched = replace(MATCHED, serial=None)
    weighed = BoardWeighed(board=CODE, mass_mg=1_000_000)
    for event in (weighed, KEPT, GRADED, matched):
        with pytest.raises(TamperError, match="was gone before this entry"):
            bench.say(event)
    bench.say(bench.strike(index))
    bench.say(BoardWeighed(board=CODE, mass_mg=1_000_000))

    assert shown(bench) == (None, None, None)


def test_a_rejected_board_goes_into_no_instrument(bench: Loft) -> None:
    """And one that is in an instrument is not rejected."""
    bench.model()
    serial = bench.begin()
    bench.say(KEPT)
    into: Event = BoardAllotted(board=CODE, serial=serial, part="neck")
    with pytest.raises(TamperError, match="was rejected by entry"):
        bench.say(into)
    bench.say(replace(BoardAllotted(board=OTHER, serial=serial, part="neck")))

    with pytest.raises(TamperError, match=f"was in {serial} before"):
        bench.say(replace(KEPT, board=OTHER))


def test_a_match_is_found_by_each_of_its_boards(bench: Loft) -> None:
    """With what would have done as well; struck, by none."""
    bench.model()
    bench.begin()
    index = bench.say(MATCHED).index
    with bench.shop.store.reading() as session:
        for code in (CODE, OTHER):
            (row,) = matches_of(session, code)
            assert (row.idx, row.part, row.serial) == (index, "top", "26-0001-8")
            assert row.why == "sisters of one billet\ndensity 1.2 % apart"
            assert row.instead == "L26-001-03 with L26-001-04"
        assert matched_boards(session, index) == [CODE, OTHER]
    bench.say(bench.strike(index))

    with bench.shop.store.reading() as session:
        assert matches_of(session, CODE) == []


def test_a_match_of_a_board_that_is_not_there_is_refused(bench: Loft) -> None:
    """Nor can one speak of a board twice numbered."""
    with pytest.raises((TamperError, RefusedError), match="there is no board"):
        bench.say(replace(MATCHED, serial=None, boards=("L26-001-09",)))
