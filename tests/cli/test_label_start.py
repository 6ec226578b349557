"""Where on a sheet labels begin, as somebody types it."""

import pytest

from cli.label_start import free_words, started
from labels.label_sheet import FIRST, Place
from ledger.errors import RefusedError


def test_a_place_is_its_row_and_the_label_in_it() -> None:
    """With or without a space; nothing typed is the first place, on a roll too."""
    assert started("7,2", "A4") == started(" 7 , 2 ", "Letter") == Place(7, 2)
    assert started("", "A4") == started("", "roll-203") == FIRST


@pytest.mark.parametrize("text", ["7", "7;2", "seven,two", "7,2,1", "-1,2", "٧,٢"])
def test_what_is_no_place_is_refused(text: str) -> None:
    """With an example of one."""
    with pytest.raises(RefusedError, match="such as --start-at 7,2"):
        started(text, "A4")


@pytest.mark.parametrize("roll", ["roll-203", "roll-300"])
def test_a_roll_has_no_places(roll: str) -> None:
    """Not even the first one can be asked for."""
    with pytest.raises(RefusedError, match="a roll has no places to begin at"):
        started("1,1", roll)


def test_the_next_free_place_is_told_as_it_is_typed() -> None:
    """Ready to be copied into the next command."""
    assert "--start-at 8,1 on" in free_words(Place(8, 1))
    assert free_words(None) == "The last sheet is full."
