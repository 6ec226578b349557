"""flitchbook owner theft: reports that an instrument was taken, and their end."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import WHY, Desk, signs

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
NumberArgument = Annotated[int, typer.Argument(help="The report, counted from 1.")]
ClaimantOption = Annotated[str, typer.Option("--claimant", help="Who says so.")]
OnOption = Annotated[
    str | None, typer.Option("--on", help="The day it was said; else today.")
]
ReasonOption = Annotated[str, typer.Option(*WHY, help="Why it no longer stands.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the owner."""
    signs(app)(theft)
    signs(app)(theft_withdrawn)


def theft(
    desk: Desk, serial: SerialArgument, claimant: ClaimantOption, on: OnOption = None
) -> None:
    """Enter that somebody says an instrument was taken.

    It is judged by nobody here.
    """
    from ledger.acts import thefts

    code = desk.serial(serial)
    report = thefts.report(
        desk.shop, serial=code, name=claimant, said_on=on, hands=desk.hands()
    )
    lines = [
        f"Report {report.number} of {code} stands, by entry {report.idx}.",
        "Until it is withdrawn no owner is entered by a slip. The name is sealed for "
        "the office.",
        "Strangers hear of it by the next status list: flitchbook certificate status",
    ]
    show.answer(desk, lines, serial=code, report=report.number, entry=report.idx)


def theft_withdrawn(
    desk: Desk, serial: SerialArgument, number: NumberArgument, reason: ReasonOption
) -> None:
    """Enter that a report no longer stands, and why."""
    from ledger.acts import thefts

    code = desk.serial(serial)
    entry = thefts.withdraw(
        desk.shop, serial=code, number=number, reason=reason, hands=desk.hands()
    )
    lines = [
        f"Report {number} of {code} no longer stands, by entry {entry.index}.",
        "Strangers hear of it by the next status list: flitchbook certificate status",
    ]
    show.answer(desk, lines, serial=code, report=number, entry=entry.index)


def words(each: Any) -> str:
    """Tell a report in one line."""
    ended = f", withdrawn by entry {each.withdrawn_by}" if each.withdrawn_by else ""
    return (
        f"  report {each.number}: {each.name}, said {each.said_on}{ended} (entry "
        f"{each.entry})"
    )


def data(each: Any) -> dict[str, Any]:
    """Return a report for a program."""
    return {
        "report": each.number,
        "name": each.name,
        "said_on": each.said_on,
        "entry": each.entry,
        "withdrawn_by": each.withdrawn_by,
    }
