"""Quantities as the bench writes them, and the integers that the log keeps.

Reading is exact: the text becomes a fraction, is brought to the small unit, and what
the unit cannot hold is rounded half up in amount, the sign kept (half away from zero).
No float has a part in it.

    >>> length_um("3/32 in"), mass_mg("1.986 kg"), moisture_ppm("7,8 %")
    (2381, 1986000, 78000)

A decimal comma is read as one; "1,250 g" could be either, and is asked about. A point
is always the decimal point. Thousands are set off by spaces only.

Printing puts a thin space before the unit, a decimal point, thin spaces between
thousands from five digits on, and U+2212 for minus. Without `places` it prints all
that the small unit holds and drops trailing zeros ("2.9 mm"); with `places` it prints
just so many, zeros kept ("2.90 mm").
"""

from fractions import Fraction

from ledger.errors import RefusedError
from ledger.scales import (
    ANGLE,
    AREA,
    COMPLIANCE,
    DAYS,
    DENSITY,
    FACTOR,
    FORCE,
    FREQUENCY,
    HUMIDITY,
    INCH,
    LENGTH,
    MASS,
    MICROSECONDS,
    MINUS,
    MOISTURE,
    POUND,
    PRESSURE,
    SECONDS,
    SHARE,
    TEMPERATURE,
    VOLUME,
    ZERO_CELSIUS,
    ZERO_FAHRENHEIT,
    amount_of,
    half_up,
    rounded,
    shown,
    split,
)

# Every integer field of an event ends in one of these, or is one of the counts.
SUFFIXES = (
    "_um",
    "_mm2",
    "_mm3",
    "_mg",
    "_gram_per_m3",
    "_millihertz",
    "_ppm",
    "_milli",  # dimensionless, such as Q
    "_millikelvin",
    "_pa",
    "_nm_per_n",
    "_millinewton",
    "_seconds",
    "_microseconds",
    "_days",  # a span
    "_millidegree",
    "_minor",  # with the ISO 4217 currency beside
)
COUNTS = (
    "index",
    "version",
    "root_version",
    "threshold",
    "size",
    "number",
    "boards",
    "pieces",
    "taps",
    "cuts",
    "bits",
    "channels",
    "since_index",
    "from_index",
    "until_index",
)

THIN_SPACE = "\u2009"
RATIO_UNIT = "m⁴/(kg s)"  # of a radiation ratio


def is_unit_named(field: str) -> bool:
    """Tell whether an integer field says its unit, or is one of the known counts."""
    return field in COUNTS or any(
        field.endswith(suffix) and field != suffix for suffix in SUFFIXES
    )


def length_um(text: str, *, default_unit: str | None = None) -> int:
    """Read a length."""
    return rounded(amount_of(text, LENGTH, default_unit), text)


def area_mm2(text: str, *, default_unit: str | None = None) -> int:
    """Read an area."""
    return rounded(amount_of(text, AREA, default_unit), text)


def volume_mm3(text: str, *, default_unit: str | None = None) -> int:
    """Read a volume."""
    return rounded(amount_of(text, VOLUME, default_unit), text)


def mass_mg(text: str, *, default_unit: str | None = None) -> int:
    """Read a mass."""
    return rounded(amount_of(text, MASS, default_unit), text)


def density_gram_per_m3(text: str, *, default_unit: str | None = None) -> int:
    """Read a density."""
    return rounded(amount_of(text, DENSITY, default_unit), text)


def frequency_millihertz(text: str, *, default_unit: str | None = None) -> int:
    """Read a frequency."""
    return rounded(amount_of(text, FREQUENCY, default_unit), text)


def share_ppm(text: str, *, default_unit: str | None = None) -> int:
    """Read a share of a whole, or a scatter."""
    return rounded(amount_of(text, SHARE, default_unit), text)


def moisture_ppm(text: str, *, default_unit: str | None = None) -> int:
    """Read a moisture content, in parts of oven-dry mass."""
    return rounded(amount_of(text, MOISTURE, default_unit), text)


def factor_milli(text: str, *, default_unit: str | None = None) -> int:
    """Read a number without a unit, such as Q."""
    return rounded(amount_of(text, FACTOR, default_unit), text)


def pressure_pa(text: str, *, default_unit: str | None = None) -> int:
    """Read a modulus or a pressure."""
    return rounded(amount_of(text, PRESSURE, default_unit), text)


def force_millinewton(text: str, *, default_unit: str | None = None) -> int:
    """Read a force."""
    return rounded(amount_of(text, FORCE, default_unit), text)


def compliance_nm_per_n(text: str, *, default_unit: str | None = None) -> int:
    """Read how far a part gives under a force."""
    return rounded(amount_of(text, COMPLIANCE, default_unit), text)


def angle_millidegree(text: str, *, default_unit: str | None = None) -> int:
    """Read an angle, which may be negative."""
    return rounded(amount_of(text, ANGLE, default_unit), text)


def span_days(text: str, *, default_unit: str | None = None) -> int:
    """Read a span of days."""
    return rounded(amount_of(text, DAYS, default_unit), text)


def span_seconds(text: str, *, default_unit: str | None = None) -> int:
    """Read a span of time."""
    return rounded(amount_of(text, SECONDS, default_unit), text)


def span_microseconds(text: str, *, default_unit: str | None = None) -> int:
    """Read a short span of time."""
    return rounded(amount_of(text, MICROSECONDS, default_unit), text)


def humidity_ppm(text: str, *, default_unit: str | None = None) -> int:
    """Read the relative humidity of the air, from 0 to 100 %."""
    ppm = rounded(amount_of(text, HUMIDITY, default_unit), text)
    if ppm > 1_000_000:
        raise RefusedError(f"{shown(text)} is above 100 %RH; read the hygrometer again")
    return ppm


def temperature_millikelvin(text: str, *, default_unit: str | None = None) -> int:
    """Read a temperature in degrees Celsius or Fahrenheit, or in kelvin."""
    amount = amount_of(text, TEMPERATURE, default_unit)
    unit = split(text, TEMPERATURE, default_unit)[1]
    if unit.endswith("C"):
        amount += ZERO_CELSIUS * 1000
    if unit.endswith("F"):
        amount += ZERO_FAHRENHEIT * Fraction(5000, 9)
    if amount < 0:
        raise RefusedError(f"{shown(text)} is below absolute zero; read it again")
    return rounded(amount, text)


def millimetres(um: int, *, places: int | None = None) -> str:
    """Print a length."""
    return _printed(Fraction(um, 1000), 3, places, "mm")


def inches(um: int, *, places: int = 3) -> str:
    """Print a length in decimal inches."""
    return _printed(um / (INCH * 1000), places, places, "in")


def grams(mg: int, *, places: int | None = None) -> str:
    """Print a mass."""
    return _printed(Fraction(mg, 1000), 3, places, "g")


def kilograms(mg: int, *, places: int | None = None) -> str:
    """Print a large mass."""
    return _printed(Fraction(mg, 10**6), 6, places, "kg")


def ounces(mg: int, *, places: int = 1) -> str:
    """Print a mass in avoirdupois ounces."""
    return _printed(mg / (POUND * 1000 / 16), places, places, "oz")


def pounds(mg: int, *, places: int = 2) -> str:
    """Print a mass in avoirdupois pounds."""
    return _printed(mg / (POUND * 1000), places, places, "lb")


def square_centimetres(mm2: int, *, places: int | None = None) -> str:
    """Print an area."""
    return _printed(Fraction(mm2, 100), 2, places, "cm²")


def cubic_decimetres(mm3: int, *, places: int | None = None) -> str:
    """Print a volume for people."""
    return _printed(Fraction(mm3, 10**6), 6, places, "dm³")


def cubic_metres(mm3: int, *, places: int | None = None) -> str:
    """Print a volume for a permit."""
    return _printed(Fraction(mm3, 10**9), 9, places, "m³")


def kilograms_per_cubic_metre(gram_per_m3: int, *, places: int | None = None) -> str:
    """Print a density."""
    return _printed(Fraction(gram_per_m3, 1000), 3, places, "kg/m³")


def hertz(millihertz: int, *, places: int | None = None) -> str:
    """Print a frequency."""
    return _printed(Fraction(millihertz, 1000), 3, places, "Hz")


def percent(ppm: int, *, places: int | None = None) -> str:
    """Print a share or a moisture content."""
    return _printed(Fraction(ppm, 10**4), 4, places, "%")


def humidity(ppm: int, *, places: int | None = None) -> str:
    """Print the relative humidity of the air."""
    return _printed(Fraction(ppm, 10**4), 4, places, "%RH")


def factor(milli: int, *, places: int | None = None) -> str:
    """Print a number without a unit."""
    return _printed(Fraction(milli, 1000), 3, places, "")


def celsius(millikelvin: int, *, places: int | None = None) -> str:
    """Print a temperature."""
    kelvin = Fraction(millikelvin, 1000)
    return _printed(kelvin - ZERO_CELSIUS, 3, places, "°C")


def fahrenheit(millikelvin: int, *, places: int = 1) -> str:
    """Print a temperature in degrees Fahrenheit."""
    kelvin = Fraction(millikelvin, 1000)
    return _printed(kelvin * 9 / 5 - ZERO_FAHRENHEIT, places, places, "°F")


def gigapascals(pa: int, *, places: int | None = None) -> str:
    """Print a modulus."""
    return _printed(Fraction(pa, 10**9), 9, places, "GPa")


def newtons(millinewton: int, *, places: int | None = None) -> str:
    """Print a force."""
    return _printed(Fraction(millinewton, 1000), 3, places, "N")


def millimetres_per_newton(nm_per_n: int, *, places: int | None = None) -> str:
    """Print a compliance."""
    return _printed(Fraction(nm_per_n, 10**6), 6, places, "mm/N")


def degrees(millidegree: int, *, places: int | None = None) -> str:
    """Print an angle; the sign of degree stands close to its number."""
    return _printed(Fraction(millidegree, 1000), 3, places, "").strip() + "°"


def days(span: int) -> str:
    """Print a span of days."""
    return _printed(span, 0, None, "day" if span == 1 else "days")


def _printed(value: Fraction | int, digits: int, places: int | None, unit: str) -> str:
    """Print a value with a unit; `digits` is what the small unit holds exactly."""
    shown_places = digits if places is None else places
    scaled = half_up(value * 10**shown_places)
    whole, part = divmod(abs(scaled), 10**shown_places)
    decimals = f"{part:0{shown_places}d}" if shown_places else ""
    if places is None:
        decimals = decimals.rstrip("0")
    text = f"{whole:,}".replace(",", THIN_SPACE) if whole >= 10_000 else str(whole)
    sign = MINUS if scaled < 0 else ""
    point = "." if decimals else ""
    space = THIN_SPACE if unit else ""
    return f"{sign}{text}{point}{decimals}{space}{unit}"
