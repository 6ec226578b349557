"""flitchbook hold letters: drafts to the owners, for those who may know them."""

from pathlib import Path
from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

HoldArgument = Annotated[str, typer.Argument(help="A hold, such as H26-001.")]
OutOption = Annotated[Path, typer.Option(help="A new folder for the drafts.")]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the hold."""
    signs(app)(letters)


def letters(desk: Desk, hold: HoldArgument, out: OutOption) -> None:
    """Draft a letter to each registered owner touched; none is sent or recorded.

    Names are opened with the PIN of somebody who may know them.
    """
    from cli.papers_letter import letter_page, write_draft
    from ledger.acts.folders import new_folder, require_new
    from ledger.acts.letters import draft_letters
    from ledger.benchcodes import HoldId

    number = str(HoldId.parse(desk.own(hold)))
    require_new(out)
    drafts = draft_letters(desk.shop, number, desk.key)
    rows = [{"serial": each.serial, "owner": each.to} for each in drafts.letters]
    lines = [f"{number}: {show.counted(len(rows), 'letter')} drafted, none sent."]
    if rows:
        with new_folder(out, is_private=True):
            for each in drafts.letters:
                about = f"{each.serial}, certificate {each.certificate}"
                page = letter_page(desk, each, about)
                write_draft(desk, out, f"draft-{each.hold}-{each.serial}", page)
        lines.append(f"drafts: {out}")
    lines += [f"  {row['serial']}: to {row['owner']}" for row in rows]
    lines += [f"  {serial}: no owner known" for serial in drafts.without_owner]
    show.answer(
        desk,
        lines,
        hold=number,
        letters=rows,
        without_owner=list(drafts.without_owner),
        out=str(out) if rows else None,
    )
