"""The bytes of a packing list as lines and cells, whichever program wrote them."""

import codecs
import csv
import io
import re
from dataclasses import dataclass

from ledger.errors import RefusedError

LARGEST_FILE = 5_000_000  # bytes
MOST_ROWS = 5_000
MOST_LINES = 20_000
# A quote that is opened and never closed swallows the lines below it.
MOST_LINES_OF_A_CELL = 12
DELIMITERS = {";": "semicolons", ",": "commas", "\t": "tabs", "|": "bars"}

_AS_CSV = "save it as CSV in the program that made it"
_OTHER_FILES = {
    b"PK\x03\x04": "a workbook or a zip archive",
    b"PK\x05\x06": "an empty zip archive",
    b"\xd0\xcf\x11\xe0": "an old workbook",
    b"%PDF": "a PDF",
}
_MARKS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16",
    codecs.BOM_UTF16_BE: "utf-16",
}
_NO_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_SAID_DELIMITER = re.compile(r"sep=([;,\t|])[ ]*(?=\n)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A row of cells, and the line of the file where it begins."""

    line: int
    last_line: int
    cells: tuple[str, ...]

    @property
    def filled(self) -> tuple[str, ...]:
        """The cells that hold something."""
        return tuple(cell for cell in self.cells if cell)

    @property
    def is_run_on(self) -> bool:
        """Whether a quote was opened and not closed, as far as can be seen."""
        return self.last_line - self.line >= MOST_LINES_OF_A_CELL


def text_of(data: bytes) -> tuple[str, str]:
    """Return a file's text with plain line ends, and the encoding it was written in.

    Raises RefusedError where it is empty, too large, or no text at all.
    """
    if len(data) > LARGEST_FILE:
        raise RefusedError(
            f"the file has {len(data)} bytes of at most {LARGEST_FILE}: a packing list "
            f"is smaller, look whether it is the right file"
        )
    for mark, what in _OTHER_FILES.items():
        if data.startswith(mark):
            raise RefusedError(f"the file is {what}: {_AS_CSV}")
    text, encoding = _decoded(data)
    if _NO_TEXT.search(text):
        raise RefusedError(f"the file is no text: {_AS_CSV}")
    if not text.strip():
        raise RefusedError("the file is empty: look whether it is the right one")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = text.count("\n")
    if lines > MOST_LINES:
        raise RefusedError(
            f"the file has {lines} lines of at most {MOST_LINES}: split it in two"
        )
    return text, encoding


def _decoded(data: bytes) -> tuple[str, str]:
    marked = (name for mark, name in _MARKS.items() if data.startswith(mark))
    encoding = next(marked, "utf-8")
    try:
        return data.decode(encoding), encoding.upper().removesuffix("-SIG")
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252"), "Windows-1252"
    except UnicodeDecodeError:
        raise RefusedError(
            f"the file is neither UTF-8 nor Windows-1252: {_AS_CSV} (UTF-8)"
        ) from None


def said_delimiter(text: str) -> str | None:
    """Return the delimiter that a first line such as "sep=;" tells."""
    found = _SAID_DELIMITER.match(text)
    return found[1] if found else None


def records_of(text: str, delimiter: str) -> tuple[Record, ...]:
    """Return every row that this delimiter gives, the empty ones too.

    Raises RefusedError where a cell is too long to be one.
    """
    if said_delimiter(text):
        text = text[text.index("\n") :]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    records, line = [], 1
    try:
        for cells in reader:
            kept = tuple(" ".join(cell.split()) for cell in cells)
            records.append(Record(line=line, last_line=reader.line_num, cells=kept))
            line = reader.line_num + 1
    except csv.Error as error:
        raise RefusedError(
            f"line {line} cannot be read as cells ({error}): look for a quote that is "
            f"opened and not closed"
        ) from None
    return tuple(records)
