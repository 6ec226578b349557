"""Measures of a build: read by their unit, and written so that they read back."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.measured import (
    UNIT_WORDS,
    UNITS,
    Unit,
    measure_words,
    read_measure,
    typed,
    unit_of,
)
from ledger.errors import RefusedError
from ledger.events import route

SIGNED = ("length_um", "temperature_millikelvin", "angle_millidegree", "pitch_ppm")


def test_the_units_are_those_that_a_build_can_be_told_in() -> None:
    """What can be read can be said, and the other way round."""
    assert UNITS == route.UNITS
    assert set(UNIT_WORDS) == set(UNITS)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("0.18 mm", ("length_um", 180)),
        ("-0.05 mm", ("length_um", -50)),
        ("1/64 in", ("length_um", 397)),
        ("1986 g", ("mass_mg", 1_986_000)),
        ("98.4 Hz", ("frequency_millihertz", 98_400)),
        ("45 %RH", ("humidity_ppm", 450_000)),
        ("21 °C", ("temperature_millikelvin", 294_150)),
        ("1.5°", ("angle_millidegree", 1_500)),
        ("24 h", ("time_seconds", 86_400)),
        ("8 days", ("time_seconds", 691_200)),
    ],
)
def test_a_measure_is_read_by_its_unit(text: str, read: tuple[Unit, int]) -> None:
    """Nobody has to say whether it is a length or a mass."""
    assert read_measure(text) == read


@pytest.mark.parametrize(
    ("text", "ppm"),
    # 2^(c/1200) - 1 to eight figures: 2 cents, and an equal semitone, 1.0594631 (from
    # memory).
    [("2 cents", 1_156), ("-2 cents", -1_155), ("1 cent", 578), ("100 cents", 59_463)],
)
def test_cents_become_a_share_of_the_tone(text: str, ppm: int) -> None:
    """An octave has 1200 of them, each the same ratio."""
    assert read_measure(text) == ("pitch_ppm", ppm)


def test_twelve_hundred_cents_are_an_octave() -> None:
    """A pitch an octave up is as far off as the tone itself; beyond nobody measures."""
    assert read_measure("1200 cents") == ("pitch_ppm", 1_000_000)
    with pytest.raises(RefusedError, match="more than an octave"):
        read_measure("1201 cents")


@given(st.sampled_from(UNITS), st.integers(min_value=-400_000, max_value=900_000))
def test_what_is_written_reads_back_the_same(unit: Unit, value: int) -> None:
    """As printed with thin spaces, and as a keyboard types it."""
    value = value if unit in SIGNED else abs(value)
    if unit == "temperature_millikelvin":
        value = abs(value)
    words = measure_words(unit, value)

    assert read_measure(words) == (unit, value)
    assert read_measure(typed(words)) == (unit, value)


@given(st.integers(min_value=-50_000, max_value=50_000))
def test_a_pitch_in_ppm_agrees_with_the_logarithm(ppm: int) -> None:
    """What is printed is the logarithm to within what a millionth of the tone is."""
    number = measure_words("pitch_ppm", ppm).split("\u2009")[0].replace("\u2212", "-")
    exact = (1 + Decimal(ppm) / 10**6).ln() / Decimal(2).ln() * 1200

    assert abs(Decimal(number) - exact) < Decimal("0.001")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("5", "is no measure: write it with its unit"),
        ("thick", "is no measure"),
        ("", "is no measure"),
        ("-40 g", "is below zero; a mass"),
        ("3,250 g", "can be read in two ways"),
        ("120 %RH", "above 100 %RH"),
        ("4.7 kOhm", "is no measure"),
    ],
)
def test_what_is_no_measure_is_answered_with_why(text: str, why: str) -> None:
    """Where the unit is clear, the answer is about that unit."""
    with pytest.raises(RefusedError, match=why):
        read_measure(text)


@pytest.mark.parametrize(("unit", "word"), UNIT_WORDS.items())
def test_each_unit_is_known_by_its_word(unit: Unit, word: str) -> None:
    """And nothing else is taken for one."""
    assert unit_of(word) == unit
    with pytest.raises(RefusedError, match="is no unit: write mm, g"):
        unit_of("furlong")


def test_the_units_are_those_that_an_event_can_say() -> None:
    """Craft knows no events, and speaks of the same eight."""
    assert UNITS == route.UNITS
