"""What a cell of a log says of the air: a number with its unit, or none.

Reading is exact, like everywhere in the ledger: degrees become thousandths of a kelvin,
percent become millionths, rounded half up.
"""

import re
from fractions import Fraction
from functools import lru_cache

from ledger.acts.airlog.words import ABSENT, unit_of
from ledger.scales import MINUS, ZERO_CELSIUS, ZERO_FAHRENHEIT, half_up

_NUMBER = re.compile(
    rf"([+{MINUS}-]?)(\d{{1,6}})(?:[.,](\d{{1,12}}))?\s*"
    rf"(°?\s*[CF]|℃|℉|deg\s*[CF]|%\s*(?:R?H|r\.?\s?F\.?)?)?",
    re.IGNORECASE,
)
_DASHES = re.compile(r"[-–—.*?#\s]*")


@lru_cache(maxsize=50_000)
def is_absent(cell: str) -> bool:
    """Tell whether a cell says that the sensor gave nothing."""
    bare = cell.strip()
    if _DASHES.fullmatch(bare):
        return True
    return bare.casefold().strip(".!()[]<>:") in ABSENT


@lru_cache(maxsize=50_000)
def temperature_of(cell: str, unit: str) -> int | None:
    """Return a temperature in thousandths of a kelvin; its own unit goes first.

    unit  C or F, of the column
    """
    found = _NUMBER.fullmatch(cell.strip())
    if found is None or (found[4] or "").startswith("%"):
        return None
    own = unit_of((found[4] or "").upper().replace("DEG", "°"))
    return kelvin(_amount(found), own or unit)


def kelvin(amount: Fraction, unit: str) -> int:
    """Return degrees of a scale in thousandths of a kelvin."""
    if unit == "F":
        return half_up((amount + ZERO_FAHRENHEIT) * Fraction(5000, 9))
    return half_up((amount + ZERO_CELSIUS) * 1000)


def misread(millikelvin: int, *, unit: str) -> int:
    """Return what a temperature would be if its unit were the other one."""
    absolute = Fraction(millikelvin, 1000)
    if unit == "F":
        return kelvin(absolute * 9 / 5 - ZERO_FAHRENHEIT, "C")
    return kelvin(absolute - ZERO_CELSIUS, "F")


@lru_cache(maxsize=50_000)
def humidity_of(cell: str) -> int | None:
    """Return a relative humidity in millionths."""
    found = _NUMBER.fullmatch(cell.strip())
    if found is None or (found[4] and not found[4].startswith("%")):
        return None
    return half_up(_amount(found) * 10_000)


def _amount(found: re.Match[str]) -> Fraction:
    amount = Fraction(f"{found[2]}.{found[3] or 0}")
    return -amount if found[1] in ("-", MINUS) else amount
