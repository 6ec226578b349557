"""A total agrees with the rows above it, or the list is wrong."""

import pytest

from ledger.acts.packing.rows import Reading
from ledger.acts.packing.totals import Sum, judged
from ledger.acts.packing.words import Per


def reading(quantity: int | None, per: Per | None, mg: int | None = None) -> Reading:
    """Return a row as far as a total looks at it."""
    return Reading(line=2, quantity=quantity, per=per, listed_mg=mg)


def total(quantity: int | None, per: Per | None = None, mg: int | None = None) -> Sum:
    """Return what a total says."""
    return Sum(line=9, quantity=quantity, per=per, mass_mg=mg)


SETS = [reading(12, "set", 412_000), reading(11, "set", 400_000)]
MIXED = [reading(3, "set"), reading(4, "half")]


@pytest.mark.parametrize(
    ("said", "rows", "is_fault", "words"),
    [
        (total(23, "set"), SETS, False, "its rows add up to it"),
        (total(24, "set"), SETS, True, "says 24 sets, its rows add up to 23"),
        (total(46, "half"), SETS, False, "its rows add up to it"),
        (total(5, "set"), MIXED, False, "its rows add up to it"),
        (total(7), MIXED, False, "its rows add up to it"),
        (total(5), MIXED, True, "says 5 pieces, its rows add up to 7"),
        (total(23, None, 812_000), SETS, False, "its rows add up to it"),
        (total(23, None, 9_344_000), SETS, False, "its rows add up to it"),
        (total(23, None, 9_000_000), SETS, True, "says 9000\u2009g, its rows add up"),
        (total(None), SETS, False, "without a number that can be read: not checked"),
        (
            total(23),
            [*SETS, reading(None, None)],
            False,
            "not checked, for a row above has no number",
        ),
    ],
)
def test_a_total_is_compared_with_its_rows(
    said: Sum, rows: list[Reading], is_fault: bool, words: str
) -> None:
    """In sets, halves or pieces, and in mass of each or of all."""
    verdict, wrong = judged(said, [rows])

    assert words in verdict
    assert wrong is is_fault


def test_a_total_may_be_that_of_the_page() -> None:
    """All rows, or those since the last total."""
    page = [reading(2, "set")]

    assert judged(total(2, "set"), [SETS + page, page])[1] is False
    assert judged(total(25, "set"), [SETS + page, page])[1] is False
    assert judged(total(24, "set"), [SETS + page, page])[1] is True
