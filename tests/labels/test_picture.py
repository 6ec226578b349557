"""Tests of papers as pictures."""

from io import BytesIO

import pytest
from PIL import Image

from labels import picture
from labels.page import INK, box, close_document, open_document, turn_over


def two_pages() -> bytes:
    """Return a page with a black left half, and a blank one."""
    page = open_document((50.8, 25.4), "halves")
    box(page, 0, 0, 25.4, 25.4, INK)
    turn_over(page)
    box(page, 0, 0, 0.01, 0.01, "#FFFFFF")
    turn_over(page)
    return close_document(page)


@pytest.mark.parametrize("dpi", [100, 203, 203.2, 600])
def test_a_picture_has_whole_dots(dpi: float) -> None:
    """Its size is the paper's, to the nearest dot."""
    pdf = two_pages()
    file = Image.open(BytesIO(picture.png(pdf, page=0, dpi=dpi)))

    assert file.format == "PNG"
    assert file.size == (round(2 * dpi), round(dpi))
    assert picture.one_bit(pdf, page=0, dpi=dpi).size == file.size


def test_one_bit_is_black_or_white() -> None:
    """The left half is black, the right half and the second page are white."""
    pdf = two_pages()
    front, back = (picture.one_bit(pdf, page=n, dpi=100) for n in (0, 1))

    assert front.mode == "1"
    assert {front.getpixel((x, 50)) for x in range(100)} == {0}
    assert {front.getpixel((x, 50)) for x in range(100, 200)} == {255}
    assert back.getextrema() == (255, 255)


@pytest.mark.parametrize(
    ("head", "to_the_metre"), [(203, 8000), (300, 11811), (600, 23622)]
)
def test_a_picture_for_a_head_knows_its_size(
    head: picture.Head, to_the_metre: int
) -> None:
    """One bit to a dot, and so many dots to the metre both ways; black is black.

    Source: ISO/IEC 15948, 11.2.2 (IHDR: bit depth, colour type) and 11.3.5.3 (pHYs).
    """
    file = picture.for_head(two_pages(), page=0, head=head)
    physical = file[file.index(b"pHYs") + 4 :][:9]
    image = Image.open(BytesIO(file))

    assert file[24:26] == b"\x01\x00"
    assert physical == 2 * to_the_metre.to_bytes(4, "big") + b"\x01"
    assert picture.size(file) == pytest.approx((50.8, 25.4), abs=0.13)
    assert image.getpixel((1, 1)) == 0
    assert image.getpixel((image.width - 1, 1)) == 255
