"""Tests of woods inside an outline, and of their swatches."""

from collections.abc import Callable
from io import BytesIO

import pikepdf
import pytest
from PIL import Image

from labels import hatches_ink, picture
from labels.anatomy import OWN
from labels.hatches import hatches_for
from labels.outlines import Outline
from labels.page import Page, close_document, open_document, turn_over
from tests.labels import reading
from tests.labels.test_outlines import far, is_inside

WOODS = [*OWN, "Quercus robur (bog oak)", "Picea glauca", "Diospyros mun", "unknown"]
HATCHES = hatches_for(WOODS)
SHAPE: Outline = ((10, 10), (32, 14), (20, 22), (28, 34), (8, 30))
DPI = 254  # ten dots to a millimetre


def drawn(draw: Callable[[Page], None]) -> bytes:
    """Return a sheet of 40 by 40 mm on which something was drawn."""
    page = open_document((40.0, 40.0), "wood")
    draw(page)
    turn_over(page)
    return close_document(page)


def wood(species: str, *, one_colour: bool = False) -> bytes:
    """Return a sheet with one wood inside a shape."""
    return drawn(
        lambda page: hatches_ink.draw_wood(
            page, SHAPE, HATCHES[species], one_colour=one_colour
        )
    )


def swatch(species: str, *, one_colour: bool = False) -> bytes:
    """Return a sheet with one swatch, its top left at (10, 20)."""
    return drawn(
        lambda page: hatches_ink.draw_swatch(
            page, (10, 20), HATCHES[species], one_colour=one_colour
        )
    )


def colours(pdf: bytes) -> set[tuple[int, ...]]:
    """Return every colour of a sheet."""
    shown = Image.open(BytesIO(picture.png(pdf, page=0, dpi=DPI))).convert("RGB")
    return {colour for _, colour in shown.getcolors(1 << 24) or ()}  # type: ignore[misc]


def weights(pdf: bytes) -> list[float]:
    """Return the weight of every line of a sheet [pt]."""
    with pikepdf.open(BytesIO(pdf)) as document:
        found = pikepdf.parse_content_stream(document.pages[0])
    return [float(said.operands[0]) for said in found if str(said.operator) == "w"]


@pytest.mark.parametrize("species", WOODS)
@pytest.mark.parametrize("one_colour", [False, True])
def test_nothing_is_drawn_outside_the_outline(species: str, one_colour: bool) -> None:
    """A wood fills its shape and leaves the rest of the paper white."""
    shown = picture.grey(wood(species, one_colour=one_colour), page=0, dpi=DPI)
    dark = [
        (x / 10, y / 10)
        for x in range(shown.width)
        for y in range(shown.height)
        if shown.getpixel((x, y)) < 250  # type: ignore[operator]
    ]

    assert all(is_inside(at, SHAPE) or far(at, SHAPE) < 0.15 for at in dark)
    assert bool(dark) == (species not in ("unknown", "Ilex aquifolium"))


@pytest.mark.parametrize("species", WOODS)
def test_in_one_colour_there_is_ink_and_paper_only(species: str) -> None:
    """No tint, and no line lighter than half a point."""
    pdf = swatch(species, one_colour=True)

    assert all(len(set(colour)) == 1 for colour in colours(pdf))
    assert weights(pdf)
    assert all(weight >= 0.5 for weight in weights(pdf))


@pytest.mark.parametrize("species", WOODS)
def test_a_swatch_is_as_large_as_the_certificate_asks(species: str) -> None:
    """7 by 5.35 mm, to the middle of its edge."""
    shown = picture.grey(swatch(species), page=0, dpi=DPI * 2)
    box = shown.point(lambda dot: 255 * (dot < 200)).getbbox()
    assert box is not None
    left, top, right, foot = (edge / 20 for edge in box)

    assert (left, top) == pytest.approx((10, 20), abs=0.16)
    assert (right, foot) == pytest.approx((17, 25.35), abs=0.16)


def test_two_woods_of_one_anatomy_are_told_apart_without_colour() -> None:
    """As one-bit pictures, a fifth of their dots differ."""
    one, other = (
        picture.one_bit(swatch(name, one_colour=True), page=0, dpi=300)
        for name in ("Picea abies", "Picea glauca")
    )
    box = (119, 237, 200, 299)
    dots = list(zip(one.crop(box).tobytes(), other.crop(box).tobytes(), strict=True))
    differ = sum((a ^ b).bit_count() for a, b in dots)

    assert differ > 0.2 * 8 * len(dots)


def test_what_is_not_known_is_said_to_be() -> None:
    """White, a broken edge and a question mark; what is known has neither."""
    assert reading.text(swatch("unknown")).strip() == "?"
    assert reading.text(swatch("Picea abies")).strip() == ""
    assert colours(swatch("unknown", one_colour=True)) >= {(0, 0, 0), (255, 255, 255)}
    shown = picture.one_bit(swatch("unknown"), page=0, dpi=DPI)
    edge = [shown.getpixel((x, 200)) for x in range(100, 170)]
    assert 20 < sum(not dot for dot in edge) < 60


@pytest.mark.parametrize(("room", "is_set"), [(3.0, True), (1.1, True), (1.0, False)])
def test_a_question_mark_is_legible_or_left_out(room: float, is_set: bool) -> None:
    """It never comes smaller than 6 pt."""
    pdf = drawn(lambda page: hatches_ink.draw_question(page, (20, 20), room))

    assert (reading.text(pdf).strip() == "?") == is_set


def test_one_lamina_of_several_is_kept_to_its_place() -> None:
    """Nothing of it lies beside the box that it was given."""
    pdf = drawn(
        lambda page: hatches_ink.draw_wood(
            page, SHAPE, HATCHES["Diospyros crassiflora"], only=(14, 0, 4, 40)
        )
    )
    shown = picture.grey(pdf, page=0, dpi=DPI)
    box = shown.point(lambda dot: 255 * (dot < 200)).getbbox()

    assert box is not None
    assert (box[0] / 10, box[2] / 10) == pytest.approx((14, 18), abs=0.1)


@pytest.mark.parametrize("species", WOODS)
def test_the_same_wood_gives_the_same_bytes(species: str) -> None:
    """Made twice, a sheet is the same file."""
    assert swatch(species) == swatch(species)


def test_a_box_just_holds_its_outline() -> None:
    """Worked out by hand."""
    assert hatches_ink.box_around(SHAPE) == (8, 10, 24, 24)
