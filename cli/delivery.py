"""A delivery as it is told at the terminal: counted at the door, or from a list."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import typer

from cli import show
from cli.board_saw import sizes_um
from cli.context import Desk
from ledger.acts import deliveries
from ledger.acts.boards import BoardDraft
from ledger.acts.deliveries import Parcel, Plan, Told
from ledger.acts.packing import PackingList, read_list
from ledger.errors import RefusedError
from ledger.ids import BoardId

MOST_BOARDS = BoardId.form.last_number
OF_A_LIST = "{} says something of a list: name it with --list"
OF_A_COUNT = "{} is for a delivery without a list: leave it out, or --list"
LEFT_OVER = (
    "the list gives masses of sets or of several boards together: they stay as "
    "written, and are no board's own"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """The sawyer's packing list as it was read, and the name of its file."""

    name: str
    data: bytes
    rows: PackingList


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """How a delivery is told: by its list, or counted at the door, or both."""

    path: Path | None
    columns: Sequence[str]
    units: Sequence[str]
    count: int | None
    size: str


def receive(desk: Desk, told: Told, came: Came, *, is_set: bool, is_dry: bool) -> None:
    """Receive a delivery by its list, or as it was counted, or show what would be."""
    if came.path is not None:
        _refuse({"--set": is_set, "--size": came.size}, OF_A_COUNT)
        sheet = listed(came.path, came.columns, came.units)
        _receive_listed(desk, sheet, told, came.count, is_dry=is_dry)
        return
    of_a_list: dict[str, Any] = {"--column": came.columns, "--unit": came.units}
    of_a_list |= {"--by-species": told.by_species, "--as-read": told.as_read}
    _refuse(of_a_list, OF_A_LIST)
    parcel = _counted(told, is_set, came.size, is_counted=came.count is not None)
    _receive_counted(desk, parcel, is_dry=is_dry)


def _refuse(options: Mapping[str, Any], why: str) -> None:
    """Refuse options that say nothing of such a delivery."""
    given = next((name for name, value in options.items() if value), None)
    if given is not None:
        raise RefusedError(why.format(given))


def listed(path: Path, columns: Sequence[str], units: Sequence[str]) -> Listed:
    """Read a packing list, with what the sawyer's headers and numbers mean."""
    data = show.read_file(path)
    rows = read_list(
        data,
        columns=dict(_pairs(columns, "thickness=Stärke")),
        units=dict(_pairs(units, "length=mm")),
    )
    return Listed(name=path.name, data=data, rows=rows)


def _counted(told: Told, is_set: bool, size: str, *, is_counted: bool) -> Parcel:
    """Return what came without a list; its boards are known if their use is said."""
    if not told.lot.species or not is_counted:
        raise RefusedError(
            "say what came: --species and --boards, or the sawyer's packing list with "
            "--list"
        )
    if not told.meant_for and (is_set or size):
        raise RefusedError(
            "--set and --size number the boards: say what they are for with --for"
        )
    return alike(told, is_set, sizes_um(size) if size else ())


def alike(told: Told, is_set: bool, sizes: Sequence[int]) -> Parcel:
    """Return a lot of boards that are alike: length, width, thickness, or unknown.

    Where nobody says what they are for, none is numbered yet.
    """
    if told.meant_for is None:
        return Parcel(lot=told.lot, boards=())
    length_um, width_um, thickness_um = sizes or (None, None, None)
    board = BoardDraft(
        meant_for=told.meant_for,
        length_um=length_um,
        width_um=width_um,
        thickness_um=thickness_um,
        is_set=is_set,
    )
    # More than a lot can number are refused before their codes run out.
    return Parcel(lot=told.lot, boards=(board,) * min(told.lot.boards, MOST_BOARDS))


def _receive_counted(desk: Desk, came: Parcel, *, is_dry: bool) -> None:
    """Receive a lot that was counted at the door, or show what would come in."""
    words = parcel_words(came) if came.boards else _lot_words(came)
    notes = _lot_notes(desk, [came])
    if is_dry:
        planned = deliveries.plan_counted(desk.shop, came, by=desk.person)
        lines = [f"would receive {words}", *(f"note: {note}" for note in notes)]
        _show_planned(desk, lines, planned, faults=[], notes=notes)
        return
    code, codes = deliveries.deliver_counted(desk.shop, came, hands=desk.hands())
    lines = [f"Lot {code}: {', '.join(filter(None, (words, span(codes))))}."]
    if not came.lot.documents:
        lines.append("No paper is filed with it: its origin rests on this entry alone.")
    lines += [f"note: {note}" for note in notes]
    if codes:
        lines.append(_label_words([code]))
    show.answer(desk, lines, lot=code, boards=came.lot.boards, codes=codes)


def _lot_notes(desk: Desk, parcels: Iterable[Parcel]) -> list[str]:
    """Return what is odd of names and countries: a slip, or where it grows nowhere."""
    from ledger.acts.law import law_in_force
    from ledger.trade.movement import place_for
    from ledger.trade.names import slips
    from ledger.trade.origins import odd_origins

    lots = [parcel.lot for parcel in parcels]
    with desk.shop.store.reading() as session:
        law = law_in_force(session)
    told = list(slips((lot.species for lot in lots if lot.species), law))
    for lot in lots:
        origin = place_for(lot.harvested_in) if lot.harvested_in else None
        told.append(odd_origins(lot.species, [origin], law) if origin else "")
    return list(dict.fromkeys(filter(None, told)))


def _receive_listed(
    desk: Desk, sheet: Listed, told: Told, count: int | None, *, is_dry: bool
) -> None:
    """Receive what a list lists, or show how it was understood; `count` was counted."""
    _require_count(sheet.rows, count)
    if is_dry:
        _show_plan(desk, sheet, told)
        return
    found = deliveries.parcels(sheet.rows, told)
    came = deliveries.deliver(desk.shop, sheet.data, found, hands=desk.hands())
    lines = [
        f"Lot {code}: {parcel_words(parcel)}, {span(codes)}."
        for (code, codes), parcel in zip(came.lots.items(), found, strict=True)
    ]
    lines += [
        *(f"  note: {note}" for note in notes_of(sheet.rows, found)),
        *(f"  note: {note}" for note in _lot_notes(desk, found)),
        f"The list is on file as {came.document}.",
        _label_words(came.lots),
    ]
    show.answer(desk, lines, lots=came.lots, document=came.document)


def notes_of(rows: PackingList, found: Iterable[Parcel]) -> list[str]:
    """Return what was noticed in a list, and what of it no board is given."""
    is_left = any(parcel.is_mass_left_over for parcel in found)
    return [*rows.notes, *([LEFT_OVER] if is_left else [])]


def _label_words(lots: Iterable[str]) -> str:
    """Say how the boards of lots get their labels."""
    return f"Label them: flitchbook label board {' '.join(lots)} --out labels.pdf"


def _show_plan(desk: Desk, sheet: Listed, told: Told) -> None:
    """Show how a list was understood and what would happen; nothing is recorded."""
    rows = sheet.rows
    came = deliveries.plan(desk.shop, sheet.data, rows, told, by=desk.person)
    faults = [{"line": f.line, "reason": f.reason} for f in rows.faults]
    notes = notes_of(rows, came.parcels)
    notes += _lot_notes(desk, came.parcels)
    first = "All rows can be read:"
    if faults:
        first = f"{show.counted(len(faults), 'thing')} in the list cannot be read:"
    lines = [
        first,
        *(f"  {header}: {_meaning(what, unit)}" for header, what, unit in rows.columns),
        *(f"  note: {note}" for note in notes),
        *(f"  line {fault.line}: {fault.reason}" for fault in rows.faults),
        *(f"would receive {parcel_words(parcel)}" for parcel in came.parcels),
    ]
    _show_planned(desk, lines, came, faults=faults, notes=notes)


def _show_planned(
    desk: Desk,
    lines: list[str],
    came: Plan,
    *,
    faults: list[dict[str, Any]],
    notes: list[str],
) -> None:
    """Show what a delivery would bring, and end with 1 where it would be refused."""
    refusal = None if faults else came.refusal
    told = [f"would be refused: {refusal}"] if refusal else []
    lots = [
        {"species": each.lot.species, "pieces": each.pieces} for each in came.parcels
    ]
    show.answer(
        desk,
        [*lines, *told, "Nothing was recorded."],
        faults=faults,
        notes=notes,
        lots=lots,
        refusal=refusal,
        recorded=False,
    )
    if faults or refusal:
        raise typer.Exit(1)


def span(codes: Sequence[str]) -> str:
    """Say from which code to which; of one board its code, of none nothing."""
    return " to ".join(dict.fromkeys((*codes[:1], *codes[-1:])))


def _meaning(what: str, unit: str) -> str:
    return f"{what}{f' in {unit}' if unit else ''}" if what else "not read"


def parcel_words(parcel: Parcel) -> str:
    """Say how many sets and boards a lot has, and how many pieces to label."""
    sets = sum(board.is_set for board in parcel.boards)
    single = len(parcel.boards) - sets
    told = [show.counted(sets, "set")] if sets else []
    told += [show.counted(single, "board")] if single else []
    return (
        f"{' and '.join(told)} of {parcel.lot.species}, "
        f"{show.counted(parcel.pieces, 'piece')} to label"
    )


def _lot_words(parcel: Parcel) -> str:
    return f"{show.counted(parcel.lot.boards, 'board')} of {parcel.lot.species}"


def _require_count(rows: PackingList, count: int | None) -> None:
    """Compare what was counted at the door with what the sawyer wrote."""
    if count is None or rows.faults:
        return
    written = sum(
        row.quantity // 2 if row.per == "half" else row.quantity for row in rows.rows
    )
    if written != count:
        raise RefusedError(
            f"the list has {written} boards or sets and you counted {count}: count "
            f"again, and mend the list if it is wrong"
        )


def _pairs(texts: Sequence[str], example: str) -> list[tuple[str, str]]:
    pairs = []
    for text in texts:
        name, found, value = text.partition("=")
        if not found or not name.strip():
            raise RefusedError(f"{text!r} needs two sides, such as '{example}'")
        pairs.append((name.strip(), value.strip()))
    return pairs
