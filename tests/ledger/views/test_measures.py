"""Sizes, masses and places: the newest that happened and that nobody struck."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import Session

from ledger.acts.boards import BoardDraft
from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import (
    BoardMeasured,
    BoardMoved,
    BoardNumbered,
    BoardWeighed,
    CorrectionMade,
    Event,
)
from ledger.views import fold
from ledger.views.boards import Board
from ledger.views.measures import (
    Placing,
    counting,
    meterings_of,
    sizings_of,
    weighings_of,
)
from tests.ledger.views.forests import entry_of, grown, lot
from tests.sentences import METERED
from tests.skerrymoor import NECK, Loft

CODE = "L26-001-02"
NUMBERED = BoardNumbered(
    board=CODE, lot="L26-001", meant_for="neck", length_um=810_000, mass_mg=1_040_000
)
MOMENTS = st.none() | st.sampled_from(
    ["2025-12-01T08:00:00Z", "2026-01-05T07:59:59Z", "2026-01-05T08:00:00Z"]
)
SAID = st.lists(
    st.tuples(
        st.one_of(
            st.integers(1, 9).map(lambda n: BoardWeighed(board=CODE, mass_mg=n)),
            st.sampled_from("ABC").map(lambda p: BoardMoved(board=CODE, place=p)),
            st.integers(1, 9).map(lambda n: BoardMeasured(board=CODE, width_um=n)),
            st.integers(0, 9).map(lambda n: BoardMeasured(board=CODE, moisture_ppm=n)),
        ),
        MOMENTS,
        st.booleans(),
    ),
    max_size=8,
)


def expected(said: list[tuple[Any, str | None, bool]], member: str) -> object:
    """Work out by hand what counts: the last that happened of those not struck."""
    rows = [
        (moment or "2026-01-05T08:00:00Z", n, getattr(event, member, None))
        for n, (event, moment, is_struck) in enumerate(said)
        if not is_struck
    ]
    values = [value for _, _, value in sorted(rows, key=lambda r: r[:2])]
    return next((v for v in reversed(values) if v is not None), None)


def tell(
    session: Session, event: Event, index: int, happened_at: str | None = None
) -> None:
    """Fold one more entry."""
    entry = entry_of(event, index)
    if happened_at:
        entry = replace(entry, event=entry.event | {"happened_at": happened_at})
    fold.fold(session, entry)


@given(SAID)
def test_the_last_that_happened_and_was_not_struck_counts(
    said: list[tuple[Any, str | None, bool]],
) -> None:
    """However late it was entered, whatever was struck, and in whatever order."""
    first = (NUMBERED, None, False)
    struck = [n for n, (_, _, is_struck) in enumerate(said, 3) if is_struck]
    with grown([*lot(1, 1), NUMBERED]) as session:
        for index, (event, moment, _) in enumerate(said, 3):
            tell(session, event, index, moment)
        for index, number in enumerate(reversed(struck), 100):
            tell(session, CorrectionMade(index=number, struck="5a" * 32), index)
        board = session.get_one(Board, CODE)
        found = {
            member: getattr(board, member)
            for member in ("mass_mg", "place", "width_um", "moisture_ppm", "length_um")
        }

    assert found == {member: expected([first, *said], member) for member in found}


def test_what_is_still_to_come_was_measured_by_nobody() -> None:
    """Else one typed year would be the newest mass, and the newest air, for ever."""
    with grown([*lot(1, 1), NUMBERED]) as session:
        weighed = BoardWeighed(board=CODE, mass_mg=1)
        with pytest.raises(TamperError, match="happened at 2026-01-05T08:00:01Z"):
            tell(session, weighed, 3, "2026-01-05T08:00:01Z")


def test_a_board_without_measures_has_none(loft: Loft) -> None:
    """Numbered by count, it is measured later; striking that leaves nothing again."""
    loft.supplier()
    (code,) = loft.number(loft.receive(), BoardDraft(meant_for="neck"))
    with loft.shop.store.reading() as session:
        assert sizings_of(session, code) == []
        assert weighings_of(session, code) == []
    index = loft.say(BoardWeighed(board=code, mass_mg=1_040_000)).index
    loft.say(loft.strike(index))

    with loft.shop.store.reading() as session:
        board = session.get_one(Board, code)
        assert (board.mass_mg, board.length_um, board.place) == (None, None, None)


def test_the_order_is_that_of_the_day_on_each_database(loft_on_each: Loft) -> None:
    """Rows come as they happened, and the day is that of the claim."""
    loft_on_each.supplier()
    (code,) = loft_on_each.number(loft_on_each.receive(), NECK)
    for place, moment in (
        ("third", None),
        ("first", "2024-02-29T23:59:59Z"),
        ("second", "2026-01-04T23:59:59Z"),
    ):
        loft_on_each.say(BoardMoved(board=code, place=place), happened_at=moment)
        loft_on_each.say(BoardWeighed(board=code, mass_mg=7), happened_at=moment)
    rebuild(loft_on_each.shop)

    with loft_on_each.shop.store.reading() as session:
        assert session.get_one(Board, code).place == "third"
        placings = session.exec(counting(Placing, code)).all()
        assert [p.place for p in placings] == ["first", "second", "third"]
        assert [w.day for w in weighings_of(session, code)] == [
            "2024-02-29",
            "2026-01-04",
            "2026-01-05",
            "2026-01-05",
        ]


@pytest.mark.parametrize(
    "event",
    [
        BoardWeighed(board="L26-009-01", mass_mg=1),
        BoardMoved(board="L26-009-01", place="A"),
        BoardMeasured(board="L26-009-01", width_um=1),
    ],
)
def test_a_board_that_nobody_numbered_is_not_measured(event: Event) -> None:
    """Such an entry says something of nothing."""
    with pytest.raises(TamperError, match="no board L26-009-01 before this entry"):
        grown([*lot(1, 1), event]).__enter__()


def test_a_meter_gives_a_board_its_moisture_and_keeps_what_it_showed(
    loft: Loft,
) -> None:
    """The corrected value counts among the measured ones; struck, neither does."""
    loft.supplier()
    loft.number(loft.receive(), NECK, NECK)
    code = METERED.board
    loft.say(BoardMeasured(board=code, moisture_ppm=90_000))
    index = loft.say(replace(METERED, reading_ppm=82_000, moisture_ppm=84_000)).index
    with loft.shop.store.reading() as session:
        (row,) = meterings_of(session, code)
        assert (row.reading_ppm, row.moisture_ppm) == (82_000, 84_000)
        assert (row.setting, row.meter, row.day) == (
            "spruce",
            "pins of the crib",
            "2026-01-05",
        )
        assert session.get_one(Board, code).moisture_ppm == 84_000
    loft.say(loft.strike(index))

    with loft.shop.store.reading() as session:
        assert meterings_of(session, code) == []
        assert session.get_one(Board, code).moisture_ppm == 90_000
