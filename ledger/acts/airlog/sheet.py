"""The bytes of a logger's file as rows, and which columns say time, warmth and damp."""

import codecs
import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from ledger.acts.airlog.words import (
    ABSENT,
    HUMIDITY,
    MOMENTS,
    TEMPERATURE,
    meaning_of,
    unit_of,
)
from ledger.acts.packing.text import DELIMITERS, said_delimiter
from ledger.errors import RefusedError
from ledger.scales import shown

LARGEST_FILE = 50_000_000  # bytes
MOST_ROWS = 2_000_000
# A header stands within so many lines; above it loggers tell of themselves.
MOST_ABOVE = 100
_AS_CSV = "export it as CSV from the logger's program"
_OTHER_FILES = {
    b"PK\x03\x04": "a workbook or a zip archive",
    b"\xd0\xcf\x11\xe0": "an old workbook",
    b"%PDF": "a PDF",
}
_NO_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column that is read: where it stands, its header as written, and its unit."""

    index: int
    header: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A log as text, and where its columns are; `line` is that of its header."""

    text: str
    encoding: str
    delimiter: str
    line: int
    columns: Mapping[str, Column]

    def rows(self) -> Iterator[tuple[int, list[str]]]:
        """Yield each row below the header with its line."""
        try:
            for number, cells in _numbered(self.text, self.delimiter):
                if number > self.line:
                    yield number, cells
        except csv.Error as error:
            raise RefusedError(
                f"the log cannot be read as cells ({error}): look for a quote that is "
                f"opened and not closed"
            ) from None


def sheet_of(
    data: bytes, *, columns: Mapping[str, str], units: Mapping[str, str]
) -> Sheet:
    """Return a log's rows and columns, or refuse what is no log.

    columns  headers by what they say, where a log has several of a kind
    units    the unit of temperature, "C" or "F", where the log tells none
    """
    text, encoding = _text_of(data)
    said = said_delimiter(text)
    tried = [said] if said else [d for d in DELIMITERS if d in text]
    for delimiter in tried:
        found = _header(text, delimiter, columns)
        if found is not None:
            line, cells = found
            named = _columns(cells, columns)
            below = _second_header(text, delimiter, line, named)
            return Sheet(
                text=text,
                encoding=encoding,
                delimiter=delimiter,
                line=line + bool(below),
                columns=_with_units(named, below, units),
            )
    raise RefusedError(
        "no line names a time, a temperature and a humidity: give the headers as they "
        "stand there, such as --column time=Zeit --column temperature=T1 --column "
        "humidity=F1"
    )


def _text_of(data: bytes) -> tuple[str, str]:
    if len(data) > LARGEST_FILE:
        raise RefusedError(
            f"the log has {len(data)} bytes of at most {LARGEST_FILE}: export a "
            f"shorter time"
        )
    for mark, what in _OTHER_FILES.items():
        if data.startswith(mark):
            raise RefusedError(f"the log is {what}: {_AS_CSV}")
    text, encoding = _decoded(data)
    if not text.strip():
        raise RefusedError("the log is empty: look whether it is the right file")
    if _NO_TEXT.search(text):
        raise RefusedError(f"the log is no text: {_AS_CSV}")
    text = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return text, encoding


def _decoded(data: bytes) -> tuple[str, str]:
    """Read UTF-8, UTF-16 with and without its mark, and what older programs write."""
    start = data[:2000]
    encodings = ["utf-8-sig", "cp1252", "latin-1"]
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        encodings = ["utf-16"]
    elif start.count(0) > len(start) // 3:
        encodings = ["utf-16-le" if start[1:2] == b"\0" else "utf-16-be"]
    for encoding in encodings:
        try:
            return data.decode(encoding), encoding.upper().removesuffix("-SIG")
        except UnicodeDecodeError:
            continue
    raise RefusedError(f"the log is cut off or no text: {_AS_CSV}")


def _numbered(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Yield rows with the line where each ends; one that tells the delimiter is not."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    for cells in reader:
        yield reader.line_num, cells


def _header(
    text: str, delimiter: str, columns: Mapping[str, str]
) -> tuple[int, list[str]] | None:
    """Return the first line that names all that is needed."""
    try:
        above = list(islice(_numbered(text, delimiter), MOST_ABOVE))
    except csv.Error:
        return None
    for line, cells in above:
        told = {meaning_of(cell) for cell in cells}
        named = {cell.strip() for cell in cells}
        told |= {meaning for meaning, name in columns.items() if name.strip() in named}
        has_time = bool(told & {*MOMENTS, "time"})
        if has_time and {TEMPERATURE, HUMIDITY} <= told:
            return line, cells
    return None


def _columns(cells: Sequence[str], asked: Mapping[str, str]) -> dict[str, Column]:
    """Return the column of each meaning; of two alike the reader must say which."""
    found: dict[str, list[Column]] = {}
    for index, cell in enumerate(cells):
        header = " ".join(cell.split())
        meaning = next(
            (name for name, said in asked.items() if said.strip() == header),
            meaning_of(cell),
        )
        if meaning and asked.get(meaning, header).strip() == header:
            column = Column(index=index, header=header, unit=unit_of(cell))
            found.setdefault(meaning, []).append(column)
    return {meaning: _one(meaning, each) for meaning, each in found.items()}


def _one(meaning: str, columns: list[Column]) -> Column:
    """Return the one that is meant: of two units Celsius, of two times the first."""
    if meaning == TEMPERATURE and len(columns) > 1:
        celsius = [column for column in columns if column.unit == "C"]
        other = [column for column in columns if column.unit == "F"]
        if len(celsius) == 1 and len(celsius) + len(other) == len(columns):
            return celsius[0]
    if meaning in (TEMPERATURE, HUMIDITY) and len(columns) > 1:
        names = " and ".join(shown(column.header) for column in columns)
        raise RefusedError(
            f"{names} each tell a {meaning}: say which, such as --column "
            f"{meaning}={columns[0].header!r}"
        )
    return columns[0]


def _second_header(
    text: str, delimiter: str, line: int, columns: Mapping[str, Column]
) -> list[str]:
    """Return the cells right below the header, if they tell units and no reading."""
    below = next(
        (cells for n, cells in _numbered(text, delimiter) if n == line + 1), []
    )
    said = [
        below[column.index].strip()
        for column in (columns[TEMPERATURE], columns[HUMIDITY])
        if column.index < len(below)
    ]
    is_header = any(said) and not any(
        cell.casefold() in ABSENT
        or cell.strip("-. ") == ""
        or any(map(str.isdigit, cell))
        for cell in said
        if cell
    )
    return below if is_header and any(map(unit_of, said)) else []


def _with_units(
    columns: dict[str, Column], below: Sequence[str], units: Mapping[str, str]
) -> dict[str, Column]:
    """Add the units that a second line of header or the reader tells."""
    kept = dict(columns)
    warm = columns[TEMPERATURE]
    unit = warm.unit or (unit_of(below[warm.index]) if below else "")
    said = units.get(TEMPERATURE, "").strip("° ").upper()
    if said and said not in ("C", "F"):
        raise RefusedError(
            f"the temperature is in C or F, not in {shown(units[TEMPERATURE])}"
        )
    kept[TEMPERATURE] = replace(warm, unit=said or unit)
    return kept
