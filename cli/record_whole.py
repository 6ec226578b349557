"""flitchbook record whole: how the record stands today, without a walk over it all."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import typer

from cli import context, record_copies, record_outside, shop_continue, show
from cli.context import Desk, reads, state_folder

WORDS = {True: "whole as far as was read", False: "CHANGED", None: "not known"}
NOT_JUDGED = (
    "Not judged here: what is shown, files, the vault, and whether each entry could be "
    "said where it stands; flitchbook record audit judges them all."
)


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(whole)


def whole(desk: Desk) -> None:
    """Say how the record stands, without a walk over all.

    Told is when all was last walked over, what came since, and which copy is newest.
    """
    from ledger.acts.shop import open_for_audit
    from ledger.audit.lately import lately

    shop = open_for_audit(desk.folder, now=context.now, state=state_folder())
    told = lately(shop, context.now())
    left = record_outside.newest(shop, told.newest_outside)
    word = WORDS[told.is_whole]
    lines = [
        f"{word}: {told.size} entries, root {told.root}",
        *(f"  {finding}" for finding in told.findings),
        *shop_continue.words(told.closed),
        *_audit_words(told),
        NOT_JUDGED,
        record_outside.words(shop, left, told.size),
        record_copies.words(shop, told.size),
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
        outside=record_outside.data(left),
        findings=show.findings(told.findings),
        closed=shop_continue.data(told.closed),
        backup=record_copies.data(shop, told.size),
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
            f"By this folder's own note all of {then.size} entries were audited on "
            f"{then.day}; a byte that changed there since is seen by {by} alone."
        )
    if told.clouded_by:
        yield (
            f"{told.clouded_by} is not understood here, and nobody can say who may say "
            f"what after it: take the version of flitchbook that wrote it."
        )
    newer = told.read + told.unread
    since = f"{newer} came since" if then else f"No audit is known here of {newer}"
    if told.unread:
        yield f"{since}; the newest {told.read} were read again now: run {by}."
    elif newer or then is None:
        yield f"{since}; the records of all were read again now."
