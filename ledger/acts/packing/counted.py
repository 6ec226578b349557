"""What a packing list counts where its rows do not say it: sets, or boards.

A title such as "Spruce sets" speaks for all rows below it, in a line of its own or
among the headers. Where it is the head of a column of numbers, it counts.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from ledger.acts.packing.cells import NOTHING, count
from ledger.acts.packing.columns import Column, Sheet
from ledger.acts.packing.words import KINDS, PLURALS, plain
from ledger.errors import RefusedError
from ledger.scales import shown


def counting(
    sheet: Sheet, *, columns: Mapping[str, str], units: Mapping[str, str]
) -> Sheet:
    """Return a sheet that knows what is counted, as its reader or its titles say.

    Raises RefusedError where halves are to be counted and nothing tells how many.
    """
    if "quantity" not in columns:
        sheet = _with_quantity(sheet)
    said = units.get("quantity")
    if said is None:
        return _titled(sheet)
    per = KINDS.get(plain(said))
    if per == "half" and not any(c.meaning == "quantity" for c in sheet.columns):
        raise RefusedError(
            "no column tells how many halves there are, and one half is no set: name "
            "the column with --column quantity='…', or say --unit quantity=sets"
        )
    return replace(sheet, counted=per)


def counted_words(sheet: Sheet) -> str:
    """Say as what rows are counted that do not say it, and how to say otherwise."""
    if sheet.counted_in:
        return (
            f"counted as sets, as {shown(sheet.counted_in)} says; "
            f"--unit quantity=boards if they are boards"
        )
    return "counted as boards; --unit quantity=sets if they are sets"


def _with_quantity(sheet: Sheet) -> Sheet:
    """Read a column as a count that no other word names: "Spruce sets", 4, 1, 2."""
    if any(column.meaning == "quantity" for column in sheet.columns):
        return sheet
    for index, header in _unread(sheet):
        if _plurals(header) == {"set"} and _are_counts(sheet, index):
            found = Column(index=index, header=header, meaning="quantity", told="set")
            columns = sorted((*sheet.columns, found), key=lambda column: column.index)
            unread = tuple(name for name in sheet.unread if name != header)
            return replace(sheet, columns=tuple(columns), unread=unread)
    return sheet


def _are_counts(sheet: Sheet, index: int) -> bool:
    """Tell whether a column counts; 1, 2, 3 from the first row on only numbers rows."""
    cells = [
        record.cells[index]
        for record in sheet.records[sheet.body :]
        if index < len(record.cells) and record.cells[index].casefold() not in NOTHING
    ]
    try:
        numbers = [count(cell)[0] for cell in cells if cell]
    except RefusedError:
        return False
    is_numbering = len(numbers) > 1 and numbers == list(range(1, len(numbers) + 1))
    return bool(numbers) and not is_numbering


def _titled(sheet: Sheet) -> Sheet:
    """Take sets from titles that speak of sets, and of nothing else that is counted."""
    titles = list(_titles(sheet))
    kinds = {kind for title in titles for kind in _plurals(title)}
    says = [title for title in titles if "set" in _plurals(title)]
    for header in _rows_named(sheet):
        kinds.add("set")
        says.append(header)
    if kinds != {"set"}:
        return sheet
    return replace(sheet, counted="set", counted_in=says[0])


def _titles(sheet: Sheet) -> Iterator[str]:
    """Yield what stands above the header, and headers that name no column."""
    for record in sheet.records[: sheet.header]:
        yield from record.filled
    for _, header in _unread(sheet):
        yield header


def _rows_named(sheet: Sheet) -> Iterator[str]:
    """Yield headers under which each row is named as one set: "Set No.", "Satz"."""
    for column in sheet.columns:
        if column.meaning == "label" and _says_set(column.header):
            yield column.header
    for _, header in _unread(sheet):
        if len(plain(header).split()) == 1 and _says_set(header):
            yield header


def _says_set(header: str) -> bool:
    return any(KINDS.get(word) == "set" for word in plain(header).split())


def _plurals(text: str) -> set[str]:
    return {PLURALS[word] for word in plain(text).split() if word in PLURALS}


def _unread(sheet: Sheet) -> Iterator[tuple[int, str]]:
    """Yield the place and the words of each header that is not read."""
    read = {column.index for column in sheet.columns}
    for index, header in enumerate(sheet.records[sheet.header].cells):
        if header and index not in read:
            yield index, header
