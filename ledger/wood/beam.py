"""A free bar that bends and shears: the exact frequencies of Timoshenko's beam.

Sizes are reduced to the slenderness, thickness over length, and E over G; a frequency
to b = omega L^2 sqrt(rho A / E I), which is 22.3733 for the first mode of a slender
bar. Its two halves move alike in odd modes and against each other in even ones, so that
half a bar is enough.

    >>> round(frequency_number(slenderness=1e-6, shear_ratio=16, mode=1), 4)
    22.3733
"""

import math
from collections.abc import Callable

from ledger.errors import RefusedError

SHEAR_COEFFICIENT = 5 / 6
# Beyond this a bar is a block, and no theory of bars holds.
THICKEST = 0.25
MOST_SHEAR_RATIO = 100.0
# b of the first modes of a slender bar: squares of the roots of cos x cosh x = 1.
SLENDER_NUMBERS = (4.730040744862704**2, 7.853204624095838**2)
STEPS = 20
MOST_TRIES = 100


def frequency_number(*, slenderness: float, shear_ratio: float, mode: int) -> float:
    """Return b = omega L^2 sqrt(rho A / E I) of the first or second bending mode.

    slenderness  thickness over length, to 0.25
    shear_ratio  E / G, 0 to 100; at 0 the sections still turn, but do not shear

    Source: S. P. Timoshenko, Phil. Mag. 41 (1921) 744-746, from memory; free ends, the
    halves of the bar in phase or against each other, derived anew.
    """
    require_bar(slenderness=slenderness, shear_ratio=shear_ratio)
    turn = slenderness / math.sqrt(12)
    shear = turn * math.sqrt(shear_ratio / SHEAR_COEFFICIENT)
    ends = _symmetric if mode == 1 else _antisymmetric
    highest = 1.0001 * SLENDER_NUMBERS[mode - 1]
    if turn * shear > 0:
        # Above this a second kind of wave runs in the bar.
        highest = min(highest, 0.9999 / (turn * shear))
    return _first_root(lambda b: ends(b, turn, shear), highest)


def node(*, slenderness: float, shear_ratio: float) -> float:
    """Return how far from each end the first mode rests, as a share of the length.

    Source: as for frequency_number; 0.2242 of a slender bar.
    """
    b = frequency_number(slenderness=slenderness, shear_ratio=shear_ratio, mode=1)
    turn = slenderness / math.sqrt(12)
    shear = turn * math.sqrt(shear_ratio / SHEAR_COEFFICIENT)
    fading, waving = _wave_numbers(b, turn, shear)
    share = fading * math.sin(waving / 2) / (waving * math.sinh(fading / 2))
    middle = _first_root(
        lambda x: math.cos(waving * x) - share * math.cosh(fading * x), 0.5
    )
    return 0.5 - middle


def torsion_constant(*, width: float, thickness: float) -> float:
    """Return Saint-Venant's torsion constant [m4] of a rectangle.

    Source: S. Timoshenko and J. N. Goodier, Theory of Elasticity, article 109, from
    memory; a square has 0.1406 of its side to the fourth.
    """
    long, short = max(width, thickness), min(width, thickness)
    series = sum(
        math.tanh(n * math.pi * long / (2 * short)) / n**5 for n in range(1, 40, 2)
    )
    return long * short**3 * (1 - 192 / math.pi**5 * short / long * series) / 3


def require_bar(*, slenderness: float, shear_ratio: float) -> None:
    """Refuse what is too thick to be a bar, or shears as no wood does.

    Source: the house's own limits; E over G of wood lies between 5 and 40.
    """
    if not 0 < slenderness <= THICKEST:
        raise RefusedError(
            f"the bar is only {1 / slenderness:.1f} times as long as thick, and at "
            f"least {1 / THICKEST:g} times are needed: cut a thinner or longer one"
        )
    if not 0 <= shear_ratio <= MOST_SHEAR_RATIO:
        raise RefusedError(
            f"E/G of {shear_ratio:g} does not lie between 0 and {MOST_SHEAR_RATIO:g}, "
            f"and wood has some 10 to 25 along the grain: look at sizes and tones"
        )


def _wave_numbers(b: float, turn: float, shear: float) -> tuple[float, float]:
    """Return the wave numbers of what fades from the ends and of what waves between."""
    total = turn**2 + shear**2
    root = math.sqrt((turn**2 - shear**2) ** 2 + 4 / b**2)
    return b * math.sqrt((root - total) / 2), b * math.sqrt((root + total) / 2)


def _symmetric(b: float, turn: float, shear: float) -> float:
    """Return what a free end of a mode with like halves leaves over; zero at a mode."""
    fading, waving = _wave_numbers(b, turn, shear)
    slip = (b * shear) ** 2
    bend = (waving**2 - slip) * math.cos(waving / 2) * math.tanh(fading / 2) / fading
    return bend + (fading**2 + slip) * math.sin(waving / 2) / waving


def _antisymmetric(b: float, turn: float, shear: float) -> float:
    """Return the same for halves that move against each other, sign turned."""
    fading, waving = _wave_numbers(b, turn, shear)
    slip = (b * shear) ** 2
    bend = (waving**2 - slip) * math.sin(waving / 2) / fading
    return (
        bend
        - (fading**2 + slip) * math.tanh(fading / 2) * math.cos(waving / 2) / waving
    )


def _first_root(function: Callable[[float], float], highest: float) -> float:
    """Return where a function that begins above zero first falls below it."""
    low = highest * 1e-6
    for step in range(1, STEPS + 1):
        high = highest * step / STEPS
        if function(high) <= 0:
            return root(function, low, high)
        low = high
    raise RefusedError(
        "a bar so thick and so soft in shear has no such tone: look at its sizes"
    )


def root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function changes its sign between two places, to 12 digits.

    Source: false position with the Illinois rule (Dowell and Jarratt, BIT 11 (1971)
    168-174), from memory, checked in tests.
    """
    at_low, at_high = function(low), function(high)
    for _ in range(MOST_TRIES):
        place = (low * at_high - high * at_low) / (at_high - at_low)
        value = function(place)
        if value == 0 or abs(high - low) < 1e-12 * abs(high):
            return place
        if (value > 0) == (at_high > 0):
            at_low /= 2
        else:
            low, at_low = high, at_high
        if abs(place - high) < 1e-13 * abs(place):
            return place
        high, at_high = place, value
    return high
