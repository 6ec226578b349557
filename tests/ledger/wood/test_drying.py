"""Tests of drying: the closed formula, honest intervals, and what cannot be told."""

import math
from collections.abc import Sequence
from contextlib import suppress

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.errors import RefusedError
from ledger.wood.drying import (
    Drying,
    drying_of,
    expected_time_constant,
    ready_day,
    remaining_at,
)
from tests.ledger.wood.three_weighings import end_mass_of_three

STEP = 1e-4  # kg, a balance of 0.1 g
LIMIT = 0.002


def fitted(days: Sequence[float], grams: Sequence[float]) -> Drying:
    """Return the drying of weighings in grams, on a balance of 0.1 g."""
    return drying_of(days=days, masses=[g / 1000 for g in grams], resolution=STEP)


def weighed(
    chance: np.random.Generator, truth: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return masses as a balance shows them that scatters by one step."""
    scattered = truth + chance.normal(0, STEP, truth.shape)
    shown: NDArray[np.float64] = np.round(scattered / STEP) * STEP
    return shown


def slab(days: NDArray[np.float64], constant: float) -> NDArray[np.float64]:
    """Return what is left in a slab, term by term of Fick's second law.

    Source: Crank, The Mathematics of Diffusion, from memory; open on both faces.
    """
    odd = np.arange(1, 400, 2)[:, None]
    terms = np.exp(-(odd**2) * days / constant) / odd**2
    left: NDArray[np.float64] = 8 / math.pi**2 * terms.sum(axis=0)
    return left


def test_three_weighings_give_the_worked_example() -> None:
    """210.0, 206.4 and 204.2 g end at 200.743 g, ratio 0.611; reckoned separately."""
    end, ratio = end_mass_of_three([210.0, 206.4, 204.2])
    found = fitted([0, 30, 60], [210.0, 206.4, 204.2])

    assert (end, ratio) == pytest.approx((200.743, 0.611), abs=5e-4)
    assert found.end_mass.value * 1000 == pytest.approx(end, abs=1e-3)
    assert found.time_constant.value == pytest.approx(-30 / math.log(ratio), rel=1e-3)
    assert "3 weighings cannot show" in found.warnings[0]


def test_intervals_hold_the_truth_in_95_of_100_cases() -> None:
    """1,000 series of five weighings: 400 g, of 8 g to lose, T 30 days, over 60 days.

    The end mass lies inside two standard uncertainties in 93 to 98 %, and so does the
    day on which 0.2 % are left.
    """
    chance, days = np.random.default_rng(5), np.linspace(0, 60, 5)
    truth = 0.4 + 0.008 * np.exp(-days / 30)
    day = 30 * math.log(0.008 / 0.4 / LIMIT)
    ends = dates = told = 0
    for _ in range(1000):
        try:
            found = drying_of(
                days=days.tolist(),
                masses=weighed(chance, truth).tolist(),
                resolution=STEP,
            )
        except RefusedError:
            continue
        ready = ready_day(found, remaining=LIMIT)
        told += 1
        ends += abs(found.end_mass.value - 0.4) <= 2 * found.end_mass.u
        dates += ready.least <= day <= ready.most

    assert told >= 980
    assert 0.93 <= ends / told <= 0.98
    assert 0.93 <= dates / told <= 0.98


def test_first_days_off_the_curve_are_left_out_and_told() -> None:
    """A slab by the full series, weighed from its first hour on: 200 boards.

    With them the end would read 0.7 g too high; without, it lies inside the interval
    in nine of ten cases, and the answer says what was left out.
    """
    chance, days = np.random.default_rng(3), np.linspace(0, 60, 8)
    truth = 0.4 + 0.008 * slab(days, 30)
    found = []
    for _ in range(200):
        masses = weighed(chance, truth).tolist()
        with suppress(RefusedError):
            found.append(drying_of(days=days.tolist(), masses=masses, resolution=STEP))
    held = sum(abs(each.end_mass.value - 0.4) <= 2 * each.end_mass.u for each in found)
    told = [each for each in found if each.warnings]

    assert held >= 170
    assert len(told) >= 170
    assert "the first weighing is left out" in told[0].warnings[0]


def test_wood_weighed_from_its_first_hour_has_a_curve_of_its_own() -> None:
    """300 series of four weighings of a slab by the full series, and told to be fresh.

    The end mass and the day lie inside their intervals, and nothing is left out. The
    exponential would hold the end in fewer than half of them.
    """
    chance, days = np.random.default_rng(9), np.linspace(0, 60, 4)
    truth = 0.4 + 0.008 * slab(days, 30)
    day = 30 * math.log(8 / math.pi**2 * 0.008 / 0.4 / LIMIT)
    ends = dates = plain = told = 0
    for _ in range(300):
        masses = weighed(chance, truth).tolist()
        try:
            found, other = (
                drying_of(
                    days=days.tolist(), masses=masses, resolution=STEP, is_fresh=fresh
                )
                for fresh in (True, False)
            )
        except RefusedError:
            continue
        told += 1
        ready = ready_day(found, remaining=LIMIT)
        ends += abs(found.end_mass.value - 0.4) <= 2 * found.end_mass.u
        plain += abs(other.end_mass.value - 0.4) <= 2 * other.end_mass.u
        dates += ready.least <= day <= ready.most

    assert told >= 290
    assert 0.92 <= ends / told <= 0.99
    assert 0.92 <= dates / told <= 0.99
    assert plain / told < 0.5
    assert len(found.days) == 4


def test_scatter_beyond_the_balance_widens_the_interval() -> None:
    """Air that came and went moves masses by 0.3 g; the answer says so."""
    days = [0, 10, 20, 30, 40, 50, 60, 70]
    calm = [408 - 8 * (1 - math.exp(-day / 30)) for day in days]
    swayed = [g + (0.35 if n % 2 else -0.35) for n, g in enumerate(calm)]
    rough = fitted(days, swayed)

    assert "the air may have changed" in rough.warnings[0]
    assert rough.end_mass.u > 2 * fitted(days, calm).end_mass.u


def test_more_weighings_make_it_surer() -> None:
    """Twice as many days narrow the interval of the day."""
    widths = []
    for count in (4, 8, 16):
        days = np.linspace(0, 60, count)
        masses = 0.4 + 0.008 * np.exp(-days / 30)
        found = drying_of(days=days.tolist(), masses=masses.tolist(), resolution=STEP)
        ready = ready_day(found, remaining=LIMIT)
        widths.append(ready.most - ready.least)

    assert widths[0] > widths[1] > widths[2]


def test_the_day_and_what_is_left_say_the_same() -> None:
    """On the likely day just the limit is left; today's interval holds the truth."""
    days = [0, 14, 28, 42, 56, 70]
    found = fitted(days, [400 + 8 * math.exp(-day / 30) for day in days])
    ready = ready_day(found, remaining=LIMIT)
    left = remaining_at(found, day=70)

    assert remaining_at(found, day=ready.likely).likely == pytest.approx(LIMIT)
    assert ready.least < ready.likely < ready.most
    assert left.least < 0.02 * math.exp(-70 / 30) < left.most


def test_wood_that_is_ready_is_ready_from_the_first_day() -> None:
    """Where less than the limit was left from the start, the day is nought."""
    days = [0, 14, 28, 42, 56, 70]
    found = fitted(days, [400 + 2 * math.exp(-day / 30) for day in days])
    ready = ready_day(found, remaining=0.05)

    assert (ready.least, ready.likely, ready.most) == (0, 0, 0)


@pytest.mark.parametrize(
    ("days", "grams", "why"),
    [
        ([0, 30], [210, 206], "2 weighings of at least 3"),
        ([0, 30, 60], [210, 211, 212], r"it gains: 2 g more after 60 days"),
        ([0, 30, 60], [210, 209.9, 209.8], r"it lost 0.2 g in 60 days, less than 5"),
        ([0, 30, 60], [210, 209.8, 206], "between two of three weighings it lost 0.2"),
        ([0, 30, 60], [210, 207, 204], "also lie on a straight line"),
        ([0, 30, 60], [210, 208, 204], "also lie on a straight line"),
        ([0, 30, 60], [210, 206, 207.5], "lost and then gained 1.5 g by day 60"),
        ([0, 9, 18, 27], [210, 208, 206, 204], "weigh it again after day 54"),
        ([0, 30, 30], [210, 206, 204], "not each on a later day"),
        ([0, 60, 30], [210, 206, 204], "not each on a later day"),
        ([0, math.nan, 60], [210, 206, 204], "not each on a later day"),
        ([0, 30, 60], [210, 20.6, 20.4], "from 210 g to 20.4 g, and no wood holds"),
        ([0, 30, 60], [210, 0, 204], "not above zero"),
        ([0, 30, 60], [210, math.inf, 204], "is no measurement"),
    ],
)
def test_too_little_is_refused_with_its_reason(
    days: list[float], grams: list[float], why: str
) -> None:
    """Each sentence has the numbers, and what to do."""
    with pytest.raises(RefusedError, match=why):
        fitted(days, grams)


@pytest.mark.parametrize("limit", [0.0, 1.0, -0.1])
def test_a_limit_is_a_share(limit: float) -> None:
    """Nothing comes to rest entirely, and nothing loses itself."""
    found = fitted([0, 30, 60], [210.0, 206.4, 204.2])

    with pytest.raises(RefusedError, match="no limit"):
        ready_day(found, remaining=limit)


@pytest.mark.parametrize(
    ("thickness", "diffusion", "days"),
    [(4, 1e-10, 0.19), (25, 1e-10, 7.3), (8, 1e-11, 7.5), (50, 1e-11, 293)],
)
def test_theory_gives_the_known_time_constants(
    thickness: float, diffusion: float, days: float
) -> None:
    """h^2 / (pi^2 D) for four boards, reckoned separately."""
    found = expected_time_constant(thickness=thickness / 1000, diffusion=diffusion)

    assert found == pytest.approx(days, rel=0.03)
