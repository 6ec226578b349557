"""Boards are numbered until their lot is used up, and labelled."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import boards, corrections, lots
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.ids import LotId
from ledger.views.boards import Board, boards_of
from ledger.views.wood import Lot
from tests.skerrymoor import NECK, TOP, Loft


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded since, and that everything is whole."""
    return loft.shop.store.head().size == size and audit(loft.shop).findings == ()


def test_boards_are_numbered_until_the_lot_is_used_up(supplied: Loft) -> None:
    """A set counts as one, and both its halves get a code."""
    lot = supplied.receive(boards=3)
    first = supplied.number(lot, TOP, NECK)
    with pytest.raises(RefusedError, match=r"3 boards, 2 are numbered and 2 more"):
        supplied.number(lot, NECK, NECK)
    last = supplied.number(lot, NECK)

    assert first == ["L26-001-01.A", "L26-001-01.B", "L26-001-02"]
    assert last == ["L26-001-03"]
    with pytest.raises(RefusedError, match="1 more would be too many"):
        supplied.number(lot, NECK)


def test_more_than_ninety_nine_boards_go_on_in_three_digits(supplied: Loft) -> None:
    """The next number is the highest one and one more, not the last in spelling."""
    lot = supplied.receive(boards=102)
    supplied.number(lot, *[NECK] * 99)
    rest = [supplied.number(lot, NECK)[0] for _ in range(3)]

    assert rest == ["L26-001-100", "L26-001-101", "L26-001-102"]


@pytest.mark.parametrize(
    "changes",
    [
        {"masses_mg": (1, 2, 3)},
        {"masses_mg": (1_040_000,), "is_set": True},
        {"masses_mg": (0,)},
        {"masses_mg": (-5,)},
        {"length_um": 0},
        {"width_um": -1},
        {"thickness_um": 0},
        {"meant_for": "top\x00"},
        {"meant_for": "top \udcff"},
        {"length_um": 2**53},
        {"as_read": False},
        {"mark": " "},
        {"mark": "7\u202e"},
        {"supplier_grade": "A" * 201},
        {"as_written": "22 x 8\nin"},
    ],
)
def test_a_board_that_cannot_be_is_refused(
    supplied: Loft, changes: dict[str, Any]
) -> None:
    """No board is without length, or weighs less than nothing; none is recorded."""
    lot = supplied.receive()
    size = supplied.shop.store.head().size
    with pytest.raises(RefusedError):
        supplied.number(lot, NECK, replace(NECK, **changes))

    assert untouched(supplied, size)


def test_a_board_is_numbered_with_what_is_known_of_it(supplied: Loft) -> None:
    """A list may give a mark and no mass; a set without masses has two halves."""
    listed = replace(
        TOP,
        masses_mg=(),
        is_set=True,
        mark="Nr. 7",
        supplier_grade="AAA",
        as_written="22 x 8 x 1/6 in",
    )
    bare = boards.BoardDraft(meant_for="neck")
    codes = supplied.number(supplied.receive(), listed, bare)
    with supplied.shop.store.reading() as session:
        half, other, neck = (session.get_one(Board, code) for code in codes)
        session.expunge_all()

    assert codes == ["L26-001-01.A", "L26-001-01.B", "L26-001-02"]
    assert (half.mark, half.supplier_grade, half.mass_mg) == ("Nr. 7", "AAA", None)
    assert (other.length_um, neck.length_um) == (559_000, None)


def test_sizes_in_inches_typed_as_millimetres_are_named(supplied: Loft) -> None:
    """The density tells, and names the board that it is about."""
    lot = supplied.receive()
    inches = replace(TOP, length_um=22_000, width_um=8_000, thickness_um=165)
    with pytest.raises(RefusedError, match=r"L26-001-02\.A would .* look like inches"):
        supplied.number(lot, TOP, inches)


def test_a_lot_and_its_boards_come_in_together_or_not_at_all(supplied: Loft) -> None:
    """One turn receives and numbers; a slip in the last board leaves nothing."""
    size = supplied.shop.store.head().size
    hands, draft = supplied.hands("02"), supplied.draft(boards=2)
    for drafts, is_sound in (
        ((TOP, replace(NECK, as_read=False)), False),
        ((TOP,), True),
    ):
        try:
            with supplied.shop.turn() as turn:
                lot = LotId.parse(lots.receive_in(turn, draft, hands))
                codes = boards.number_in(turn, lot, drafts, hands)
        except RefusedError:
            assert not is_sound
            assert untouched(supplied, size)

    assert codes == ["L26-001-01.A", "L26-001-01.B"]
    assert supplied.shop.store.head().size == size + 3


def test_a_struck_number_is_not_given_again(supplied: Loft) -> None:
    """Its place in the lot is free, its number is not."""
    lot = supplied.receive(boards=2)
    supplied.number(lot, NECK, NECK)
    with supplied.shop.store.reading() as session:
        index = session.get_one(Board, "L26-001-02").idx
    corrections.correct(
        supplied.shop, index, reason="the same board twice", hands=supplied.hands("02")
    )

    assert supplied.number(lot, NECK) == ["L26-001-03"]
    with pytest.raises(RefusedError, match="2 are numbered and 1 more"):
        supplied.number(lot, NECK)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("L26-001", "no board of lot L26-001 is numbered: number them first"),
        ("L26-001-07", "there is no board L26-001-07: scan its label"),
        ("26-0147-3", "is a serial: give a board, a set or a lot"),
    ],
)
def test_a_code_that_stands_for_no_board_is_refused(
    supplied: Loft, text: str, why: str
) -> None:
    """Whoever scanned it is told what to scan."""
    supplied.receive()
    with (
        supplied.shop.store.reading() as session,
        pytest.raises(LedgerError, match=why),
    ):
        boards.labelled_codes(session, [text])


def test_boards_named_twice_are_meant_once(supplied: Loft) -> None:
    """A half, its set and its lot."""
    lot = supplied.receive()
    supplied.number(lot, TOP, NECK)
    with supplied.shop.store.reading() as session:
        codes = boards.labelled_codes(session, [f"{lot}-01.B", f"{lot}-01", str(lot)])

    assert codes == ["L26-001-01.B", "L26-001-01.A", "L26-001-02"]


def test_boards_of_an_unknown_lot_are_refused(loft: Loft) -> None:
    """The lot comes first."""
    with pytest.raises(NotFoundError, match="there is no lot L26-007"):
        loft.number(LotId(year=26, number=7))


def test_labels_are_counted_for_boards_that_are_there(supplied: Loft) -> None:
    """A label for a board that was never numbered is refused as a whole."""
    (code,) = supplied.number(supplied.receive(), NECK)
    told: dict[str, Any] = {"paper": "51 x 22", "sha256": "ab" * 32}
    hands = supplied.hands("02")
    boards.labels_printed(supplied.shop, [code], hands=hands, **told)
    with pytest.raises(NotFoundError, match="no board L26-001-02"):
        boards.labels_printed(supplied.shop, [code, "L26-001-02"], hands=hands, **told)

    with supplied.shop.store.reading() as session:
        assert session.get_one(Board, code).labels == 1
        assert session.get_one(Lot, "L26-001").boards == 24
        assert len(boards_of(session, "L26-001")) == 1
