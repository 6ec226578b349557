"""Tests of check characters, and of what is typed against what is scanned."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_10, mod_37_36

from ledger.codes import (
    DIGITS,
    LETTERS_AND_DIGITS,
    Form,
    check_character,
    read,
    read_scan,
    shown,
    split_scan,
)
from ledger.errors import RefusedError

BOX = Form(
    noun="box",
    mark="X",
    shape=re.compile(r"X[0-9]{2,3}"),
    example="X07",
    last_number=999,
)


def test_published_examples_get_their_check_characters() -> None:
    """0794 of ISO/IEC 7064 gives 5; the example of the GRid standard (IFPI) gives M."""
    assert check_character("0794", DIGITS) == "5"  # MOD 11,10
    assert check_character("A12425GABC1234002") == "M"  # Mod 37,36


@given(st.text(alphabet=LETTERS_AND_DIGITS, min_size=1, max_size=30))
def test_letters_and_digits_agree_with_an_independent_library(code: str) -> None:
    """Mod 37,36 is the check character that python-stdnum computes."""
    assert check_character(code) == mod_37_36.calc_check_digit(code)


@given(st.text(alphabet=DIGITS, min_size=1, max_size=30))
def test_digits_agree_with_an_independent_library(code: str) -> None:
    """MOD 11,10 is the check digit that python-stdnum computes."""
    assert check_character(code, DIGITS) == mod_11_10.calc_check_digit(code)


def test_hyphens_and_dots_do_not_count() -> None:
    """Only letters and digits are checked."""
    assert check_character("L26-031-07.A") == check_character("L2603107A") == "I"


@given(st.from_regex(r"X[0-9]{2,3}", fullmatch=True), st.data())
def test_every_single_wrong_character_is_caught(code: str, data: st.DataObject) -> None:
    """No scan with one other character in it is read as a code."""
    scan = code + check_character(code)
    place = data.draw(st.integers(0, len(scan) - 1))
    other = data.draw(st.sampled_from(list(LETTERS_AND_DIGITS + "-.$%+*:")))
    wrong = scan[:place] + other + scan[place + 1 :]

    assert read_scan(scan, BOX)[0] == code
    if wrong != scan:
        with pytest.raises(RefusedError):
            read_scan(wrong, BOX)


def test_a_code_typed_and_a_code_scanned_are_never_mixed_up() -> None:
    """X071 typed is box 071; scanned it would be box 07 with check character 1."""
    check = check_character("X07")

    assert read("X071", BOX)[0] == "X071"
    assert read(f"x/X07{check}", BOX)[0] == "X07"
    assert read_scan(f"X07{check}", BOX)[0] == "X07"
    assert read(f"X07 {check}", BOX)[0] == "X07"


def test_a_wrong_check_character_names_both() -> None:
    """The answer gives the check character expected and the one found."""
    check = check_character("X07")
    wrong = "A" if check != "A" else "B"

    with pytest.raises(RefusedError) as typed:
        read(f"X07 {wrong}", BOX)
    with pytest.raises(RefusedError) as scanned:
        read(f"HTTPS://EXAMPLE.COM/X/X07{wrong}", BOX)
    assert str(typed.value) == str(scanned.value)
    assert str(typed.value) == (
        f"the check character of X07 is {check}, not {wrong}; scan or type it again"
    )


def test_a_scan_of_another_noun_is_refused() -> None:
    """The letter of the address counts, even where the code would do."""
    with pytest.raises(RefusedError, match="not scanned from a box"):
        read(f"B/X07{check_character('X07')}", BOX)


@pytest.mark.parametrize(
    "text",
    [
        "https://example.com/x/x07",
        "HTTP://EXAMPLE.COM:8080/shop/X/x07",
        "/x/X07",
        "x/x07",
    ],
)
def test_a_scan_is_split_whatever_its_address(text: str) -> None:
    """Host, path and small letters do not matter; the host is told."""
    scan = split_scan(f"  {text}\r\n")

    assert scan is not None
    assert (scan.mark, scan.code) == ("X", "X07")
    assert scan.host in (None, "EXAMPLE.COM", "EXAMPLE.COM:8080")
    assert (scan.host is None) == ("://" not in text)


@pytest.mark.parametrize(
    "text", ["https://example.com/", "x/", "//", "ftp://example.com/x/x07", "x/x 07"]
)
def test_a_slash_that_leads_nowhere_is_refused(text: str) -> None:
    """What has a slash and is no scan is not taken for a code."""
    with pytest.raises(RefusedError, match="is no scan of a label"):
        split_scan(text)


@pytest.mark.parametrize("text", ["x\u2013", "x\u2011"])
def test_hyphens_of_editors_are_hyphens(text: str) -> None:
    """A dash that a telephone made of a hyphen is read as one."""
    dashed = Form(
        noun="box", mark="X", shape=re.compile("X-"), example="X-", last_number=1
    )

    assert read(text, dashed)[0] == "X-"


@pytest.mark.parametrize("text", ["X٠٧", "X０７", "ſ07", "X07\u200b", ""])
def test_foreign_letters_and_digits_are_no_code(text: str) -> None:
    """Only plain capitals, small letters and digits make a code."""
    with pytest.raises(RefusedError, match="write it like X07"):
        read(text, BOX)


def test_a_long_text_is_shown_short_and_escaped() -> None:
    """Whatever a symbol held, the answer stays one line."""
    said = shown("\x1b[31m\n" + "A" * 5000)

    assert len(said) < 80
    assert said.isprintable()


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("B/L26-031-07.AI", 0),
        ("B/L26-031-07.AI/1", 1),
        ("https://example.com/b/l26-031-07.ai/12", 12),
    ],
)
def test_a_label_that_replaced_another_says_its_number(text: str, label: int) -> None:
    """After another slash, and the code before it is as it always was."""
    scan = split_scan(text)

    assert scan is not None
    assert (scan.code, scan.label) == ("L26-031-07.AI", label)


@pytest.mark.parametrize(
    "text", ["B/L26-031-07.AI/0", "B/L26-031-07.AI/1000", "S/26-0147-3/1", "B/X/1/2"]
)
def test_no_other_number_is_one_of_a_label(text: str) -> None:
    """Only boards have labels that are replaced, and the first one has no number."""
    with pytest.raises(RefusedError, match="is no scan of a label"):
        split_scan(text)
