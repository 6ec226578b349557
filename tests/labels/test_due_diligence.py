"""The input sheet: what is known, and what must be asked, point by point."""

import pytest

from labels import due_diligence, picture
from labels.species_page import Size
from labels.species_sheet import SHEETS
from ledger.trade.due_diligence import CLEARED_AFTER
from tests.labels import looks, overlaps, reading
from tests.labels.consignments import SHIPMENTS, due_diligence_of


def pages(name: str) -> list[str]:
    """Return the text of every page, all spaces alike."""
    pdf = due_diligence.draw(*due_diligence_of(name))
    return [
        " ".join(reading.text(pdf, page=n).split()) for n in range(reading.pages(pdf))
    ]


@pytest.mark.parametrize("name", SHIPMENTS)
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_no_words_run_into_others_or_off_the_type(name: str, size: Size) -> None:
    """However full or empty the sheet, all letters stand apart."""
    drawn_from = due_diligence_of(name)
    pdf = due_diligence.draw(*drawn_from, size=size)
    for page in range(reading.pages(pdf)):
        assert overlaps.overlaps(pdf, page) == []
        assert overlaps.outside(pdf, [SHEETS[size].sides], page) == []
        low = max(each.foot for each in overlaps.words(pdf, page))
        assert low < SHEETS[size].size[1] - 5
    assert due_diligence.draw(*drawn_from, size=size) == pdf


@pytest.mark.parametrize("name", SHIPMENTS)
def test_every_box_is_on_the_sheet_with_where_it_comes_from(name: str) -> None:
    """Its letter, its label, its value, and what to do, word for word."""
    said = " ".join(pages(name)).replace(" ", "")
    _, sheet, _ = due_diligence_of(name)
    boxes = [sheet.customer, *(box for wood in sheet.woods for box in wood.boxes)]

    for box in boxes:
        words = f"{box.label} {box.value} {box.comes_from}".split()
        assert all(word.replace("\u2009", "") in said for word in words), box
        assert box.number in said


@pytest.mark.parametrize("name", SHIPMENTS)
def test_the_first_line_counts_what_must_be_asked(name: str) -> None:
    """As many as there are boxes that nobody can fill."""
    _, sheet, _ = due_diligence_of(name)
    boxes = [sheet.customer, *(box for wood in sheet.woods for box in wood.boxes)]
    asked = sum(box.state == "ask" for box in boxes)

    assert due_diligence.glance(sheet)[0] == (str(asked), "to ask about")
    assert f"{asked} to ask about" in pages(name)[0]


def test_the_sheet_says_what_it_is_not_for() -> None:
    """It files nothing, its points are unchecked, and instruments are not on it."""
    said = " ".join(pages("one"))

    assert "This sheet files nothing" in said
    assert "not re-checked against the printed text" in said
    assert f"no forest cleared after {CLEARED_AFTER}" in said
    assert "2 other things are not in Annex I of the Regulation" in said
    for word in ("legal", "compliant", "deforestation-free", "negligible"):
        assert word not in said.lower()


def test_the_symbol_says_the_number() -> None:
    """Read back by a camera."""
    pdf = due_diligence.draw(*due_diligence_of("one"))

    assert reading.symbols(picture.one_bit(pdf, page=0, dpi=300)) == [
        "HTTPS://SKM.EXAMPLE/X/X26-04124"
    ]


def test_letters_that_no_face_has_are_noticed() -> None:
    """None are missing from these."""
    assert due_diligence.notices(*due_diligence_of("one")) == ()
    assert due_diligence.notices(*due_diligence_of("full")) == ()


def test_the_first_page_looks_as_it_was_approved() -> None:
    """Each wood with its points in their order."""
    pdf = due_diligence.draw(*due_diligence_of("one"))
    assert looks.unlike(pdf, "due-diligence") == ""
