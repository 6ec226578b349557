"""flitchbook person compromised: a key that was in other hands is reported."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs

NameArgument = Annotated[str, typer.Argument(help="A badge, a name or part of one.")]
SinceOption = Annotated[
    str,
    typer.Option(
        help="The first entry that is not answered for, or since when: 1234, a day, "
        "or a moment such as 2026-11-24T16:40:00Z, in UTC."
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the person."""
    signs(app)(compromised)


def compromised(desk: Desk, name: NameArgument, since: SinceOption) -> None:
    """Report a person's key: it ends, its word is disputed.

    What it said since it was in other hands is in dispute.

    The key is the one that the person held then, in use still or replaced by now.
    """
    from ledger.acts.disputes import report
    from ledger.acts.signing import person_name

    person = desk.find(name)
    told = report(desk.shop, person, since, desk.hands())
    who = person_name(desk.shop, person)
    count = len(told.disputed)
    lines = [
        f"Key {told.key} of {who} is reported by entry {told.entry.index}: what it "
        f"said since entry {told.since} is in dispute, "
        f"{count} {'entry' if count == 1 else 'entries'}.",
        *(f"  {disputed_words(each)}" for each in told.disputed),
        *next_words(told, person.badge, since),
    ]
    show.answer(
        desk,
        lines,
        badge=person.badge,
        key=told.key,
        since=told.since,
        entry=told.entry.index,
        ended=told.is_of_today,
        opened_cards=told.opened_cards,
        disputed=[disputed_data(each) for each in told.disputed],
    )


def next_words(told: Any, badge: str, since: str) -> list[str]:
    """Say what to do next with a key that was reported."""
    lines = []
    if told.disputed:
        lines.append(
            "Affirm each that was meant (flitchbook record affirm ENTRY …), strike "
            "what was not (flitchbook record correct ENTRY --why …)."
        )
    if told.is_of_today:
        lines.append(
            f"It signs nothing more: flitchbook person replace-key {badge} gives a "
            f"new one."
        )
    if told.opened_cards:
        lines.append(
            f"It opened the card key: report that as well (flitchbook shop "
            f"compromised-card-key --since {since}) and make a new one (flitchbook "
            f"shop renew-card-key)."
        )
    return [*lines, "Publish the keys file again: flitchbook shop keys."]


def disputed_words(each: Any) -> str:
    """Return an entry in dispute in one line."""
    entry = each.entry
    governs = ", which decides who may say what" if each.governs else ""
    return (
        f"entry {entry.index}  {entry.kind.partition('/')[0]}, {entry.at}, {each.way} "
        f"with it{governs}"
    )


def disputed_data(each: Any) -> dict[str, Any]:
    """Return an entry in dispute for a program."""
    return {
        "entry": each.entry.index,
        "kind": each.entry.kind.partition("/")[0],
        "entered": each.entry.at,
        "key": each.key,
        "way": each.way,
        "since": each.since,
        "governs": each.governs,
    }
