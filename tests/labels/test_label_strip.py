"""Tests of the strip over an edge, as a printer and a scanner see it."""

from dataclasses import replace
from typing import Literal

import pytest
from PIL import Image

from labels import label, label_strip, picture, qr
from labels.label_strip import Strip
from ledger.errors import RefusedError
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words
from tests.labels.samples import BACK_A, BACK_B, WHOLE

Dots = Literal[203, 300, 600]
HEADS: dict[Dots, float] = {203: 203.2, 300: 300.0, 600: 600.0}
SINGLE = Strip(front=BACK_A, thickness=4.0)
PAIR = Strip(front=BACK_A, back=BACK_B, thickness=4.2)
CHILD = replace(
    WHOLE, code="L24-018-107.C112", made="offcut", parent=f"{WHOLE.lot}-107.C111"
)
STRIPS = (
    SINGLE,
    PAIR,
    Strip(front=CHILD, thickness=0.6),
    Strip(front=replace(BACK_A, origin_unknown=True, replacement=2), thickness=12),
    Strip(front=replace(BACK_A, genus="W" * 14, epithet="琴" * 9), thickness=2.2),
)


def raster(strip: Strip, dpi: Dots) -> Image.Image:
    """Return a strip as the print head burns it."""
    return picture.one_bit(label_strip.roll([strip], dpi), page=0, dpi=HEADS[dpi])


@pytest.mark.parametrize("language", ["en", "fr", "de", "es"])
def test_an_entry_in_dispute_stands_on_every_half(language: str) -> None:
    """On a pair in place of the lot, which each code says as well."""
    front, back = (
        replace(each, disputed=number, language=language)
        for each, number in ((BACK_A, 1_234_567), (BACK_B, 40))
    )
    for strip in (
        Strip(front=front, back=back, thickness=4.2),
        Strip(front=front, thickness=4),
    ):
        pdf = label_strip.roll([strip])
        text = reading.text(pdf)
        assert "567" in text
        assert (" 40" in text) is (strip.back is not None)
        assert overlaps(pdf) == []


@pytest.mark.parametrize("strip", STRIPS)
@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_each_side_has_its_symbol_and_reads_alone(strip: Strip, dpi: Dots) -> None:
    """Whatever side of the wood is up, its own symbol is there."""
    image = raster(strip, dpi)
    width, height = image.size
    up, down = (0, 0, width, height // 2), (0, height // 2, width, height)
    back = strip.back or strip.front

    assert reading.symbols(image.crop(down)) == [label.payload(strip.front)]
    assert reading.symbols(image.crop(up)) == [label.payload(back)]


@pytest.mark.parametrize(("dpi", "dots"), [(203, 4), (300, 6), (600, 12)])
@pytest.mark.parametrize("strip", [SINGLE, PAIR])
def test_every_module_ends_on_a_whole_dot(strip: Strip, dpi: Dots, dots: int) -> None:
    """Both symbols are burnt dot for dot, white all around, the back one turned."""
    image, quiet = raster(strip, dpi), qr.QUIET_ZONE * dots
    printer = label.ROLL_PRINTERS[dpi]
    side = round(label_strip.side(strip, printer) * printer.dots_per_inch / qr.INCH)
    for turn, of in ((0, strip.front), (180, strip.back or strip.front)):
        shown = image.rotate(turn)
        left = round((shown.width - 29 * dots) / 2 + 0.01)
        corner = (left - quiet, shown.height - side)
        edge = 29 * dots + 2 * quiet
        cut = shown.crop((*corner, corner[0] + edge, corner[1] + edge))
        whole = Image.new("1", (29 + 2 * qr.QUIET_ZONE,) * 2, 255)
        for y, row in enumerate(qr.board_symbol(label.payload(of)).rows):
            for x, dark in enumerate(row):
                at = (x + qr.QUIET_ZONE, y + qr.QUIET_ZONE)
                whole.putpixel(at, 0 if dark else 255)

        nearest = whole.resize((edge, edge), Image.Resampling.NEAREST)
        assert cut.tobytes() == nearest.tobytes()


@pytest.mark.parametrize("strip", STRIPS)
def test_nothing_overlaps_and_nothing_is_cut(strip: Strip) -> None:
    """From a sheet of veneer to the thickest, with the longest codes and names."""
    drawn = label_strip.roll([strip])

    assert overlaps(drawn) == []
    assert outside(drawn, [(1.6, 23.4)]) == []


def test_a_strip_is_as_long_as_the_piece_is_thick() -> None:
    """Its two sides stay, and what lies over the edge is the piece's own thickness."""
    printer = label.ROLL_PRINTERS[203]
    lengths = [
        label_strip.size(replace(SINGLE, thickness=mm), printer)[1]
        for mm in (0.6, 2.5, 4.0, 4.1, 12)
    ]
    pair = label_strip.size(PAIR, printer)[1] - 2 * label_strip.side(PAIR, printer)

    assert [round(mm - lengths[0], 3) for mm in lengths] == [0, 0, 1.5, 2.0, 9.5]
    assert pair == pytest.approx(9.0, abs=0.2)


@pytest.mark.parametrize("thickness", [0, -1, 12.1, float("nan")])
def test_what_no_strip_goes_over_takes_the_board_label(thickness: float) -> None:
    """A thick piece has end grain enough."""
    with pytest.raises(RefusedError, match=r"L23-040-02.A is .* take the board label"):
        label_strip.roll([replace(SINGLE, thickness=thickness)])


def test_the_code_stands_on_each_side_and_across_the_fold() -> None:
    """On the fold it is seen in a rack, and no larger than the edge is high."""
    found = [
        each
        for each in words(label_strip.roll([SINGLE]))
        if each.text == "L23-040-02.A"
    ]
    middle = sorted(found, key=lambda each: each.top)[1]
    image = raster(SINGLE, 203)

    assert len(found) == 3
    assert middle.foot - middle.top < 4
    assert middle.top < image.height / 16 < middle.foot


def test_of_a_pair_each_half_has_its_own_side_and_fold() -> None:
    """Slit along the middle it is a label of each half."""
    said = reading.text(label_strip.roll([PAIR]))

    assert said.count("L23-040-02.A") == said.count("L23-040-02.B") == 2
    assert said.count("latifolia") == 2
    assert "waste" not in said


def test_a_back_says_what_it_is_and_where_the_strip_goes() -> None:
    """Use, lot and day, and that the edge under it is waste."""
    said = reading.text(label_strip.roll([SINGLE]))

    for words_ in ("back, half A", "lot L23-040", "2024-01-18", "on the waste edge"):
        assert said.count(words_) == 1


def test_every_strip_has_a_page_of_its_own_length() -> None:
    """A continuous roll is cut where each one ends."""
    strips = [SINGLE, replace(SINGLE, thickness=12)]
    drawn = label_strip.roll(strips)
    sizes = [picture.one_bit(drawn, page=n, dpi=203.2).size for n in (0, 1)]

    assert [width for width, _ in sizes] == [200, 200]
    assert sizes[1][1] - sizes[0][1] == 64


def test_what_is_shortened_or_weaker_is_told() -> None:
    """A use of any length, a letter that no face has, a host that is too long."""
    odd = replace(BACK_A, what="binding and purfling " * 9 + "뒤", host="loft.example")
    told = " ".join(label_strip.notices([replace(SINGLE, front=odd)]))

    assert "is shortened to" in told and "printed at level Q" in told
    assert "U+B4A4" in told
    assert label_strip.notices([SINGLE, PAIR]) == ()


def test_nothing_to_print_is_refused() -> None:
    """An empty roll is a mistake of whoever asked."""
    with pytest.raises(RefusedError, match="0 strips to print"):
        label_strip.roll([])


def test_the_same_strips_give_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert label_strip.roll(list(STRIPS), 300) == label_strip.roll(list(STRIPS), 300)


@pytest.mark.parametrize(("strip", "name"), [(SINGLE, "single"), (PAIR, "pair")])
def test_a_strip_looks_as_it_did(strip: Strip, name: str) -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(label_strip.roll([strip], 300), f"strip-{name}")


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_strip(language: str) -> None:
    """On one piece and over a pair, and where the wood's origin is not known."""
    for strip in STRIPS:
        back = replace(strip.back, language=language) if strip.back else None
        front = replace(strip.front, language=language)
        drawn = label_strip.roll([replace(strip, front=front, back=back)])

        assert overlaps(drawn) == []
        assert outside(drawn, [(0, label_strip.WIDTH)]) == []
