"""What is said of boards fits together, whoever says it and whatever an act allows."""

import pytest

from ledger.audit import audit
from ledger.errors import TamperError
from ledger.events import BoardJoined, BoardSplit
from tests.ledger.views.forests import glued, sawn
from tests.skerrymoor import NECK, Loft

SET = "L26-001-01"
NEW, OLD = f"{SET}.C9", f"{SET}.C1"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop where one half of a set is a piece, and a neck is allotted."""
    loft.supplier()
    loft.number(loft.receive())
    loft.number(loft.receive(), NECK)
    loft.model()
    loft.allot(loft.begin(), "neck", "L26-002-01")
    with loft.shop.turn() as turn:
        turn.say(sawn([f"{SET}.A"], [OLD]), loft.hands())
    return loft


@pytest.mark.parametrize(
    ("event", "said"),
    [
        (sawn([f"{SET}.B"], [f"{SET}.B"]), r"board L26-001-01\.B was taken"),
        (sawn([OLD], [f"{SET}.A"]), r"board L26-001-01\.A was taken"),
        (glued([OLD, f"{SET}.B"], f"{SET}.A"), r"board L26-001-01\.A was taken"),
        (glued([OLD, f"{SET}.B"], OLD), r"board L26-001-01\.C1 was taken"),
        (sawn([f"{SET}.B"], [NEW, NEW]), r"board L26-001-01\.C9 was taken"),
        (sawn([f"{SET}.B", f"{SET}.B"], [NEW]), "is used up twice by one entry"),
        (sawn([f"{SET}.A"], [NEW]), "was used up before"),
        (sawn(["L26-002-01"], [NEW]), "was used up before"),
        (sawn([NEW], [f"{SET}.C8"]), "there is no board"),
        (sawn([f"{SET}.B"], ["L26-009-01.C1"]), "does not bear the number of L26-001"),
    ],
    ids=[
        "a board sawn into itself",
        "its own parent as a piece",
        "its own parent as a joint",
        "a joint of itself",
        "a piece twice",
        "a parent twice",
        "a parent that is pieces already",
        "a parent that is allotted",
        "a parent that never was",
        "a piece under a board that it is not of",
    ],
)
def test_no_board_is_its_own_ancestor_whoever_says_so(
    bench: Loft, event: BoardSplit | BoardJoined, said: str
) -> None:
    """The views refuse it within the lock, and nothing is appended."""
    size = bench.shop.store.head().size
    with pytest.raises(TamperError, match=said), bench.shop.turn() as turn:
        turn.say(event, bench.hands())

    assert bench.shop.store.head().size == size
    assert audit(bench.shop).findings == ()
