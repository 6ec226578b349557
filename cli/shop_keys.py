"""flitchbook shop: the keys of cards and of the log, when they were in other hands."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs
from cli.person_compromised import SinceOption

KeyArgument = Annotated[
    str, typer.Argument(help="The root key's id, 16 digits, as its stick names it.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the shop."""
    signs(app)(compromised_card_key)
    signs(app)(compromised_root)
    signs(app)(replace_log_key)


def compromised_card_key(desk: Desk, since: SinceOption) -> None:
    """Report the card key: no card of it proves anything.

    From then on none of them proves anything by itself.

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


def compromised_root(desk: Desk, key: KeyArgument, since: SinceOption) -> None:
    """Report a replaced root key: its word is in dispute.

    What it approved is in dispute.

    The roots of today approve that. It stands until they affirm it, or until it is
    reversed.
    """
    from cli.person_compromised import disputed_data, disputed_words
    from ledger.acts.disputes import report_root

    told = report_root(desk.shop, key, since, desk.hands())
    count = len(told.disputed)
    lines = [
        f"Root key {told.key} is reported by entry {told.entry.index}: what it "
        f"approved since entry {told.since} is in dispute, "
        f"{count} {'entry' if count == 1 else 'entries'}.",
        *(f"  {disputed_words(each)}" for each in told.disputed),
        "Affirm each that was meant (flitchbook record affirm ENTRY …, with the root "
        "keys), and reverse what was not.",
        "Publish the keys file again: flitchbook shop keys.",
    ]
    show.answer(
        desk,
        lines,
        key=told.key,
        since=told.since,
        entry=told.entry.index,
        disputed=[disputed_data(each) for each in told.disputed],
    )


def replace_log_key(desk: Desk) -> None:
    """Make a new key for the log; the roots approve.

    It is for a log whose old key was stolen or is lost.

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
