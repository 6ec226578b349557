"""What is rejected goes into nothing, and what was sent back is gone."""

from typing import Any

import pytest

from ledger.acts import corrections, measuring, rejects, sawing
from ledger.errors import NotFoundError, RefusedError
from ledger.log.entry import Entry
from ledger.views.boards import Board
from tests.skerrymoor import NECK, Loft

SET, NECK_CODE = "L26-001-01", "L26-002-01"


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with a set of spruce and a neck, and an instrument begun."""
    loft.supplier()
    loft.number(loft.receive())
    loft.number(loft.receive(), NECK)
    loft.model()
    loft.begin()
    return loft


def reject(loft: Loft, code: str = SET, *faults: str, **said: Any) -> list[Entry]:
    """Reject a board for a knot, or for other faults."""
    told: dict[str, Any] = {"faults": faults or ("knot",), "hands": loft.hands("02")}
    return rejects.reject(loft.shop, code, **(told | said))


def test_both_halves_are_rejected_and_allotted_to_nothing(racked: Loft) -> None:
    """The refusal names fault and entry; nothing was used up."""
    entries = reject(racked, SET, "knot", "stain", "knot", reason="on the show side")
    size = racked.shop.store.head().size
    with pytest.raises(RefusedError, match="rejected for knot, stain by entry"):
        racked.allot("26-0001-8", "top", SET)

    assert [entry.event["board"] for entry in entries] == [f"{SET}.A", f"{SET}.B"]
    assert entries[0].event["faults"] == ["knot", "stain"]
    assert racked.shop.store.head().size == size
    with racked.shop.store.reading() as session:
        reasons = corrections.reasons_of(
            racked.shop, session, [entry.index for entry in entries]
        )
    assert list(reasons.values()) == ["on the show side"] * 2


def test_a_struck_reject_may_be_used_again(racked: Loft) -> None:
    """Half of a set, and then the whole of it."""
    for entry in reject(racked):
        corrections.correct(
            racked.shop, entry.index, reason="wrong set", hands=racked.hands("02")
        )
    racked.allot("26-0001-8", "top", SET)

    with racked.shop.store.reading() as session:
        assert session.get_one(Board, f"{SET}.A").serial == "26-0001-8"


def test_a_rejected_board_may_be_sawn_for_what_is_left(racked: Loft) -> None:
    """Its pieces are judged anew."""
    reject(racked, NECK_CODE)
    sawing.split(
        racked.shop,
        codes=[NECK_CODE],
        pieces=[sawing.PieceDraft(meant_for="brace", mass_mg=1_030_000)],
        hands=racked.hands("02"),
    )
    racked.allot("26-0001-8", "neck", f"{NECK_CODE}.C1")


def test_what_went_back_is_not_weighed_any_more(racked: Loft) -> None:
    """A reject may be sent back later; after that it is gone."""
    reject(racked, NECK_CODE)
    with pytest.raises(RefusedError, match="already: nothing more was recorded"):
        reject(racked, NECK_CODE)
    reject(racked, NECK_CODE, is_returned=True)
    for _ in range(2):
        with pytest.raises(RefusedError, match="went back to the sawyer by entry"):
            measuring.weigh(racked.shop, NECK_CODE, 1_040_000, hands=racked.hands("02"))
        with pytest.raises(RefusedError, match="went back to the sawyer by entry"):
            reject(racked, NECK_CODE, is_returned=True)


@pytest.mark.parametrize("faults", [[""], ["two\nlines"], ["x" * 201], []])
def test_a_fault_is_said_in_words(racked: Loft, faults: list[str]) -> None:
    """None, or none that can be read, is refused."""
    with pytest.raises(RefusedError, match="fault"):
        rejects.reject(racked.shop, SET, faults=faults, hands=racked.hands("02"))


def test_wood_in_an_instrument_is_not_rejected(racked: Loft) -> None:
    """It is released first; a code that is nowhere is no board."""
    racked.allot("26-0001-8", "top", SET)
    with pytest.raises(RefusedError, match="is the top of 26-0001-8: release it first"):
        reject(racked)
    with pytest.raises(NotFoundError, match="there is no board"):
        reject(racked, "L26-001-09")
