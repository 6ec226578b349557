"""A worksheet rests on no paper that had ended, is of other wood, or is used up."""

from collections.abc import Sequence

import pytest

from ledger.acts import shipments
from ledger.acts.freight import Goods
from ledger.acts.permits import LineDraft, read_permit
from ledger.acts.soundness import require_sound_papers
from ledger.errors import RefusedError
from tests.ledger.acts.test_freight import ABROAD
from tests.skerrymoor import NECK, Loft

WOOD = "Dalbergia latifolia"


def sent(loft: Loft, paper: str, lines: Sequence[LineDraft]) -> tuple[str, ...]:
    """Plan to send one of two boards of 1040 g that came in under a paper.

    What it was issued for is read off it once the wood is there.
    """
    lot = loft.receive(species=WOOD, harvested_in="IN", boards=2, documents=(paper,))
    if lines:
        read(loft, paper, lines)
    goods = Goods(boards=tuple(loft.number(lot, NECK, NECK)[:1]))
    hands = loft.hands("12")
    plan = shipments.plan(loft.shop, goods=goods, journey=ABROAD, hands=hands)
    again = shipments.planned(loft.shop, str(plan.number))
    assert again.faults == plan.faults
    return again.faults


def read(loft: Loft, paper: str, lines: Sequence[LineDraft]) -> None:
    """Read a paper line by line."""
    read_permit(loft.shop, paper, lines, loft.hands("12"))


@pytest.mark.parametrize(
    "lines",
    [
        (),
        (LineDraft(species=WOOD, unit="mass_mg", amount=2 * NECK.masses_mg[0]),),
        (LineDraft(species="Dalbergia spp.", unit="pieces", amount=2),),
    ],
)
def test_what_bears_the_wood_is_no_fault(
    certified: Loft, lines: tuple[LineDraft, ...]
) -> None:
    """To the last milligram and piece, by its species or its genus; or unread."""
    paper = certified.document()
    faults = sent(certified, paper, lines)

    assert faults == ()
    require_sound_papers(faults)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            LineDraft(species=WOOD, unit="mass_mg", amount=2 * NECK.masses_mg[0] - 1),
            "is over-drawn: it was issued for",
        ),
        (LineDraft(species=WOOD, unit="pieces", amount=1), "is over-drawn: it was iss"),
        (
            LineDraft(species="Khaya spp.", unit="pieces", amount=9),
            f"names no {WOOD}, and L26-003 is of that",
        ),
    ],
)
def test_what_does_not_bear_it_is_refused(
    certified: Loft, line: LineDraft, said: str
) -> None:
    """Whoever sends any wood of a permit rests on all that came in under it."""
    paper = certified.document()
    faults = sent(certified, paper, [line])

    with pytest.raises(RefusedError, match=said) as refused:
        require_sound_papers(faults)
    assert paper in str(refused.value) and "ask first" in str(refused.value)
