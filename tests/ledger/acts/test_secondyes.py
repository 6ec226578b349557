"""What one pair of hands could do wrongly needs a lead, or another who keeps papers."""

import pytest

from ledger.acts.secondyes import require_second
from ledger.errors import RefusedError
from tests.skerrymoor import Loft


def test_a_lead_alone_may_and_anybody_else_with_a_second_yes(certified: Loft) -> None:
    """Another's who keeps papers or leads; one's own yes is none, nor a builder's."""
    with certified.shop.turn() as turn:
        for badge, *yes in (("01",), ("12", "01"), ("03", "12")):
            require_second(turn, certified.hands(badge, *yes), "it is so")
        for badge, *yes in (("12",), ("12", "12"), ("12", "03"), ("12", "roots")):
            with pytest.raises(RefusedError, match="it is so: this needs a lead's"):
                require_second(turn, certified.hands(badge, *yes), "it is so")
