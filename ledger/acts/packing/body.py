"""What stands below the header of a packing list: rows, totals, and what is neither."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from ledger.acts.packing.cells import Marks
from ledger.acts.packing.columns import COUNTED, Sheet, are_units
from ledger.acts.packing.rows import Fault, Reading, cells_of, read_row
from ledger.acts.packing.text import DELIMITERS, Record
from ledger.acts.packing.totals import Sum, judged, sum_of
from ledger.acts.packing.words import CARRIED, SUBTOTALS, TOTALS, begins_with, plain
from ledger.scales import shown

Kind = Literal[
    "empty", "header", "carried", "subtotal", "total", "remark", "loose", "row"
]
# What a total may say; a row says more.
SUMMED = {"quantity", "kind", "mass", "mass_a", "mass_b", "volume"}
UNREAD = {
    "header": "the header again",
    "carried": "carried over from another page",
    "remark": "a remark",
}


@dataclass(slots=True, kw_only=True)
class Walk:
    """How far a list is read; `since` is the first row that no total has spoken of."""

    readings: list[Reading] = field(default_factory=list)
    since: int = 0
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    loose: list[Record] = field(default_factory=list)
    empty: int = 0


def walked(sheet: Sheet, marks: Mapping[str, Marks]) -> Walk:
    """Read what stands below the header, from the first line to the last."""
    walk, width = Walk(), len(sheet.records[sheet.header].cells)
    for record in sheet.records[sheet.body :]:
        if record.is_run_on:
            reason = (
                f"a cell runs on to line {record.last_line}: a quote is opened and not "
                f"closed; write 22 in for 22 inches, or close it"
            )
            walk.faults.append(Fault(line=record.line, reason=reason))
        elif any(record.cells[width:]) and any(record.cells[:width]):
            reason = (
                f"{len(record.cells)} cells of {width} that the header names: put a "
                f"cell with a {DELIMITERS[sheet.delimiter][:-1]} in it into quotes"
            )
            walk.faults.append(Fault(line=record.line, reason=reason))
        else:
            _take(walk, record, sheet, marks)
    _judge_loose(walk)
    return walk


def _take(walk: Walk, record: Record, sheet: Sheet, marks: Mapping[str, Marks]) -> None:
    kind = kind_of(record, sheet, rows=len(walk.readings))
    if kind == "empty":
        walk.empty += 1
    elif kind == "loose":
        walk.loose.append(record)
    elif kind == "row":
        reading = read_row(record, sheet.columns, marks, counted=sheet.counted)
        walk.readings.append(reading)
        walk.faults.extend(reading.faults)
    elif kind in ("subtotal", "total"):
        said = sum_of(record, sheet, marks.get("mass", Marks()))
        _take_total(walk, record, said, is_part=kind == "subtotal")
    else:
        walk.notes.append(f"{_quoted(record)} is {UNREAD[kind]}: not read")


def _take_total(walk: Walk, record: Record, said: Sum, *, is_part: bool) -> None:
    """Check a total against the rows it may speak of."""
    rows, since = walk.readings, walk.readings[walk.since :]
    scopes = [since] if is_part else [rows, since]
    verdict, is_fault = judged(said, scopes)
    walk.since = len(rows)
    if is_fault:
        reason = f"{shown(' '.join(record.filled))}: {verdict}"
        walk.faults.append(Fault(line=record.line, reason=reason))
    else:
        walk.notes.append(f"{_quoted(record)} is {verdict}")


def _judge_loose(walk: Walk) -> None:
    """Below the last row, words without a number are remarks; above it, a fault."""
    last = walk.readings[-1].line if walk.readings else 0
    for record in walk.loose:
        if record.line > last:
            walk.notes.append(f"{_quoted(record)} is a remark: not read")
            continue
        reason = (
            f"{shown(' '.join(record.filled))} has neither a number nor a measure: "
            f"complete the row, or take it out"
        )
        walk.faults.append(Fault(line=record.line, reason=reason))


def _quoted(record: Record) -> str:
    return f"line {record.line}: {shown(' '.join(record.filled))}"


def kind_of(record: Record, sheet: Sheet, *, rows: int) -> Kind:
    """Tell what a record below the header is.

    A row with a number and neither mark, words nor sizes is the total of those above.
    """
    if not record.filled:
        return "empty"
    if _is_header(record, sheet) or are_units(record.cells):
        return "header"
    if word := _sum_word(record, sheet):
        return word
    cells = cells_of(record, sheet.columns)
    if not any(meaning in COUNTED for meaning in cells):
        return "remark" if len(record.filled) == 1 else "loose"
    is_bare = set(cells) <= SUMMED and "quantity" in cells
    has_more = any(column.meaning not in SUMMED for column in sheet.columns)
    return "total" if rows and is_bare and has_more else "row"


def _is_header(record: Record, sheet: Sheet) -> bool:
    header = sheet.records[sheet.header].cells
    return [plain(c) for c in record.filled] == [plain(c) for c in header if c]


def _sum_word(record: Record, sheet: Sheet) -> Kind | None:
    """Return what a first cell such as "Summe" or "TOTAL: 24 sets" says."""
    measures = {c.index for c in sheet.columns if c.meaning in COUNTED}
    words = [cell for i, cell in enumerate(record.cells) if cell and i not in measures]
    first = [*words[:1], record.filled[0]]
    kinds: tuple[tuple[Kind, tuple[str, ...]], ...] = (
        ("carried", CARRIED),
        ("subtotal", SUBTOTALS),
        ("total", TOTALS),
    )
    for kind, phrases in kinds:
        if any(plain(cell) in phrases for cell in first):
            return kind
        # "Report 7" may well be a mark.
        if kind != "carried" and any(begins_with(cell, phrases) for cell in first):
            return kind
    return None
