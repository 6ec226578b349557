"""flitchbook record recover: a lost entry that was found is quoted whole."""

from pathlib import Path
from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

FoundArgument = Annotated[
    Path,
    typer.Argument(
        help="A certificate, a proof with its record, records, an export or a copy."
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    signs(app)(recover)


def recover(desk: Desk, found: FoundArgument) -> None:
    """Quote lost entries of a closed volume that are found.

    Nothing of them is folded.

    Their numbers are kept free, and record claims finds what they name. What they say
    is said anew by whoever answers for it today.
    """
    from ledger.acts.recovering import recover as quote

    said = quote(desk.shop, found, desk.hands())
    rows = [
        {
            "entry": entry.index,
            "origin": entry.event["origin"],
            "index": entry.event["index"],
        }
        for entry in said
    ]
    lines = [
        f"entry {row['entry']} quotes entry {row['index']} of {row['origin']}"
        for row in rows
    ]
    show.answer(desk, lines, recovered=rows)
