"""flitchbook lot balance: what of each species came, went and is left in a year."""

from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

YearOption = Annotated[int, typer.Option(min=0, help="The year; else this one.")]
SpeciesOption = Annotated[
    str | None, typer.Option(help="Only this species; a genus stands for all.")
]
# What came, and what went, by the names of a sheet.
CAME = {
    "opening": "there at the opening",
    "received": "received",
    "old_stock": "old stock entered",
}
WENT = {
    "shipped": "shipped as wood",
    "sent_back": "sent back",
    "scrapped": "spoiled",
}
LOST = {
    "dust_mg": "sawdust",
    "waste_mg": "waste",
    "not_weighed_mg": "not weighed",
    "worked_mg": "worked away",
    "dried_mg": "dried and planed",
}


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app)(balance)


def balance(desk: Desk, year: YearOption = 0, species: SpeciesOption = None) -> None:
    """Show a year's balance of each species: opening, in, out, lost, closing."""
    from ledger.acts.balances import balance_of

    asked = year or int(desk.shop.today()[:4])
    found = balance_of(desk.shop, asked, species=species)
    show.answer(
        desk,
        _lines(found),
        year=asked,
        entries_since=found.year.since,
        entries_until=found.year.until,
        last_day=found.year.last_day,
        species=[_data(sheet) for sheet in found.sheets],
        only_listed={"boards": found.listed, "mass_mg": found.listed_mg},
        rejected_at_closing=found.rejected,
        lots_entered_late=list(found.late),
        clock_doubted_by=list(found.doubts),
    )


def _data(sheet: Any) -> dict[str, Any]:
    # The entries are told in order, and not copied one by one before.
    return asdict(replace(sheet, entries=set())) | {
        "in_mg": sheet.in_mg,
        "out_mg": sheet.out_mg,
        "lost_mg": sheet.lost_mg,
        "not_weighed_mg": sheet.not_weighed_mg,
        "off_mg": sheet.off_mg,
        "sure": not (sheet.closing.not_weighed or sheet.opening.not_weighed),
        "entries": sorted(sheet.entries),
    }


def _lines(found: Any) -> Iterator[str]:
    span = found.year
    yield (
        f"{span.year} to {span.last_day}, entries {span.since} to {span.until - 1}, "
        f"counted by the day of entry"
    )
    for sheet in found.sheets:
        yield sheet.species
        yield from _sheet_lines(sheet)
    if not found.sheets:
        yield "no wood was there"
    if found.listed:
        yield (
            f"of {show.counted(found.listed, 'board')} at the closing only the sawyer "
            f"wrote a mass, {_kg(found.listed_mg)}: it balances nothing"
        )
    if found.rejected:
        told = show.counted(found.rejected, "board")
        yield f"of the closing {told} rejected for instruments"
    for lot in found.late:
        yield f"{lot} came in before {span.year}, and was entered in it"
    for entry in found.doubts:
        yield f"the clock was doubted by entry {entry}: see which entries are of when"


def _sheet_lines(sheet: Any) -> Iterator[str]:
    for name, word in CAME.items():
        yield from _amount_lines(word, getattr(sheet, name))
    if sheet.first_weighed_mg:
        yield _row("weighed for the first time", sheet.first_weighed_mg)
    built = sheet.built_in
    if built.boards:
        told = f"{show.counted(built.boards, 'board')}{_unsure(built)}"
        if sheet.finished < built.boards:
            rest = built.boards - sheet.finished
            told += f", {rest} of them by the board's mass and not the finished part's"
        yield _row("- in instruments", built.mass_mg - sheet.worked_mg, told)
    for name, word in WENT.items():
        yield from _amount_lines(f"- {word}", getattr(sheet, name))
    for name, word in LOST.items():
        if getattr(sheet, name):
            yield _row(f"- {word}", getattr(sheet, name))
    if sheet.made.boards:
        yield (
            f"  {show.counted(sheet.sawn.boards, 'board')} sawn or glued into "
            f"{show.counted(sheet.made.boards, 'piece')}"
        )
    yield from _amount_lines("= there at the closing", sheet.closing, is_told=True)


def _amount_lines(word: str, amount: Any, *, is_told: bool = False) -> Iterator[str]:
    if amount.boards or is_told:
        from ledger.quantities import cubic_metres

        volume = cubic_metres(amount.volume_mm3, places=6)
        told = f"{show.counted(amount.boards, 'board')}, {volume}{_unsure(amount)}"
        yield _row(word, amount.mass_mg, told)


def _unsure(amount: Any) -> str:
    parts = [
        f"{amount.not_weighed} never weighed" if amount.not_weighed else "",
        f"{amount.not_measured} without sizes" if amount.not_measured else "",
    ]
    told = ", ".join(filter(None, parts))
    return f" ({told})" if told else ""


def _row(word: str, mass_mg: int, told: str = "") -> str:
    return f"  {word:<27} {_kg(mass_mg):>12}  {told}".rstrip()


def _kg(mass_mg: int) -> str:
    from ledger.quantities import kilograms

    return kilograms(mass_mg, places=3)
