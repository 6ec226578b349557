"""An act that is rehearsed refuses what it would refuse, and leaves nothing."""

import pytest

from ledger.acts import boards
from ledger.acts.rehearsal import rehearse
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from tests import skerrymoor
from tests.skerrymoor import Loft


def printed(loft: Loft, badge: str) -> list[int]:
    """Rehearse and say that a label was printed; return the log's size at each step."""
    code = loft.number(loft.receive(), skerrymoor.NECK)[0]
    sizes = [loft.shop.store.head().size]

    def record(shop: Shop) -> None:
        boards.labels_printed(
            shop, [code], paper="A4", sha256="0" * 64, hands=loft.hands(badge)
        )
        sizes.append(loft.shop.store.head().size)

    rehearse(loft.shop, record)
    record(loft.shop)
    return sizes


def test_what_is_rehearsed_stays_unsaid_until_it_is_said(supplied: Loft) -> None:
    """The log is as long after the rehearsal as before, and longer after the act."""
    before, rehearsed, said = printed(supplied, "02")

    assert rehearsed == before
    assert said == before + 1


def test_what_would_be_refused_is_refused(supplied: Loft) -> None:
    """Who may not say it is told before anything is done."""
    with pytest.raises(RefusedError, match="printing labels needs the role"):
        printed(supplied, "03")
