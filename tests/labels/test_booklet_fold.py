"""The sheet of a booklet is folded on paper, and read from front to back."""

import pytest

from labels.booklet_fold import FORME, Panel, leaf_size
from labels.page import A4, LETTER


def faces(column: int) -> list[Panel]:
    """Return the pages of a half once the upper half was folded backwards.

    From the front: the lower quarter's front and back, the upper one's back and front.
    What the back has above lies behind the front's lower quarter, because the sheet was
    turned on its short edge.
    """
    printed = {(panel.side, panel.column, panel.row): panel for panel in FORME}
    return [
        printed["front", column, 1],
        printed["back", column, 0],
        printed["back", column, 1],
        printed["front", column, 0],
    ]


def test_the_folded_sheet_reads_from_one_to_eight() -> None:
    """The left half goes backwards, and then its last face is read first."""
    read = [*faces(1), *reversed(faces(0))]

    assert [panel.number for panel in read] == list(range(1, 9))


@pytest.mark.parametrize("column", [0, 1])
def test_every_page_stands_upright_once_it_is_folded(column: int) -> None:
    """Turning on the short edge turns the back over; so does folding the upper half."""
    front, behind, behind_upper, upper = faces(column)

    assert not front.is_turned  # neither turned nor folded
    assert behind.is_turned  # turned with the sheet
    assert not behind_upper.is_turned  # turned with the sheet, and folded
    assert upper.is_turned  # folded


def test_every_head_lies_in_the_first_fold() -> None:
    """So one cut opens all leaves; a page with its head down lies above the fold."""
    assert {(panel.row, panel.is_turned) for panel in FORME} == {(0, True), (1, False)}
    assert len({(panel.side, panel.column, panel.row) for panel in FORME}) == 8


def test_a_page_is_a_quarter_of_the_sheet() -> None:
    """Of A4 it is A6 to half a millimetre."""
    assert leaf_size(A4) == (105.0, 148.5)
    assert leaf_size(LETTER) == pytest.approx((107.95, 139.7))
