"""What a packing list says of several rows at once, and whether its rows agree."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ledger.acts.packing.cells import Marks, amount, count
from ledger.acts.packing.columns import Sheet
from ledger.acts.packing.masses import HALVES
from ledger.acts.packing.rows import Reading, cells_of
from ledger.acts.packing.text import Record
from ledger.acts.packing.words import KINDS, SCALES, Per
from ledger.errors import RefusedError
from ledger.quantities import grams

# Totals are rounded: common practice, no source.
ROUNDED = 200

_COUNTED_IN = re.compile(r"(?<![0-9.,])[0-9]+(?![.,]?[0-9])\s*[^\W\d_]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """What a list says of several rows: a number, what is counted, a mass."""

    line: int
    quantity: int | None
    per: Per | None
    mass_mg: int | None


def sum_of(record: Record, sheet: Sheet, marks: Marks) -> Sum:
    """Read what a total says, as far as it can be read; it is a check, and no row.

    `marks` are those of the column of masses.
    """
    cells = cells_of(record, sheet.columns)
    told = {column.meaning: column for column in sheet.columns}
    # Outside its column a number counts only with its word: "TOTAL: 24 sets".
    words = [found for cell in record.filled for found in _COUNTED_IN.findall(cell)]
    said = counted(cells["quantity"]) if "quantity" in cells else None
    if said is None:
        counts = (counted(word) for word in words)
        said = next((count for count in counts if count and count[1]), None)
    quantity, per = said or (None, None)
    if said and per is None and "quantity" in told:
        per = KINDS.get(told["quantity"].told or "")
    mass: int | None = None
    if "mass" in cells:
        unit = told["mass"].unit
        try:
            read = amount(cells["mass"], SCALES["mass"], unit=unit, marks=marks)
            mass = read.small
        except RefusedError:
            mass = None
    return Sum(line=record.line, quantity=quantity, per=per, mass_mg=mass)


def counted(cell: str) -> tuple[int, Per | None] | None:
    """Return how many a cell says there are, or None where it does not say."""
    try:
        return count(cell)
    except RefusedError:
        return None


def judged(said: Sum, scopes: Sequence[Sequence[Reading]]) -> tuple[str, bool]:
    """Compare a total with the rows above it; return what to say, and if it is fault.

    The scopes are what it may be the total of: all rows, or those since the last one.
    """
    if said.quantity is None and said.mass_mg is None:
        return "a total without a number that can be read: not checked", False
    if said.quantity is not None:
        sums = [_added(rows, said.per) for rows in scopes]
        if None in sums:
            return "a total, not checked, for a row above has no number", False
        if said.quantity not in sums:
            what = {"set": "sets", "half": "halves"}.get(said.per or "", "pieces")
            return (
                f"the list says {said.quantity} {what}, its rows add up to {sums[0]}: "
                f"look for the row that is missing or too many, or correct the total",
                True,
            )
        scopes = [scopes[sums.index(said.quantity)]]
    if said.mass_mg is not None and (why := _mass_fault(said.mass_mg, scopes[0])):
        return why, True
    return "a total, and its rows add up to it", False


def _added(rows: Sequence[Reading], per: Per | None) -> int | None:
    """Add up rows in what the total counts; halves and sets are brought together."""
    if any(row.quantity is None for row in rows):
        return None
    numbers = [(row.quantity or 0, row.per) for row in rows]
    kinds = {kind for _, kind in numbers}
    if per in HALVES and len(kinds | {per}) == 2 and kinds <= set(HALVES):
        halves = sum(number * HALVES[kind or "half"] for number, kind in numbers)
        return halves // HALVES[per]
    return sum(number for number, _ in numbers)


def _mass_fault(mass_mg: int, rows: Sequence[Reading]) -> str | None:
    """Compare a total mass with the masses as listed, of each or of all."""
    if any(row.listed_mg is None or row.quantity is None for row in rows):
        return None
    listed = [(row.listed_mg or 0, row.quantity or 0) for row in rows]
    sums = (sum(mass for mass, _ in listed), sum(mass * n for mass, n in listed))
    if any(abs(mass_mg - each) * ROUNDED <= each for each in sums):
        return None
    return (
        f"the list says {grams(mass_mg)}, its rows add up to {grams(sums[0])}: look "
        f"for the row that is missing or too many, or correct the total"
    )
