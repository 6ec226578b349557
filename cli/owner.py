"""flitchbook owner: who owns an instrument, which only the vault knows."""

from typing import Annotated

import typer

from cli import record_copies, show
from cli.context import Desk, signs

app = typer.Typer(
    name="owner", help="Owners, whose names stay in the vault.", no_args_is_help=True
)
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
NameArgument = Annotated[str, typer.Argument(help="The owner's name.")]
OnOption = Annotated[str | None, typer.Option("--on", help="The day; else today.")]


@signs(app)
def register(
    desk: Desk, serial: SerialArgument, name: NameArgument, on: OnOption = None
) -> None:
    """Register the first owner of an instrument that has its certificate."""
    from ledger.acts import owners

    code = desk.serial(serial)
    entry = owners.register(
        desk.shop,
        serial=code,
        name=name,
        registered_on=on,
        hands=desk.hands(),
    )
    lines = [
        f"The owner of {code} is registered by entry {entry.index}.",
        "The name is sealed for the office. This is the maker's record and no title.",
    ]
    show.answer(desk, lines, entry=entry.index)


@signs(app)
def erase(desk: Desk, serial: SerialArgument) -> None:
    """Erase the registered owner's name; every proof still verifies."""
    from ledger.acts import owners, people

    code = desk.serial(serial)
    subject = owners.owner_subject(desk.shop, code)
    since = owners.named_by(desk.shop, subject)
    entry = people.erase(desk.shop, subject, desk.hands())
    held = record_copies.still_held(desk.shop, entry.index, since=since)
    lines = [
        f"The owner's name behind {code} is erased; entry {entry.index} says so.",
        *record_copies.held_words(held),
    ]
    told = record_copies.held_data(held)
    show.answer(desk, lines, entry=entry.index, still_held=told)
