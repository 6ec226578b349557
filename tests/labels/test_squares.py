"""Tests of the small squares."""

from typing import get_args

from PIL import Image

from labels import marks, picture
from labels.page import close_document, open_document, turn_over
from labels.squares import square


def drawn(state: marks.State) -> Image.Image:
    """Return a square of 10 mm in a page of 20 mm, ten dots to the millimetre."""
    page = open_document((20.0, 20.0), "square")
    square(page, 5, 5, 10, state)
    turn_over(page)
    return picture.one_bit(close_document(page), page=0, dpi=254)


def is_ink(image: Image.Image, x: float, y: float) -> bool:
    """Tell whether the dot at a place [mm] is black."""
    return image.getpixel((int(x * 10), int(y * 10))) == 0


def test_the_four_squares_can_be_told_apart_without_colour() -> None:
    """Filled, open, notched at both sides, or dashed."""
    seen = {}
    for state in get_args(marks.State):
        image = drawn(state)
        along = [place / 10 for place in range(51, 149)]
        top = [is_ink(image, place, 5.6) for place in along]
        left = [is_ink(image, 5.6, place) for place in along]
        middle = is_ink(image, 10, 10)
        seen[state] = (middle, all(top), any(top), all(left), any(left))

    assert seen == {
        "solid": (True, True, True, True, True),
        "hollow": (False, True, True, True, True),
        "sawn": (True, False, True, False, True),
        "broken": (False, False, True, False, True),
    }


def test_no_square_is_larger_than_its_place() -> None:
    """Whatever its edge, a square keeps within the side it was given."""
    for state in get_args(marks.State):
        ink = drawn(state).convert("L").point(lambda dot: 255 - dot)
        left, top, right, foot = ink.getbbox() or (0, 0, 0, 0)

        assert left >= 49
        assert top >= 49
        assert right <= 151
        assert foot <= 151
