"""A back set is sawn: mass balances, pieces keep lot and papers, and one waits years.

A slip of the pen would make wood out of nothing, and is refused.
"""

from typing import Any

import pytest

from ledger.acts import allotting, reserving
from ledger.acts.boards import BoardDraft
from ledger.acts.sawing import PieceDraft, UnbalancedError, split
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.views.boards import Board
from ledger.views.family import lots_of
from ledger.views.trace import trace
from tests.skerrymoor import Loft

FIRST, SECOND = "26-0001-8", "26-0002-6"
BACK = BoardDraft(
    meant_for="back",
    length_um=560_000,
    width_um=215_000,
    thickness_um=4_800,
    masses_mg=(434_000, 435_000),
)


def pieces(headplate_mg: int) -> list[PieceDraft]:
    """Return what comes off the saw: two plates, a headplate and three strips."""
    return [
        PieceDraft(meant_for="top", mass_mg=345_000),
        PieceDraft(meant_for="top", mass_mg=345_000),
        PieceDraft(meant_for="neck", mass_mg=headplate_mg, is_offcut=True),
        PieceDraft(meant_for="neck", mass_mg=20_000, is_offcut=True),
        PieceDraft(meant_for="neck", mass_mg=20_000, is_offcut=True),
        PieceDraft(meant_for="neck", mass_mg=21_000, is_offcut=True),
    ]


@pytest.fixture
def sawn(loft_on_each: Loft) -> Loft:
    """Give two instruments, and a back set that is sawn after a slip was refused."""
    loft = loft_on_each
    loft.supplier()
    paper = loft.document()
    lot = loft.receive(
        species="Dalbergia latifolia", harvested_in="IN", documents=(paper,)
    )
    loft.number(lot, BACK)
    loft.model()
    assert (loft.begin(), loft.begin()) == (FIRST, SECOND)
    size = loft.shop.store.head().size
    told: dict[str, Any] = {"codes": ["L26-001-01"], "kerf": 64_000}
    told["hands"] = loft.hands("03")
    with pytest.raises(UnbalancedError, match="weigh"):
        split(loft.shop, pieces=pieces(540_000), **told)
    assert loft.shop.store.head().size == size
    split(loft.shop, pieces=pieces(54_000), **told)
    return loft


def test_offcuts_keep_their_lot_and_go_where_they_are_kept_for(sawn: Loft) -> None:
    """The headplate goes into one instrument; a strip waits two years for the other."""
    sawn.allot(FIRST, "neck", "L26-001-01.C3")
    reserving.reserve(
        sawn.shop,
        code="L26-001-01.C4",
        wanted=SECOND,
        part="neck",
        until="2028-02-01",
        hands=sawn.hands("03"),
    )
    with pytest.raises(RefusedError, match="is kept for 26-0002-6 as its neck until"):
        allotting.allot(
            sawn.shop,
            serial=FIRST,
            part="top",
            code="L26-001-01.C4",
            hands=sawn.hands("03"),
        )
    sawn.clock.moment = sawn.clock.moment.replace(year=2028)
    object.__setattr__(sawn.shop, "pause_confirmed", True)
    sawn.allot(SECOND, "neck", "L26-001-01.C4")

    with sawn.shop.store.reading() as session:
        assert lots_of(session, "L26-001-01.C3") == ["L26-001"]
        lines = trace(session, "L26-001")
        made = [session.get_one(Board, f"L26-001-01.C{n}") for n in range(1, 7)]
    assert sum(board.mass_mg or 0 for board in made) + 64_000 == 869_000
    told = [line.said for line in lines]
    assert f"neck of {FIRST}" in told
    assert f"neck of {SECOND}" in told
    assert sum("Dalbergia latifolia" in said for said in told) == 1
    assert any("delivery note" in said for said in told)
    assert audit(sawn.shop).findings == ()


def test_wood_that_is_in_an_instrument_is_not_sawn(sawn: Loft) -> None:
    """It is released first, with a reason."""
    sawn.allot(FIRST, "neck", "L26-001-01.C3")
    piece = [PieceDraft(meant_for="inlay", mass_mg=50_000)]
    told: dict[str, Any] = {"codes": ["L26-001-01.C3"], "pieces": piece, "kerf": 4_000}
    with pytest.raises(RefusedError, match="flitchbook board release"):
        split(sawn.shop, **told, hands=sawn.hands("03"))
    reserving.release(
        sawn.shop, code="L26-001-01.C3", reason="too narrow", hands=sawn.hands("03")
    )

    assert split(sawn.shop, **told, hands=sawn.hands("03")) == ["L26-001-01.C7"]
