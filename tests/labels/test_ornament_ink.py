"""Ornaments stand on paper where they were put, to scale, and the same every time."""

from collections.abc import Callable

import pytest
from PIL import Image

from labels import card, certificate, ornament_ink, picture
from labels.ornament import Point, core
from labels.page import A4, Page, close_document, open_document, turn_over
from labels.sections import FRAMES
from tests.labels import reading
from tests.labels.samples import CARD, CERTIFICATE, LEAF, ROOT

DPI = 300
DOT = 25.4 / DPI  # mm


def drawn(draw: Callable[[Page], None]) -> bytes:
    """Return a page of A4 on which something was drawn."""
    page = open_document(A4, "ornament")
    draw(page)
    turn_over(page)
    return close_document(page)


def grey(pdf: bytes) -> Image.Image:
    """Return a page in greys."""
    return picture.grey(pdf, page=0, dpi=DPI)


def lines_at(shown: Image.Image, left: float, y: float, within: float) -> list[float]:
    """Return the middles of the upright lines along a level, from its left end [mm]."""
    row, first = round(y / DOT), round(left / DOT)
    dark = [
        x
        for x in range(first - 8, round((left + within) / DOT))
        if shown.getpixel((x, row)) < reading.DARK  # type: ignore[operator]
    ]
    runs: list[list[int]] = []
    for x in dark:
        if runs and x == runs[-1][-1] + 1:
            runs[-1].append(x)
        else:
            runs.append([x])
    return [((run[0] + run[-1] + 1) / 2) * DOT - left for run in runs]


def test_rings_of_a_core_are_where_their_digits_put_them() -> None:
    """Each outer side to a dot, after the bark at the left."""
    size = ornament_ink.CoreSize(row=3.0, gap=0.8)
    shown = grey(drawn(lambda page: ornament_ink.draw_core(page, (20, 30), LEAF, size)))
    for place, ends in enumerate(core(LEAF)):
        level = 30 + place * (size.row + size.gap) + 0.7
        bark, *rings = lines_at(shown, 20, level, ends[-1] + 1)
        assert bark == pytest.approx(0, abs=2 * DOT)
        assert rings == pytest.approx(list(ends), abs=2 * DOT)


def test_the_card_s_core_lies_on_the_certificate_s() -> None:
    """Laid edge to edge on either paper, every ring of both goes on in the other."""
    small = grey(card.draw(CARD))
    within = core(CARD.leaf)[0][-1] + 0.5
    of_card = lines_at(small, card.LEFT, card.CORE_TOP + 0.5, within)
    for paper, frame in FRAMES.items():
        pdf = certificate.draw(
            CERTIFICATE,
            paper=paper,  # type: ignore[arg-type]
            certificate_file=b"{}",
            proof_file=b"proof",
        )
        large = lines_at(grey(pdf), frame.left, frame.core + 0.5, within)
        assert len(of_card) > 20
        assert large == pytest.approx(of_card, abs=3 * DOT)


@pytest.mark.parametrize("inset", [8.0, 12.0])
def test_a_frame_keeps_its_distance_and_its_breadth(inset: float) -> None:
    """All four boards, and nothing within them."""
    shown = grey(
        drawn(
            lambda page: ornament_ink.draw_frame(page, ROOT, inset=inset, breadth=6.2)
        )
    )
    found = reading.inked(shown)
    right, foot = A4[0] - inset, A4[1] - inset
    assert found == pytest.approx((inset, inset, right, foot), abs=0.2)
    inner = inset + 6.6
    box = (inner, inner, A4[0] - inner, A4[1] - inner)
    left, top, right, foot = (round(edge / DOT) for edge in box)
    assert shown.crop((left, top, right, foot)).getextrema() == (255, 255)


@pytest.mark.parametrize("middle", [(60.0, 80.0), (150.0, 200.0)])
def test_end_grain_stands_around_its_middle(middle: Point) -> None:
    """It reaches about its radius each way."""
    shown = grey(
        drawn(lambda page: ornament_ink.draw_end_grain(page, middle, ROOT, 15))
    )
    left, top, right, foot = reading.inked(shown)
    assert 11 < middle[0] - left < 18 and 11 < right - middle[0] < 18
    assert 11 < middle[1] - top < 18 and 11 < foot - middle[1] < 18


def test_a_spine_stands_upright() -> None:
    """From its top left down, as broad as it was asked for."""
    shown = grey(
        drawn(
            lambda page: ornament_ink.draw_spine(
                page, ROOT, at=(20, 30), length=100, breadth=5
            )
        )
    )
    assert reading.inked(shown) == pytest.approx((20, 30, 25, 130), abs=0.3)


def test_the_same_hash_gives_the_same_bytes() -> None:
    """And another one another picture."""

    def both(digest: bytes) -> bytes:
        def draw(page: Page) -> None:
            ornament_ink.draw_frame(page, digest, inset=8, breadth=6.2)
            ornament_ink.draw_end_grain(page, (60, 80), digest, 20)
            ornament_ink.draw_core(page, (60, 120), digest)

        return drawn(draw)

    assert both(ROOT) == both(ROOT) != both(LEAF)
