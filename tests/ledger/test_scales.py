"""Tests of how numbers and units are read, exactly."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger import scales
from ledger.errors import RefusedError
from ledger.scales import (
    ANGLE,
    HUMIDITY,
    LENGTH,
    MASS,
    MOISTURE,
    TEMPERATURE,
    Scale,
    amount_of,
    half_up,
    split,
)


def test_inch_and_pound_are_exact() -> None:
    """One inch is 25.4 mm and one pound 453.592 37 g (NIST SP 811, appendix B)."""
    assert amount_of("1 in", LENGTH, None) == 25_400
    assert amount_of("1 lb", MASS, None) == Fraction("453592.37")
    assert 16 * amount_of("1 oz", MASS, None) == amount_of("1 lb", MASS, None)


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("412 g", Fraction(412), "g"),
        ("1.986 kg", Fraction("1.986"), "kg"),
        ("2,9 kg", Fraction("2.9"), "kg"),
        ("0,125 kg", Fraction("0.125"), "kg"),
        ("1234,500 g", Fraction("1234.5"), "g"),
        ("3/32 oz", Fraction(3, 32), "oz"),
        ("12 5/8 oz", Fraction(101, 8), "oz"),
        ("12-5/8 oz", Fraction(101, 8), "oz"),
        ("9/8 oz", Fraction(9, 8), "oz"),
        ("12 345.6 g", Fraction("12345.6"), "g"),
        ("12\u2009345 g", Fraction(12345), "g"),
        ("176.0g", Fraction(176), "g"),
        ("5 KG", Fraction(5), "kg"),
    ],
)
def test_a_number_is_read_as_people_write_it(
    text: str, number: Fraction, unit: str
) -> None:
    """Decimals, fractions, mixed numbers and spaced thousands are read exactly."""
    assert split(text, MASS, None) == (number, unit)


@pytest.mark.parametrize(
    "text",
    [
        "54 gramms",
        "",
        "g",
        "1e3 g",
        "0x10 g",
        "nan g",
        "1.2.3 g",
        "1_000 g",
        "1 0000 g",
        "1/0 g",
        "12 9/8 g",
        "5 Mg",
        "٣ g",
        "3 g 4",
        "9" * 61 + " g",
        "1 " * 4000 + "lb 1 oz",
    ],
)
def test_what_is_no_mass_is_refused_with_an_example(text: str) -> None:
    """The answer quotes what was written and shows how a mass is written."""
    with pytest.raises(RefusedError) as refused:
        amount_of(text, MASS, None)

    assert "is not a mass; write it like 54 g or 1.9 oz" in str(refused.value)
    assert len(str(refused.value)) < 150


@pytest.mark.parametrize(
    ("scale", "text", "ways"),
    [
        (MASS, "205", "205 has no unit: write 205 g or 205 oz"),
        (MASS, " 12 500 ", "12 500 has no unit: write 12 500 g or 12 500 oz"),
        (LENGTH, "3/32", "3/32 has no unit: write 3/32 mm or 3/32 in"),
        (LENGTH, "22,5", "22,5 has no unit: write 22,5 mm or 22,5 in"),
        (MOISTURE, "7.8", "7.8 has no unit: write 7.8 %"),
        (HUMIDITY, "44", "44 has no unit: write 44 %RH"),
        (TEMPERATURE, "-2", "-2 has no unit: write -2 °C or -2 °F"),
        (ANGLE, "1.5", "1.5 has no unit: write 1.5°"),
    ],
)
def test_a_number_without_its_unit_is_told_the_unit(
    scale: Scale, text: str, ways: str
) -> None:
    """The answer writes the number as it should have been written, ready to type."""
    with pytest.raises(RefusedError) as refused:
        amount_of(text, scale, None)

    assert str(refused.value) == ways
    for way in ways.partition("write ")[2].split(" or "):
        assert split(way, scale, None)[1] in scale.units


@pytest.mark.parametrize("text", ["1,250 g", "12,500 g", "1,250,000 g"])
def test_a_comma_before_three_digits_is_asked_about(text: str) -> None:
    """1,250 g may be a kilogram and a quarter, or a gram and a quarter."""
    with pytest.raises(RefusedError, match="can be read in two ways"):
        amount_of(text, MASS, None)


@pytest.mark.parametrize("text", ["-3 g", "\u22123 g", "-0.1 oz", "-4 lb 6 oz"])
def test_nothing_weighs_less_than_nothing(text: str) -> None:
    """A negative mass is refused."""
    with pytest.raises(RefusedError, match="below zero"):
        amount_of(text, MASS, None)


@pytest.mark.parametrize("text", ["4 lb 6 oz", "4lb 6oz", "4 lbs 6 oz"])
def test_pounds_and_ounces_are_added(text: str) -> None:
    """Four pounds and six ounces are seventy ounces."""
    assert amount_of(text, MASS, None) == amount_of("70 oz", MASS, None)


def test_feet_and_inches_are_added() -> None:
    """Five feet and two and five eighths of an inch are so many inches."""
    expected = amount_of("62 5/8 in", LENGTH, None)

    assert amount_of("5 ft 2 5/8 in", LENGTH, None) == expected
    assert amount_of('5ft 2 5/8"', LENGTH, None) == expected


def test_a_bare_number_takes_the_station_s_unit() -> None:
    """Only where the station has a unit, and only where none is written."""
    assert split("4", LENGTH, "mm") == (Fraction(4), "mm")
    assert split("4 in", LENGTH, "mm") == (Fraction(4), "in")
    with pytest.raises(RefusedError):
        split("4", LENGTH, None)


@given(st.fractions(min_value=-1000, max_value=1000))
def test_rounding_goes_to_the_nearest_and_halves_go_up(value: Fraction) -> None:
    """A half goes away from nought, and the sign is kept."""
    whole = half_up(value)

    assert abs(whole - value) <= Fraction(1, 2)
    assert half_up(-value) == -whole
    if abs(whole - value) == Fraction(1, 2):
        assert abs(whole) > abs(value)


def test_small_and_capital_letters_give_one_unit_only() -> None:
    """No two units of a scale differ by capitals alone, but the same unit twice."""
    tables = [t for t in vars(scales).values() if isinstance(t, scales.Scale)]
    by_letter = [
        {worth for unit, worth in table.units.items() if unit.lower() == name.lower()}
        for table in tables
        for name in table.units
    ]

    assert len(tables) > 10
    assert all(len(worths) == 1 for worths in by_letter)


def test_every_scale_reads_its_own_example() -> None:
    """What an answer shows as the right form is one."""
    tables = [t for t in vars(scales).values() if isinstance(t, scales.Scale)]

    assert all(
        amount_of(example, table, None) > 0
        for table in tables
        for example in table.example.split(" or ")
    )


@pytest.mark.parametrize("text", ["２０５ｇ", "２０５　ｇ", "２０５．０ g", "205 ｇ"])
def test_a_japanese_keyboard_is_read_like_any_other(text: str) -> None:
    """Digits, marks, spaces and letters as wide as an ideograph."""
    assert scales.amount_of(text, MASS, None) == 205_000


def test_only_wide_and_square_forms_are_made_narrow() -> None:
    """The small two of a square inch is no digit."""
    assert scales.half_width("１８３ in²") == "183 in²"
    assert scales.half_width("７㎏") == "7kg"
    assert scales.half_width("琴 1") == "琴 1"


def test_what_is_too_much_is_said_in_words_of_the_trade() -> None:
    """Nobody weighs in the small units of the log."""
    with pytest.raises(RefusedError) as refused:
        scales.rounded(Fraction(2**53), "9007199254.740992 kg")

    assert str(refused.value) == (
        "'9007199254.740992 kg' is more than the ledger can hold: read it again, and "
        "look at the unit"
    )


@pytest.mark.parametrize(
    ("words", "printed"),
    [(["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_words_in_a_row_end_with_and(words: list[str], printed: str) -> None:
    """One is alone, two have no comma."""
    assert scales.in_a_row(words) == printed
