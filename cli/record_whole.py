"""flitchbook record whole: how the record stands today, without a walk over it all."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import typer

from cli import record_backup, show
from cli.context import Desk, now, reads

WORDS = {True: "whole", False: "CHANGED", None: "not known"}


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(whole)


def whole(desk: Desk) -> None:
    """Say when all was last walked over, what came since, and which copy is newest."""
    from ledger.acts.shop import open_for_audit
    from ledger.audit.lately import lately

    shop = open_for_audit(desk.folder, now=now)
    told = lately(shop)
    word = WORDS[told.is_whole]
    lines = [
        f"{word}: {told.size} entries, root {told.root}",
        *(f"  {finding}" for finding in told.findings),
        *_audit_words(told),
        record_backup.words(shop, told.size),
    ]
    show.answer(
        desk,
        lines,
        whole=told.is_whole,
        answer=word,
        size=told.size,
        root=told.root,
        audited=None if told.audited is None else asdict(told.audited),
        read_now=told.read,
        unread=told.unread,
        findings=show.findings(told.findings),
        backup=record_backup.data(shop, told.size),
    )
    if told.is_whole is False:
        raise typer.Exit(1)


def _audit_words(told: Any) -> Iterator[str]:
    """Say what the answer rests on, and what would make it surer."""
    by, then = "flitchbook record audit", told.audited
    if then is not None and then.changes:
        yield f"The audit of {then.day} found changes ({then.changes}): run {by}."
    elif then is not None:
        yield (
            f"Audited on {then.day}: all of {then.size} entries; a byte that changed "
            f"there since is seen by {by} alone."
        )
    newer = told.read + told.unread
    since = f"{newer} came since" if then else f"never audited here: {newer} entries"
    if told.unread:
        yield f"{since}; the newest {told.read} were read again now: run {by}."
    elif newer or then is None:
        yield f"{since}; every one was read again now."
