"""flitchbook shop continue: the newest entries are lost, and the log goes on."""

import sys
from typing import Annotated, Any

import typer

from cli import record_against, show
from cli.context import Desk, signs

ProvenOption = Annotated[
    str,
    typer.Option(
        help="What proves the most entries: a note, a proof or a certificate, or a "
        "paper's number and words; empty: what this account or the shop's folder kept."
    ),
]
IssuedOption = Annotated[
    list[str],
    typer.Option(
        help="A serial, a certificate's or another number that a paper, a tag or a "
        "stamp proves issued; may be repeated."
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the shop."""
    signs(app, "continue")(continue_)


def continue_(
    desk: Desk,
    proven: ProvenOption = "",
    issued: IssuedOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Go on where the newest entries are lost for good.

    The log is closed where it ends, and goes on in a next volume; the roots sign.

    First look for a newer copy, in every place where backups go: what is put back is
    not lost, and once the log goes on nothing can be put back any more.
    """
    from ledger.acts import continuing

    given = record_against.outside(proven) if proven else None
    closed = continuing.lost(desk.shop, given)
    if sys.stderr.isatty():  # before anybody brings a key
        show.notice(f"{closed}. They cannot be put back once this log goes on.")
    made = continuing.go_on(desk.shop, given, desk.hands(), issued=issued)
    origin = made.entry.origin
    kept = ", ".join(made.reserved) or "none yet"
    lines = [
        f"{made.closed.origin} is closed with {made.closed.size:,} entries, and the "
        f"log goes on as {origin} from entry {made.entry.index:,} on.",
        f"{made.closed}. Entry {made.entry.index:,} says so for ever.",
        f"Numbers that are kept free: {kept}. Whatever paper turns up: flitchbook "
        f"record reserve NUMBER.",
        "Publish the keys file again (flitchbook shop keys) and keep the last one of "
        f"{made.closed.origin}: it alone answers for papers of lost entries. Bring a "
        "checkpoint out of the building, and lay out tiles in a new folder.",
    ]
    show.answer(
        desk,
        lines,
        entry=made.entry.index,
        origin=origin,
        key=made.key,
        checkpoint=made.head,
        reserved=list(made.reserved),
        closed=data([made.closed])[0],
    )


def words(closed: Any) -> list[str]:
    """Say of each older volume what is lost, one line each; nothing of a whole log."""
    return [f"Lost for good: {each}." for each in closed]


def data(closed: Any) -> list[dict[str, Any]]:
    """Return the closed volumes as data."""
    return [
        {
            "origin": each.origin,
            "size": each.size,
            "proven_size": each.proven_size,
            "proven_root": each.proven_root,
            "lost": each.lost,
        }
        for each in closed
    ]
