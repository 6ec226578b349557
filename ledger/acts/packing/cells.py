"""One cell of a packing list: an amount with its unit, sizes, masses, a count.

What a cell says is read as `ledger.quantities` reads it, exactly and without guessing.
A comma that could be either mark is read only where the rest of its column proves it.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from ledger.acts.packing.words import KINDS, QUARTERS, UNITS, Per, plain, unit_named
from ledger.errors import RefusedError
from ledger.scales import (
    LONGEST_TEXT,
    NUMBER,
    TWO_PARTS,
    Scale,
    amount_of,
    half_width,
    rounded,
    shown,
)

Comma = Literal["decimal", "thousands"]

NOTHING = ("-", "–", "—", "--", "n/a", "k.a.", "n.a.", "./.", "?")
DITTO = ('"', "″", "”", "''", "ditto", "dto.", "dto", "do.", "idem", "id.", "„")

_TOKEN = re.compile(r"[0-9](?:[0-9.,]*[0-9])?")
_THOUSANDS = {
    ",": re.compile(r"[0-9]{1,3}(?:(?:,[0-9]{3})+\.[0-9]+|(?:,[0-9]{3}){2,})"),
    ".": re.compile(r"[0-9]{1,3}(?:(?:\.[0-9]{3})+,[0-9]+|(?:\.[0-9]{3}){2,})"),
}
_EITHER = re.compile(r"[1-9][0-9]{0,2}([.,])[0-9]{3}")
_DECIMAL = re.compile(r"[0-9]+([.,])[0-9]+")
_WORD = re.compile(r"(?:[^\W\d_]+|'+|[’′″”“´]+)(?:[²³23](?![0-9]))?")
_ABOUT = re.compile(r"^(?:ca\.?|circa|approx\.?|about|~|≈)\s*", re.IGNORECASE)
_TIMES = re.compile(r"\s*(?:[x×✕*]|\bby\b)\s*", re.IGNORECASE)
_COUNT = re.compile(r"([0-9]+)(?:[.,]0+)?\s*([^\W\d_]+)?\.?(?:\s+[^\W\d_]+)*")
_TWO_MASSES = re.compile(r"\s*[+&;]\s*|\s+/\s+")
_STROKE = re.compile(r"(?<![0-9/])([0-9]+)/([0-9]+)(?![0-9/])")
# The inch and the pound are halved, and halved again.
_HALVINGS = (2, 4, 8, 16, 32, 64)


class NoUnitError(RefusedError):
    """A number was written, and nothing tells in which unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """What was written, in the small unit, and the unit it was written in."""

    small: int
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What the commas of a column are, and the cell that proves it."""

    comma: Comma | None = None
    proof: str | None = None
    is_point_doubtful: bool = False


def marks_of(cells: Iterable[str], *, has_semicolons: bool) -> Marks:
    """Tell from a column's other cells what its commas are.

    "4,25" proves a decimal comma, "1,250.5" one of thousands; where neither is found,
    a list separated by semicolons has decimal commas, unless its points are decimal.
    """
    proofs: dict[str, str] = {}
    for cell in cells:
        for token in _TOKEN.findall(half_width(cell)):
            proved = _proved(token)
            if proved:
                proofs.setdefault(proved, cell)
    found = set(proofs) - {"point"}
    if len(found) == 1 and not ("decimal" in found and "point" in proofs):
        is_decimal = "decimal" in found
        comma: Comma = "decimal" if is_decimal else "thousands"
        return Marks(comma=comma, proof=proofs[comma], is_point_doubtful=is_decimal)
    is_told = has_semicolons and not proofs
    return Marks(comma="decimal" if is_told else None)


def _proved(token: str) -> str | None:
    if _THOUSANDS[","].fullmatch(token):
        return "thousands"
    if _THOUSANDS["."].fullmatch(token):
        return "decimal"
    found = _DECIMAL.fullmatch(token)
    if found is None or _EITHER.fullmatch(token):
        return None
    return "decimal" if found[1] == "," else "point"


def is_either(cell: str) -> bool:
    """Tell whether a comma in this cell could be either mark."""
    tokens = _TOKEN.findall(half_width(cell))
    return any(_EITHER.fullmatch(token) and "," in token for token in tokens)


def amount(text: str, scale: Scale, *, unit: str | None, marks: Marks) -> Amount:
    """Read one amount; its own unit goes before the column's.

    Raises NoUnitError where no unit is known, RefusedError where it is no amount.
    """
    written = _tidied(text, marks)
    found = NUMBER.match(written) if len(written) <= LONGEST_TEXT else None
    if found is None:
        amount_of(written, scale, unit)  # says what an amount looks like
        raise RefusedError(f"{shown(text)} is not {scale.noun}")
    rest = written[found.end() :].strip()
    # 8/4 in a column of quarters is the same as 8.
    if unit == QUARTERS and not rest and found["under"] == "4":
        unit = "in"
    if not rest and unit is None:
        raise NoUnitError(f"{shown(text)} has no unit")
    own = unit_named(rest, scale) if rest else unit
    if own is None and not TWO_PARTS.fullmatch(written):
        raise RefusedError(
            f"{shown(text)} is not {scale.noun}; write it like {scale.example}"
        )
    if own and rest:
        written = f"{found[0]} {own}"
    small = rounded(amount_of(written, scale, unit), text)
    if small <= 0:
        raise RefusedError(f"{shown(text)} is nothing: {scale.noun} is above zero")
    return Amount(small=small, unit=own or rest)


def _tidied(text: str, marks: Marks) -> str:
    """Return a cell with plain fractions, units as the ledger writes them, no comma."""
    spelled = "".join(map(_spelled_out, half_width(text)))
    bare = _ABOUT.sub("", spelled.strip())
    bare = _TOKEN.sub(lambda m: _pointed(m[0], marks), bare)
    return _WORD.sub(lambda m: UNITS.get(m[0].casefold(), m[0]), bare)


def _spelled_out(character: str) -> str:
    if not unicodedata.name(character, "").startswith("VULGAR FRACTION"):
        return character
    return " " + unicodedata.normalize("NFKC", character).replace("\u2044", "/")


def _pointed(token: str, marks: Marks) -> str:
    """Return a number with a decimal point, if it can be read in one way only."""
    if _THOUSANDS[","].fullmatch(token):
        return token.replace(",", "")
    if _THOUSANDS["."].fullmatch(token):
        return token.replace(".", "").replace(",", ".")
    found = _EITHER.fullmatch(token)
    if found and found[1] == "," and marks.comma:
        return token.replace(",", "." if marks.comma == "decimal" else "")
    if found and found[1] == "." and marks.is_point_doubtful:
        raise RefusedError(
            f"{shown(token)} can be read in two ways in a column of decimal commas; "
            f"write {token.replace('.', '')} or {token.replace('.', ',').rstrip('0')}"
        )
    return token


def sizes(
    text: str, scale: Scale, *, unit: str | None, order: str | None, marks: Marks
) -> dict[str, Amount]:
    """Read "559 x 203 x 4.2 mm" into length, width and thickness.

    The only unit in the cell goes for all three. Without an order in the header, the
    largest comes first and the smallest last.
    """
    parts = _TIMES.split(half_width(text).strip())
    if len(parts) == 4 and parts[0] == "2":
        parts = parts[1:]  # the two halves of a set
    names = order or "lwt"[: len(parts)]
    if len(parts) not in (2, 3) or len(parts) != len(names):
        raise RefusedError(
            f"{shown(text)} is not sizes; write them like 559 x 203 x 4.2 mm"
        )
    named = {u for part in parts if (u := _own_unit(part, scale, marks))}
    if len(named) > 1 and not all(_own_unit(part, scale, marks) for part in parts):
        raise RefusedError(f"{shown(text)} has {len(named)} units; give each size one")
    unit = named.pop() if len(named) == 1 else unit
    read = [amount(part, scale, unit=unit, marks=marks) for part in parts]
    falling = sorted((size.small for size in read), reverse=True)
    if order is None and [size.small for size in read] != falling:
        raise RefusedError(
            f"{shown(text)} does not fall from length to thickness; say the order in "
            f"the header, such as T x W x L"
        )
    letters = {"l": "length", "w": "width", "t": "thickness"}
    return {letters[name]: size for name, size in zip(names, read, strict=True)}


def _own_unit(part: str, scale: Scale, marks: Marks) -> str | None:
    written = _tidied(part, marks)
    found = NUMBER.match(written)
    return unit_named(written[found.end() :], scale) if found else None


def masses(
    text: str, scale: Scale, *, unit: str | None, marks: Marks
) -> tuple[Amount, ...]:
    """Read one mass, or the two of a set's halves: "212 + 204 g", "212/204 g"."""
    text = half_width(text)
    parts = _TWO_MASSES.split(text.strip())
    stroke = _STROKE.search(text)
    if len(parts) == 1 and stroke:
        over, under = stroke[1][:6], stroke[2][:6]
        if int(under) not in _HALVINGS:
            parts = [text[: stroke.end(1)], text[stroke.start(2) :]]
        elif Fraction(int(over), int(under)) > 1:
            raise RefusedError(
                f"{shown(text)} can be read in two ways; write {over} + {under} for "
                f"two halves"
            )
    if len(parts) > 2:
        raise RefusedError(
            f"{shown(text)} is {len(parts)} masses; a set has two for its halves"
        )
    last = _own_unit(parts[-1], scale, marks)
    return tuple(amount(p, scale, unit=last or unit, marks=marks) for p in parts)


def count(text: str) -> tuple[int, Per | None]:
    """Read how many, and of what, if the cell says so: "12 sets", "24 Hälften", "3".

    Raises RefusedError for what is no whole number above nothing.
    """
    written = half_width(text).strip()
    if any(_EITHER.fullmatch(token) for token in _TOKEN.findall(written)):
        raise RefusedError(
            f"{shown(text)} can be read in two ways; write a number without a mark"
        )
    found = _COUNT.fullmatch(written) if len(written) <= LONGEST_TEXT else None
    number_of = int(found[1]) if found and len(found[1]) < 7 else 0
    word = plain(found[2] or "") if found else ""
    if found is None or number_of < 1 or (word and word not in KINDS):
        raise RefusedError(
            f"{shown(text)} is no number of pieces; write it like 24, 12 sets or "
            f"24 halves"
        )
    return number_of, KINDS.get(word)
