"""flitchbook certificate withdraw and status: what became of certificates."""

from pathlib import Path
from typing import Annotated

import typer

from cli import show
from cli.certificate_papers import CertificateArgument
from cli.context import WHY, Desk, opens, signs

ReasonOption = Annotated[str, typer.Option(*WHY, help="Why it is withdrawn.")]
OutOption = Annotated[
    Path | None, typer.Option(help="Where another copy of the list goes.")
]
NextOption = Annotated[
    str | None,
    typer.Option("--next", help="The day it is to be replaced; else in 30 days."),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the certificate."""
    signs(app)(withdraw)
    opens(app)(status)


def withdraw(
    desk: Desk, certificate: CertificateArgument, reason: ReasonOption
) -> None:
    """Withdraw a certificate, which stays on record.

    No paper of it is drawn any more.
    """
    from ledger.acts import withdrawing
    from ledger.acts.certificates import find_certificate

    number = find_certificate(desk.shop, certificate)
    entry = withdrawing.withdraw(
        desk.shop, number=number, reason=reason, hands=desk.hands()
    )
    lines = [
        f"{number} is withdrawn by entry {entry.index}.",
        "Strangers hear of it by the next status list: flitchbook certificate status",
        "Another certificate of the instrument can be issued.",
    ]
    show.answer(desk, lines, number=number, entry=entry.index)


def status(desk: Desk, out: OutOption = None, next_on: NextOption = None) -> None:
    """Sign the list of what became of certificates.

    Strangers look up in it what was superseded, withdrawn or reported.

    It enters nothing, and lies with the keys files from then on.
    """
    from ledger.acts.statuslists import issue_status

    if out is not None:
        show.require_new(out)
    made = issue_status(desk.shop, next_on=next_on, card=desk.card_key())
    if out is not None:
        with show.new_file(out, made.data):
            pass
    counted = ", ".join(f"{count} {state}" for state, count in made.counted.items())
    lines = [
        f"status list {made.number}: {made.path}",
        *([f"a copy: {out}"] if out is not None else []),
        f"{counted or 'nothing is said against any certificate'}, up to entry "
        f"{made.size - 1}; to be replaced on {made.next_on}",
    ]
    show.answer(
        desk,
        lines,
        number=made.number,
        file=str(made.path),
        copy=str(out) if out is not None else None,
        size=made.size,
        next=made.next_on,
        certificates=made.counted,
    )
