"""Numbers kept free: written as the shop writes them, each sort by itself."""

import pytest

from ledger.acts.lostnumbers import checked, reserve
from ledger.errors import RefusedError
from ledger.serials import DEFAULT_PATTERN, serial_for
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


@pytest.mark.parametrize("code", ["L26-999", "L26-500", "D26-9999", "C-2026-99999"])
def test_no_number_ends_its_sort(loft: Loft, code: str) -> None:
    """More than half of what is left is never used up, whoever says yes."""
    hands = loft.hands("01", "02", "12")
    with pytest.raises(RefusedError, match=r"beyond the newest .* look at the paper"):
        reserve(loft.shop, [code], hands)


def test_a_serial_leaves_room_for_the_next_instrument(loft: Loft) -> None:
    """The last of the pattern, and a body's or a neck's of that number, are refused."""
    last = str(serial_for(DEFAULT_PATTERN, year=2026, number=9999))
    for code in (last, "B26-9999", "N26-9999", "B25-5001"):
        with pytest.raises(RefusedError, match="look at the paper again"):
            reserve(loft.shop, [code], loft.hands())
    reserve(loft.shop, ["B26-0100"], loft.hands())
    loft.model()

    assert loft.begin().startswith("26-0101-")


@pytest.mark.parametrize("start", ["W-2026-00", "X26-0", "H26-", "M26-", "G26-"])
def test_far_beyond_the_newest_another_says_yes(loft: Loft, start: str) -> None:
    """A hundred may be lost in a week; more needs a look by somebody else."""
    with pytest.raises(RefusedError, match=r"101 beyond .* with --approve"):
        reserve(loft.shop, [f"{start}101"], loft.hands("01", "01"))
    reserve(loft.shop, [f"{start}100"], loft.hands())
    reserve(loft.shop, [f"{start}201"], loft.hands("01", "12"))


def test_half_of_what_is_left_may_go_and_not_one_more(loft: Loft) -> None:
    """The next bound counts from the newest number that is kept free."""
    reserve(loft.shop, ["L26-499"], loft.hands("01", "12"))
    reserve(loft.shop, ["L26-749"], loft.hands("01", "12"))
    with pytest.raises(RefusedError, match=r"126 beyond .* half of the 250 numbers"):
        reserve(loft.shop, ["L26-875"], loft.hands("01", "12"))
