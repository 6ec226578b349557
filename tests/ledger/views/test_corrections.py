"""What is struck counts for nothing, whichever view shows it; what is let is known."""

from dataclasses import replace

import pytest
from sqlmodel import SQLModel

from ledger.acts.copies import rebuild
from ledger.acts.corrections import STRIKABLE
from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    BoardWeighed,
    Event,
    OverrideGiven,
    StepSigned,
)
from ledger.log.entry import parse_record
from ledger.views import fold
from ledger.views.corrections import STRUCK, correction_of, corrections_of, override_for
from tests.ledger.views.forests import (
    ISSUED,
    begun,
    board,
    glued,
    grown,
    lot,
    sawn,
    strike,
)
from tests.sentences import PLANNED, say_everything
from tests.skerrymoor import NECK, Loft

CODE = "L26-001-01"
SERIAL = "26-0001-8"
LET = OverrideGiven(
    board=CODE, serial=SERIAL, policy="loft", version=1, against=("young",)
)
WEIGHED = BoardWeighed(board=CODE, mass_mg=1000)
ALLOTTED = BoardAllotted(board=CODE, serial=SERIAL, part="neck")
DID = StepSigned(serial=SERIAL, step="brace", meaning="did", measures=(), weighed=())
INSPECTED = replace(DID, meaning="inspected")


def name_of(loft: Loft, index: int) -> str:
    """Return what an entry says, without its version."""
    return parse_record(loft.shop.store.record(index)).entry.kind.partition("/")[0]


@pytest.mark.parametrize("view", STRUCK, ids=lambda view: str(view.__tablename__))
def test_every_row_that_an_entry_gave_is_struck_with_it(
    loft: Loft, view: type[SQLModel]
) -> None:
    """Not one of them stays behind, and none of another entry goes too."""
    loft.build()
    say_everything(loft)
    table = str(view.__tablename__)
    column = f"SELECT idx, struck_idx FROM {table}"  # noqa: S608 - our names
    with loft.shop.store.reading() as session:
        rows = session.connection().exec_driver_sql(column).fetchall()
        index = [idx for idx, _ in rows if name_of(loft, idx) in STRIKABLE][-1]
    by = loft.say(loft.strike(index)).index
    with loft.shop.store.reading() as session:
        rows = session.connection().exec_driver_sql(column).fetchall()

    assert {struck for idx, struck in rows if idx == index} == {by}
    assert by not in {struck for idx, struck in rows if idx != index}


def test_views_with_rows_that_can_be_struck_are_all_struck() -> None:
    """A view that is forgotten here would go on counting what was taken back."""
    able = {view for view in fold.TABLES if "struck_idx" in view.model_fields}

    assert able - {view for view in fold.TABLES if view.__name__ == "Board"} == set(
        STRUCK
    )


def test_a_correction_is_found_by_what_it_struck(loft_on_each: Loft) -> None:
    """On each database, and after everything is folded again."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(), NECK)
    index = loft_on_each.say(BoardWeighed(board=CODE, mass_mg=1)).index
    by = loft_on_each.say(loft_on_each.strike(index)).index
    for _ in range(2):
        with loft_on_each.shop.store.reading() as session:
            row = correction_of(session, index)
            assert row is not None
            assert row.idx == by
            assert correction_of(session, by) is None
            assert corrections_of(session, [index - 1, index, by]) == {index: row}
            assert corrections_of(session, [index - 1, by]) == {}
            assert corrections_of(session, []) == {}
        rebuild(loft_on_each.shop)


def test_the_newest_override_for_a_board_in_an_instrument_is_known(
    loft_on_each: Loft,
) -> None:
    """For just that board and that instrument."""
    for event in (*lot(1, 1), begun()):
        loft_on_each.say(event)
    for _ in range(2):
        newest = loft_on_each.say(LET).index

    with loft_on_each.shop.store.reading() as session:
        found = override_for(session, CODE, "26-0001-8")
        assert found is not None
        assert (found.idx, found.policy, found.version) == (newest, "loft", 1)
        assert override_for(session, CODE, "26-0002-6") is None
        assert override_for(session, f"{CODE}.A", "26-0001-8") is None


@pytest.mark.parametrize("index", [3, 4, 99])
def test_an_entry_strikes_only_one_before_it(index: int) -> None:
    """Itself and what is to come were never said."""
    said = [*lot(1, 2), strike(index)]
    with pytest.raises(TamperError, match=f"entry {index} is struck by entry 3"):
        grown(said).__enter__()


def test_an_entry_is_struck_once() -> None:
    """Twice is damage."""
    twice = [strike(1)] * 2
    with pytest.raises(TamperError, match="was taken by an entry before this one"):
        grown([*lot(1, 2), *twice]).__enter__()


@pytest.mark.parametrize(
    ("after", "index"),
    [
        ((strike(1), strike(5)), 5),
        ((sawn([CODE], [board(1, 1, 1)]),), 0),
        ((sawn([CODE], [board(1, 1, 1)]),), 5),
    ],
    ids=["a correction", "a lot", "a split"],
)
def test_what_gave_nothing_that_can_go_is_not_struck(
    after: tuple[Event, ...], index: int
) -> None:
    """Its pieces would be gone, and the board they came from would not be back."""
    said = [*lot(1, 2), WEIGHED, begun(), *after, strike(index)]
    with pytest.raises(TamperError, match=f"entry {index} is none that can be struck"):
        grown(said).__enter__()


@pytest.mark.parametrize(
    ("after", "index", "hold"),
    [
        ((ALLOTTED,), 1, SERIAL),
        ((sawn([CODE], [board(1, 1, 1)]),), 1, "entry 5"),
        ((PLANNED,), 1, "X26-0001"),
        ((sawn([CODE], [board(1, 1, 1)]),), 3, "entry 5"),
        ((glued([CODE, board(1, 2)], board(1, 1, 1)),), 3, "entry 5"),
        ((ALLOTTED, ISSUED), 5, "C-2026-00001"),
        ((DID, ISSUED), 5, "C-2026-00001"),
        ((DID, INSPECTED), 5, "entry 6"),
    ],
    ids=[
        "the number of a board in an instrument",
        "the number of a board that is pieces",
        "the number of a board that was sent",
        "the mass of a board that was sawn",
        "the mass of a board that was glued",
        "the wood of a certified instrument",
        "a step of a certified instrument",
        "work that was inspected",
    ],
)
def test_what_others_rest_on_is_not_struck(
    after: tuple[Event, ...], index: int, hold: str
) -> None:
    """Whoever says so past every act: it would leave something false standing."""
    said = [*lot(1, 2), WEIGHED, begun(), *after, strike(index)]
    with pytest.raises(TamperError, match=f"is not struck, for {hold} rests on it"):
        grown(said).__enter__()


def test_what_nothing_rests_on_any_more_is_struck() -> None:
    """First the allotment, then the number, as an act would have it."""
    strikes = [strike(index) for index in (5, 1, 3)]
    with grown([*lot(1, 2), WEIGHED, begun(), ALLOTTED, *strikes]) as session:
        struck = {index for index in range(9) if correction_of(session, index)}
        assert struck == {1, 3, 5}


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        (replace(LET, board="L26-001-09"), "there is no board L26-001-09"),
        (replace(LET, serial="26-0002-6"), "there is no build 26-0002-6"),
        (replace(LET, board=board(1, 2)), "board L26-001-02 was gone before"),
    ],
)
def test_nothing_is_let_that_is_not_there(said: OverrideGiven, fault: str) -> None:
    """Neither a board that never was or is pieces, nor for no instrument."""
    gone = sawn([board(1, 2)], [board(1, 2, 1)])
    with pytest.raises(TamperError, match=fault):
        grown([*lot(1, 2), begun(), gone, said]).__enter__()
