"""Tests of the build tag as a whole."""

from dataclasses import replace
from typing import Literal

import pytest

from labels import picture, tag
from labels.page import Style, close_document, open_document, write
from labels.tag import BuildTag, MaySign, NextStep, Signed, TagStep, Wood
from labels.tag_front import payload
from ledger.check.outside import read_outside
from ledger.errors import RefusedError
from tests.labels import looks, overlaps, reading
from tests.labels.samples import ROOT, STEPS, TAG
from tests.ledger.log.workshop import VECTORS

NOTE = (VECTORS / "checkpoint").read_text(encoding="utf-8")
PANELS = [(6.0, 99.0), (111.0, 204.0)]
TEXT = "HTTPS://SKM.EXAMPLE/S/26-0147-3"
LONG_NAMES = (
    "Marriage of body and neck at the long heel",
    "Wręgi i podstrunnica",
    "胴と棹を合わせる",
)
FULL_ROUTE = tuple(
    TagStep(
        number,
        LONG_NAMES[number % 3],
        number % 5 == 0,
        "crack repaired, see 63 402" if number % 7 == 0 else "",
        Signed("12-24", "39") if number < 31 else None,
    )
    for number in range(1, 49)
)
FULL = replace(
    TAG,
    shop="Skerrymoor Fretted Instruments",
    model="Tidewarden of the Northern Harbour",
    kind="flat-top guitar, dreadnought-size",
    run="Long Winter Harbour, 123 of 124",
    serial="SKM-1974-000147-3",
    host="loft.skerrymoor.example",
    print_number=2,
    next_step=NextStep(31, "Marriage of body and neck agreed at the heel", True),
    state="TO INSPECT",
    edge="hollow",
    may_sign=(
        MaySign("39", "荒川 賢治"),
        MaySign("05", None, "in the finish room only, with Teresa"),
        MaySign("03", "Jakub Wolański"),
        MaySign("11", "Tadhg Mac Giolla"),
        MaySign("12", "Rukmini Desai"),
    ),
    then=("32 Something rather long", "33 Another long thing", "34 A third"),
    wood=(
        Wood("back and sides, left", "Dalbergia cochinchinensis", "L26-1031-107.C12"),
        Wood("fingerboard", "Diospyros crassiflora", "L24-011-02"),
        Wood("neck", "Swietenia macrophylla", "L25-019-06"),
        Wood("top", "Picea abies", "L26-004-11"),
        Wood("braces", "Picea abies", "L25-118-01"),
    ),
    hazards=(
        "Dalbergia latifolia",
        "Diospyros crassiflora",
        "Dalbergia cochinchinensis",
        "Swietenia macrophylla",
        "Juglans nigra",
        "Thuja plicata",
    ),
    steps=FULL_ROUTE,
    checkpoint_note=TAG.checkpoint_note
    + "".join(f"— witness-{n}.example/w {'Ab3+' * 26}\n" for n in range(4)),
)
LEAST = replace(
    TAG,
    next_step=None,
    may_sign=(),
    then=(),
    wood=(),
    hazards=(),
    run="",
    host="",
    steps=(),
)


@pytest.mark.parametrize("paper", ["A5", "A4", "Letter"])
def test_the_symbol_says_the_serial(paper: Literal["A5", "A4", "Letter"]) -> None:
    """In black and white at 600 dots to the inch, each paper reads back."""
    drawn = tag.draw(TAG, paper=paper)

    assert reading.symbols(picture.one_bit(drawn, page=0, dpi=600)) == [TEXT]
    assert reading.symbols(picture.one_bit(drawn, page=1, dpi=300)) == []


@pytest.mark.parametrize("shown", [FULL, LEAST])
def test_the_fullest_and_the_emptiest_tag_read_back_too(shown: BuildTag) -> None:
    """A long host steps the symbol down; without a host the serial stands alone."""
    drawn = tag.draw(shown)

    assert reading.symbols(picture.one_bit(drawn, page=0, dpi=300)) == [payload(shown)]


@pytest.mark.parametrize(
    ("paper", "size"),
    [("A5", (2100, 1480)), ("A4", (2970, 2100)), ("Letter", (2794, 2159))],
)
def test_a_tag_is_two_pages_of_its_paper(
    paper: Literal["A5", "A4", "Letter"], size: tuple[int, int]
) -> None:
    """Outside and inside, A5 on its side or in the middle of a common sheet."""
    drawn = tag.draw(TAG, paper=paper)

    assert reading.pages(drawn) == 2
    assert picture.one_bit(drawn, page=0, dpi=254).size == size


def test_a_common_sheet_holds_the_same_tag_in_its_middle() -> None:
    """On A4 the symbol stands where it does on A5, dot for dot, and ticks say so."""
    small = picture.one_bit(tag.draw(TAG), page=0, dpi=600)
    large = picture.one_bit(tag.draw(TAG, paper="A4"), page=0, dpi=600)
    # (297 - 210) / 2 and (210 - 148) / 2 mm, on whole dots
    left, top = round(43.5 / 25.4 * 600), round(31 / 25.4 * 600)
    symbol = (111, 50.6, 143, 82.6)
    box = [round(edge / 25.4 * 600) for edge in symbol]
    moved = (box[0] + left, box[1] + top, box[2] + left, box[3] + top)
    offsets = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)]

    assert any(
        large.crop((moved[0] + x, moved[1] + y, moved[2] + x, moved[3] + y)).tobytes()
        == small.crop((box[0], box[1], box[2], box[3])).tobytes()
        for x, y in offsets
    )
    assert "Cut at the ticks" in reading.text(tag.draw(TAG, paper="Letter"))
    assert "Cut at the ticks" not in reading.text(tag.draw(TAG))


@pytest.mark.parametrize("shown", [TAG, FULL, LEAST])
def test_no_words_run_into_others_or_over_the_fold(shown: BuildTag) -> None:
    """However full the tag, all letters stand apart and within their panel."""
    drawn = tag.draw(shown)
    for page in range(reading.pages(drawn)):
        assert overlaps.overlaps(drawn, page) == []
        assert overlaps.outside(drawn, PANELS, page) == []


def test_words_on_words_would_be_found() -> None:
    """The measure of the test before this one sees a fault when there is one."""
    page = open_document((100.0, 40.0), "overlap")
    style = Style(face="FlitchText-Regular", size=10)
    write(page, (10, 20), "Top joined", style)
    write(page, (20, 21), "Back joined", style)
    drawn = close_document(page)

    assert overlaps.overlaps(drawn) == [("Back joined", "Top joined")]
    assert overlaps.outside(drawn, [(10, 30)]) == ["Back joined"]


def test_sixty_steps_take_a_further_sheet_and_lose_none() -> None:
    """48 stand on the first inside and 12 on the second."""
    steps = tuple(TagStep(n, f"step by name {n}.") for n in range(1, 61))
    drawn = tag.draw(replace(TAG, steps=steps))
    first, second = (reading.text(drawn, page=page) for page in (1, 2))

    assert reading.pages(drawn) == 3
    assert all(f"step by name {n}." in first for n in range(1, 49))
    assert all(f"step by name {n}." in second for n in range(49, 61))
    assert "sheet 1 of 2" in first
    assert "sheet 2 of 2" in second


def test_everything_that_is_printed_small_or_not_at_all_is_noticed() -> None:
    """A plain tag has no notice; a full one says what became a number."""
    korean = replace(TAG, model="파수꾼")

    assert tag.notices(TAG) == ()
    assert tag.notices(FULL) == (
        "'HTTPS://LOFT.SKERRYMOOR.EXAMPLE/S/SKM-1974-000147-3' has 51 characters, and "
        "35 is the most for the strongest symbol; printed at level M",
        "who may sign: 5, and 3 of them found no room; printed as a count",
        "boards: 5, and 3 of them found no room; printed as a count",
    )
    assert len(tag.notices(korean)) == 1


def test_a_print_before_the_first_is_refused() -> None:
    """The first one is print 1."""
    with pytest.raises(RefusedError, match="print 0 is no count; 1 is the first"):
        tag.draw(replace(TAG, print_number=0))


@pytest.mark.parametrize("dpi", [203, 600])
def test_a_tag_is_still_read_in_one_colour(dpi: int) -> None:
    """In black and white, signed squares are full, open ones not, and boxes stay."""
    image = picture.one_bit(tag.draw(TAG), page=1, dpi=dpi)
    pitch = (139.6 - 15.6) / 21
    levels = [round((15.6 + pitch * (row + 0.5)) / 25.4 * dpi) for row in range(21)]

    def is_black(x: float, level: int) -> bool:
        near = range(round((x - 0.2) / 25.4 * dpi), round((x + 0.2) / 25.4 * dpi) + 1)
        return any(image.getpixel((dot, level)) == 0 for dot in near)

    assert all(is_black(7.9, level) for level in levels)
    assert [is_black(112.9, level) for level in levels] == [True] * 2 + [False] * 19
    assert all(is_black(180, level) for level in levels[2:])
    assert all(is_black(204, level) for level in levels[2:])


def test_the_same_tag_gives_the_same_bytes() -> None:
    """A tag drawn twice is one tag; another checkpoint makes another."""
    other = replace(TAG, ten_words=tuple(reversed(TAG.ten_words)))

    assert tag.draw(TAG) == tag.draw(TAG)
    assert tag.draw(other) != tag.draw(TAG)
    assert len(ROOT) == 32
    assert len(STEPS) == 42


def test_both_sides_look_as_they_were_approved() -> None:
    """The outside with core and end grain, and the route inside."""
    pdf = tag.draw(TAG)
    assert looks.unlike(pdf, "tag-outside") == ""
    assert looks.unlike(pdf, "tag-inside", page=1) == ""


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_their_panel(language: str) -> None:
    """What warns of dust as little as the names of the columns to write in."""
    for shown in (FULL, LEAST):
        drawn = tag.draw(replace(shown, language=language))
        for page in range(reading.pages(drawn)):
            assert overlaps.overlaps(drawn, page) == []
            assert overlaps.outside(drawn, PANELS, page) == []


def test_a_german_tag_looks_as_it_was_approved() -> None:
    """The state of the build and the dust are told as loud as in English."""
    pdf = tag.draw(replace(TAG, language="de"))
    said = reading.text(pdf)

    assert "BEREIT" in said and "STAUB" in said
    assert looks.unlike(pdf, "tag-outside-de") == ""


def test_its_checkpoint_rides_in_its_file() -> None:
    """As it was signed, where whoever is sent the file can hold it against a log."""
    note = read_outside(tag.draw(replace(TAG, checkpoint_note=NOTE)), "a paper").note

    assert note == NOTE
