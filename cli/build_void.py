"""flitchbook build void and misstamped: numbers that are never given again."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
StampedArgument = Annotated[
    str,
    typer.Argument(help="What was stamped, its check digit too."),
]
TrueArgument = Annotated[str, typer.Argument(help="The instrument's true serial.")]
WhyOption = Annotated[str, typer.Option("--why", help="Why; it is kept in the vault.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    signs(app)(void)
    signs(app)(misstamped)


def void(desk: Desk, serial: SerialArgument, why: WhyOption) -> None:
    """Give an instrument up: its serial stays void, its wood is free again."""
    from ledger.acts import voiding

    code = desk.serial(serial)
    done = voiding.void(desk.shop, serial=code, reason=why, hands=desk.hands())
    lines = [
        f"{code} is void by entry {done.entry.index}; its number is not given again.",
        f"Free again: {show.listed(done.freed) if done.freed else 'nothing'}.",
    ]
    if done.built_in:
        lines.append(f"Built in, and not free: {show.listed(done.built_in)}.")
    show.answer(
        desk,
        lines,
        serial=code,
        entry=done.entry.index,
        freed=list(done.freed),
        built_in=list(done.built_in),
    )


def misstamped(
    desk: Desk, stamped: StampedArgument, serial: TrueArgument, why: WhyOption
) -> None:
    """Say that a number was stamped by mistake; it leads to the true one."""
    from ledger.acts import voiding

    code = desk.serial(serial)
    entry = voiding.misstamped(
        desk.shop,
        stamped=desk.own(stamped),
        serial=code,
        reason=why,
        hands=desk.hands(),
    )
    wrong = str(entry.event["stamped"])
    lines = [
        f"{wrong} is void by entry {entry.index} and leads to {code} wherever it is "
        f"scanned; stamp {code} beside it."
    ]
    show.answer(desk, lines, stamped=wrong, serial=code, entry=entry.index)
