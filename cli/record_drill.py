"""flitchbook record drill: a lot followed forward, a product back, by the clock."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from time import perf_counter
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

LotOption = Annotated[
    str, typer.Option(help="The lot to follow; else one is taken by the day.")
]
SerialOption = Annotated[
    str, typer.Option(help="The instrument to follow; else one is taken by the day.")
]
# So many lines of a trace are shown to a person; all stand in the JSON.
MOST_LINES = 12


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(drill)


def drill(desk: Desk, lot: LotOption = "", serial: SerialOption = "") -> None:
    """Follow one lot forward and one product back, timed.

    All of it is checked.

    Nothing is recorded. It ends with 1 where something did not add up.
    """
    from ledger.acts import drill as drilling
    from ledger.ids import LotId

    found = drilling.drill(
        desk.shop,
        lot=str(LotId.parse(desk.own(lot))) if lot else None,
        serial=desk.serial(serial) if serial else None,
        clock=perf_counter,
    )
    show.answer(desk, _lines(found), **_data(found))
    if found.all_faults:
        raise typer.Exit(1)


def _lines(found: Any) -> Iterator[str]:
    """Yield what did not add up first, then both halves with their seconds."""
    faults = found.all_faults
    word = (
        f"DOES NOT ADD UP in {show.counted(len(faults), 'place')}"
        if faults
        else ("adds up")
    )
    yield f"{word}: drill of {found.day} at {found.size} entries, root {found.root}"
    yield from (f"  {_fault_words(fault)}" for fault in faults)
    yield _proof_words(found)
    yield from _forward_lines(found.forward)
    if found.back is None:
        yield "back: no instrument holds wood yet, so that none is followed"
    else:
        yield from _back_lines(found.back)
    halves = (found.forward, found.back)
    if any(half is not None and half.is_picked for half in halves):
        yield (
            "Taken by the day: SHA-256 of the day, a space and the root, divided by "
            "how many there are; what is left over is the one's place, from 0."
        )


def _forward_lines(half: Any) -> Iterator[str]:
    yield f"forward: {half.lot}, {half.species}, {_seconds(half)}"
    told = ", ".join(half.papers) or "no paper on file"
    yield f"  papers: {told}"
    yield f"  instruments: {', '.join(half.serials) or 'none'}"
    yield f"  certificates: {', '.join(half.certificates) or 'none'}"
    yield f"  shipments: {', '.join(half.shipments) or 'none'}"
    yield from _sheet_lines(half.sheet)
    yield from _trace_lines(half.lines)


def _back_lines(half: Any) -> Iterator[str]:
    from ledger.quantities import grams

    yield f"back: {half.serial}, {half.model}, {_seconds(half)}"
    yield f"  lots: {', '.join(half.lots) or 'none'}"
    yield f"  sawyers, as the record knows them: {', '.join(half.sawyers) or 'none'}"
    yield f"  papers: {', '.join(half.papers) or 'no paper on file'}"
    yield f"  certificates: {', '.join(half.certificates) or 'none'}"
    yield f"  its parts weighed {grams(half.parts_mg)} together"
    yield from _trace_lines(half.lines)


def _seconds(half: Any) -> str:
    """Say how long a half took, and how much was touched."""
    entries, files = len(half.entries), half.files
    return (
        f"{half.seconds:.2f} s: {show.counted(len(half.lines), 'line')}, "
        f"{entries} {'entry' if entries == 1 else 'entries'} proved, "
        f"{show.counted(files, 'file')} hashed"
    )


def _sheet_lines(sheet: Any) -> Iterator[str]:
    """Yield the masses of a lot: in, in instruments, lost, left."""
    if sheet is None:
        yield "  no board of it is numbered yet"
        return
    from ledger.quantities import grams

    built_in = sheet.built_in.mass_mg - sheet.worked_mg
    rows = [
        ("in", sheet.in_mg),
        ("in instruments", built_in),
        ("shipped as wood", sheet.shipped.mass_mg),
        ("sent back", sheet.sent_back.mass_mg),
        ("lost", sheet.lost_mg),
        ("left", sheet.closing.mass_mg),
    ]
    told = ", ".join(f"{word} {grams(mg)}" for word, mg in rows)
    yield f"  {told}"
    yield (
        f"  {sheet.sawn.boards} sawn or glued into {sheet.made.boards}, "
        f"{sheet.built_in.boards} in instruments, {sheet.closing.boards} left"
    )
    unweighed = sheet.closing.not_weighed + sheet.built_in.not_weighed
    if unweighed:
        yield f"  {show.counted(unweighed, 'board')} never weighed, and not counted"


def _trace_lines(lines: Sequence[Any]) -> Iterator[str]:
    for line in lines[:MOST_LINES]:
        indent = "  " * line.depth
        yield f"  {indent}{line.code}  {line.said}  (entry {line.entry})"
    rest = len(lines) - MOST_LINES
    if rest > 0:
        yield f"  and {show.counted(rest, 'line')} more: see flitchbook trace"


def _proof_words(found: Any) -> str:
    if found.proved_under is None:
        return (
            "No checkpoint was signed yet: all rests on the stored head; sign one with "
            "flitchbook record checkpoint"
        )
    since = (
        f"{found.unproved} of the entries came later and rest on the stored head"
        if found.unproved
        else "all of the entries are under it"
    )
    return f"Proved under the signed checkpoint of {found.proved_under}: {since}."


def _fault_words(fault: Any) -> str:
    where = "" if fault.entry is None else f", entry {fault.entry}"
    return f"{fault.what}{where}: {fault.said}"


def _data(found: Any) -> dict[str, Any]:
    return {
        "adds_up": not found.all_faults,
        "day": found.day,
        "size": found.size,
        "root": found.root,
        "proved_under": found.proved_under,
        "unproved": found.unproved,
        "faults": [asdict(fault) for fault in found.all_faults],
        "forward": _half(found.forward) | {"sheet": _sheet(found.forward.sheet)},
        "back": None if found.back is None else _half(found.back),
    }


def _half(half: Any) -> dict[str, Any]:
    told = {
        name: getattr(half, name)
        for name in half.__slots__
        if name not in ("sheet", "lines", "faults")
    }
    return {
        name: list(value) if isinstance(value, tuple) else value
        for name, value in told.items()
    } | {"lines": [asdict(line) for line in half.lines]}


def _sheet(sheet: Any) -> dict[str, int] | None:
    if sheet is None:
        return None
    return {
        "in_mg": sheet.in_mg,
        "built_in_mg": sheet.built_in.mass_mg - sheet.worked_mg,
        "shipped_mg": sheet.shipped.mass_mg,
        "sent_back_mg": sheet.sent_back.mass_mg,
        "lost_mg": sheet.lost_mg,
        "left_mg": sheet.closing.mass_mg,
        "off_mg": sheet.off_mg,
    }
