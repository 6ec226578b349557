"""Tests of the rows of a worksheet."""

import pytest

from labels import picture
from labels.page import close_document, open_document
from labels.worksheet_rows import (
    CONTINUED,
    box_piece,
    continued,
    form_head,
    form_pieces,
    row_head,
    same_in_all,
    together,
)
from ledger.trade.forms.worksheet import Box, State
from tests.labels import overlaps, reading
from tests.labels.worksheets import EVERY, USUAL, WORST

SHEET = (210.0, 297.0)
STATES: tuple[State, ...] = ("filled", "ask", "for the office", "not for this")


def box(state: State, value: str = "", label: str = "Source") -> Box:
    """Return a box that stands in some way."""
    return Box(
        number="13",
        label=label,
        value=value,
        comes_from="the letter of the source",
        state=state,
    )


def drawn(found: Box) -> bytes:
    """Draw one box at the top of a page."""
    page = open_document(SHEET, "box")
    box_piece(found, "").draw(page, 16, 20)
    return close_document(page)


def test_each_state_has_its_word_and_only_an_asked_one_a_plate() -> None:
    """Judged in black and white: the plate's dashed rim, its middle white."""
    for state in STATES:
        pdf = drawn(box(state, "W" if state == "filled" else ""))
        image = picture.one_bit(pdf, page=0, dpi=254)
        rim = [image.getpixel((690 + x, 210)) == 0 for x in range(0, 150)]
        words = reading.text(pdf)

        assert (any(rim) and not all(rim)) == (state == "ask"), state
        assert ("ASK" in words) == (state == "ask")
        assert ("for the office" in words) == (state == "for the office")
        assert ("leave empty" in words) == (state == "not for this")


@pytest.mark.parametrize("value", ["", "II", "a long description of a thing " * 6])
def test_what_is_known_stands_beside_its_plate(value: str) -> None:
    """However long, it does not run into it."""
    pdf = drawn(box("ask", value))

    assert overlaps.overlaps(pdf) == []
    assert "".join(value.split()) in "".join(reading.text(pdf).split())


def test_a_scientific_name_is_set_as_one() -> None:
    """In the italic of species, as everywhere."""
    plain, italic = (
        drawn(box("filled", "Picea abies", label))
        for label in ("Description", "Scientific name of species")
    )

    assert plain != italic
    assert len(overlaps.words(italic)) == len(overlaps.words(plain))


def test_what_all_rows_have_alike_stands_once() -> None:
    """Of one row nothing is alike; the value of each line is asked on each."""
    many = USUAL["declaration"].forms[0]
    one = WORST["one row"].forms[0]
    same = same_in_all(many)

    assert {each.number for each in same} == {"11", "17", "18"}
    assert same_in_all(one) == ()
    for row in many.specimens:
        assert set(same) <= set(row.boxes)


def test_pieces_kept_together_are_as_high_as_their_sum() -> None:
    """The head of a row is never parted from its first boxes."""
    pieces = [box_piece(box("filled", "W"), "Row A"), continued("Row A")]
    whole = together(pieces)

    assert whole.height == pytest.approx(sum(piece.height for piece in pieces))
    assert whole.section == "Row A"
    assert continued("Row A").height == CONTINUED


def test_a_form_opens_with_its_kind_and_ends_below_its_rows() -> None:
    """Each piece says in which section it stands."""
    (form,) = USUAL["cites"].forms
    sections = [piece.section for piece in form_pieces(form)]

    assert sections[0] == "Re-export certificate"
    assert sections[-1] == "Below the rows"
    assert "Row A: Dalbergia latifolia" in sections
    assert "The same in every row" in sections


@pytest.mark.parametrize("name", EVERY)
def test_a_head_stands_with_three_boxes_at_least(name: str) -> None:
    """So that no form begins with one box at the foot of a page."""
    for form in EVERY[name].forms:
        first = form_pieces(form)[0]
        boxes = [box_piece(each, "") for each in form.boxes[:3]]

        assert first.opens
        assert first.height == pytest.approx(
            form_head(form).height + sum(each.height for each in boxes)
        )


def test_a_species_of_any_length_is_whole_in_its_head() -> None:
    """It takes a line more, and never loses its end."""
    species = "Swietenia macrophylla × Swietenia mahagoni var. of a very long name"
    page = open_document(SHEET, "row")
    piece = row_head("Row A", species, "0.746\u2009kg", "Row A")
    piece.draw(page, 16, 20)
    pdf = close_document(page)

    assert " ".join(reading.text(pdf).split()).count(species) == 1
    assert overlaps.overlaps(pdf) == []
    assert piece.height > row_head("Row A", "Picea abies", "", "").height
