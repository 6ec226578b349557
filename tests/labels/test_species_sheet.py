"""Tests of the sheet that species papers share."""

import pytest

from labels.page import close_document, open_document
from labels.species_sheet import SHEETS, next_head, page_foot
from ledger.errors import RefusedError
from tests.labels import overlaps, reading


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_head_and_foot_stand_within_the_type(size: str) -> None:
    """The title, the number, two lines of words, and the page."""
    sheet = SHEETS[size]
    page = open_document(sheet.size, "sheet")
    next_head(page, sheet, "X26-0001", "Convention form, box by box, continued")
    page_foot(page, sheet, "Ask before it moves. " * 9, "page 2 of 3", "whom to ask")
    drawn = close_document(page)

    assert overlaps.overlaps(drawn) == []
    assert overlaps.outside(drawn, [sheet.sides]) == []
    for words in ("continued", "X26-0001", "page 2 of 3"):
        assert words in reading.text(drawn)


def test_a_foot_of_three_lines_is_refused_by_name() -> None:
    """The field is named that must be shorter."""
    page = open_document(SHEETS["A4"].size, "sheet")
    with pytest.raises(RefusedError, match=r"^dates does not fit the paper"):
        page_foot(page, SHEETS["A4"], "words " * 99, "page 1 of 1", "dates")
