"""flitchbook record private: what is kept of somebody, and what erasing leaves."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

NameArgument = Annotated[
    str,
    typer.Argument(help="A badge, a name, or a serial with --owner or --claimant."),
]
OwnerOption = Annotated[
    int | None,
    typer.Option(
        "--owner", help="It is a serial: this owner is meant, the first as 1."
    ),
]
ClaimantOption = Annotated[
    int | None,
    typer.Option(
        "--claimant", help="It is a serial: whoever made the report of this number."
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(private)


def private(
    desk: Desk,
    name: NameArgument,
    owner: OwnerOption = None,
    claimant: ClaimantOption = None,
) -> None:
    """Say what the vault keeps of somebody.

    It tells as well what erasing would leave.

    No name and no value is told.
    """
    from ledger.acts import private as keeping
    from ledger.acts.backups import newest_backup

    kept = keeping.kept(desk.shop, _subject(desk, name, owner, claimant))
    copy = newest_backup(desk.shop.folder)
    lines = [
        *_kept(kept),
        *_left(kept),
        *_beyond(kept, None if copy is None else copy.name),
    ]
    show.answer(
        desk, lines, **asdict(kept), newest_copy=None if copy is None else copy.name
    )


def _subject(desk: Desk, name: str, owner: int | None, claimant: int | None) -> str:
    from ledger.acts import owners, private, thefts

    if owner is not None and claimant is not None:
        raise typer.BadParameter("one is asked about: --owner or --claimant")
    if owner is not None:
        return owners.owner_subject(desk.shop, desk.serial(name), owner)
    if claimant is not None:
        return thefts.report_made(desk.shop, desk.serial(name), claimant).claimant
    return private.find_subject(desk.shop, name)


def _kept(kept: Any) -> Iterator[str]:
    who = f"badge {kept.badge}" if kept.badge else f"{kept.who} {kept.subject}"
    if kept.erased is not None:
        yield f"{who}: erased by entry {kept.erased}"
    if not kept.fields and not kept.files:
        yield f"{who}: the vault keeps nothing"
        return
    yield f"{who}: the vault keeps"
    for field in kept.fields:
        sealed = f", {field.sealed} sealed for the office" if field.sealed else ""
        yield f"  {field.field}: {field.count}{sealed}"
    if kept.files:
        yield f"  files about them: {len(kept.files)}"
    yield "Erasing takes all of that; it needs a key-administrator and a second yes."


def _left(kept: Any) -> Iterator[str]:
    yield "What stays in the log, and says nothing without the vault:"
    yield f"  the subject's 32 digits, in {_entries(kept.named)}"
    if kept.reasons:
        yield f"  commitments to reasons, in {_entries(kept.reasons)}"
    if kept.badge:
        yield f"  badge {kept.badge} and {kept.signatures} signatures, which all verify"


def _beyond(kept: Any, copy: str | None) -> Iterator[str]:
    if kept.plain:
        yield (
            f"THE NAME CAN BE READ in {_entries(kept.plain)}: it was typed there, and "
            f"nothing takes it out."
        )
    elif kept.plain is not None:
        yield "The name stands in no entry."
    if kept.elsewhere:
        yield (
            f"Whither the instrument went is kept with whoever said it, in "
            f"{_entries(kept.elsewhere)}, and stays."
        )
    if kept.orders:
        yield f"The order's number stands in {_entries(kept.orders)}, and stays."
    yield (
        "Certificates that were given away and papers that were printed keep the name; "
        "so do copies made before"
        + (f", such as {copy}: make a new one, and destroy them." if copy else ".")
    )


def _entries(indices: Sequence[int]) -> str:
    """Return the first numbers of entries, and how many more there are."""
    from ledger.scales import some_of

    noun = "entry" if len(indices) == 1 else "entries"
    return f"{noun} {some_of([str(index) for index in indices])}"
