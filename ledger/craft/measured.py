"""Measures of an instrument as the bench says them, in any of the eight units.

    >>> read_measure("0.18 mm"), read_measure("-2 cents"), read_measure("45 %RH")
    (('length_um', 180), ('pitch_ppm', -1155), ('humidity_ppm', 450000))

A length, an angle, a temperature and a pitch may be below zero: a neck bends back.
"""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal, get_args

from ledger import quantities
from ledger.errors import RefusedError
from ledger.scales import (
    LENGTH,
    MINUS,
    SECONDS,
    Scale,
    amount_of,
    half_up,
    rounded,
    shown,
)

Unit = Literal[
    "length_um",
    "mass_mg",
    "frequency_millihertz",
    "humidity_ppm",
    "temperature_millikelvin",
    "angle_millidegree",
    "pitch_ppm",
    "time_seconds",
]
UNITS: tuple[Unit, ...] = get_args(Unit)
CENTS_IN_AN_OCTAVE = 1200
MINUTE, HOUR, DAY = 60, 3600, 86400
SIGNED_LENGTH = replace(LENGTH, may_be_negative=True)
PITCH = Scale(
    noun="a pitch off its tone",
    example="2 cents",
    units=dict.fromkeys(("cents", "cent"), Fraction(1)),
    may_be_negative=True,
)
TIME = replace(
    SECONDS, units=SECONDS.units | dict.fromkeys(("days", "day"), Fraction(DAY))
)
# How each is written when nothing but the unit is told.
UNIT_WORDS: dict[Unit, str] = {
    "length_um": "mm",
    "mass_mg": "g",
    "frequency_millihertz": "Hz",
    "humidity_ppm": "%RH",
    "temperature_millikelvin": "°C",
    "angle_millidegree": "°",
    "pitch_ppm": "cents",
    "time_seconds": "min",
}


def read_measure(text: str) -> tuple[Unit, int]:
    """Read a measure by the unit it is given in; return the unit and the value.

    Raises RefusedError where it is in none of them.

    Source: the units of a build's measures; common practice, no source.
    """
    # Says first what is wrong with a value, where its unit is clear.
    told: RefusedError | None = None
    for unit, read in _READERS.items():
        try:
            return unit, read(text)
        except RefusedError as refusal:
            clear = any(w in str(refusal) for w in _ABOUT_A_VALUE)
            told = told or (refusal if clear else None)
    raise told or RefusedError(
        f"{shown(text)} is no measure: write it with its unit, such as 0.18 mm, 1986 "
        f"g, 98.4 Hz, 45 %RH, 21 °C, 1.5°, 2 cents or 24 h"
    )


def unit_of(text: str) -> Unit:
    """Return which unit is meant by mm, g, Hz, %RH, °C, °, cents or min.

    Source: the units of a build's measures; common practice, no source.
    """
    try:
        return read_measure(f"1 {text}")[0]
    except RefusedError:
        raise RefusedError(
            f"{shown(text)} is no unit: write {', '.join(UNIT_WORDS.values())}"
        ) from None


def measure_words(unit: Unit, value: int) -> str:
    """Return a measure in words, with a thin space before its unit.

    Source: the units of a build's measures; common practice, no source.
    """
    return _PRINTERS[unit](value)


def typed(words: str) -> str:
    """Return printed words as a keyboard types them: plain spaces, a plain minus.

    Source: common practice, no source.
    """
    return words.replace(quantities.THIN_SPACE, " ").replace(MINUS, "-")


def pitch_ppm(text: str) -> int:
    """Read how far a pitch is off its tone, as a share of the tone.

    Source: 1200 cents to the octave, A. J. Ellis, 1885 (from memory).
    """
    cents = amount_of(text, PITCH, None)
    if abs(cents) > CENTS_IN_AN_OCTAVE:
        raise RefusedError(f"{shown(text)} is more than an octave: read it again")
    return half_up(Fraction(_share(cents)) * 10**6)


def cents(ppm: int) -> str:
    """Print how far a pitch is off its tone, as shortly as it reads back the same.

    Source: 1200 cents to the octave, A. J. Ellis, 1885 (from memory).
    """
    ratio = 1 + Decimal(ppm) / 10**6
    exact = (ratio.ln() / Decimal(2).ln()) * CENTS_IN_AN_OCTAVE
    for places in range(6):
        rounded_cents = round(Fraction(exact), places)
        if half_up(Fraction(_share(rounded_cents)) * 10**6) == ppm:
            break
    number = f"{abs(float(rounded_cents)):.{places}f}"
    unit = "cent" if number == "1" else "cents"
    sign = MINUS if rounded_cents < 0 else ""
    return f"{sign}{number}{quantities.THIN_SPACE}{unit}"


def _share(cents: Fraction) -> Decimal:
    exponent = Decimal(cents.numerator) / cents.denominator / CENTS_IN_AN_OCTAVE
    return Decimal(2) ** exponent - 1


def _span(seconds: int) -> str:
    """Print a time in the largest unit that it is whole in."""
    size, unit = next(
        ((size, unit) for size, unit in _SPANS if seconds % size == 0), (1, "s")
    )
    number = seconds // size
    if size == DAY:
        return quantities.days(number)
    return f"{number}{quantities.THIN_SPACE}{unit}"


# What a reader says of a value whose unit it knows.
_ABOUT_A_VALUE = ("two ways", "zero", "above 100", "octave", "more than the ledger")
_SPANS = ((DAY, "days"), (HOUR, "h"), (MINUTE, "min"))
_READERS: dict[Unit, Callable[[str], int]] = {
    "length_um": lambda text: rounded(amount_of(text, SIGNED_LENGTH, None), text),
    "mass_mg": quantities.mass_mg,
    "frequency_millihertz": quantities.frequency_millihertz,
    "humidity_ppm": quantities.humidity_ppm,
    "temperature_millikelvin": quantities.temperature_millikelvin,
    "angle_millidegree": quantities.angle_millidegree,
    "pitch_ppm": pitch_ppm,
    "time_seconds": lambda text: rounded(amount_of(text, TIME, None), text),
}
_PRINTERS: dict[Unit, Callable[[int], str]] = {
    "length_um": quantities.millimetres,
    "mass_mg": quantities.grams,
    "frequency_millihertz": quantities.hertz,
    "humidity_ppm": quantities.humidity,
    "temperature_millikelvin": quantities.celsius,
    "angle_millidegree": quantities.degrees,
    "pitch_ppm": cents,
    "time_seconds": _span,
}
