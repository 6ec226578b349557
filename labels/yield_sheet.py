"""What became of a sawyer's wood: one quiet page, to send or to pin up.

It draws what it is given: rows of a table, then short sections of lines. What has no
room is told to have none, so that one page always says how much it holds.
"""

from dataclasses import dataclass

from labels import archive, faces, letterhead, sections
from labels.letterhead import Letterhead
from labels.page import (
    BARK,
    HAIR,
    WALNUT,
    Page,
    Style,
    open_document,
    rule,
    thousands,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.sections import FRAMES, Frame
from labels.tongue import tongue

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=22, floor=13, may_shorten=True)
WHOSE = Style(face=faces.TEXT, size=12, floor=9, may_shorten=True)
LEAD = Style(face=faces.TEXT, size=11)
HEAD = Style(
    face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT, floor=6.8, may_shorten=True
)
NAME = Style(face=faces.DATA_MEDIUM, size=8.8, floor=6.8, may_shorten=True)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9.4, floor=7.2, may_shorten=True)
CELL = Style(face=faces.DATA, size=8.8, floor=6.4, may_shorten=True)
TOTAL = Style(face=faces.DATA_BOLD, size=8.8, floor=6.4, may_shorten=True)
LINE = Style(face=faces.TEXT, size=9.6)
NOTE = Style(face=faces.TEXT, size=8, colour=WALNUT)
NAMES, KINDS = 22.0, 32.0  # widths of the first two columns [mm]
PITCH, LEADING, NOTE_LEADING = 5.2, 4.7, 3.8
MOST_ROWS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One lot, or one sawyer: its name, its species, and a cell for each column."""

    name: str
    kind: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading and what stands under it, a fact a line."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldSheet:
    """What the page shows; `total` is the last row of the table, where there is one."""

    head: Letterhead
    day: str
    title: str
    whose: str
    lead: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    total: Row | None
    sections: tuple[Section, ...]
    notes: tuple[str, ...]
    as_of_entry: int
    language: str = "en"


def draw(sheet: YieldSheet, *, paper: str = "A4") -> bytes:
    """Return the page as a PDF to keep."""
    frame = FRAMES[paper]
    page = open_document(frame.size, sheet.title, sheet.language)
    drop = letterhead.draw(page, frame, sheet.head, sheet.day)
    y = _top(page, frame, sheet, frame.head + drop)
    y = _table(page, frame, y, sheet)
    foot = frame.foot - NOTE_LEADING * len(_notes(frame, sheet)) - 4
    _sections(page, frame, y, foot, sheet)
    _foot(page, frame, sheet)
    turn_over(page)
    return archive.keep(page, day=sheet.day)


def notices(sheet: YieldSheet) -> tuple[str, ...]:
    """Say which characters the page could not print."""
    rows = [row for row in (*sheet.rows, sheet.total) if row is not None]
    texts = [sheet.title, sheet.whose, sheet.lead, *sheet.notes]
    texts += letterhead.texts(sheet.head)
    texts += [text for row in rows for text in (row.name, row.kind, *row.cells)]
    texts += [text for part in sheet.sections for text in part.lines]
    return faces.missing_notices(texts)


def _width(frame: Frame) -> float:
    return frame.right - frame.left


def _top(page: Page, frame: Frame, sheet: YieldSheet, y: float) -> float:
    x, within = frame.left, _width(frame)
    write(page, (x, y + 20), sheet.title, TITLE, within=within)
    write(page, (x, y + 27.4), sheet.whose, WHOSE, within=within)
    lines = wrap(sheet.lead, LEAD, within)
    return write_lines(page, (x, y + 36), lines, LEAD, 5.2) + 3


def _places(frame: Frame, sheet: YieldSheet) -> tuple[list[float], float]:
    """Return the right edges of the columns, and how wide each is."""
    wide = (_width(frame) - NAMES - KINDS) / max(len(sheet.columns), 1)
    first = frame.left + NAMES + KINDS
    return [first + wide * (n + 1) for n in range(len(sheet.columns))], wide


def _table(page: Page, frame: Frame, y: float, sheet: YieldSheet) -> float:
    """Set the table, and return the level under it; too many rows are counted."""
    if not sheet.rows:
        return y
    (edges, wide), say = _places(frame, sheet), tongue(sheet.language)
    rule(page, frame.sides, y)
    for edge, head in zip(edges, sheet.columns, strict=True):
        write(page, (edge, y + 4), head, HEAD, align="right", within=wide - 1.6)
    rule(page, frame.sides, y + 5.8, 0.25, HAIR)
    y += 5.8
    for row in sheet.rows[:MOST_ROWS]:
        y = _row(page, frame, y, row, edges, wide, CELL)
    left = len(sheet.rows) - MOST_ROWS
    if left > 0:
        said = say("and {number} more, counted in the last line")
        said = said.format(number=thousands(left))
        write(page, (frame.left, y + 3.8), said, HEAD)
        y += PITCH
    if sheet.total:
        rule(page, frame.sides, y + 0.6, 0.25, BARK)
        y = _row(page, frame, y + 0.6, sheet.total, edges, wide, TOTAL)
    return y + 1


def _row(
    page: Page,
    frame: Frame,
    y: float,
    row: Row,
    edges: list[float],
    wide: float,
    style: Style,
) -> float:
    level = y + 3.8
    name_room = NAMES - 2 + (0 if row.kind else KINDS)
    write(page, (frame.left, level), row.name, NAME, within=name_room)
    kind_at = (frame.left + NAMES, level)
    write(page, kind_at, row.kind, SPECIES, within=KINDS - 2)
    for edge, cell in zip(edges, row.cells, strict=True):
        write(page, (edge, level), cell, style, align="right", within=wide - 1.6)
    return y + PITCH


def _sections(
    page: Page, frame: Frame, y: float, foot: float, sheet: YieldSheet
) -> None:
    """Set the sections down to a level, and say what had no room."""
    left_out, say = list[str](), tongue(sheet.language)
    for part in sheet.sections:
        lines = [row for text in part.lines for row in wrap(text, LINE, _width(frame))]
        room = int((foot - y - 14.4 - LEADING) / LEADING) + 1
        if not lines:
            continue
        if room < 1 or left_out:
            left_out.append(part.heading)
            continue
        sections.heading(page, frame, y + 8, part.heading)
        if len(lines) > room:
            more = len(lines) - room + 1
            said = say("and {number} lines more, not here")
            said = said.format(number=thousands(more))
            lines = [*lines[: room - 1], said]
        y = write_lines(page, (frame.left, y + 14.4), lines, LINE, LEADING)
        y += 1.4 - LEADING
    if left_out:
        said = say("no room on this page for: {headings}")
        said = said.format(headings=", ".join(left_out))
        write(page, (frame.left, foot + 1), said, HEAD)


def _notes(frame: Frame, sheet: YieldSheet) -> list[str]:
    return [row for text in sheet.notes for row in wrap(text, NOTE, _width(frame))]


def _foot(page: Page, frame: Frame, sheet: YieldSheet) -> None:
    """Set the notes above the rule, and under it which state of the record this is."""
    lines = _notes(frame, sheet)
    level = frame.foot - 2 - NOTE_LEADING * (len(lines) - 1)
    write_lines(page, (frame.left, level), lines, NOTE, NOTE_LEADING)
    rule(page, frame.sides, frame.foot, 0.25, HAIR)
    say = tongue(sheet.language)
    said = say("drawn from the shop’s record as of entry {entry}")
    said = said.format(entry=thousands(sheet.as_of_entry))
    write(page, (frame.left, frame.foot + 4.4), said, NOTE)
