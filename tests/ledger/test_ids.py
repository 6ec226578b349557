"""Tests of the codes of lots, boards, bodies, necks and papers."""

import doctest
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from ledger import ids, serials
from ledger.errors import RefusedError
from ledger.ids import (
    CODES,
    BoardId,
    BodyId,
    CertificateId,
    Code,
    DocumentId,
    LotId,
    NeckId,
    SlipId,
    parse_any,
    scan_text,
)
from ledger.serials import DEFAULT_PATTERN, SerialPattern, serial_for

PRINTED = (
    ("L26-031", LotId(year=26, number=31)),
    ("L26-031-07", BoardId(lot=LotId(year=26, number=31), number=7)),
    ("L26-031-107", BoardId(lot=LotId(year=26, number=31), number=107)),
    ("L26-031-07.A", BoardId(lot=LotId(year=26, number=31), number=7, half="A")),
    ("L26-031-07.C12", BoardId(lot=LotId(year=26, number=31), number=7, child=12)),
    ("B26-0147", BodyId(year=26, number=147)),
    ("N26-0147", NeckId(year=26, number=147)),
    ("D26-0001", DocumentId(year=26, number=1)),
    ("C-2026-00088", CertificateId(year=2026, number=88)),
    ("W-2026-00001", SlipId(year=2026, number=1)),
)

lots = st.builds(LotId, year=st.integers(0, 99), number=st.integers(1, 999))
boards = st.one_of(
    st.builds(
        BoardId,
        lot=lots,
        number=st.integers(1, 999),
        half=st.sampled_from(["", "A", "B"]),
    ),
    st.builds(BoardId, lot=lots, number=st.integers(1, 999), child=st.integers(0, 999)),
)
two, four = st.integers(0, 99), st.integers(0, 9999)
codes: st.SearchStrategy[Code] = st.one_of(
    lots,
    boards,
    st.builds(BodyId, year=two, number=st.integers(1, 9999)),
    st.builds(NeckId, year=two, number=st.integers(1, 9999)),
    st.builds(DocumentId, year=two, number=st.integers(1, 9999)),
    st.builds(CertificateId, year=four, number=st.integers(1, 99999)),
    st.builds(SlipId, year=four, number=st.integers(1, 99999)),
    st.builds(
        lambda n: serial_for(DEFAULT_PATTERN, year=2026, number=n), st.integers(1, 9999)
    ),
)


@pytest.mark.parametrize(("text", "code"), PRINTED)
def test_a_code_is_printed_and_read_as_the_shop_writes_it(
    text: str, code: Code
) -> None:
    """Each noun has its own form, and no other noun's parser takes it."""
    assert str(code) == text
    assert parse_any(text) == code
    for kind in CODES:
        if isinstance(code, kind):
            assert kind.parse(text) == code
        else:
            with pytest.raises(
                RefusedError, match=f"write it like {kind.form.example}"
            ):
                kind.parse(text)


@given(codes)
def test_every_code_survives_printing_and_scanning(code: Code) -> None:
    """Typed, typed small, scanned with host and without, it is the same code."""
    assert parse_any(str(code)) == code
    assert parse_any(f"  {str(code).lower()}\n") == code
    assert parse_any(scan_text(code)) == code
    assert parse_any(scan_text(code, host="example.com").lower()) == code


@given(boards)
def test_a_scanned_board_carries_its_check_character(board: BoardId) -> None:
    """The scan ends in ISO 7064 Mod 37,36 as an independent library computes it."""
    scan = scan_text(board).partition("/")[2]
    bare = scan.replace("-", "").replace(".", "")

    assert mod_37_36.is_valid(bare)
    assert BoardId.from_scan(scan) == board
    assert BoardId.parse(f"{scan[:-1]} {scan[-1]}") == board


@given(boards, st.data())
def test_every_single_wrong_character_of_a_scanned_board_is_caught(
    board: BoardId, data: st.DataObject
) -> None:
    """One other character of the QR alphanumeric set never gives another board."""
    scan = scan_text(board).partition("/")[2]
    place = data.draw(st.integers(0, len(scan) - 1))
    other = data.draw(st.sampled_from("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$%*+-.:"))
    wrong = scan[:place] + other + scan[place + 1 :]

    if wrong != scan:
        with pytest.raises(RefusedError):
            BoardId.from_scan(wrong)


def test_a_half_fits_the_smallest_symbol_with_a_host_of_eleven_letters() -> None:
    """A version 3-H symbol holds 35 alphanumeric characters (ISO/IEC 18004)."""
    half = BoardId.parse("L23-040-02.A")

    assert len(scan_text(half, host="example.com")) == 35
    assert set(scan_text(half, host="example.com")) <= set(
        "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
    )


def test_a_typed_three_digit_board_is_not_a_scanned_two_digit_one() -> None:
    """L26-031-107 is board 107 typed; as a scan it would be board 10, and is not."""
    scan = scan_text(BoardId.parse("L26-031-07")).partition("/")[2]

    assert BoardId.parse("L26-031-107").number == 107
    assert BoardId.from_scan(scan).number == 7
    with pytest.raises(RefusedError, match="write it like"):
        BoardId.parse("L26-031-071")
    with pytest.raises(RefusedError, match="check character of L26-031-10 is"):
        BoardId.from_scan("L26-031-107")


def test_a_wrong_check_character_is_named_with_the_right_one() -> None:
    """The answer says which was expected and what to do."""
    with pytest.raises(RefusedError) as refused:
        BoardId.parse("L26-031-07.A 8")

    assert str(refused.value) == (
        "the check character of L26-031-07.A is I, not 8; scan or type it again"
    )


@pytest.mark.parametrize(
    "text",
    [
        "L26-31-07",
        "L26-031-7",
        "L26-031-007",
        "L26-031-07.C",
        "L26-031-07.C01",
        "L26-031-07.D",
        "L26-031-07A",
        "L26-O31-07",
        "L26-031-07.A.B",
        "L26-031-07 I I",
        "31-07",
        "",
    ],
)
def test_a_board_written_otherwise_is_shown_the_right_form(text: str) -> None:
    """No two spellings give the same board, and the answer shows an example."""
    with pytest.raises(RefusedError, match=r"write it like L26-031-07\.A|check char"):
        BoardId.parse(text)


@pytest.mark.parametrize("text", ["L26-000", "L26-031-00", "N26-0000", "W-2026-00000"])
def test_nothing_is_numbered_nought(text: str) -> None:
    """Numbers begin at one."""
    with pytest.raises(RefusedError, match="runs from 1 to"):
        parse_any(text)


@pytest.mark.parametrize(
    ("half", "child"), [("C", 0), ("a", 0), ("", 1000), ("", -1), ("A", 1)]
)
def test_a_piece_that_cannot_be_written_is_refused(half: str, child: int) -> None:
    """A half is A or B, children run to 999, and no piece is both."""
    with pytest.raises(RefusedError, match="number"):
        BoardId(lot=LotId(year=26, number=31), number=7, half=half, child=child)


def test_a_code_of_no_noun_is_refused_with_examples() -> None:
    """A text that is nothing of ours is answered with the right forms."""
    for text in ("hello", "Z26-031", "Q/Z26-031X", "26-0147-3-3"):
        with pytest.raises(RefusedError, match="is no code of this shop; write a lot"):
            parse_any(text)


def test_any_code_is_read_under_the_shop_s_own_serial_pattern() -> None:
    """Another pattern makes another text a serial, and the default one none."""
    pattern = SerialPattern.parse("SK-{number:5}")

    assert parse_any("sk-00147", pattern).form.noun == "serial"
    with pytest.raises(RefusedError, match="is no code of this shop"):
        parse_any("26-0147-3", pattern)


def test_boards_sort_as_people_count() -> None:
    """The tenth child comes after the second, and the halves come last."""
    texts = [
        "L26-031-02",
        "L26-031-02.C2",
        "L26-031-02.C10",
        "L26-031-02.A",
        "L25-999-99",
    ]
    ordered = [str(board) for board in sorted(map(BoardId.parse, texts))]

    assert ordered == ["L25-999-99", *texts[:3], "L26-031-02.A"]


@pytest.mark.parametrize("module", [ids, serials])
def test_the_examples_in_the_docstring_run(module: ModuleType) -> None:
    """What the module shows is what it does."""
    result = doctest.testmod(module)

    assert result.attempted > 0
    assert result.failed == 0


def test_the_symbol_of_a_replaced_label_reads_as_the_same_board() -> None:
    """And says which replacement it is."""
    code = BoardId.parse("L26-031-07.A")
    text = scan_text(code, host="example.com", label=3)

    assert text == "HTTPS://EXAMPLE.COM/B/L26-031-07.AI/3"
    assert BoardId.parse(text) == BoardId.from_scan(text) == parse_any(text) == code
