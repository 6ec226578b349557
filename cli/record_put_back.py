"""flitchbook record put-back: missing entries, brought back byte for byte."""

from pathlib import Path
from typing import Annotated

import typer

from cli import show
from cli.context import Desk, reads

SourceArgument = Annotated[
    Path,
    typer.Argument(help="An export, a newer copy of the shop, or its records.txt."),
]
BESIDE = (
    "Names, reasons and key files come only with a whole copy: run flitchbook record "
    "audit, which names what the vault lacks."
)


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(put_back)


def put_back(desk: Desk, source: SourceArgument) -> None:
    """Append entries that are missing here, byte for byte.

    They are taken as long as they follow.

    Before anything else is recorded; nobody signs, since everything is signed already.
    """
    from ledger.acts.puttingback import append_missing

    made = append_missing(desk.shop, source)
    still = f"{made.missing:,} are missing still." if made.missing else ""
    lines = [
        f"The entries from {made.before:,} to {made.size - 1:,} are back, and "
        f"{made.papers} files. {still}".rstrip(),
        BESIDE,
    ]
    show.answer(
        desk,
        lines,
        before=made.before,
        size=made.size,
        papers=made.papers,
        missing=made.missing,
    )
