"""flitchbook record claims: every entry that names a code."""

from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

CodeArgument = Annotated[
    str, typer.Argument(help="A board, a serial, a body, a neck: any code.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(claims)


def claims(desk: Desk, code: CodeArgument) -> None:
    """Tell every entry that names a code.

    It is for two things that bear one label.
    """
    from ledger.acts.claims import claims as find
    from ledger.acts.voiding import misstamp_words
    from ledger.codes import tidied
    from ledger.ids import parse_any
    from ledger.views.orders import misstamp_of

    text = desk.own(code)
    with desk.shop.store.reading() as session:
        stamped = misstamp_of(session, tidied(text))
        wanted = str(
            stamped.stamped if stamped else parse_any(text, desk.shop.settings.pattern)
        )
        found = find(desk.shop, session, wanted)
        led = [misstamp_words(stamped)] if stamped else []
    lines = [f"{wanted}:", *led, *(f"  {line(claim)}" for claim in found)]
    show.answer(desk, lines, code=wanted, claims=[data(claim) for claim in found])


def line(claim: Any) -> str:
    """Return an entry that says something in one line."""
    return f"entry {claim.entry}  {claim.words}"


def data(claim: Any) -> dict[str, Any]:
    """Return an entry that says something for a program."""
    told: dict[str, Any] = asdict(claim)
    return told
