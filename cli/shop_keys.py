"""flitchbook shop: the keys of cards and of the log, when they were in other hands."""

import typer

from cli import show
from cli.context import Desk, signs
from cli.person_compromised import SinceOption


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the shop."""
    signs(app)(compromised_card_key)
    signs(app)(replace_log_key)


def compromised_card_key(desk: Desk, since: SinceOption) -> None:
    """Report the card key: from then on a card of it proves nothing by itself.

    A card bears no time of its own, so older cards prove nothing either; what counts
    is the certificate's own file, which this key does not sign.
    """
    from ledger.acts.disputes import report_card_key

    told = report_card_key(desk.shop, since, desk.hands())
    issued = ", ".join(told.issued_since)
    lines = [
        f"Card key {told.key} is reported by entry {told.entry.index}, since entry "
        f"{told.since}: no card of it proves anything any more, and the files of the "
        f"certificates do.",
        f"Certificates since then: {issued or 'none'}.",
        "PDF files were signed by what follows from it: draw those again that matter.",
    ]
    if told.is_of_today:
        lines.append("Make a new one: flitchbook shop renew-card-key.")
    lines.append("Publish the keys file again: flitchbook shop keys.")
    show.answer(
        desk,
        lines,
        key=told.key,
        since=told.since,
        entry=told.entry.index,
        ended=told.is_of_today,
        issued_since=list(told.issued_since),
    )


def replace_log_key(desk: Desk) -> None:
    """Make a new key for the log, where the old one was stolen or lost; roots approve.

    Heads signed before stand. Compare them with those that were kept elsewhere: the
    old key can still sign another head of the time before.
    """
    from ledger.acts.logkey import replace_log_key as replace

    made = replace(desk.shop, desk.hands())
    how = (
        "the old key has signed its first head too"
        if made.is_cosigned
        else "the old key was not there to sign its first head too"
    )
    lines = [
        f"Heads of {made.entry.index + 1} entries and more are signed with key "
        f"{made.key}; {how}.",
        "Publish the keys file again (flitchbook shop keys), and audit against a "
        "checkpoint that was kept elsewhere.",
    ]
    show.answer(
        desk,
        lines,
        entry=made.entry.index,
        key=made.key,
        cosigned=made.is_cosigned,
        checkpoint=made.head,
    )
