"""flitchbook record affirm: entries in dispute that somebody stands by."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

IndexesArgument = Annotated[
    list[int], typer.Argument(help="The numbers of the entries.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    signs(app)(affirm)


def affirm(desk: Desk, indexes: IndexesArgument) -> None:
    """Affirm entries that are in dispute.

    What a reported key said there was meant.

    Whoever said them affirms with the new key, or a lead; one more says yes.
    """
    from ledger.acts.disputes import affirm as stand_by

    entries = stand_by(desk.shop, indexes, desk.hands())
    lines = [
        *(
            f"Entry {entry.event['index']} is affirmed by entry {entry.index}."
            for entry in entries
        ),
        "Publish the keys file again: flitchbook shop keys.",
    ]
    show.answer(
        desk,
        lines,
        affirmed=[entry.event["index"] for entry in entries],
        entries=[entry.index for entry in entries],
    )
