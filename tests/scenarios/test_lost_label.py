"""A half is found on the floor without its label: told by measure, or unknown for ever.

Its old label warns wherever it is scanned, and both states stay on the trace.
"""

import pytest

from ledger.acts.boards import BoardDraft
from ledger.acts.finding import candidates, identify, number_unknown
from ledger.acts.measuring import move
from ledger.acts.relabelling import VoidLabelError, require_true_label
from ledger.audit import audit
from ledger.craft.identifying import Measured
from ledger.errors import RefusedError
from ledger.ids import BoardId, scan_text
from ledger.views.trace import trace
from tests.skerrymoor import TOP, Loft

FOUND = Measured(
    length_um=556_000, width_um=201_000, thickness_um=4_100, mass_mg=205_000
)
LOST = "L26-001-07.B"


def half_like_it(*masses: int) -> BoardDraft:
    """Return a set of the size of what was found."""
    return BoardDraft(
        meant_for="top",
        masses_mg=masses,
        length_um=556_500,
        width_um=201_000,
        thickness_um=4_100,
    )


@pytest.fixture
def floor(loft_on_each: Loft) -> Loft:
    """Give seven sets of spruce on shelf B, two halves of which can be the one."""
    loft = loft_on_each
    loft.supplier()
    lot = loft.receive()
    loft.number(lot, *[TOP] * 5, half_like_it(231_000, 206_000))
    loft.number(lot, half_like_it(232_000, 204_500))
    move(loft.shop, [str(lot)], "crib, shelf B", hands=loft.hands("02"))
    return loft


def test_a_half_without_a_label_is_identified_by_measurement(floor: Loft) -> None:
    """Of two that can be it one is chosen, with a reason and how sure that is."""
    with floor.shop.store.reading() as session:
        near = candidates(session, FOUND, species="spruce", place="shelf B")
    assert [each.board for each in near] == [LOST, "L26-001-06.B"]
    with pytest.raises(RefusedError, match="the reason has 1 to"):
        identify(floor.shop, LOST, FOUND, reason="", hands=floor.hands("02"))
    done = identify(
        floor.shop,
        LOST,
        FOUND,
        reason="the grain runs out where the photograph has it",
        hands=floor.hands("02"),
    )

    assert (done.confidence, done.label) == ("likely", 1)
    code = BoardId.parse(LOST)
    with floor.shop.store.reading() as session:
        with pytest.raises(VoidLabelError, match="was replaced by number 1 on 2026-01"):
            require_true_label(session, scan_text(code, host="skerrymoor.example"))
        require_true_label(session, scan_text(code, label=1))
        said = [line.said for line in trace(session, LOST)]
    assert "identified by measurement, confidence: likely; 1 more would have" in said[1]
    assert "replacement 1 counts" in said[2]
    assert audit(floor.shop).findings == ()


def test_unknown_origin_never_becomes_known(floor: Loft) -> None:
    """It is told as unknown on the trace, goes into nothing, and no act names it."""
    other = Measured(length_um=700_000, width_um=90_000, mass_mg=905_000)
    code = number_unknown(floor.shop, other, hands=floor.hands("02"))
    floor.model()
    serial = floor.begin()
    with pytest.raises(RefusedError, match="fit for jigs only"):
        floor.allot(serial, "top", code)
    # It can lose its label like any other, and stays what it was.
    identify(floor.shop, code, other, reason="the only one", hands=floor.hands("02"))
    with pytest.raises(RefusedError, match="fit for jigs only"):
        floor.allot(serial, "top", code)

    with floor.shop.store.reading() as session:
        lines = trace(session, code)
    assert any(line.said.startswith("unknown, came") for line in lines) or any(
        "unknown, old stock, evidence none" in line.said for line in lines
    )
    assert audit(floor.shop).findings == ()
