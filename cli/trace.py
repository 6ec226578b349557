"""flitchbook trace: wood and papers followed both ways."""

from dataclasses import asdict
from typing import Annotated

import typer

from cli import show
from cli.context import Desk, reads

CodeArgument = Annotated[
    str, typer.Argument(help="A serial, a board, a lot or a document.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    reads(app)(trace)


def trace(desk: Desk, code: CodeArgument) -> None:
    """Tell where wood came from and where it went, with the entry for each."""
    from ledger.ids import parse_any
    from ledger.views.trace import trace as follow

    wanted = parse_any(desk.own(code), desk.shop.settings.pattern)
    with desk.shop.store.reading() as session:
        found = follow(session, str(wanted))
    lines = [
        f"{'  ' * line.depth}{line.code}  {line.said}  (entry {line.entry})"
        for line in found
    ]
    show.answer(desk, lines, trace=[asdict(line) for line in found])
