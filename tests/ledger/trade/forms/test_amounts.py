"""Tests of amounts that add up as printed."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.forms import amounts

MASSES = st.lists(st.integers(1, 10**10), min_size=1, max_size=20)


def number(words: str) -> Decimal:
    """Read a printed amount without its unit."""
    return Decimal("".join(words.split("\u2009")[:-1]))


def test_rows_share_out_what_rounding_leaves() -> None:
    """Three thirds of a kilogram are a kilogram; the gram goes where most was lost."""
    found = amounts.kilograms([333_333, 333_333, 333_334])

    assert found.parts == ("0.333\u2009kg", "0.333\u2009kg", "0.334\u2009kg")
    assert found.total == "1.000\u2009kg"
    assert "rounded to 0.001\u2009kg" in found.rounding


def test_what_is_exact_is_said_to_be() -> None:
    """Nothing was rounded, so nothing is said to be."""
    found = amounts.kilograms([746_000, 400_000])

    assert found.total == "1.146\u2009kg"
    assert found.rounding == "exact, in steps of 0.001\u2009kg"
    assert amounts.kilograms([11_000, 9_000]).parts == (
        "0.011\u2009kg",
        "0.009\u2009kg",
    )


def test_the_lightest_row_sets_the_decimals() -> None:
    """Nine hundred milligrams of shell beside a kilogram of wood."""
    found = amounts.kilograms([1_000_000, 900])

    assert found.parts == ("1.00000\u2009kg", "0.00090\u2009kg")
    assert amounts.cubic_metres([830_000]).total == "0.000830\u2009m³"
    assert amounts.kilograms([1]).total == "0.000001\u2009kg"
    assert amounts.kilograms([]).parts == ()


@given(MASSES)
def test_printed_rows_add_up_to_the_printed_total(masses: list[int]) -> None:
    """The total is that of the milligrams, rounded once; no row is lost or far off."""
    found = amounts.kilograms(masses)
    parts = [number(part) for part in found.parts]
    step = Decimal(1).scaleb(-len(found.total.split(".")[1].split("\u2009")[0]))

    assert sum(parts) == number(found.total)
    assert abs(number(found.total) * 10**6 - sum(masses)) * 2 <= step * 10**6
    for part, mass in zip(parts, masses, strict=True):
        assert part > 0
        assert abs(part * 10**6 - mass) < step * 10**6 * Decimal("1.5")


@given(MASSES)
def test_printed_volumes_add_up_too(volumes: list[int]) -> None:
    """And none is more than one part in sixty off."""
    found = amounts.cubic_metres(volumes)
    parts = [number(part) for part in found.parts]

    assert sum(parts) == number(found.total)
    for part, volume in zip(parts, volumes, strict=True):
        assert abs(part * 10**9 - volume) * 60 <= volume
