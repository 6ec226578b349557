"""The three columns under the head of a species paper: From, To and What.

A name and an address are whole, as on an envelope: they take as many lines as they
need, the head grows with them, and what has no room is refused and never cut.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import NamedTuple

from labels import faces
from labels.page import WALNUT, Page, Style, measure, wrap, write
from ledger.errors import RefusedError
from ledger.trade.movement import place_for

COLUMNS = ((0.0, 60.0), (62.0, 54.0), (118.0, 60.0))
AT = 48.0  # first baseline, from the band's upper edge
LEADING = 4.4
PLAIN_LINES = 3  # that the head has room for before it grows
MOST_LINES = 10
LETTERS = re.compile(r" \(([A-Z]{2})\)")  # of a country, behind its name

HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8)
BODY = Style(face=faces.TEXT, size=9.8, floor=7.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One of the three columns under the head: a name in bold, and others below.

    A line break in plain stays one.

    said_by  what to shorten where it does not fit, such as --recipient
    """

    heading: str
    bold: str
    plain: str
    said_by: str


Lines = tuple[tuple[str, Style], ...]


class Set(NamedTuple):
    """The columns as they are set, and by how much the head grows for them [mm]."""

    columns: tuple[tuple[str, Lines], ...]
    grown: float


def party(heading: str, name: str, address: str, said_by: str) -> Column:
    """Return the column of who sends or receives; its country is said once."""
    parts = [part.strip() for part in address.replace("\n", ",").split(",")]
    said = ", ".join(_once(list(filter(None, parts))))
    return Column(heading=heading, bold=name, plain=said, said_by=said_by)


def letterhead(heading: str, name: str, lines: Sequence[str], country: str) -> Column:
    """Return the column of who sends under a letterhead: its lines, a line each."""
    said = "\n".join(_once([*lines, country]))
    return Column(heading=heading, bold=name, plain=said, said_by="the letterhead")


def what(bold: str, day: str, purpose: str) -> Column:
    """Return the column of what is sent; the day it moves stands in any case."""
    said = ", ".join(filter(None, (f"moves {day}", purpose)))
    by = "what is sent, with its purpose,"
    return Column(heading="What", bold=bold, plain=said, said_by=by)


def is_too_long(column: Column, width: float = COLUMNS[-1][1]) -> bool:
    """Tell whether a column takes more lines than there are at its smallest."""
    return len(_set(column, width, is_small=True)) > MOST_LINES


def planned(columns: Sequence[Column]) -> Set:
    """Break the columns into lines, smaller ones before there are too many."""
    told = tuple(
        (column.heading, _lines(column, width))
        for column, (_, width) in zip(columns, COLUMNS, strict=True)
    )
    most = max(len(lines) for _, lines in told)
    return Set(told, LEADING * max(0, most - PLAIN_LINES))


def draw(page: Page, left: float, top: float, columns: Set) -> None:
    """Set the columns; top is the band's upper edge."""
    for (offset, width), (heading, lines) in zip(COLUMNS, columns.columns, strict=True):
        x, y = left + offset, top + AT
        write(page, (x, y), heading, HEADING)
        for line, style in lines:
            y += LEADING
            write(page, (x, y), line, style, within=width, field=heading.lower())


def _once(parts: Sequence[str]) -> Iterator[str]:
    """Leave out a country that the next part says again, with its letters."""
    for part, after in zip_longest(parts, parts[1:], fillvalue=""):
        said = after.partition(" via ")[0]
        codes = LETTERS.findall(said)
        is_again = said == part or said.startswith(f"{part} (")
        if not codes or not (is_again or codes[-1] in _codes(part)):
            yield part


def _codes(part: str) -> set[str | None]:
    """Return the letters of the country that a part of an address may be."""
    name = LETTERS.sub("", part).rstrip(".")
    return {place_for(name), place_for(name.casefold().removeprefix("the "))}


def _lines(column: Column, width: float) -> Lines:
    lines: Lines = ()
    for is_small in (False, True):
        lines = _set(column, width, is_small=is_small)
        if len(lines) <= MOST_LINES:
            return lines
    raise RefusedError(
        f"{column.said_by} is too long for the paper: {MOST_LINES} lines are the most, "
        f"and it takes {len(lines)}; shorten it"
    )


def _broken(text: str, style: Style, free: float) -> list[str]:
    """Break a text into lines; an address of one long word is narrowed, not broken."""
    widest = max(measure(word, style) for word in text.split(" "))
    most = free / style.narrow * style.size / (style.floor or style.size)
    return wrap(text, style, max(free, widest) if widest <= most else free)


def _set(column: Column, width: float, *, is_small: bool) -> Lines:
    """Break a column into lines, of its size or of its smallest."""
    lines = []
    for words, usual in ((column.bold, NAME), (column.plain, BODY)):
        style = replace(usual, size=usual.floor) if is_small else usual
        free = width / style.narrow if is_small else width
        for said in words.split("\n"):
            lines += [(line, style) for line in _broken(said, style, free) if line]
    return tuple(lines)
