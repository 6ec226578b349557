"""Serials: what a shop stamps into its instruments, by a pattern of its own.

>>> print(serial_for(DEFAULT_PATTERN, year=2026, number=147))
26-0147-3
>>> read_serial("S/26-0147-3").number
147
"""

import re
from dataclasses import dataclass
from typing import ClassVar

from ledger.codes import DIGITS, Form, check_character, shown, split_scan, tidied
from ledger.errors import RefusedError


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Serial:
    """The number stamped into one instrument."""

    form: ClassVar[Form] = Form(
        noun="serial",
        mark="S",
        shape=re.compile(r"[0-9A-Z.-]+"),
        example="26-0147-3",
        last_number=999_999_999,
    )

    year: int | None  # two digits or four, as the pattern prints it, if it does
    number: int
    text: str

    def __str__(self) -> str:
        return self.text


FIELD = re.compile(r"\{(year|number|check)(?::([1-9]))?\}")


@dataclass(frozen=True, slots=True, kw_only=True)
class SerialPattern:
    """How a shop writes its serials: `{year}-{number:4}-{check}`, say.

    `{year}` is two digits, `{year:4}` four; `{number:4}` is padded to four digits,
    `{number}` not at all; `{check}` is ISO 7064 MOD 11,10 over the digits of year and
    number, in the order printed. Year and check may be left out. Between them stand
    capitals, digits, hyphens and dots.
    """

    text: str

    def __post_init__(self) -> None:
        fields = [name for name, _ in FIELD.findall(self.text)]
        rest = FIELD.sub("", self.text)
        widths = {width for name, width in FIELD.findall(self.text) if name == "year"}
        if (
            fields.count("number") != 1
            or len(fields) != len(set(fields))
            or "{check:" in self.text
            or not widths <= {"", "2", "4"}
            or not re.fullmatch(r"[0-9A-Z.-]*", rest)
        ):
            raise RefusedError(
                f"{shown(self.text)} is not a serial pattern; write it like "
                f"{{year}}-{{number:4}}-{{check}}, with {{number}} once"
            )
        if re.match(r"[LBNDCW]-?[0-9{]", self.text):
            raise RefusedError(
                f"serials of the pattern {self.text} could be read as another code of "
                f"the shop; begin it with another letter than L, B, N, D, C or W"
            )

    def __str__(self) -> str:
        return self.text

    @classmethod
    def parse(cls, text: str) -> "SerialPattern":
        """Read the pattern as the shop file states it."""
        return cls(text=text.strip())


DEFAULT_PATTERN = SerialPattern(text="{year}-{number:4}-{check}")


def last_number(pattern: SerialPattern) -> int:
    """Return the highest number that a pattern has room for."""
    widths = [width for name, width in FIELD.findall(pattern.text) if name == "number"]
    return int(10 ** int(widths[0] or 9)) - 1


def serial_for(pattern: SerialPattern, *, year: int, number: int) -> Serial:
    """Return the serial of instrument `number` of a year of four digits."""
    printed = {}
    for name, width in FIELD.findall(pattern.text):
        if name == "year":
            printed[name] = f"{year:04d}" if width == "4" else f"{year % 100:02d}"
        if name == "number":
            printed[name] = f"{number:0{width or 1}d}"
            if not 1 <= number <= last_number(pattern):
                raise RefusedError(
                    f"number {number} does not fit the serial pattern {pattern}, "
                    f"which runs from 1 to {last_number(pattern)}; write a wider one "
                    f"into shop.toml, as serial_pattern"
                )
    shop_year = printed.get("year")
    printed["check"] = check_character("".join(printed.values()), DIGITS)
    return Serial(
        year=None if shop_year is None else int(shop_year),
        number=number,
        text=FIELD.sub(lambda field: printed[field[1]], pattern.text),
    )


def read_serial(text: str, pattern: SerialPattern = DEFAULT_PATTERN) -> Serial:
    """Read a serial of the shop's own pattern, typed or scanned.

    An instrument older than the pattern bears what it bears; look that up as it is.
    """
    scan = split_scan(text)
    code = scan.code if scan and scan.mark == Serial.form.mark else tidied(text)
    found = re.fullmatch(_serial_shape(pattern), code)
    if not found or not int(found["number"]):
        example = serial_for(pattern, year=2026, number=1)
        raise RefusedError(
            f"{shown(text)} is not a serial of this shop; write it like {example}"
        )
    printed = found.groupdict()
    check = printed.pop("check", None)
    expected = check_character("".join(printed.values()), DIGITS)
    if check not in (None, expected):
        raise RefusedError(
            f"the check digit of {code} is {expected}, not {check}; "
            f"scan or type it again"
        )
    year = printed.get("year")
    return Serial(
        year=None if year is None else int(year),
        number=int(printed["number"]),
        text=code,
    )


def stamped_number(text: str, pattern: SerialPattern = DEFAULT_PATTERN) -> Serial:
    """Read what stands stamped in the wood, with a right check digit or a wrong one.

    Raises RefusedError where it has not the shape of a serial of this shop.
    """
    try:
        return read_serial(text, pattern)
    except RefusedError:
        code = tidied(text)
        found = re.fullmatch(_serial_shape(pattern), code)
        if not found or not int(found["number"]):
            raise
    year = found.groupdict().get("year")
    return Serial(
        year=None if year is None else int(year),
        number=int(found["number"]),
        text=code,
    )


def is_serial(text: str, pattern: SerialPattern) -> bool:
    """Tell whether a text has the shape of the shop's serials."""
    return re.fullmatch(_serial_shape(pattern), text) is not None


def _serial_shape(pattern: SerialPattern) -> str:
    """Return the shape of a pattern; it has one field of free width at most."""
    shape = ""
    end = 0
    for field in FIELD.finditer(pattern.text):
        shape += re.escape(pattern.text[end : field.start()])
        digits = {"year": field[2] or "2", "number": field[2], "check": "1"}[field[1]]
        one = f"[0-9]{{{digits}}}" if digits else "[1-9][0-9]{0,8}"
        shape += f"(?P<{field[1]}>{one})"
        end = field.end()
    return shape + re.escape(pattern.text[end:])
