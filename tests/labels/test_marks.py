"""Tests of the marks from the bench."""

from typing import get_args

import pytest
from PIL import Image

from labels import marks, picture
from labels.page import Page, close_document, open_document, turn_over
from tests.labels import reading
from tests.labels.overlaps import words

DPI = 254  # ten dots to the millimetre
SIZE = (60.0, 20.0)


def dots(page: Page) -> Image.Image:
    """Return a small page as black and white dots."""
    turn_over(page)
    return picture.one_bit(close_document(page), page=0, dpi=DPI)


def is_ink(image: Image.Image, x: float, y: float) -> bool:
    """Tell whether the dot at a place [mm] is black."""
    return image.getpixel((int(x * 10), int(y * 10))) == 0


@pytest.mark.parametrize(
    ("number", "cut"),
    [
        (1, "I"),
        (4, "IIII"),
        (5, "V"),
        (9, "VIIII"),
        (10, "X"),
        (12, "XII"),
        (24, "XXIIII"),
    ],
)
def test_numbers_are_cut_by_adding(number: int, cut: str) -> None:
    """Framers' numerals know no IV and no IX."""
    assert marks.numeral(number) == cut


@pytest.mark.parametrize("state", get_args(marks.State))
def test_every_state_says_its_word(state: marks.State) -> None:
    """The word of a plate is real text, whatever its edge."""
    page = open_document(SIZE, "plate")
    marks.plate(page, (5, 5, 40, 9), state, "NOT YET")

    assert reading.text(close_document(page)) == "NOT YET"


def test_a_long_word_stands_in_the_middle_of_its_plate() -> None:
    """One that must shrink as well as one that need not."""
    middles = []
    for word in ("HOLD", "ORIGIN NOT KNOWN"):
        page = open_document(SIZE, "plate")
        marks.plate(page, (5, 5, 50, 9), "sawn", word)
        (said,) = words(close_document(page))
        middles.append((said.top + said.foot) / 2)

    assert middles == pytest.approx([9.5, 9.5], abs=0.15)


def test_the_four_edges_can_be_told_apart_without_colour() -> None:
    """Solid fills its ends, sawn has teeth cut into them, hollow and broken do not."""
    seen = {}
    for state in get_args(marks.State):
        page = open_document(SIZE, "edges")
        marks.edge(page, (5, 5, 40, 9), state)
        image = dots(page)
        middle = is_ink(image, 25, 9.5)
        notch = is_ink(image, 5.6, 6.5)
        side = [is_ink(image, x / 10, 5.2) for x in range(60, 440)]
        seen[state] = (middle, notch, all(side), any(side))

    assert seen == {
        "solid": (True, True, True, True),
        "sawn": (True, False, True, True),
        "hollow": (False, False, True, True),
        "broken": (False, False, False, True),
    }


def test_the_two_halves_close_the_triangle() -> None:
    """Half A has its foot on the left of the centre line, half B on the right."""
    feet = {}
    for half in ("A", "B", None):
        page = open_document(SIZE, "triangle")
        marks.triangle(page, 30, 5, half)
        image = dots(page)
        feet[half] = (is_ink(image, 28, 8.6), is_ink(image, 32, 8.6))

    assert feet == {"A": (True, False), "B": (False, True), None: (True, True)}


@pytest.mark.parametrize("badge", ["", "0", "40", "x7", "²", "-1"])
def test_a_badge_without_a_numeral_leaves_its_place_empty(badge: str) -> None:
    """A mark stands beside a name and never instead of it, so it may be missing."""
    page = open_document(SIZE, "hand")
    marks.hand_mark(page, 10, 10, badge, 4)

    assert dots(page).getextrema() == (255, 255)


def test_a_hand_mark_stands_on_its_line() -> None:
    """Ten is a cross of the height asked for, with its foot on the line."""
    page = open_document(SIZE, "hand")
    marks.hand_mark(page, 10, 10, "10", 4)
    image = dots(page).convert("L").point(lambda dot: 255 - dot)
    left, top, right, bottom = image.getbbox() or (0, 0, 0, 0)

    assert 95 <= left < right <= 130
    assert (top, bottom) in {(y, z) for y in (59, 60, 61) for z in (99, 100, 101)}
