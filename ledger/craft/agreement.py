"""How far two graders agree over the same boards, beyond what chance would give.

All is reckoned exactly; only the last step rounds. Kappa says nothing of who is right.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import isqrt

from ledger.errors import RefusedError
from ledger.quantities import percent
from ledger.scales import MINUS, half_up, shown

METHOD = "Cohen's kappa/1"
# The standard error holds for many boards: of 600 simulated rounds over three grades
# twice the error held the true kappa in 90 to 93 % at 20 boards, 93 to 95 % at 30.
LEAST_BOARDS = 30
PPM = 1_000_000
Weigh = Callable[[int, int, int], Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kappa:
    """Agreement beyond chance [ppm; 1 000 000 is full, 0 is chance] and its error."""

    kappa_ppm: int
    standard_error_ppm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """How two graders agree over the boards that both graded.

    `plain` counts a board as agreed or not; `weighted` lets a near miss count in part,
    by how many grades apart it is. `by_chance_ppm` is what the two would agree in if
    each gave out the same grades blindly. `apart` are the pairs of different words,
    the first grader's first, and how many boards each, the most frequent first.
    """

    boards: int
    alike: int
    by_chance_ppm: int
    plain: Kappa
    weighted: Kappa
    apart: tuple[tuple[str, str, int], ...]
    method: str = METHOD


def agreement(
    first: Mapping[str, str], second: Mapping[str, str], *, order: Sequence[str]
) -> Agreement:
    """Return how two graders agree, each given as grades by board's code.

    Boards that only one of them graded do not count. `order` has the policy's words,
    the best first. Raises RefusedError where there is too little to say.

    Source: J. Cohen, Educational and Psychological Measurement 20 (1960) 37-46 and
    Psychological Bulletin 70 (1968) 213-220; standard error of J. L. Fleiss, J. Cohen,
    B. S. Everitt, Psychological Bulletin 72 (1969) 323-327 (from memory).
    """
    both = sorted(first.keys() & second.keys())
    given = [(first[board], second[board]) for board in both]
    _require_words(given, order)
    if len(both) < LEAST_BOARDS:
        raise RefusedError(
            f"the two graded {len(both)} boards in common, fewer than the "
            f"{LEAST_BOARDS} that it takes to tell agreement from chance: grade more"
        )
    counts = Counter(given)
    _require_differing(given)
    shares = {pair: Fraction(number, len(both)) for pair, number in counts.items()}
    rows, columns = _margins(shares, order)
    chance = _sum(rows[word] * columns[word] for word in order)
    return Agreement(
        boards=len(both),
        alike=sum(number for (a, b), number in counts.items() if a == b),
        by_chance_ppm=half_up(chance * PPM),
        plain=_kappa(shares, order, _same, len(both)),
        weighted=_kappa(shares, order, _near, len(both)),
        apart=_apart(counts),
    )


def agreement_words(said: Agreement) -> str:
    """Say in one sentence how two graders agree.

    of 100 boards 89 were graded alike (89 %), 66 % would be by chance alone; kappa 0.68
    ± 0.18 (k = 2), 0.72 ± 0.16 where near counts in part

    Source: the reckoning's own numbers.
    """
    alike = percent(half_up(Fraction(said.alike * PPM, said.boards)), places=0)
    chance = percent(said.by_chance_ppm, places=0)
    if said.alike == said.boards:
        return (
            f"all {said.boards} boards were graded alike, {chance} would be by chance "
            f"alone; kappa 1, of which no spread can be told where none is apart"
        )
    return (
        f"of {said.boards} boards {said.alike} were graded alike ({alike}), {chance} "
        f"would be by chance alone; kappa {_told(said.plain)} (k = 2), "
        f"{_told(said.weighted)} where near counts in part"
    )


def apart_words(said: Agreement) -> str:
    """Say where two graders part most often, so that they can look together.

    most often first against second (5 boards)

    Source: the reckoning's own numbers.
    """
    if not said.apart:
        return "nowhere apart"
    one, other, number = said.apart[0]
    boards = "board" if number == 1 else "boards"
    return f"most often {one} against {other} ({number} {boards})"


def _require_words(given: Sequence[tuple[str, str]], order: Sequence[str]) -> None:
    strange = sorted({word for pair in given for word in pair} - set(order))
    if strange:
        raise RefusedError(
            f"{shown(strange[0])} is none of the grades {', '.join(order)}: compare "
            f"gradings by one policy"
        )


def _require_differing(given: Sequence[tuple[str, str]]) -> None:
    """Refuse a grader who gave one grade to all: kappa is then 0, whatever was seen."""
    used = [set(words) for words in zip(*given, strict=True)]
    single = [next(iter(words)) for words in used if len(words) == 1]
    if single:
        who = "both" if len(set.union(*used)) == 1 else "one of the two"
        raise RefusedError(
            f"{who} gave {single[0]} to all {len(given)} boards, so that agreement "
            f"cannot be told from chance: grade boards that differ"
        )


def _same(a: int, b: int, _: int) -> Fraction:
    return Fraction(int(a == b))


def _near(a: int, b: int, last: int) -> Fraction:
    """Let a miss count the more the nearer it is: linear weights over all grades."""
    return 1 - Fraction(abs(a - b), last)


def _margins(
    shares: Mapping[tuple[str, str], Fraction], order: Sequence[str]
) -> tuple[dict[str, Fraction], dict[str, Fraction]]:
    rows, columns = (dict.fromkeys(order, Fraction(0)) for _ in range(2))
    for (one, other), share in shares.items():
        rows[one] += share
        columns[other] += share
    return rows, columns


def _kappa(
    shares: Mapping[tuple[str, str], Fraction],
    order: Sequence[str],
    weigh: Weigh,
    boards: int,
) -> Kappa:
    rows, columns = _margins(shares, order)
    place = {word: index for index, word in enumerate(order)}
    weights = {
        (one, other): weigh(place[one], place[other], len(order) - 1)
        for one, other in product(order, repeat=2)
    }
    seen = _sum(weights[pair] * share for pair, share in shares.items())
    chance = _sum(weights[a, b] * rows[a] * columns[b] for a, b in weights)
    kappa = (seen - chance) / (1 - chance)
    # A word's mean weight against whatever the other grader gave.
    by_row = {a: _sum(weights[a, b] * columns[b] for b in order) for a in order}
    by_column = {b: _sum(weights[a, b] * rows[a] for a in order) for b in order}
    scatter = _sum(
        share * (weights[a, b] - (by_row[a] + by_column[b]) * (1 - kappa)) ** 2
        for (a, b), share in shares.items()
    )
    variance = scatter - (kappa - chance * (1 - kappa)) ** 2
    error = max(Fraction(0), variance) / (boards * (1 - chance) ** 2)
    return Kappa(kappa_ppm=half_up(kappa * PPM), standard_error_ppm=_root_ppm(error))


def _sum(parts: Iterable[Fraction]) -> Fraction:
    return sum(parts, start=Fraction(0))


def _root_ppm(square: Fraction) -> int:
    """Return the square root in ppm, rounded down to a whole one."""
    return isqrt(square.numerator * PPM**2 // square.denominator)


def _apart(counts: Mapping[tuple[str, str], int]) -> tuple[tuple[str, str, int], ...]:
    rows = [(a, b, number) for (a, b), number in counts.items() if a != b]
    return tuple(sorted(rows, key=lambda row: (-row[2], row[0], row[1])))


def _told(kappa: Kappa) -> str:
    value, spread = (
        f"{half_up(Fraction(abs(ppm), 10_000)) / 100:.2f}"
        for ppm in (kappa.kappa_ppm, 2 * kappa.standard_error_ppm)
    )
    sign = MINUS if kappa.kappa_ppm < 0 else ""
    return f"{sign}{value} ± {spread}"
