"""Units as people write them, what each is worth in the log, and how both are read."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from unicodedata import decomposition, normalize

from ledger.errors import RefusedError

# Beyond this an integer is no longer exact in every reader of JSON.
# Source: RFC 7493 section 2.2.
LARGEST = 2**53 - 1
LONGEST_TEXT = 60
# So many words of a row are told to whoever stands at the bench.
MOST_NAMED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How one quantity is written, and what each unit is worth in the small one."""

    noun: str
    example: str
    units: dict[str, Fraction]
    may_be_negative: bool = False


def _scale(noun: str, example: str, units: dict[str, str | int | Fraction]) -> Scale:
    worth = {unit: Fraction(value) for unit, value in units.items()}
    return Scale(noun=noun, example=example, units=worth)


# Source: international yard and pound agreement of 1959, as given in NIST SP 811
# (2008), appendix B: 1 in = 25.4 mm and 1 lb = 453.592 37 g exactly; 16 oz = 1 lb.
INCH = Fraction("25.4")  # mm
FOOT = 12 * INCH
POUND = Fraction("453.59237")  # g
# Source: standard acceleration of gravity, 3rd CGPM (1901), m/s2.
GRAVITY = Fraction("9.80665")

LENGTH = _scale(
    "a length",
    "2.9 mm or 3/32 in",
    {
        **{"µm": 1, "um": 1, "mm": 1000, "cm": 10**4, "m": 10**6},
        **dict.fromkeys(("in", "inch", "inches", '"', "″"), INCH * 1000),
        "ft": FOOT * 1000,
    },
)
AREA = _scale(
    "an area",
    "1180 cm² or 183 in²",
    {
        **{"mm²": 1, "mm2": 1, "cm²": 100, "cm2": 100, "m²": 10**6, "m2": 10**6},
        **dict.fromkeys(("in²", "in2"), INCH**2),
    },
)
# A board foot is a foot by a foot by an inch: common practice, no source.
VOLUME = _scale(
    "a volume",
    "1.66 dm³ or 0.7 bd ft",
    {
        **{"mm³": 1, "mm3": 1, "cm³": 1000, "cm3": 1000, "dm³": 10**6, "dm3": 10**6},
        **{"m³": 10**9, "m3": 10**9, "bdft": FOOT**2 * INCH},
        **dict.fromkeys(("in³", "in3"), INCH**3),
    },
)
MASS = _scale(
    "a mass",
    "54 g or 1.9 oz",
    {
        **{"mg": 1, "g": 1000, "kg": 10**6, "Kg": 10**6, "t": 10**9},
        **{"oz": POUND * 1000 / 16, "lb": POUND * 1000, "lbs": POUND * 1000},
    },
)
DENSITY = _scale(
    "a density",
    "432 kg/m³ or 27 lb/ft³",
    {
        **{"kg/m³": 1000, "kg/m3": 1000, "g/cm³": 10**6, "g/cm3": 10**6},
        **dict.fromkeys(("lb/ft³", "lb/ft3"), POUND / (FOOT / 1000) ** 3),
    },
)
FREQUENCY = _scale("a frequency", "71.29 Hz", {"Hz": 1000, "kHz": 10**6})
SHARE = _scale("a share", "7.8 %", {"%": 10**4, "ppm": 1})
MOISTURE = _scale("a moisture content", "7.8 %", {"%": 10**4, "%MC": 10**4})
HUMIDITY = _scale("a humidity of air", "45 %RH", {"%RH": 10**4, "%": 10**4})
FACTOR = _scale("a plain number", "85.2", {"": 1000})
PRESSURE = _scale(
    "a modulus or a pressure",
    "12.3 GPa",
    {"Pa": 1, "hPa": 100, "kPa": 1000, "MPa": 10**6, "GPa": 10**9},
)
FORCE = _scale(
    "a force",
    "50 N or 11 lbf",
    {"N": 1000, "kgf": GRAVITY * 1000, "lbf": POUND * GRAVITY},
)
COMPLIANCE = _scale(
    "a compliance", "0.031 mm/N", {"nm/N": 1, "µm/N": 1000, "um/N": 1000, "mm/N": 10**6}
)
ANGLE = Scale(
    noun="an angle",
    example="1.5°",
    units={"°": Fraction(1000), "deg": Fraction(1000)},
    may_be_negative=True,
)
DAYS = _scale(
    "a span of days", "188 days", {"d": 1, "day": 1, "days": 1, "week": 7, "weeks": 7}
)
SECONDS = _scale("a span of time", "45 min", {"s": 1, "min": 60, "h": 3600})
MICROSECONDS = _scale(
    "a short time", "12.5 ms", {"µs": 1, "us": 1, "ms": 1000, "s": 10**6}
)
# What a degree is in kelvin, and where each scale begins.
# Source: NIST SP 811 (2008), appendix B.8: T/K = t/°C + 273.15 = (t/°F + 459.67)/1.8.
TEMPERATURE = Scale(
    noun="a temperature",
    example="20 °C or 68 °F",
    units={
        **dict.fromkeys(("°C", "C", "K"), Fraction(1000)),
        **dict.fromkeys(("°F", "F"), Fraction(5000, 9)),
    },
    may_be_negative=True,
)
ZERO_CELSIUS = Fraction("273.15")
ZERO_FAHRENHEIT = Fraction("459.67")

MINUS = "\u2212"
SIGN = "[+\\-\u2212]?"
GAP = "[ \u00a0\u2009\u202f]"
NUMBER = re.compile(
    rf"(?P<sign>{SIGN})(?:"
    rf"(?:(?P<whole>[0-9]+)(?:-|{GAP}+))?(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    rf"|(?P<digits>[0-9]{{1,3}}(?:{GAP}[0-9]{{3}})+(?![0-9])|[0-9]+)"
    r"(?:[.,](?P<decimals>[0-9]+))?)"
)
EITHER_COMMA = re.compile(rf"{SIGN}[1-9][0-9]{{0,2}},[0-9]{{3}}(?![0-9])")
# Pounds and ounces, feet and inches: the two parts are read one by one.
TWO_PARTS = re.compile(r"(.*[0-9] *)(lbs?|ft) *([0-9](?:.*[^a-z])?)(oz|in|\")")
PARTNER = {"lb": "oz", "lbs": "oz", "ft": "in"}


def amount_of(text: str, scale: Scale, default_unit: str | None) -> Fraction:
    """Return what was written, exactly, in the small unit."""
    text = half_width(text)
    both = TWO_PARTS.fullmatch(text.strip()[: LONGEST_TEXT + 1])
    if both and both[2] in scale.units and PARTNER[both[2]] in scale.units:
        first = amount_of(both[1] + both[2], scale, None)
        return first + amount_of(both[3] + both[4], scale, None)
    number, unit = split(text, scale, default_unit)
    if number < 0 and not scale.may_be_negative:
        raise RefusedError(
            f"{shown(text)} is below zero; {scale.noun} is written like {scale.example}"
        )
    return number * scale.units[unit]


def half_width(text: str) -> str:
    """Return what a Japanese keyboard typed, ２０５ｇ or ㎜, as other keyboards do.

    Source: Unicode Standard Annex #44, decompositions <wide> and <square>; the others
    are left alone, for NFKC makes 183 in2 of 183 in².
    """
    if text.isascii():
        return text
    return "".join(
        normalize("NFKC", letter)
        if decomposition(letter).startswith(("<wide>", "<square>"))
        else letter
        for letter in text
    )


def split(text: str, scale: Scale, default_unit: str | None) -> tuple[Fraction, str]:
    """Return the number as written, exactly, and its unit."""
    bare = half_width(text).strip()
    found = NUMBER.match(bare) if len(bare) <= LONGEST_TEXT else None
    number = _number(found) if found else None
    if found is None or number is None:
        raise _unreadable(text, scale)
    if EITHER_COMMA.match(bare):
        plain = found[0].replace(",", "")
        point = found[0].replace(",", ".")
        raise RefusedError(
            f"{shown(text)} can be read in two ways; write {plain} or {point}"
        )
    written = "".join(bare[found.end() :].split())
    if not written and default_unit is not None:
        written = default_unit
    unit = _unit(written, scale)
    if unit is None:
        raise _unreadable(text, scale) if written else _without_unit(found[0], scale)
    return number, unit


def _number(found: re.Match[str]) -> Fraction | None:
    """Return the value of a decimal, a fraction or a mixed number."""
    if found["under"]:
        over, under = int(found["over"]), int(found["under"])
        # "12 9/8" is a slip of the pen, and nothing can be shared by nought.
        if under == 0 or (found["whole"] and over >= under):
            return None
        number = int(found["whole"] or 0) + Fraction(over, under)
    else:
        digits = "".join(re.findall("[0-9]", found["digits"]))
        number = Fraction(f"{digits}.{found['decimals'] or 0}")
    return -number if found["sign"] in ("-", MINUS) else number


def _unit(written: str, scale: Scale) -> str | None:
    """Return the unit as the scale spells it; all small or all capital is accepted."""
    if written in scale.units:
        return written
    if written and not (written.islower() or written.isupper()):
        return None
    same = [unit for unit in scale.units if unit.lower() == written.lower()]
    return same[0] if same else None


def rounded(amount: Fraction, text: str) -> int:
    """Return an amount as the log holds it, rounded half up to the small unit."""
    whole = half_up(amount)
    if abs(whole) > LARGEST:
        raise RefusedError(
            f"{shown(text)} is more than the ledger can hold: read it again, and look "
            f"at the unit"
        )
    return whole


def half_up(value: Fraction | int) -> int:
    """Round half up in amount; Python's own round goes to the even neighbour."""
    if value.denominator == 1:
        return value.numerator
    amount = int(abs(Fraction(value)) + Fraction(1, 2))
    return -amount if value < 0 else amount


def shared(whole: int, shares: Mapping[str, Fraction]) -> dict[str, int]:
    """Divide an amount by shares so that the parts add up to it again.

    What rounding leaves over goes to those that lost most by it.
    """
    exact = {name: whole * share for name, share in shares.items()}
    parts = {name: int(amount) for name, amount in exact.items()}
    lost = sorted(exact, key=lambda name: (parts[name] - exact[name], name))
    for name in lost[: whole - sum(parts.values())]:
        parts[name] += 1
    return parts


def _without_unit(number: str, scale: Scale) -> RefusedError:
    """Say that a unit is missing, and write the number with those of the example."""
    bare = number.strip()
    ways = (
        NUMBER.sub(bare, example, count=1) for example in scale.example.split(" or ")
    )
    return RefusedError(f"{bare} has no unit: write {' or '.join(ways)}")


def _unreadable(text: str, scale: Scale) -> RefusedError:
    return RefusedError(
        f"{shown(text)} is not {scale.noun}; write it like {scale.example}"
    )


def shown(text: str) -> str:
    """Return a text as an answer may quote it: escaped, and not too long."""
    return repr(text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…")


def in_a_row(words: Sequence[str]) -> str:
    """Return words in a row, with "and" before the last."""
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def some_of(words: Sequence[str]) -> str:
    """Return the first words of a row, and how many more there are of a long one."""
    if len(words) <= MOST_NAMED + 1:
        return ", ".join(words)
    return f"{', '.join(words[:MOST_NAMED])} and {len(words) - MOST_NAMED} more"
