"""Tests of serials and of the patterns that shops write them by."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.serials import (
    DEFAULT_PATTERN,
    SerialPattern,
    is_serial,
    read_serial,
    serial_for,
    stamped_number,
)

PATTERNS = (
    "{year}-{number:4}-{check}",
    "{year:4}{number}{check}",
    "{number}",
    "SK-{number:6}",
    "{number:5}.{year}",
    "X{check}{number}-{year:4}",
)


@pytest.mark.parametrize(
    ("number", "printed"),
    [(147, "26-0147-3"), (148, "26-0148-1"), (31, "26-0031-7"), (202, "26-0202-1")],
)
def test_the_default_pattern_prints_year_number_and_check(
    number: int, printed: str
) -> None:
    """Serials of 2026 get the check digits that were worked out by hand."""
    serial = serial_for(DEFAULT_PATTERN, year=2026, number=number)

    assert str(serial) == printed
    assert read_serial(printed) == serial


def test_a_mis_stamped_serial_is_refused() -> None:
    """26-0139-3 stamped as 26-0193-3 does not pass: its check digit would be 9."""
    assert read_serial("26-0139-3").number == 139
    with pytest.raises(RefusedError, match="check digit of 26-0193-3 is 9, not 3"):
        read_serial("26-0193-3")


@given(st.integers(1, 9999), st.integers(0, 8), st.sampled_from("0123456789"))
def test_every_single_wrong_digit_is_caught(
    number: int, place: int, digit: str
) -> None:
    """No serial with one other digit is read as a serial."""
    text = str(serial_for(DEFAULT_PATTERN, year=2026, number=number))
    wrong = text[:place] + digit + text[place + 1 :]

    if wrong != text:
        with pytest.raises(RefusedError):
            read_serial(wrong)


@given(
    st.sampled_from(PATTERNS), st.integers(1000, 9999), st.integers(1, 9999), st.data()
)
def test_every_pattern_reads_what_it_prints(
    text: str, year: int, number: int, data: st.DataObject
) -> None:
    """A serial survives printing, scanning in small letters, and reading."""
    pattern = SerialPattern.parse(text)
    serial = serial_for(pattern, year=year, number=number)
    before = data.draw(st.sampled_from(["", "  ", "s/", "https://example.com/s/"]))

    assert read_serial(before + str(serial).lower(), pattern) == serial
    assert is_serial(str(serial), pattern)
    assert str(pattern) == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{year}",
        "{number}{number}",
        "{number:0}",
        "{number:4}/{check}",
        "{number:4}-{check:2}",
        "{year:3}-{number}",
        "no-{number}",
        "{number} {check}",
        "{month}-{number}",
        "Ä{number}",
    ],
)
def test_a_pattern_that_cannot_be_read_back_is_refused(text: str) -> None:
    """The answer shows the right form."""
    with pytest.raises(RefusedError, match=r"write it like \{year\}-\{number:4\}"):
        SerialPattern.parse(text)


@pytest.mark.parametrize(
    "text", ["N{year}-{number:4}", "B{year}-{number:4}", "C-{year:4}-{number:5}"]
)
def test_a_pattern_that_looks_like_another_code_is_refused(text: str) -> None:
    """A serial that reads as a neck or a certificate would be mistaken for one."""
    with pytest.raises(RefusedError, match="could be read as another code"):
        SerialPattern.parse(text)


@pytest.mark.parametrize("number", [0, 10000])
def test_a_number_beyond_the_pattern_is_refused(number: int) -> None:
    """Four digits hold 1 to 9999."""
    with pytest.raises(RefusedError, match="runs from 1 to 9999"):
        serial_for(DEFAULT_PATTERN, year=2026, number=number)


@pytest.mark.parametrize(
    "text", ["26-147-3", "26-0000-0", "0147", "26-0147", "B/26-0147-3"]
)
def test_another_form_of_serial_is_refused(text: str) -> None:
    """What does not fit the pattern, or has number nought, is no serial of the shop."""
    with pytest.raises(RefusedError, match="write it like 26-0001-"):
        read_serial(text)


@pytest.mark.parametrize(
    ("text", "number"), [("26-0193-9", 193), ("26-0193-3", 193), (" 26-0001-8 ", 1)]
)
def test_a_stamp_is_read_with_whatever_check_digit_it_has(
    text: str, number: int
) -> None:
    """What stands in the wood stands there, right or wrong."""
    stamped = stamped_number(text)

    assert (stamped.year, stamped.number, stamped.text) == (26, number, text.strip())


@pytest.mark.parametrize("text", ["26-193-9", "0193", "26-0000-0", "L26-001"])
def test_a_stamp_has_the_shape_of_a_serial(text: str) -> None:
    """Anything else was never one of this shop's numbers."""
    with pytest.raises(RefusedError, match="is not a serial of this shop"):
        stamped_number(text)
