"""Two graders: published tables, an independent library, and too little to say."""

from itertools import chain, product, repeat
from math import sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from sklearn.metrics import cohen_kappa_score

from ledger.craft.agreement import (
    LEAST_BOARDS,
    Agreement,
    agreement,
    agreement_words,
    apart_words,
)
from ledger.errors import RefusedError

WORDS = ("first", "second", "third")
Table = list[list[int]]


def both(table: Table, words: tuple[str, ...] = WORDS) -> list[dict[str, str]]:
    """Return what two graders said, from a table with the first one's words as rows."""
    cells = chain.from_iterable(
        repeat((words[i], words[j]), table[i][j])
        for i, j in product(range(len(table)), repeat=2)
    )
    given = {f"board {place}": cell for place, cell in enumerate(cells)}
    return [{b: cell[side] for b, cell in given.items()} for side in (0, 1)]


def judged(table: Table, words: tuple[str, ...] = WORDS) -> Agreement:
    """Return how two graders agree by their table."""
    return agreement(*both(table, words), order=words)


@pytest.mark.parametrize(
    ("table", "chance", "kappa"),
    [
        # J. Cohen (1960), his second table, 200 cases: kappa .492 (from memory).
        ([[88, 14, 18], [10, 40, 10], [2, 6, 12]], 0.41, 0.4915),
        # J. L. Fleiss, Statistical Methods for Rates and Proportions (1981), section
        # 13.1, 100 cases: kappa .68, chance .66 (from memory).
        ([[75, 1, 4], [5, 4, 1], [0, 0, 10]], 0.66, 0.6765),
    ],
)
def test_published_tables_come_out(table: Table, chance: float, kappa: float) -> None:
    """What the papers print is what the boards would be told."""
    said = judged(table)

    assert said.by_chance_ppm == pytest.approx(chance * 1e6, abs=1)
    assert said.plain.kappa_ppm == pytest.approx(kappa * 1e6, abs=60)


def test_the_published_standard_error_comes_out() -> None:
    """Fleiss prints a standard error of .087 for his table (from memory)."""
    said = judged([[75, 1, 4], [5, 4, 1], [0, 0, 10]])

    assert said.plain.standard_error_ppm == pytest.approx(87_000, abs=1_500)


def test_a_table_of_two_words_worked_by_hand() -> None:
    """Twenty and fifteen alike of fifty: 0.7 seen, 0.5 by chance, kappa 0.4."""
    said = judged([[20, 5], [10, 15]], ("good", "bad"))

    assert (said.boards, said.alike, said.by_chance_ppm) == (50, 35, 500_000)
    assert said.plain.kappa_ppm == 400_000
    assert said.weighted == said.plain


@given(
    st.lists(
        st.lists(st.integers(0, 30), min_size=3, max_size=3), min_size=3, max_size=3
    )
)
def test_an_independent_library_agrees(table: Table) -> None:
    """Plain and weighted kappa are those of another implementation."""
    assume(sum(map(sum, table)) >= LEAST_BOARDS)
    first, second = both(table)
    assume(min(len({*side.values()}) for side in (first, second)) > 1)
    said = agreement(first, second, order=WORDS)
    sides = [[side[board] for board in sorted(side)] for side in (first, second)]
    plain = cohen_kappa_score(*sides, labels=WORDS)
    weighted = cohen_kappa_score(*sides, labels=WORDS, weights="linear")

    assert said.plain.kappa_ppm == pytest.approx(plain * 1e6, abs=1)
    assert said.weighted.kappa_ppm == pytest.approx(weighted * 1e6, abs=1)


def numeric_error(table: Table, *, is_weighted: bool) -> float:
    """Return kappa's standard error by the delta method with numeric slopes."""
    counts = np.array(table, dtype=float)
    boards, size = counts.sum(), len(table)
    apart = np.abs(np.subtract.outer(np.arange(size), np.arange(size)))
    weights = 1 - apart / (size - 1) if is_weighted else (apart == 0).astype(float)

    def kappa(shares: np.ndarray) -> float:
        chance = (weights * np.outer(shares.sum(1), shares.sum(0))).sum()
        return float(((weights * shares).sum() - chance) / (1 - chance))

    shares, step = counts / boards, 1e-6
    slopes = np.zeros_like(shares)
    for cell in np.ndindex(*shares.shape):
        nudge = np.zeros_like(shares)
        nudge[cell] = step
        slopes[cell] = (kappa(shares + nudge) - kappa(shares - nudge)) / (2 * step)
    mean = (shares * slopes).sum()
    return sqrt(((shares * slopes**2).sum() - mean**2) / boards)


@pytest.mark.parametrize(
    "table",
    [
        [[88, 14, 18], [10, 40, 10], [2, 6, 12]],
        [[75, 1, 4], [5, 4, 1], [0, 0, 10]],
        [[9, 1, 0], [2, 8, 3], [0, 4, 6]],
        [[5, 5, 5], [5, 5, 5], [5, 5, 5]],
    ],
)
def test_the_error_is_that_of_the_law_of_propagation(table: Table) -> None:
    """Both standard errors agree with slopes taken numerically."""
    said = judged(table)

    for kappa, is_weighted in ((said.plain, False), (said.weighted, True)):
        expected = numeric_error(table, is_weighted=is_weighted)
        assert kappa.standard_error_ppm == pytest.approx(expected * 1e6, abs=5)


def test_full_agreement_is_one_without_error() -> None:
    """Who always says the same as the other agrees fully, and parts nowhere."""
    said = judged([[10, 0, 0], [0, 12, 0], [0, 0, 8]])

    assert said.plain.kappa_ppm == said.weighted.kappa_ppm == 1_000_000
    assert said.plain.standard_error_ppm == 0
    assert apart_words(said) == "nowhere apart"
    assert agreement_words(said).replace("\u2009", " ") == (
        "all 30 boards were graded alike, 34 % would be by chance alone; kappa 1, of "
        "which no spread can be told where none is apart"
    )


def test_near_misses_count_in_part() -> None:
    """The same number of misses weighs less where they are one grade apart."""
    near = judged([[10, 4, 0], [0, 10, 0], [0, 0, 10]])
    far = judged([[10, 0, 4], [0, 10, 0], [0, 0, 10]])

    assert near.weighted.kappa_ppm > near.plain.kappa_ppm
    assert far.weighted.kappa_ppm < far.plain.kappa_ppm


def test_it_is_said_in_a_sentence() -> None:
    """The sentence has the counts, chance and both kappas with their spread."""
    said = judged([[75, 1, 4], [5, 4, 1], [0, 0, 10]])
    plain = agreement_words(said).replace("\u2009", " ")

    assert plain == (
        "of 100 boards 89 were graded alike (89 %), 66 % would be by chance alone; "
        "kappa 0.68 ± 0.18 (k = 2), 0.72 ± 0.17 where near counts in part"
    )
    assert apart_words(said) == "most often second against first (5 boards)"
    assert said.apart[0] == ("second", "first", 5)


def test_less_than_chance_has_a_minus() -> None:
    """Two who always differ agree less than two dice would."""
    said = judged([[0, 15], [15, 0]], ("good", "bad"))

    assert said.plain.kappa_ppm == -1_000_000
    assert "kappa \u22121.00 ± 0.00" in agreement_words(said)


def test_only_boards_that_both_graded_count() -> None:
    """What one of them never saw says nothing of the two."""
    first, second = both([[10, 2, 0], [1, 10, 0], [0, 0, 9]])
    alone = {"another": "first"}

    assert agreement(first | alone, second, order=WORDS) == agreement(
        first, second, order=WORDS
    )


def test_too_few_boards_say_nothing() -> None:
    """With twenty-nine boards it refuses, and names both numbers."""
    with pytest.raises(RefusedError, match="29 boards in common, fewer than the 30"):
        judged([[9, 0, 0], [0, 20, 0], [0, 0, 0]])


def test_boards_that_are_all_alike_say_nothing() -> None:
    """Where both gave one grade to all, chance would have done the same."""
    with pytest.raises(RefusedError, match="both gave first to all 30 boards"):
        judged([[30, 0, 0], [0, 0, 0], [0, 0, 0]])


def test_a_grader_with_one_word_for_all_is_refused() -> None:
    """Kappa would be 0 without error, even where 39 of 40 were graded alike."""
    first = dict.fromkeys(map(str, range(40)), "first")
    with pytest.raises(RefusedError, match="one of the two gave first to all 40"):
        agreement(first, {**first, "7": "second"}, order=("first", "second"))


def test_a_word_of_another_policy_is_refused() -> None:
    """Grades are compared within one policy only."""
    first, second = both([[20, 0, 0], [0, 15, 0], [0, 0, 0]])

    with pytest.raises(RefusedError, match="'AAA' is none of the grades"):
        agreement(first | {"board 0": "AAA"}, second, order=WORDS)
