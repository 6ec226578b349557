"""flitchbook record reserve: numbers that lost entries gave, never given again."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

NumbersArgument = Annotated[
    list[str],
    typer.Argument(help="A serial, or a certificate's, a lot's or another number."),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    signs(app)(reserve)


def reserve(desk: Desk, numbers: NumbersArgument) -> None:
    """Keep numbers free that were issued in lost entries.

    A paper proves it.

    The next number of that sort follows the highest of them.
    """
    from ledger.acts.lostnumbers import reserve as keep

    entry = keep(desk.shop, numbers, desk.hands())
    kept = list(entry.event["numbers"])
    lines = [f"Never given again: {', '.join(kept)}, by entry {entry.index}."]
    show.answer(desk, lines, numbers=kept, entry=entry.index)
