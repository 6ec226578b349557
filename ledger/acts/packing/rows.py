"""One row of a packing list, as the shop can receive it, or why it cannot."""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from ledger.acts.names import LONGEST, LONGEST_NAME, breadth
from ledger.acts.packing import checks
from ledger.acts.packing.cells import (
    DITTO,
    NOTHING,
    Amount,
    Marks,
    NoUnitError,
    amount,
    count,
    masses,
    sizes,
)
from ledger.acts.packing.columns import SIDES, Column
from ledger.acts.packing.masses import HALVES, settle
from ledger.acts.packing.text import Record
from ledger.acts.packing.words import (
    KINDS,
    SCALES,
    SCIENTIFIC,
    SIZE,
    TEXTS,
    Per,
    is_scientific,
    plain,
    unit_named,
)
from ledger.errors import RefusedError
from ledger.log.encoding import profile_fault, writing_fault
from ledger.scales import VOLUME, shown

# Under which name a limit of length is kept for what a cell says.
LIMITED = {
    "meant_for": "use of a board",
    "species": "species",
    "trade_name": "trade name",
}
# What a use that is too long may be told by instead.
WAY_OUT = (
    ", or leave the column out with --column meant_for= and say one use for the whole "
    "list with --for"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedRow:
    """What one row of a packing list says of pieces that are alike.

    `masses_mg` are of one piece or one set; two are those of a set's halves. Where the
    list gives the mass of several together, each has its share, which nobody weighed.
    """

    line: int
    label: str | None
    quantity: int
    per: Per
    length_um: int | None
    width_um: int | None
    thickness_um: int | None
    masses_mg: tuple[int, ...]
    species: str | None
    trade_name: str | None
    meant_for: str | None
    grade: str | None
    moisture_ppm: int | None
    harvested_in: str | None
    as_written: str
    is_mass_shared: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong in a line, and what to do about it."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A row as read: itself or its faults, and what the whole list needs to know."""

    line: int
    row: ListedRow | None = None
    faults: tuple[Fault, ...] = ()
    unitless: tuple[tuple[Column, str], ...] = ()
    quantity: int | None = None
    per: Per | None = None
    is_per_told: bool = False
    listed_mg: int | None = None
    said: frozenset[str] = frozenset()


@dataclass(slots=True, kw_only=True)
class _Draft:
    """A row while it is being read."""

    record: Record
    cells: Mapping[str, str]
    columns: Mapping[str, Column]
    marks: Mapping[str, Marks]
    faults: list[str] = field(default_factory=list)
    unitless: list[tuple[Column, str]] = field(default_factory=list)
    amounts: dict[str, Amount] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    masses_written: tuple[Amount, ...] = ()
    masses_mg: tuple[int, ...] = ()
    listed_mg: int | None = None
    quantity: int | None = 1
    per: Per | None = None
    row_unit: str | None = None
    is_mass_shared: bool = False


def cells_of(record: Record, columns: Sequence[Column]) -> dict[str, str]:
    """Return the cells of a row by what they say, those that say something only."""
    return {
        column.meaning: record.cells[column.index]
        for column in columns
        if column.index < len(record.cells)
        and record.cells[column.index]
        and record.cells[column.index].casefold() not in NOTHING
    }


def read_row(
    record: Record,
    columns: Sequence[Column],
    marks: Mapping[str, Marks],
    *,
    counted: Per | None = None,
) -> Reading:
    """Read a row; each cell that cannot be read becomes a fault.

    `counted` is what the row counts if neither it nor its column says so.
    """
    draft = _Draft(
        record=record,
        cells=cells_of(record, columns),
        columns={column.meaning: column for column in columns},
        marks=marks,
    )
    _read_count(draft)
    is_said = draft.per is not None
    draft.per = draft.per or counted
    for meaning, cell in draft.cells.items():
        _read_cell(draft, meaning, cell)
    if not draft.faults and not draft.unitless:
        _settle_masses(draft)
        draft.faults.extend(_doubts(draft))
    row = None if draft.faults or draft.unitless else _row(draft)
    return Reading(
        line=record.line,
        row=row,
        faults=tuple(Fault(line=record.line, reason=why) for why in draft.faults),
        unitless=tuple(draft.unitless),
        quantity=draft.quantity,
        per=draft.per,
        is_per_told=is_said or (counted is None and draft.per is not None),
        listed_mg=draft.listed_mg,
        said=frozenset(draft.cells),
    )


def _row(draft: _Draft) -> ListedRow:
    small = {name: read.small for name, read in draft.amounts.items()}
    texts = draft.texts
    return ListedRow(
        line=draft.record.line,
        label=texts.get("label"),
        quantity=draft.quantity or 1,
        per=draft.per or "board",
        length_um=small.get("length"),
        width_um=small.get("width"),
        thickness_um=small.get("thickness"),
        masses_mg=draft.masses_mg,
        species=texts.get("species"),
        trade_name=texts.get("trade_name"),
        meant_for=texts.get("meant_for"),
        grade=texts.get("grade"),
        moisture_ppm=small.get("moisture"),
        harvested_in=texts.get("harvested_in"),
        as_written="; ".join(
            f"{draft.columns[meaning].header}: {cell}"
            for meaning, cell in draft.cells.items()
            if meaning in SCALES
        ),
        is_mass_shared=draft.is_mass_shared,
    )


def _read_count(draft: _Draft) -> None:
    """Read how many there are, and of what; the cell goes before the column."""
    kind = draft.cells.get("kind", "")
    draft.per = KINDS.get(plain(kind))
    draft.row_unit = unit_named(kind, SIZE)
    column = draft.columns.get("quantity")
    if kind and draft.per is None and draft.row_unit is None:
        said = f"{shown(kind)} is nothing that is counted; write sets, halves or boards"
        draft.faults.append(_named(draft.columns["kind"], said))
    if column is None:
        return
    told = next((per for per in ("set", "half", "board") if per == column.told), None)
    draft.per = draft.per or KINDS.get(told or "")
    if "quantity" not in draft.cells:
        draft.quantity = None
        said = "the cell is empty; write how many there are"
        draft.faults.append(_named(column, said))
        return
    try:
        draft.quantity, own = count(draft.cells["quantity"])
    except RefusedError as error:
        draft.quantity = None
        draft.faults.append(_named(column, str(error)))
        return
    draft.per = own or draft.per
    if draft.per == "half" and draft.quantity % 2:
        said = (
            f"{draft.quantity} halves leave one without its sister; look for the other "
            f"half, or list it as a board"
        )
        draft.faults.append(_named(column, said))


def _read_cell(draft: _Draft, meaning: str, cell: str) -> None:
    column = draft.columns[meaning]
    try:
        if cell.casefold() in DITTO:
            raise RefusedError(f"{shown(cell)} stands for the row above; write it out")
        if meaning in SCALES:
            _read_measure(draft, column, cell)
        elif meaning == "label":
            draft.texts["label"] = _text(cell, meaning)
        elif meaning in TEXTS:
            _read_text(draft, column, _text(cell, meaning))
    except NoUnitError:
        draft.unitless.append((column, cell))
    except RefusedError as error:
        draft.faults.append(_named(column, str(error)))


def _read_measure(draft: _Draft, column: Column, cell: str) -> None:
    meaning, scale = column.meaning, SCALES[column.meaning]
    marks = draft.marks.get(meaning, Marks())
    unit = column.unit
    if scale is SIZE:
        unit = unit or draft.row_unit
    if meaning == "sizes":
        for name, size in sizes(
            cell, scale, unit=unit, order=column.told, marks=marks
        ).items():
            _keep_size(draft, name, size)
    elif meaning == "mass":
        draft.masses_written = masses(cell, scale, unit=unit, marks=marks)
    elif meaning == "moisture":
        # Moisture is told in percent, whether the sign is there or not.
        draft.amounts[meaning] = amount(cell, scale, unit=unit or "%", marks=marks)
    elif meaning in SIDES:
        _keep_size(draft, meaning, amount(cell, scale, unit=unit, marks=marks))
    else:
        draft.amounts[meaning] = amount(cell, scale, unit=unit, marks=marks)


def _keep_size(draft: _Draft, name: str, size: Amount) -> None:
    first = draft.amounts.setdefault(name, size)
    if first.small != size.small:
        raise RefusedError(
            f"the {name} is {first.small} µm in one cell and {size.small} µm in "
            f"another; correct one of them"
        )


def _text(cell: str, meaning: str) -> str:
    """Return the words of a cell, or say why they cannot be taken and the way out."""
    text = unicodedata.normalize("NFC", cell)
    fault = profile_fault(text) or writing_fault(text)
    longest = LONGEST.get(LIMITED.get(meaning, ""), LONGEST_NAME)
    if (wide := breadth(text)) > longest:
        twice = ", a wide one counted twice" if wide > len(text) else ""
        way_out = WAY_OUT if meaning == "meant_for" else ""
        fault = (
            f"it has {wide} characters{twice}, of at most {longest}; shorten it"
            f"{way_out}"
        )
    if fault:
        raise RefusedError(f"{shown(text)} cannot be written down: {fault}")
    return text


def _read_text(draft: _Draft, column: Column, text: str) -> None:
    if column.meaning == "harvested_in" and re.fullmatch("[A-Za-z]{2}", text):
        draft.texts["harvested_in"] = text.upper()
    elif column.meaning not in ("species", "trade_name"):
        draft.texts[column.meaning] = text
    elif column.told == "scientific":
        draft.texts["species"] = text
    else:
        draft.texts.update(_names_in(text, draft.texts))


def _names_in(text: str, known: Mapping[str, str]) -> dict[str, str]:
    """Tell "Acer macrophyllum" from the rest of "Bigleaf maple (Acer macrophyllum)"."""
    found = SCIENTIFIC.search(text)
    if found is None or not is_scientific(found[0]):
        return {"trade_name": known.get("trade_name", text)}
    rest = " ".join((text[: found.start()] + text[found.end() :]).split())
    other = rest.replace("( ", "(").replace(" )", ")").replace("()", "")
    other = other.strip(" ,;/-()")
    names = {"species": known.get("species", found[0])}
    return {**names, "trade_name": other} if other else names


def _settle_masses(draft: _Draft) -> None:
    """Bring the masses to one piece or one set, as the header tells whose they are."""
    names = [m for m in ("mass", "mass_a", "mass_b") if m in draft.cells]
    halves = [draft.amounts.pop(name) for name in names if name != "mass"]
    if not names:
        return
    column = draft.columns[names[0]]
    try:
        if len(halves) == 1:
            raise RefusedError(
                "one half of the set has no mass; weigh it, or leave both out"
            )
        listed = tuple(mass.small for mass in halves or draft.masses_written)
        draft.listed_mg = sum(listed)
        settled = settle(
            listed, told=column.told, quantity=draft.quantity or 1, per=draft.per
        )
    except RefusedError as error:
        cell = draft.cells[names[0]]
        draft.faults.append(_named(column, f"{shown(cell)}: {error}"))
        return
    draft.masses_mg, draft.per = settled.masses_mg, settled.per
    draft.is_mass_shared = settled.is_shared


def _named(column: Column, reason: str) -> str:
    return f"column {shown(column.header)}: {reason}"


def _doubts(draft: _Draft) -> Iterator[str]:
    """Yield what cannot be so, though each cell can be read."""
    moisture = draft.amounts.get("moisture")
    if moisture and (why := checks.moisture_fault(moisture.small)):
        yield _named(draft.columns["moisture"], why)
    solid = _solid(draft)
    if solid is None:
        return
    why = checks.proportion_fault(solid)
    if why is None and draft.masses_mg:
        # The two halves of a set, or one piece.
        pieces = 2 if draft.per == "set" or len(draft.masses_mg) == 2 else 1
        why = checks.density_fault(solid, sum(draft.masses_mg), pieces=pieces)
    why = why or checks.length_fault(solid)
    if why is None and "volume" in draft.amounts:
        why = _volume_doubt(draft, solid)
    if why:
        yield f"{why} (written {shown('; '.join(_measures(draft)))})"


def _measures(draft: _Draft) -> list[str]:
    return [cell for meaning, cell in draft.cells.items() if meaning in SCALES]


def _solid(draft: _Draft) -> checks.Solid | None:
    read = [draft.amounts.get(name) for name in SIDES]
    length, width, thickness = read
    if length is None or width is None or thickness is None:
        return None
    return checks.Solid(
        length_um=length.small,
        width_um=width.small,
        thickness_um=thickness.small,
        column="sizes" if "sizes" in draft.cells else "length",
        unit=length.unit,
    )


def _volume_doubt(draft: _Draft, solid: checks.Solid) -> str | None:
    """Compare a volume with the sizes, for as many pieces as it may speak of."""
    volume, told = draft.amounts["volume"], draft.columns["volume"].told
    pieces, quantity = HALVES.get(draft.per or "board", 1), draft.quantity or 1
    all_told = {"each": [pieces], "set": [2], "half": [1], "total": [pieces * quantity]}
    counts = all_told.get(told or "", [pieces, pieces * quantity, 1, quantity])
    decimals = re.search(r"[.,]([0-9]+)", draft.cells["volume"])
    last_digit = VOLUME.units[volume.unit] / 10 ** len(decimals[1] if decimals else "")
    return checks.volume_fault(
        solid, volume.small, counts=counts, slack_mm3=last_digit / 2
    )
