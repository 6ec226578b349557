"""Which column of a packing list says what, and in which unit."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.acts.packing.text import DELIMITERS, Record, records_of, said_delimiter
from ledger.acts.packing.words import (
    FILLERS,
    HEADERS,
    KINDS,
    MEANINGS,
    SCALES,
    SCOPES,
    SIZE,
    Per,
    plain,
    unit_named,
)
from ledger.errors import RefusedError
from ledger.scales import MASS, MOISTURE, VOLUME, shown

# A letterhead is shorter than this.
LAST_HEADER_LINE = 60
MOST_COLUMNS = 100
LONGEST_HEADER = 60
COUNTED = ("quantity", *SCALES)
SIDES = ("length", "width", "thickness")

_PART = re.compile(r"/4\b|[^\s/,()\[\]{}]+")
# "Länge (L)" says the same twice.
_ASIDE = re.compile(r"\([A-Za-z]\)(?<!\([mg]\))")
_SHORT_UNITS = ("m", "g", '"', "″", "”", "'", "%")
_ORDER = re.compile(
    r"(?<![^\W_])([^\W\d_]+?)\s*[x×*]\s*([^\W\d_]+?)"
    r"(?:\s*[x×*]\s*([^\W\d_]+))?(?![^\W_])"
)
_LETTERS = {
    **{name: told[0][0] for name, told in HEADERS.items() if told[0] in SIDES},
    **{"e": "t", "s": "t", "g": "t", "a": "w"},
}
_UNIT_EXAMPLES = {
    **{"quantity": "sets", "moisture": "%", "volume": "bf"},
    **{"mass": "g, or 'g each', or 'g total'", "mass_a": "g", "mass_b": "g"},
}
_LOOKED_FOR = (
    "number, quantity, length, width, thickness, sizes, weight, species, grade, use, "
    "origin"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its header as written, and what it says.

    `told` is what the header tells beside: whose mass it is (each, set, half, total),
    what is counted (set, half, board), or how sizes follow each other ("lwt").
    """

    index: int
    header: str
    meaning: str
    unit: str | None = None
    told: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A packing list as cells: where its header stands, and its columns.

    `counted` is what rows count that do not say it, and `counted_in` the words of the
    list that tell so.
    """

    delimiter: str
    records: tuple[Record, ...]
    header: int
    body: int
    columns: tuple[Column, ...]
    unread: tuple[str, ...]
    counted: Per | None = None
    counted_in: str = ""


def sheet_of(
    text: str, *, columns: Mapping[str, str], units: Mapping[str, str]
) -> Sheet:
    """Find delimiter, header and columns: what names the most columns is right.

    Raises RefusedError where no line names two columns, or one asked for is missing.
    """
    _require_known(columns, units)
    said = said_delimiter(text)
    best: tuple[int, int, str, tuple[Record, ...]] | None = None
    refused: RefusedError | None = None
    for delimiter in [said] if said else DELIMITERS:
        try:
            records = records_of(text, delimiter)
        except RefusedError as error:
            refused = error  # with another delimiter the quotes may be sound
            continue
        for index, record in enumerate(records[:LAST_HEADER_LINE]):
            score = _score(record, columns)
            if score and (best is None or score > best[0]):
                best = (score, index, delimiter, records)
    if best is None and refused:
        raise refused
    if best is None:
        raise _without_header(columns)
    _, header, delimiter, records = best
    return _sheet(records, header, delimiter, columns, units)


def _without_header(columns: Mapping[str, str]) -> RefusedError:
    """Say that no header was found, and which columns somebody asked for in vain."""
    asked = [shown(name) for name in columns.values() if _header(name)]
    if asked:
        return RefusedError(
            f"no line of the first {LAST_HEADER_LINE} has a column called "
            f"{' or '.join(asked)}: write it as the header of the list does"
        )
    return RefusedError(
        f"no line of the first {LAST_HEADER_LINE} names its columns: a list needs "
        f"a header with words such as {_LOOKED_FOR} (also in German, French, "
        f"Italian or Spanish); where it uses others, say --column length='…'"
    )


def _sheet(
    records: tuple[Record, ...],
    header: int,
    delimiter: str,
    columns: Mapping[str, str],
    units: Mapping[str, str],
) -> Sheet:
    cells = records[header].cells
    below = records[header + 1].cells if header + 1 < len(records) else ()
    found = read_header(cells, columns)
    _require_there(cells, columns)
    has_units = are_units(below)
    if has_units:
        found = [_united(column, below) for column in found]
    kept = tuple(_overruled(column, units) for column in found)
    read = {column.index for column in kept}
    unread = (c for i, c in enumerate(cells) if c and i not in read)
    return Sheet(
        delimiter=delimiter,
        records=records,
        header=header,
        body=header + 1 + has_units,
        columns=kept,
        unread=tuple(unread),
    )


def read_header(cells: Sequence[str], columns: Mapping[str, str]) -> list[Column]:
    """Return what each cell of a header says, one column for each meaning.

    `columns` names headers for meanings; an empty one has the meaning left out.
    """
    named = {_header(name): meaning for meaning, name in columns.items() if name}
    named.pop("", None)
    found: dict[str, Column] = {}
    for index, cell in enumerate(cells):
        meaning = named.get(_header(cell)) if cell else None
        column = column_of(index, cell, meaning)
        if column is None or (meaning is None and column.meaning in columns):
            continue
        first = found.get(column.meaning)
        # The mass of one is worth more than the mass of all.
        if first is None or (first.told == "total" and column.told != "total"):
            found[column.meaning] = column
    if "label" in columns:
        found.pop("position", None)
    position = found.pop("position", None)
    if position and "label" not in found:
        found["label"] = replace(position, meaning="label")
    return sorted(found.values(), key=lambda column: column.index)


def column_of(index: int, cell: str, meaning: str | None = None) -> Column | None:
    """Return what a header says, or None where its words are unknown."""
    words, unit = _taken_apart(cell[:LONGEST_HEADER])
    found, told = _looked_up(words), None
    if found is None:
        fewer, told = _without_scope(words)
        found = _looked_up(fewer)
    order = _order_told(cell)
    if found is None and order:
        found = ("sizes", None)
    if found is None and meaning is None:
        return None
    word, told_by_word = found or ("", None)
    # "MASSE (mm)" are sizes, written without the letter ß.
    is_size = word == "mass" and unit_named(unit, SIZE) is not None
    meaning = meaning or ("sizes" if is_size else word)
    if meaning == word and told_by_word:
        told = told_by_word
    return Column(
        index=index,
        header=cell,
        meaning=meaning,
        unit=unit_named(unit, SCALES[meaning]) if meaning in SCALES else None,
        told=order if meaning == "sizes" else told,
    )


def _taken_apart(cell: str) -> tuple[list[str], str]:
    """Return the plain words of a header, and its unit as written, if it has one."""
    parts = [
        part
        for part in _PART.findall(_ASIDE.sub(" ", cell))
        if plain(part) or _is_unit(part)
    ]
    words = plain(" ".join(parts)).split()
    # In "bd ft per set" the unit is the whole of what is measured.
    is_whole = any(" ".join(w) in HEADERS for w in (words, _without_scope(words)[0]))
    unit = ""
    for start, end in _windows(len(parts)):
        written = "".join(parts[start:end])
        if _is_unit(written) and (is_whole or end - start < len(parts)):
            unit = written
            if not is_whole:
                del parts[start:end]
            break
    return plain(" ".join(parts)).split(), unit


def _windows(count: int) -> list[tuple[int, int]]:
    """Return where a unit of two words or one may stand, the last place first."""
    pairs = [(end - 2, end) for end in range(count, 1, -1)]
    return pairs + [(end - 1, end) for end in range(count, 0, -1)]


def _is_unit(text: str) -> bool:
    if len(text) == 1 and text not in _SHORT_UNITS:
        return False
    return any(unit_named(text, scale) for scale in (SIZE, MASS, VOLUME, MOISTURE))


def _looked_up(words: list[str]) -> tuple[str, str | None] | None:
    for kept in (words, [word for word in words if word not in FILLERS]):
        if found := HEADERS.get(" ".join(kept)):
            return found
    first = HEADERS.get(" ".join(words[:-1]))
    if first and first[0] == "quantity" and words[-1] in KINDS:
        return ("quantity", KINDS[words[-1]])
    return None


def _without_scope(words: list[str]) -> tuple[list[str], str | None]:
    """Take out of a header the words that tell whose mass it is."""
    for phrase, scope in SCOPES:
        size = len(phrase)
        for start in range(len(words) - size + 1):
            if tuple(words[start : start + size]) == phrase and size < len(words):
                return words[:start] + words[start + size :], scope
    return words, None


def _order_told(cell: str) -> str | None:
    """Return the order that "L x W x T" tells, as "lwt"."""
    found = _ORDER.search(cell[:LONGEST_HEADER])
    if found is None:
        return None
    order = ""
    for part in filter(None, found.groups()):
        letter = _LETTERS.get(plain(part), "")
        # In "L x l x e" the second is the width.
        order += "w" if letter == "l" and "l" in order else letter
    is_clear = len(order) == len(set(order)) == len(list(filter(None, found.groups())))
    return order if is_clear else None


def _score(record: Record, columns: Mapping[str, str]) -> int:
    if len(record.cells) > MOST_COLUMNS or len(record.filled) < 2:
        return 0
    found = read_header(record.cells, columns)
    # Where somebody says what a header is called, the line that has it is the header.
    names = {_header(name) for name in columns.values()} - {""}
    is_named = any(_header(column.header) in names for column in found)
    is_told = len(found) > 1 and any(c.meaning in COUNTED for c in found)
    return len(found) if is_named or is_told else 0


def are_units(cells: Sequence[str]) -> bool:
    """Tell whether a line says nothing but units, as below a header."""
    bare = [cell.strip("()[]") for cell in cells if cell]
    return bool(bare) and all(_is_unit(cell) for cell in bare)


def _united(column: Column, below: Sequence[str]) -> Column:
    if column.meaning not in SCALES or column.index >= len(below):
        return column
    unit = unit_named(below[column.index].strip("()[]"), SCALES[column.meaning])
    return replace(column, unit=column.unit or unit)


def _overruled(column: Column, units: Mapping[str, str]) -> Column:
    """Put what the reader of the list says before what its header says."""
    said = units.get(column.meaning)
    if said is None and column.meaning in ("mass_a", "mass_b"):
        said = units.get("mass")
    if said is None:
        return column
    told = _said_of(column.meaning, said)
    if told is None:
        return column
    return replace(column, unit=told.unit or column.unit, told=told.told or column.told)


def _said_of(meaning: str, said: str) -> Column | None:
    """Return what "mm", "g each" or "sets" tells of a column, if it tells anything."""
    if meaning == "quantity":
        kind = KINDS.get(plain(said))
        return (
            Column(index=0, header=said, meaning=meaning, told=kind) if kind else None
        )
    unit = unit_named(said, SCALES[meaning])
    if unit:
        return Column(index=0, header=said, meaning=meaning, unit=unit)
    whole = column_of(0, f"{meaning.partition('_')[0]} {said}", None)
    return whole if whole and (whole.unit or whole.told) else None


def _require_known(columns: Mapping[str, str], units: Mapping[str, str]) -> None:
    for meaning in columns:
        if meaning not in MEANINGS:
            raise RefusedError(
                f"{shown(meaning)} is nothing a list says: --column takes "
                f"{', '.join(MEANINGS)}"
            )
    for meaning, unit in units.items():
        if meaning not in COUNTED:
            raise RefusedError(
                f"{shown(meaning)} has no unit: --unit takes {', '.join(COUNTED)}"
            )
        if _said_of(meaning, unit) is None:
            raise RefusedError(
                f"{shown(unit)} is no unit of {meaning}: say such as "
                f"--unit {meaning}={_UNIT_EXAMPLES.get(meaning, 'mm')}"
            )


def _header(text: str) -> str:
    """Return a header as it is compared; what is in no Latin letters as it stands."""
    return plain(text) or unicodedata.normalize("NFKC", text).strip().casefold()


def _require_there(cells: Sequence[str], columns: Mapping[str, str]) -> None:
    headers = [cell for cell in cells if cell]
    for meaning, name in columns.items():
        if _header(name) and _header(name) not in map(_header, headers):
            raise RefusedError(
                f"no column is called {shown(name)}, asked for as {meaning}: the list "
                f"has {', '.join(shown(header) for header in headers)}"
            )
