"""Numbers kept free: written as the shop writes them, each sort by itself."""

import pytest

from ledger.acts.lostnumbers import checked, reserve
from ledger.errors import RefusedError
from ledger.serials import DEFAULT_PATTERN
from tests.skerrymoor import Loft


def test_numbers_are_read_as_they_are_typed_and_written_in_one_way() -> None:
    """Sorted, each once; neither a board's nor what the shop never gives."""
    typed = ["l26-009", "26-0099-5", "C-2026-00044", "L26-009"]

    assert checked(typed, DEFAULT_PATTERN) == ("26-0099-5", "C-2026-00044", "L26-009")
    with pytest.raises(RefusedError, match="keep the lot's own code free, L26-009"):
        checked(["L26-009-01.A"], DEFAULT_PATTERN)
    for text in ("", "the violet one", "26-0099-2"):
        with pytest.raises(RefusedError):
            checked([text], DEFAULT_PATTERN)


def test_every_giver_of_numbers_goes_on_behind_them(supplied: Loft) -> None:
    """Lots, papers and instruments; of a body or a neck the serial's number counts."""
    loft, hands = supplied, supplied.hands()
    loft.model()
    reserve(loft.shop, ["L26-009", "D26-0040", "B26-0030", "25-0099-4"], hands)

    assert str(loft.receive()) == "L26-010"
    assert loft.document("bill") > "D26-0040"
    assert loft.begin().startswith("26-0031-")
    with pytest.raises(RefusedError, match="kept free already"):
        reserve(loft.shop, ["L26-009"], hands)
    with pytest.raises(RefusedError, match="lead"):
        reserve(loft.shop, ["L26-010"], loft.hands("02"))
