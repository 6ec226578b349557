"""Tests of the strong tag of a hold, doubled and hung by an eyelet."""

from dataclasses import replace

import pytest
from PIL import ImageChops

from labels import hold_luggage, hold_tag, leaves, picture
from labels.hold_tag import HoldTag
from ledger.languages import LANGUAGES
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.rack_samples import EMPTY_HOLD, HOLD, LONG_HOLD

TAGS = (HOLD, LONG_HOLD, EMPTY_HOLD)
SIDES = [(4.0, 56.0), (64.0, 116.0)]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("tag", TAGS)
def test_nothing_overlaps_and_nothing_is_cut(tag: HoldTag, language: str) -> None:
    """With the longest words, in every language of the papers."""
    drawn = hold_luggage.draw(replace(tag, language=language))

    assert reading.pages(drawn) == 1
    assert overlaps(drawn) == []
    assert outside(drawn, SIDES) == []


def test_it_is_120_by_60_mm_once_it_is_folded() -> None:
    """The leaf is two of them side by side."""
    width, height = leaves.size(hold_luggage.draw(HOLD))

    assert (width / 2, height) == pytest.approx((60.0, 120.0), abs=0.01)


def test_both_sides_say_the_same_and_their_holes_meet() -> None:
    """The ring is in the middle of each, so that folded it lies over the other."""
    image = picture.one_bit(hold_luggage.draw(HOLD), page=0, dpi=254)
    half = image.width // 2
    left = image.crop((0, 31, half, 200))
    right = image.crop((half, 31, image.width, 200))
    ring = ImageChops.invert(left.crop((0, 0, half, 100))).getbbox()
    assert ring is not None
    start, _, end, _ = ring

    assert left.tobytes() == right.tobytes()
    assert start + end == half and end - start == pytest.approx(89, abs=2)
    said = reading.text(hold_luggage.draw(HOLD))
    assert said.count("HOLD") == said.count("H26-001") == 2
    assert said.count("D26-0001") == said.count("glue") == 2


@pytest.mark.parametrize("dpi", [203.2, 600])
@pytest.mark.parametrize("tag", TAGS)
def test_the_symbol_of_each_side_reads_from_any_printer(
    tag: HoldTag, dpi: float
) -> None:
    """Whichever side hangs outwards."""
    image = picture.one_bit(hold_luggage.draw(tag), page=0, dpi=dpi)

    assert reading.symbols(image) == [hold_tag.payload(tag)] * 2


def test_the_same_tag_gives_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert hold_luggage.draw(HOLD) == hold_luggage.draw(HOLD)


def test_a_strong_tag_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(hold_luggage.draw(HOLD), "hold-luggage")
