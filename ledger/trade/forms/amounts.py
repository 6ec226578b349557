"""Amounts printed so that the rows of a form add up to its total.

The total is rounded once, half up, and shared out among the rows: what rounding
leaves goes to those that lost most by it. No amount is so small that it prints as
nothing: the finest row sets how many decimals all have.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ledger import quantities
from ledger.scales import half_up, shared

_KG_DIGITS, _M3_DIGITS = 6, 9  # decimals at which a kg or a m³ is exact
_FEWEST = 3
_LEAST_KG, _LEAST_M3 = 10, 100  # steps that the lightest row must have


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """Amounts in words, their total, and how they were rounded."""

    parts: tuple[str, ...]
    total: str
    rounding: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounded:
    """Amounts rounded to as many decimals each, and their total, which they add to."""

    parts: tuple[int, ...]
    total: int
    places: int


def milligrams(masses_mg: Sequence[int], *, places: int | None = None) -> Rounded:
    """Return masses rounded to the gram or finer, so that they add up [mg].

    places  decimals of a kilogram, where others stand beside them

    Source: common practice, no source.
    """
    return _rounded(masses_mg, _KG_DIGITS, _LEAST_KG, places)


def kilograms(masses_mg: Sequence[int]) -> Amounts:
    """Return masses in kilograms that add up, to the gram or finer.

    Source: common practice, no source.
    """
    return _adding_up(masses_mg, _KG_DIGITS, _LEAST_KG, quantities.kilograms)


def cubic_metres(volumes_mm3: Sequence[int]) -> Amounts:
    """Return volumes in cubic metres that add up.

    Source: common practice, no source.
    """
    return _adding_up(volumes_mm3, _M3_DIGITS, _LEAST_M3, quantities.cubic_metres)


def _adding_up(
    amounts: Sequence[int], digits: int, least: int, printed: Callable[..., str]
) -> Amounts:
    found = _rounded(amounts, digits, least)
    step = 10 ** (digits - found.places)
    words = printed(step, places=found.places)
    rounding = f"rounded to {words}, so that the rows add up to the total"
    if all(amount % step == 0 for amount in amounts):
        rounding = f"exact, in steps of {words}"
    return Amounts(
        parts=tuple(printed(part, places=found.places) for part in found.parts),
        total=printed(found.total, places=found.places),
        rounding=rounding,
    )


def _rounded(
    amounts: Sequence[int], digits: int, least: int, places: int | None = None
) -> Rounded:
    places = places or _places(amounts, digits, least)
    step = 10 ** (digits - places)
    whole = sum(amounts)
    names = [f"{row:09}" for row in range(len(amounts))]
    shares = {
        name: Fraction(amount, whole or 1)
        for name, amount in zip(names, amounts, strict=True)
    }
    total = half_up(Fraction(whole, step))
    parts = shared(total, shares)
    return Rounded(
        parts=tuple(parts[name] * step for name in names),
        total=total * step,
        places=places,
    )


def _places(amounts: Sequence[int], digits: int, least: int) -> int:
    """Return the fewest decimals with which no amount is lost.

    What was weighed in whole grams gets no nought that nobody read.
    """
    if all(amount % 10 ** (digits - _FEWEST) == 0 for amount in amounts):
        return _FEWEST
    for places in range(_FEWEST, digits):
        step = 10 ** (digits - places)
        if all(not amount or amount >= least * step for amount in amounts):
            return places
    return digits
