r"""Places of a plate as a builder writes them: in a file of rows, or one by one.

    >>> read_places(b"x_mm,y_mm,thickness_mm\n-120,200.5,2.4\n")
    (Gauged(where='line 2', x_um=-120000, y_um=200500, thickness_um=2400),)

A cell may bear a unit of its own; one that bears none is in that of its column. What
cannot be read is refused by its line, and nothing of the file is taken.
"""

import re
from dataclasses import dataclass
from typing import Final, NamedTuple

from ledger.acts.packing.text import DELIMITERS, Record, records_of, text_of
from ledger.errors import RefusedError
from ledger.quantities import length_um
from ledger.scales import LENGTH, Scale, amount_of, half_width, rounded, shown

COLUMNS: Final = ("x", "y", "thickness")
HEADER: Final = "x_mm,y_mm,thickness_mm"
LARGEST_FILE: Final = 100_000  # bytes
PLACE: Final = Scale(
    noun="a place",
    example="-120 mm or 4 1/2 in",
    units=LENGTH.units,
    may_be_negative=True,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauged:
    """A place and its thickness as read, and where that is written."""

    where: str
    x_um: int
    y_um: int
    thickness_um: int


class _Column(NamedTuple):
    """Where a column stands, and the unit of its cells that bear none."""

    at: int
    unit: str | None


def read_places(data: bytes) -> tuple[Gauged, ...]:
    """Read the places of a plate from a file of rows under a header.

    Raises RefusedError where it is no such file, and for the first row that cannot be
    read.
    """
    if len(data) > LARGEST_FILE:
        raise RefusedError(
            f"the file has {len(data)} bytes of at most {LARGEST_FILE}: the places of "
            f"a plate need few, look whether it is the right file"
        )
    text, _ = text_of(data)
    head, rows = _header(text)
    columns = _columns(head)
    wide = len(head.cells)
    found = tuple(_row(row, columns, wide) for row in rows if row.filled)
    if not found:
        raise RefusedError(
            f"line {head.last_line} is the last: there is no place under the header, "
            f"write one a line"
        )
    return found


def is_ended(data: bytes) -> bool:
    """Tell whether the last line of a file has its end, as what is whole mostly has."""
    return text_of(data)[0].endswith("\n")


def read_place(text: str, number: int) -> Gauged:
    """Read a place as it is typed: '-120 mm, 200 mm = 2.4 mm'.

    Raises RefusedError, which says which of the places it is.
    """
    try:
        return _typed(text, f"place {number}")
    except RefusedError as refusal:
        raise RefusedError(f"place {number}: {refusal}") from None


def _typed(text: str, where: str) -> Gauged:
    at, equals, thickness = text.partition("=")
    between = ";" if ";" in at else ","
    x, comma, y = at.partition(between)
    if not (equals and comma and x.strip() and y.strip()) or between in y:
        raise RefusedError(
            f"{shown(text)} is no place with its thickness: write it like "
            f"'-120 mm, 200 mm = 2.4 mm'"
        )
    return Gauged(
        where=where,
        x_um=_signed(x, None),
        y_um=_signed(y, None),
        thickness_um=length_um(thickness),
    )


def _header(text: str) -> tuple[Record, list[Record]]:
    """Return the header and the rows under it, by whichever delimiter names all."""
    for delimiter in DELIMITERS:
        rows = [row for row in records_of(text, delimiter) if row.filled]
        if rows and set(COLUMNS) <= {_meaning(cell)[0] for cell in rows[0].cells}:
            return rows[0], rows[1:]
    raise RefusedError(
        f"the first line names no x, y and thickness: write above the places "
        f"{HEADER}, or with in for mm"
    )


def _columns(head: Record) -> dict[str, _Column]:
    """Return where each column stands; of two alike nobody knows which counts."""
    columns: dict[str, _Column] = {}
    for index, cell in enumerate(head.cells):
        name, unit = _meaning(cell)
        if name in columns:
            raise RefusedError(
                f"line {head.line} names {name} twice: leave one column out"
            )
        if name in COLUMNS:
            columns[name] = _Column(index, unit)
    return columns


def _meaning(cell: str) -> tuple[str, str | None]:
    """Return what a header names and its unit, such as x_mm, Thickness (in) or y."""
    words = re.split(r"[\s_()\[\],/]+", half_width(cell).casefold().strip(" )]"))
    name, *rest = words
    unit = rest[0] if len(rest) == 1 and rest[0] in LENGTH.units else None
    return (name, unit) if len(rest) == bool(unit) else ("", None)


def _row(row: Record, columns: dict[str, _Column], wide: int) -> Gauged:
    if any(row.cells[wide:]):
        raise RefusedError(
            f"line {row.line} has {len(row.cells)} cells of {wide}: with decimal "
            f"commas part them by ;"
        )
    cells = {}
    for name, column in columns.items():
        cell = row.cells[column.at] if column.at < len(row.cells) else ""
        if not cell:
            raise RefusedError(
                f"line {row.line} has no {name}: look whether the file was cut off, "
                f"and write each place whole"
            )
        cells[name] = cell
    try:
        return Gauged(
            where=f"line {row.line}",
            x_um=_signed(cells["x"], columns["x"].unit),
            y_um=_signed(cells["y"], columns["y"].unit),
            thickness_um=length_um(
                cells["thickness"], default_unit=columns["thickness"].unit
            ),
        )
    except RefusedError as refusal:
        raise RefusedError(f"line {row.line}: {refusal}") from None


def _signed(text: str, unit: str | None) -> int:
    return rounded(amount_of(text, PLACE, unit), text)
