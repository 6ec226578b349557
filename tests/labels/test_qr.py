"""Tests of the symbols."""

from dataclasses import replace
from io import BytesIO
from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw, ImageFilter

from labels import card, certificate, label, picture, qr, tag, tag_front
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.samples import BACK_A, CARD, CARD_TEXT, CERTIFICATE, TAG


def shown(symbol: qr.Symbol) -> Image.Image:
    """Return a symbol with its quiet zone, four dots to a module."""
    side = symbol.side + 2 * qr.QUIET_ZONE
    image = Image.new("L", (side, side), 255)
    for y, row in enumerate(symbol.rows):
        for x, dark in enumerate(row):
            if dark:
                image.putpixel((x + qr.QUIET_ZONE, y + qr.QUIET_ZONE), 0)
    return image.resize((side * 4, side * 4), Image.Resampling.NEAREST)


@pytest.mark.parametrize(
    ("length", "level"),
    [(1, "H"), (35, "H"), (36, "Q"), (47, "Q"), (48, "M"), (61, "M")],
)
def test_a_board_symbol_takes_the_strongest_level_that_holds_it(
    length: int, level: str
) -> None:
    """Version 3 holds 35, 47 or 61 alphanumeric characters at H, Q or M.

    Source: ISO/IEC 18004, capacity of version 3.
    """
    text = ("HTTPS://SKM.EXAMPLE/B/" + "L26-031-07.A7" * 4)[:length]
    symbol = qr.board_symbol(text)

    assert (symbol.side, symbol.level) == (29, level)
    assert bool(symbol.notice) == (level != "H")
    assert reading.symbols(shown(symbol)) == [text]


def test_a_text_too_long_for_a_board_is_refused() -> None:
    """The refusal names both lengths."""
    with pytest.raises(RefusedError, match=r"has 62 characters.* holds 61"):
        qr.board_symbol("A" * 62)


@pytest.mark.parametrize("text", ["", "https://skm.example", "B/L26_031", "B/Ł26"])
def test_a_text_outside_the_alphanumeric_set_is_refused(text: str) -> None:
    """Small letters would need the byte mode, and a larger symbol."""
    with pytest.raises(RefusedError, match="cannot be a board symbol"):
        qr.board_symbol(text)


def test_a_card_symbol_is_always_of_one_size() -> None:
    """Version 17 at level Q, 85 modules a side, for a long text and a short one."""
    for text in (CARD_TEXT, "V#0"):
        symbol = qr.card_symbol(text)

        assert (symbol.side, symbol.version, symbol.level) == (85, 17, "Q")
        assert reading.symbols(shown(symbol)) == [text]


def test_a_card_symbol_is_filled_to_its_last_bit() -> None:
    """An address of 22 bytes leaves room for 817 digits, and not for one more.

    Source: ISO/IEC 18004: 17-Q has 367 data codewords; the head of a byte segment takes
    20 bits, that of a numeric one 16; three digits take 10 bits, one takes 4.
    """
    head = "https://skm.example/v#"

    assert qr.card_bits(head, "7" * 817) == 20 + 8 * 22 + 16 + 10 * 272 + 4 == 367 * 8
    assert qr.card_symbol(head + "7" * 817).side == 85
    with pytest.raises(
        RefusedError, match="needs 2939 bits, and its symbol holds 2936"
    ):
        qr.card_symbol(head + "7" * 818)


@pytest.mark.parametrize(
    "text", ["", "https://skm.example/v", "V#", "V#12a", "V#1#2", "ü#12", "V#١٢"]
)
def test_what_is_no_card_text_is_refused(text: str) -> None:
    """An address, one #, and digits; nothing else."""
    with pytest.raises(RefusedError, match="is no card text"):
        qr.card_symbol(text)


@given(st.lists(st.booleans(), min_size=1, max_size=90))
def test_the_runs_of_a_row_rebuild_the_row(row: list[bool]) -> None:
    """Every dark module is in one run, and no light one."""
    rebuilt = [False] * len(row)
    for start, length in qr.row_runs(tuple(row)):
        rebuilt[start : start + length] = [True] * length

    assert rebuilt == row


@given(st.floats(0, 300), st.sampled_from([203.2, 300.0, 600.0]))
def test_a_snapped_place_is_a_whole_number_of_dots(place: float, dpi: float) -> None:
    """It lies within half a dot of where it was asked for."""
    dots = qr.snap(place, dpi) * dpi / qr.INCH

    assert abs(dots - round(dots)) < 1e-6
    assert abs(qr.snap(place, dpi) - place) <= qr.INCH / dpi / 2 + 1e-9


def blotted(image: Image.Image, trial: int) -> Image.Image:
    """Return a label with a round blot of six parts in a hundred, all over in turn."""
    soiled, radius = image.convert("L"), sqrt(0.06 * image.width * image.height / pi)
    x, y = image.width * (trial * 0.618 % 1), image.height * (trial * 0.382 % 1)
    box = (x - radius, y - radius, x + radius, y + radius)
    ImageDraw.Draw(soiled).ellipse(box, fill=255 * (trial % 2))
    return soiled


@pytest.mark.parametrize("head", [203, 300, 600])
def test_a_blotted_board_label_is_read_by_its_other_symbol(head: picture.Head) -> None:
    """In nine of ten trials or more, with a blot of glue or of finish anywhere."""
    pdf = label.roll([BACK_A], dpi=203 if head == 203 else 300)
    burnt = Image.open(BytesIO(picture.for_head(pdf, page=0, head=head)))
    read = [bool(reading.symbols(blotted(burnt, trial))) for trial in range(10)]
    assert sum(read) >= 9


def test_a_blurred_card_is_read() -> None:
    """At 300 dpi, out of focus by a third of a module."""
    pdf = card.draw(replace(CARD, card_text=CARD_TEXT))
    shown = picture.grey(pdf, page=1, dpi=300)
    module = card.MODULE / 25.4 * 300
    soft = shown.filter(ImageFilter.GaussianBlur(module / 3))
    assert reading.symbols(soft) == [CARD_TEXT]


@pytest.mark.parametrize("head", [203, 300, 600])
@pytest.mark.parametrize("paper", ["certificate", "card", "tag", "label"])
def test_every_symbol_is_read_from_black_and_white_dots(
    paper: str, head: picture.Head
) -> None:
    """On any head, by a reader that nobody here wrote."""
    drawn = {
        "certificate": (certificate_page, 0, CARD_TEXT),
        "card": (lambda: card.draw(CARD), 1, CARD.card_text),
        "tag": (lambda: tag.draw(TAG), 0, tag_front.payload(TAG)),
        "label": (
            lambda: label.roll([BACK_A], dpi=203 if head == 203 else 300),
            0,
            "HTTPS://SKM.EXAMPLE/B/L23-040-02.A7",
        ),
    }
    draw, page, text = drawn[paper]
    burnt = Image.open(BytesIO(picture.for_head(draw(), page=page, head=head)))
    assert set(reading.symbols(burnt.convert("L"))) == {text}


def certificate_page() -> bytes:
    """Return a certificate whose card text is known."""
    return certificate.draw(
        replace(CERTIFICATE, card_text=CARD_TEXT),
        paper="A4",
        certificate_file=b"{}",
        proof_file=b"proof",
    )
