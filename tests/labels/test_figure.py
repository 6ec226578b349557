"""Tests of an instrument drawn by its woods."""

from functools import cache
from typing import get_args

import pypdfium2 as pdfium
import pytest
from PIL import Image, ImageDraw
from pypdfium2 import raw

from labels import picture
from labels.figure import (
    FigureFacts,
    PartWood,
    Seen,
    Show,
    draw_figure,
    has_figure,
    size_of,
    stand_apart,
)
from labels.hatches import hatches_for
from labels.page import close_document, open_document, turn_over
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.figure_samples import (
    SPRUCE,
    arch_top,
    every,
    facts,
    flat_top,
    unknown,
)
from tests.labels.looks import DPI, differences, unlike
from tests.labels.test_hatches_ink import colours, weights

EVERY = every()
CERTIFICATE, CARD = 0.315, 0.178  # millimetres a unit on the papers that bear a figure
AT = (20.0, 6.0)
APART = 34.0


@cache
def drawn(
    name: str, unit: float = CERTIFICATE, *, one_colour: bool = False
) -> tuple[bytes, tuple[Seen, ...]]:
    """Return a sheet with both sides of an instrument, and where its parts are."""
    page = open_document((74, 80), name)
    seen = draw_figure(page, AT, unit, EVERY[name], one_colour=one_colour, apart=APART)
    turn_over(page)
    return close_document(page), seen


def shapes(pdf: bytes) -> int:
    """Count what was painted on a sheet."""
    document = pdfium.PdfDocument(pdf)
    try:
        kind = [raw.FPDF_PAGEOBJ_PATH]
        return sum(1 for _ in document[0].get_objects(filter=kind, max_depth=4))
    finally:
        document.close()


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("one_colour", [False, True])
def test_it_looks_as_it_did(name: str, one_colour: bool) -> None:
    """Every kind, as on a certificate, in colour and in ink alone."""
    pdf, _ = drawn(name, one_colour=one_colour)

    assert unlike(pdf, f"figure-{name}{'-ink' * one_colour}") == ""


def test_it_looks_as_it_did_on_a_card() -> None:
    """Small, with less in it."""
    assert unlike(drawn("flat-top", CARD)[0], "figure-card") == ""


def test_another_figure_is_seen_to_be_another() -> None:
    """One wood changed is enough; so is a spot, or a page of another size."""
    woods = dict(EVERY["solid-body"].parts) | {"cap": (SPRUCE,)}
    page = open_document((74, 80), "other")
    other = facts("solid-body guitar", **woods)
    draw_figure(page, AT, CERTIFICATE, other, apart=APART)
    turn_over(page)
    now, then = (
        picture.grey(pdf, page=0, dpi=DPI)
        for pdf in (close_document(page), drawn("solid-body")[0])
    )
    plain = Image.new("L", (100, 100), 255)
    spot = plain.copy()
    ImageDraw.Draw(spot).rectangle((0, 0, 5, 5), fill=120)

    assert "shades off" in differences(now, then)
    assert "of all dots differ" in differences(spot, plain)
    assert "dots instead of" in differences(plain.resize((99, 100)), plain)
    assert differences(then, then) == ""


@pytest.mark.parametrize("name", EVERY)
def test_in_one_colour_there_is_ink_and_paper_only(name: str) -> None:
    """No tint, no line lighter than half a point, but for white ones in ebony."""
    pdf, seen = drawn(name, one_colour=True)

    assert all(len(set(colour)) == 1 for colour in colours(pdf))
    assert all(weight >= 0.5 for weight in weights(pdf))
    assert seen == drawn(name)[1]


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("unit", [CERTIFICATE, CARD])
def test_a_figure_keeps_to_its_place(name: str, unit: float) -> None:
    """From the top of the head to the lower edge, as wide as the body."""
    wide, high = size_of(EVERY[name].kind, unit)
    shown = picture.grey(drawn(name, unit)[0], page=0, dpi=254)
    box = shown.point(lambda dot: 255 * (dot < 200)).getbbox()
    assert box is not None
    left, top, right, foot = (edge / 10 for edge in box)

    assert (left, right) == pytest.approx(
        (AT[0] - wide / 2, AT[0] + APART + wide / 2), abs=0.2
    )
    assert (top, foot) == pytest.approx((AT[1], AT[1] + high), abs=0.2)


def test_each_part_is_told_where_it_is_seen() -> None:
    """What is seen from behind there, the rest in front; what is inside nowhere."""
    seen = {each.part: each for each in drawn("flat-top")[1]}
    front = {part for part, each in seen.items() if each.side == "front"}

    assert front == {"top", "rosette", "bridge", "headplate", "fingerboard"}
    assert set(seen) - front == {"back", "neck", "binding"}
    for each in seen.values():
        middle = AT[0] + (APART if each.side == "back" else 0)
        assert abs(each.at[0] - middle) <= size_of("flat-top", CERTIFICATE)[0] / 2


@pytest.mark.parametrize("show", get_args(Show))
def test_one_side_can_stand_alone(show: Show) -> None:
    """With its own centre line at the place."""
    page = open_document((74, 80), "one side")
    seen = draw_figure(page, AT, CERTIFICATE, flat_top(), show=show)
    sides = {each.side for each in seen}

    assert sides == ({"front", "back"} if show == "both" else {show})


def test_a_wood_that_nobody_knows_has_a_question_mark() -> None:
    """One on the back, one on the neck; what is too small for it has none."""
    page = open_document((140, 120), "unknown")
    draw_figure(page, (35, 6), 0.53, unknown())
    turn_over(page)
    asked = "".join(reading.text(close_document(page)).split())

    assert asked == "?????"  # head, fingerboard, back, neck, heel
    assert reading.text(drawn("flat-top")[0]).split() == []
    assert reading.text(drawn("unknown", CARD)[0]).split() == ["?"]


def test_a_part_that_is_not_there_is_not_drawn() -> None:
    """Without a rosette there is less on the paper, and no callout for it."""
    bare = FigureFacts(
        kind="flat-top guitar",
        parts=tuple(each for each in flat_top().parts if each.part != "rosette"),
    )
    page = open_document((74, 80), "bare")
    seen = draw_figure(page, AT, CERTIFICATE, bare, apart=APART)
    turn_over(page)

    assert "rosette" not in {each.part for each in seen}
    assert shapes(close_document(page)) < shapes(drawn("flat-top")[0])


def test_a_small_figure_has_less_in_it() -> None:
    """Pins and marks go first, and frets where they come too close."""
    counts = [
        shapes(drawn("flat-top", unit)[0]) for unit in (0.05, 0.1, CARD, CERTIFICATE)
    ]

    assert counts == sorted(set(counts))


@pytest.mark.parametrize(
    ("gap_pt", "weight", "apart"),
    [(1.5, 1.0, True), (1.49, 1.0, False), (0.75, 0.5, True), (0.5, 0.5, False)],
)
def test_lines_stand_apart_by_half_a_line(
    gap_pt: float, weight: float, apart: bool
) -> None:
    """From middle to middle it takes one line and a half. Worked out by hand."""
    assert stand_apart((gap_pt + 1e-9) * 25.4 / 72, weight) == apart


@pytest.mark.parametrize("name", EVERY)
def test_the_same_instrument_gives_the_same_bytes(name: str) -> None:
    """Made twice, a sheet is the same file."""
    once = drawn(name)[0]
    drawn.cache_clear()

    assert drawn(name)[0] == once


def test_a_paper_hands_its_own_hatches_on() -> None:
    """A wood that is turned in a paper's table is turned in its figure as well."""
    only = FigureFacts(
        kind="flat-top guitar", parts=(PartWood("top", ("Abies alba",)),)
    )
    given = hatches_for(["Picea abies", "Abies alba"])
    sheets = []
    for hatches in (None, given):
        page = open_document((74, 80), "top")
        draw_figure(page, AT, CERTIFICATE, only, hatches=hatches)
        turn_over(page)
        sheets.append(close_document(page))

    assert sheets[0] != sheets[1]


def test_every_wood_of_an_instrument_is_named_once() -> None:
    """In the order of its parts, those that are not seen among them."""
    assert arch_top().species == (
        "Picea abies",
        "Acer macrophyllum",
        "Juglans nigra",
        "Diospyros crassiflora",
        "Dalbergia latifolia",
        "Diospyros mun",
    )


def test_a_kind_without_an_outline_is_refused() -> None:
    """The refusal names the kind, and those that there are."""
    page = open_document((74, 80), "lute")

    assert not has_figure("lute") and has_figure("Solid-body guitar")
    with pytest.raises(RefusedError, match="no figure of 'lute'; the kinds are flat"):
        draw_figure(page, AT, CERTIFICATE, facts("lute", top=SPRUCE))
