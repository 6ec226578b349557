"""A wrong board is scanned: refused with both sides named, and nothing is used up.

At the bench Jakub scans another board than the one that is kept for the instrument.
"""

import pytest

from ledger.acts import reserving, swapping
from ledger.acts.allotting import BoardTakenError, OtherBoardKeptError
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log.entry import parse_record
from ledger.views.boards import boards_in
from tests.skerrymoor import NECK, TOP, Loft

FIRST, SECOND = "26-0001-8", "26-0002-6"
RIGHT, WRONG = "L26-001-02", "L26-001-03"


@pytest.fixture
def kept(loft_on_each: Loft) -> Loft:
    """Give two instruments; Ines has kept one neck for the first of them."""
    loft = loft_on_each
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK)
    loft.model()
    assert (loft.begin(), loft.begin()) == (FIRST, SECOND)
    told = {"code": RIGHT, "wanted": FIRST, "part": "neck"}
    reserving.reserve(loft.shop, **told, hands=loft.hands("10"))
    return loft


def wood(loft: Loft, serial: str) -> dict[str, str]:
    """Return which board is which part."""
    with loft.shop.store.reading() as session:
        return {board.code: str(board.part) for board in boards_in(session, serial)}


def test_a_wrong_scan_records_nothing_and_a_swap_is_an_entry(kept: Loft) -> None:
    """The refusal names who kept what; the swap has a name and a reason."""
    size = kept.shop.store.head().size
    with pytest.raises(
        OtherBoardKeptError,
        match=rf"board {RIGHT} is kept for the neck of {FIRST}, reserved by Ines "
        r"Carvalhal \(badge 10\) on 2026-01-05 at ..:.. UTC in entry",
    ) as refusal:
        kept.allot(FIRST, "neck", WRONG)
    for way in ("take that one", "release it", "let a lead swap it"):
        assert way in str(refusal.value)
    assert kept.shop.store.head().size == size
    assert wood(kept, FIRST) == {}

    swap = {"serial": FIRST, "out": RIGHT, "into": WRONG, "reason": "a shake in it"}
    with pytest.raises(RefusedError, match="only a lead swaps"):
        swapping.swap(kept.shop, **swap, hands=kept.hands("03"))
    done = swapping.swap(kept.shop, **swap, hands=kept.hands())

    entries = [parse_record(kept.shop.store.record(n)).entry for n in done.entries]
    assert [e.kind for e in entries] == ["board.released/1", "board.allotted/1"]
    opening = kept.shop.vault.opening_of(entries[0].event["reason_commitment"])
    assert opening is not None and opening.value == "a shake in it"
    assert {entry.key for entry in entries} == {kept.hands().by.id}
    assert audit(kept.shop).findings == ()


def test_after_a_swap_both_lists_agree(kept: Loft) -> None:
    """Wood that another instrument had is missed there, and in no two of them."""
    kept.allot(FIRST, "neck", RIGHT)
    kept.allot(SECOND, "neck", WRONG)
    with pytest.raises(BoardTakenError, match=f"already allotted to {SECOND} as its"):
        kept.allot(FIRST, "neck", WRONG)
    swapping.swap(
        kept.shop,
        serial=FIRST,
        out=RIGHT,
        into=WRONG,
        reason="the twin of the body",
        hands=kept.hands(),
    )

    assert wood(kept, FIRST) == {WRONG: "neck"}
    assert wood(kept, SECOND) == {}
    kept.allot(SECOND, "neck", RIGHT)
    assert audit(kept.shop).findings == ()
