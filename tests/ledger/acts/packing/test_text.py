"""Bytes become lines and cells, or are no list."""

import codecs

import pytest

from ledger.acts.packing.text import records_of, said_delimiter, text_of
from ledger.errors import RefusedError


@pytest.mark.parametrize(
    ("data", "text", "encoding"),
    [
        ("Länge\r\n1".encode(), "Länge\n1", "UTF-8"),
        ("Länge\r1".encode("utf-8-sig"), "Länge\n1", "UTF-8"),
        (codecs.BOM_UTF16_LE + "Länge".encode("utf-16-le"), "Länge", "UTF-16"),
        (codecs.BOM_UTF16_BE + "Länge".encode("utf-16-be"), "Länge", "UTF-16"),
        ("Länge".encode("cp1252"), "Länge", "Windows-1252"),
    ],
)
def test_text_is_read_in_the_encodings_that_offices_use(
    data: bytes, text: str, encoding: str
) -> None:
    """With or without a byte order mark, with any line end."""
    assert text_of(data) == (text, encoding)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "the file is empty"),
        (b" \r\n\t\n", "the file is empty"),
        (b"PK\x03\x04 sheet", "a workbook or a zip archive: save it as CSV"),
        (b"\xd0\xcf\x11\xe0", "an old workbook: save it as CSV"),
        (b"%PDF-1.7", "the file is a PDF: save it as CSV"),
        (b"No.\x00\x01", "the file is no text"),
        ("No.".encode("utf-16-le"), "the file is no text"),
        (b"L\x81nge \xe4", "neither UTF-8 nor Windows-1252"),
        (b"No.,Qty" + b"\r\n" * 20_001, "has 20001 lines of at most 20000: split it"),
        (b"1," * 2_500_001, "has 5000002 bytes of at most 5000000"),
    ],
)
def test_what_is_no_text_is_refused_with_what_to_do(data: bytes, said: str) -> None:
    """A workbook, a PDF, a picture: the answer says what the file is."""
    with pytest.raises(RefusedError) as refused:
        text_of(data)

    assert said in str(refused.value)


def test_a_row_is_numbered_by_the_line_where_it_begins() -> None:
    """A quoted cell may run over lines, and empty lines count."""
    records = records_of('a;"b\nc"\n\nd; e \n', ";")

    assert [(r.line, r.last_line, r.cells) for r in records] == [
        (1, 2, ("a", "b c")),
        (3, 3, ()),
        (4, 4, ("d", "e")),
    ]


def test_a_first_line_may_tell_the_delimiter() -> None:
    """It counts as a line, and is no row."""
    records = records_of("sep=;\na;b\n", ";")

    assert said_delimiter("SEP=;\na;b\n") == ";"
    assert said_delimiter("a;b\nsep=;\n") is None
    assert [(r.line, r.cells) for r in records if r.cells] == [(2, ("a", "b"))]


def test_a_cell_without_an_end_is_refused() -> None:
    """A quote that swallows the whole file is named with its line."""
    with pytest.raises(RefusedError, match="line 2 cannot be read as cells"):
        records_of('a\n"' + "b" * 200_000, ",")
