"""Tests of the symbols."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from labels import qr
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.samples import CARD_TEXT


def picture(symbol: qr.Symbol) -> Image.Image:
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
    assert reading.symbols(picture(symbol)) == [text]


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
        assert reading.symbols(picture(symbol)) == [text]


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
