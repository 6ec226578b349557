"""One cell is an amount, sizes, masses or a count, or it is asked about."""

import pytest

from ledger.acts.packing.cells import (
    Marks,
    NoUnitError,
    amount,
    count,
    marks_of,
    masses,
    sizes,
)
from ledger.acts.packing.words import SCALES, SIZE
from ledger.errors import RefusedError
from ledger.scales import MASS

UNKNOWN = Marks()


@pytest.mark.parametrize(
    ("text", "meaning", "small"),
    [
        ('21 7/8"', "length", 555_625),
        ("22-7/8 in", "length", 581_025),
        ("22½”", "length", 571_500),
        ("559 mm", "length", 559_000),
        ("ca. 559,5 mm", "length", 559_500),
        ("1.250,5 mm", "length", 1_250_500),
        ("1,250.5 mm", "length", 1_250_500),
        ("1' 10\"", "length", 558_800),
        ("11/64 in", "thickness", 4_366),
        ("0.9 kg", "mass", 900_000),
        ("31.5 ounces", "mass", 893_010),
        ("2 lb 3 oz", "mass", 992_233),
        ("0.23 bf", "volume", 542_740),
        ("0.23 board feet", "volume", 542_740),
        ("8,2 %", "moisture", 82_000),
    ],
)
def test_an_amount_is_read_with_its_own_unit(
    text: str, meaning: str, small: int
) -> None:
    """Fractions, inch marks, decimal commas, units in words."""
    assert amount(text, SCALES[meaning], unit=None, marks=UNKNOWN).small == small


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("-3 mm", "'-3 mm' is below zero"),
        ("0 mm", "'0 mm' is nothing"),
        ("heaps", "'heaps' is not a length"),
        ("4.2-4.5 mm", "'4.2-4.5 mm' is not a length"),
        ("559 kg", "'559 kg' is not a length"),
        ("1,250 mm", "'1,250 mm' can be read in two ways; write 1250 or 1.250"),
        ("9" * 70, "is not a length"),
    ],
)
def test_what_is_no_amount_is_told_as_it_was_written(text: str, said: str) -> None:
    """The answer quotes the cell and shows how to write it."""
    with pytest.raises(RefusedError) as refused:
        amount(text, SIZE, unit="mm", marks=UNKNOWN)

    assert said in str(refused.value)


def test_a_number_without_a_unit_is_never_guessed() -> None:
    """Not even where only millimetres would make sense."""
    with pytest.raises(NoUnitError):
        amount("559", SIZE, unit=None, marks=UNKNOWN)


def test_quarters_are_read_in_both_ways_of_writing() -> None:
    """In a column of quarters, 8 and 8/4 are two inches."""
    read = [amount(text, SIZE, unit="/4", marks=UNKNOWN).small for text in ("8", "8/4")]

    assert read == [50_800, 50_800]


@pytest.mark.parametrize(
    ("cells", "has_semicolons", "comma", "proof"),
    [
        (["1,250", "4,25"], False, "decimal", "4,25"),
        (["1,250", "2.100,5"], False, "decimal", "2.100,5"),
        (["1,250", "2,100.5"], False, "thousands", "2,100.5"),
        (["1,250", "0,900"], False, "decimal", "0,900"),
        (["1,250", "900"], False, None, None),
        (["1,250", "900"], True, "decimal", None),
        (["1,250", "4.5"], True, None, None),
        (["1,250", "4.5", "4,5"], False, None, None),
    ],
)
def test_the_rest_of_a_column_proves_its_commas(
    cells: list[str], has_semicolons: bool, comma: str | None, proof: str | None
) -> None:
    """What is proved both ways, or in no way, stays open."""
    marks = marks_of(cells, has_semicolons=has_semicolons)

    assert (marks.comma, marks.proof) == (comma, proof)


def test_a_proved_comma_is_read_and_a_doubtful_point_asked_about() -> None:
    """Beside 4,25 the comma of 1,250 is decimal, and 1.250 may be thousands."""
    marks = marks_of(["4,25"], has_semicolons=False)
    thousands = marks_of(["2,100.5"], has_semicolons=False)

    assert amount("1,250", MASS, unit="kg", marks=marks).small == 1_250_000
    assert amount("1,250", MASS, unit="g", marks=thousands).small == 1_250_000
    with pytest.raises(RefusedError, match="write 1250 or 1,25"):
        amount("1.250", MASS, unit="kg", marks=marks)


@pytest.mark.parametrize(
    ("text", "order", "expected"),
    [
        ("559 x 203 x 4.2 mm", None, (559_000, 203_000, 4_200)),
        ("559x203x4,2mm", None, (559_000, 203_000, 4_200)),
        ('22" × 8" × 11/64"', None, (558_800, 203_200, 4_366)),
        ("559 mm x 203 x 4.2", None, (559_000, 203_000, 4_200)),
        ("2 x 559 x 203 x 4.2 mm", None, (559_000, 203_000, 4_200)),
        ("4.2 x 203 x 559 mm", "twl", (559_000, 203_000, 4_200)),
        ("22 in x 203 mm x 4.2 mm", None, (558_800, 203_000, 4_200)),
    ],
)
def test_one_cell_holds_three_sizes(
    text: str, order: str | None, expected: tuple[int, int, int]
) -> None:
    """The only unit goes for all, and the header may tell the order."""
    read = sizes(text, SIZE, unit=None, order=order, marks=UNKNOWN)

    assert tuple(read[side].small for side in ("length", "width", "thickness")) == (
        expected
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4.2 x 203 x 559 mm", "does not fall from length to thickness"),
        ("22 in x 203 mm x 4", "has 2 units; give each size one"),
        ("559 mm", "is not sizes"),
        ("1 x 2 x 3 x 4 x 5 mm", "is not sizes"),
        ("large", "is not sizes"),
    ],
)
def test_sizes_that_are_unclear_are_asked_about(text: str, said: str) -> None:
    """An order is never guessed, nor a second unit."""
    with pytest.raises(RefusedError) as refused:
        sizes(text, SIZE, unit=None, order=None, marks=UNKNOWN)

    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("412 g", (412_000,)),
        ("1/2 lb", (226_796,)),
        ("212 + 204 g", (212_000, 204_000)),
        ("212/204 g", (212_000, 204_000)),
        ("212 g / 204 g", (212_000, 204_000)),
    ],
)
def test_one_cell_holds_one_mass_or_two(text: str, expected: tuple[int, ...]) -> None:
    """Two masses are told from a fraction of a pound."""
    read = masses(text, MASS, unit=None, marks=UNKNOWN)

    assert tuple(mass.small for mass in read) == expected


def test_a_mass_that_could_be_a_fraction_is_asked_about() -> None:
    """220/64 g may be two halves, and three masses are no set."""
    with pytest.raises(RefusedError, match=r"write 220 \+ 64 for two halves"):
        masses("220/64 g", MASS, unit=None, marks=UNKNOWN)
    with pytest.raises(RefusedError, match="is 3 masses"):
        masses("1 + 2 + 3 g", MASS, unit=None, marks=UNKNOWN)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("24", (24, None)),
        ("12.00", (12, None)),
        ("12 sets", (12, "set")),
        ("6 Paare", (6, "set")),
        ("24 Hälften", (24, "half")),
        ("2 Stk.", (2, "board")),
    ],
)
def test_a_count_may_say_of_what(text: str, expected: tuple[int, str | None]) -> None:
    """Sets, halves, boards, in the words of the list."""
    assert count(text) == expected


@pytest.mark.parametrize(
    "text", ["0", "-1", "12.5", "five", "3 m²", "1,000", "1.000", "9999999", ""]
)
def test_what_counts_nothing_is_refused(text: str) -> None:
    """Nothing, a part, a word, or a number that could be two."""
    with pytest.raises(RefusedError):
        count(text)


def test_a_japanese_keyboard_is_read_like_any_other() -> None:
    """Digits, marks and units as wide as an ideograph."""
    length = amount("５５９．５㎜", SIZE, unit=None, marks=Marks())
    both = masses("２１２＋２０４ｇ", MASS, unit=None, marks=Marks())
    three = sizes("５５９×２０３×４ｍｍ", SIZE, unit=None, order=None, marks=Marks())

    assert (length.small, length.unit) == (559_500, "mm")
    assert [mass.small for mass in both] == [212_000, 204_000]
    assert [size.small for size in three.values()] == [559_000, 203_000, 4_000]
    assert count("２４") == (24, None)
