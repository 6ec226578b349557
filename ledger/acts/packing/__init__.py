r"""A sawyer's packing list, read into rows that a shop can receive.

Lists come from many programs and in many languages. What a list does not say is never
guessed: a cell that could be read in two ways is a fault, named with its line, and the
answer tells what to write or which option settles it.

    >>> listed = read_list(b"No.,Length (mm),Qty\n7,559,1 set\n")
    >>> [(row.label, row.length_um, row.quantity, row.per) for row in listed.rows]
    [('7', 559000, 1, 'set')]
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from ledger.acts.packing.body import walked
from ledger.acts.packing.cells import Marks, is_either, marks_of
from ledger.acts.packing.columns import Column, Sheet, sheet_of
from ledger.acts.packing.counted import counted_words, counting
from ledger.acts.packing.rows import Fault, ListedRow, Reading, cells_of
from ledger.acts.packing.text import DELIMITERS, MOST_ROWS, text_of
from ledger.acts.packing.words import SCALES
from ledger.errors import RefusedError
from ledger.scales import shown

__all__ = ["Fault", "ListedRow", "PackingList", "read_list"]

NOTHING_SAID: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingList:
    """A packing list as read: its rows, what is wrong, and what was left out and why.

    `columns` holds each header as written, what it says, and its unit; a column that is
    not read says nothing.
    """

    rows: tuple[ListedRow, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    columns: tuple[tuple[str, str, str], ...]


def read_list(
    data: bytes,
    *,
    columns: Mapping[str, str] = NOTHING_SAID,
    units: Mapping[str, str] = NOTHING_SAID,
) -> PackingList:
    """Read a packing list; a row that cannot be read becomes a fault, and no row.

    columns  headers by what they say, such as {"length": "Lg. roh"}; "" leaves one out
    units    units by what is measured, such as {"length": "mm", "mass": "g each"}

    Raises RefusedError where the bytes are no list, or an option names what it lacks.
    """
    text, encoding = text_of(data)
    sheet = sheet_of(text, columns=columns, units=units)
    sheet = counting(sheet, columns=columns, units=units)
    body = [record for record in sheet.records[sheet.body :] if record.filled]
    if not body:
        line = sheet.records[sheet.header].line
        raise RefusedError(f"the list has a header in line {line} and no rows below it")
    if len(body) > MOST_ROWS:
        raise RefusedError(
            f"the list has {len(body)} rows of at most {MOST_ROWS}: split it in two"
        )
    marks = _marks(sheet)
    walk = walked(sheet, marks)
    readings = [reading for reading in walk.readings if reading.row]
    twice = {fault.line: fault for fault in _listed_twice(readings)}
    faults = [*walk.faults, *_unit_faults(sheet, walk.readings), *twice.values()]
    return PackingList(
        rows=tuple(r.row for r in readings if r.row and r.line not in twice),
        faults=tuple(sorted(faults, key=lambda fault: fault.line)),
        notes=(
            *_notes_on_file(sheet, encoding),
            *_notes_on_commas(sheet, marks),
            *_notes_on_rows(sheet, readings),
            *_note_on_empty(walk.empty),
            *walk.notes,
        ),
        columns=(
            *((c.header, c.meaning, _unit_of(c)) for c in sheet.columns),
            *((header, "", "") for header in sheet.unread),
        ),
    )


def _marks(sheet: Sheet) -> dict[str, Marks]:
    """Tell for each column what its commas are."""
    written = [
        cells_of(record, sheet.columns) for record in sheet.records[sheet.body :]
    ]
    return {
        meaning: marks_of(
            (cells[meaning] for cells in written if meaning in cells),
            has_semicolons=sheet.delimiter == ";",
        )
        for meaning in (column.meaning for column in sheet.columns)
        if meaning in SCALES
    }


def _listed_twice(readings: Sequence[Reading]) -> Iterator[Fault]:
    """Find marks that stand on two rows; the first of them stays."""
    first: dict[str, int] = {}
    for reading in readings:
        label = reading.row.label if reading.row else None
        if label is None:
            continue
        line = first.setdefault(label.casefold(), reading.line)
        if line != reading.line:
            reason = (
                f"{shown(label)} is listed twice, first in line {line}: take one row "
                f"out, or correct its mark"
            )
            yield Fault(line=reading.line, reason=reason)


def _unit_faults(sheet: Sheet, readings: Sequence[Reading]) -> Iterator[Fault]:
    """Ask for units: once for a whole column without any, else row by row."""
    for column in sheet.columns:
        bare = [
            (reading.line, cell)
            for reading in readings
            for without, cell in reading.unitless
            if without.meaning == column.meaning
        ]
        if not bare:
            continue
        told = f"column {shown(column.header)}: {shown(bare[0][1])}"
        remedy = _unit_remedy(column)
        said = [r for r in readings if column.meaning in r.said]
        if len(bare) == len(said):
            line = sheet.records[sheet.header].line
            reason = f"{told} and all below it have no unit: {remedy}"
            yield Fault(line=line, reason=reason)
            continue
        for line, cell in bare:
            told = f"column {shown(column.header)}: {shown(cell)}"
            yield Fault(line=line, reason=f"{told} has no unit: {remedy}")


def _unit_remedy(column: Column) -> str:
    example = {"volume": "bf"}.get(column.meaning, "mm")
    example = "g" if column.meaning.startswith("mass") else example
    meaning = column.meaning.partition("_")[0]
    return (
        f"write it in the cell or the header, or say such as --unit {meaning}={example}"
    )


def _notes_on_file(sheet: Sheet, encoding: str) -> Iterator[str]:
    """Tell how the bytes were read, and what stands above the header."""
    if encoding == "Windows-1252":
        yield "the file is not UTF-8 and was read as Windows-1252: look at the accents"
    else:
        yield f"the file is {encoding}"
    yield f"cells are separated by {DELIMITERS[sheet.delimiter]}"
    above = [record for record in sheet.records[: sheet.header] if record.filled]
    if above:
        yield f"{_lines(above[0].line, above[-1].last_line)} above the header: not read"
    if sheet.unread:
        yield f"columns not read: {', '.join(shown(name) for name in sheet.unread)}"


def _notes_on_commas(sheet: Sheet, marks: Mapping[str, Marks]) -> Iterator[str]:
    """Tell where a comma that could be either mark was read, and why."""
    for column in sheet.columns:
        known = marks.get(column.meaning, Marks())
        cells = (
            cells_of(record, [column]).get(column.meaning, "")
            for record in sheet.records[sheet.body :]
        )
        settled = next((cell for cell in cells if is_either(cell)), None)
        if known.comma is None or settled is None:
            continue
        mark = "a decimal comma" if known.comma == "decimal" else "one of thousands"
        why = f"as in {shown(known.proof)}" if known.proof else "as semicolons tell"
        yield (
            f"column {shown(column.header)}: the comma of {shown(settled)} is {mark}, "
            f"{why}"
        )


def _notes_on_rows(sheet: Sheet, readings: Sequence[Reading]) -> Iterator[str]:
    """Tell what was taken for granted of the rows."""
    plain_rows = [reading for reading in readings if not reading.is_per_told]
    if plain_rows and (sheet.counted is None or sheet.counted_in):
        yield (
            f"{_counted(len(plain_rows), 'row')} from line {plain_rows[0].line} on "
            f"without a word for what is counted: {counted_words(sheet)}"
        )
    shared = [r for r in readings if r.row and r.row.is_mass_shared]
    if shared:
        yield (
            f"{_counted(len(shared), 'row')} from line {shared[0].line} on with the "
            f"mass of several together: each piece is given its share, so weigh it"
        )
    if not any(column.meaning == "quantity" for column in sheet.columns):
        yield "no column tells how many: each row is read as one"


def _note_on_empty(count: int) -> Iterator[str]:
    if count:
        yield f"{_counted(count, 'empty line')}: not read"


def _lines(first: int, last: int) -> str:
    return f"line {first}" if first == last else f"lines {first} to {last}"


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _unit_of(column: Column) -> str:
    is_told = column.meaning in ("quantity", "mass", "volume")
    told = column.told if is_told else None
    return " ".join(part for part in (column.unit, told) if part)
