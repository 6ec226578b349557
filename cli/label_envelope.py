"""flitchbook label envelope: the slip on a sealed envelope with a spare key."""

from typing import Annotated, Literal

import typer

from cli import printing, show
from cli.context import Desk, reads

KeyArgument = Annotated[
    str,
    typer.Argument(help="A key file, on its stick or off it; or a badge or a name."),
]
SlipOption = Annotated[
    Literal["A6", "DL"], typer.Option("--on", help="The slip, or a long envelope.")
]
SealedOption = Annotated[
    str, typer.Option(help="The day on which it was sealed; else today.")
]
SealedByOption = Annotated[
    str, typer.Option("--sealed-by", help="Who sealed it: a badge or a name.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to the other labels."""
    reads(app)(envelope)


def envelope(
    desk: Desk,
    key: KeyArgument,
    sealed_by: SealedByOption,
    out: printing.OutOption = None,
    on: SlipOption = "A6",
    sealed: SealedOption = "",
    queue: printing.PrintOption = "",
) -> None:
    """Draw the slip on an envelope with a spare key.

    No secret is on it.
    """
    from cli import papers_label_envelope
    from labels import envelope as drawing

    to = printing.place(out, queue)
    drawn = papers_label_envelope.envelope(
        desk.shop, key, sealed=sealed, sealed_by=sealed_by
    )
    said = f"the slip for key {drawing.grouped(drawn.key)}"
    printing.bring(to, drawing.draw(drawn, paper=on), title=said)
    show.notices(drawing.notices(drawn))
    lines = [
        f"{to}: {said}, {drawn.whose}.",
        "Sign across the flap, two of you, and keep its PIN or pass-phrase elsewhere.",
    ]
    show.answer(
        desk,
        lines,
        **to.told(),
        key=drawn.key,
        whose=drawn.whose,
        sealed=drawn.sealed,
    )
