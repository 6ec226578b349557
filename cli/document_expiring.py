"""flitchbook document expiring: papers and all else that ends on a day."""

from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs

WithinOption = Annotated[int, typer.Option(min=0, help="Within how many days.")]
SkillsOption = Annotated[
    bool, typer.Option("--skills", help="Skills to be looked at too; asks for a PIN.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the document."""
    signs(app)(expiring)


def expiring(
    desk: Desk, within: WithinOption = 90, skills: SkillsOption = False
) -> None:
    """List the papers, batches and calibrations that end soon or have ended.

    With --skills a lead is told whose skill ends, and others of their own.
    """
    from ledger.acts.expiring import ending

    today = desk.shop.today()
    asker = desk.key if skills else None
    with desk.shop.store.reading() as session:
        found = ending(desk.shop, session, within_days=within, asker=asker)
    lines = [_line(each, today) for each in found]
    lines = lines or [f"nothing ends within {show.counted(within, 'day')}"]
    show.answer(desk, lines, within_days=within, ending=[asdict(e) for e in found])


def _line(each: Any, today: str) -> str:
    when = "ended" if each.ends_on < today else "ends"
    rests = f"; for {show.listed(each.rests)}" if each.rests else ""
    return (
        f"{each.ends_on} {when}: {each.kind} {each.code}, {each.said}{rests}; entry "
        f"{each.entry}"
    )
