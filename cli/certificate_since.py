"""flitchbook certificate show and since: what became of a certificate."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import record_claims, show
from cli.certificate_papers import CertificateArgument
from cli.context import Desk, reads

SinceArgument = Annotated[
    str,
    typer.Argument(help="A certificate's number, a serial, or a file that holds one."),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the certificate."""
    reads(app, "show")(show_certificate)
    reads(app)(since)


def show_certificate(desk: Desk, certificate: CertificateArgument) -> None:
    """Show all certificates of an instrument.

    Which of them is the newest is told.
    """
    from ledger.acts.certificates import find_certificate
    from ledger.views.certificates import Certificate, certificates_of
    from ledger.views.ownership import states_of
    from ledger.views.said import entry_said

    number = find_certificate(desk.shop, certificate)
    standing = desk.shop.standing()
    with desk.shop.store.reading() as session:
        serial = session.get_one(Certificate, number).serial
        issued = certificates_of(session, serial)
        told = [
            {
                "number": row.number,
                "issued_on": row.issued_on,
                "entry": row.idx,
                "prints": row.prints,
                "disputed_since": standing.disputed_since(
                    entry_said(session, row.idx).key, row.idx
                ),
                "superseded_by": issued[n + 1].number if n + 1 < len(issued) else None,
                "withdrawn_by": row.withdrawn_idx,
                "states": list(states_of(session, row)),
            }
            for n, row in enumerate(issued)
        ]
    lines = [f"{serial}:", *(f"  {_words(row)}" for row in told)]
    show.answer(desk, lines, serial=serial, certificates=told)


def since(desk: Desk, certificate: SinceArgument) -> None:
    """Tell what was said since a certificate.

    It may be of the instrument or of its wood.
    """
    from ledger.acts.claims import since as find

    found = find(desk.shop, certificate)
    head = found.head
    lines = [
        f"{found.number} of {found.serial}, issued {found.issued.issued_on} in entry "
        f"{found.issued.idx}: {_changed(found)}",
        *(f"  {record_claims.line(claim)}" for claim in found.claims),
    ]
    if found.disputed_since is not None:
        lines.append(
            f"its own entry is disputed since entry {found.disputed_since}, and nobody "
            f"has affirmed it"
        )
    if found.replaced_by:
        lines.append(f"superseded by {found.replaced_by}; it stays true as of its day")
    if found.issued.withdrawn_idx is not None:
        lines.append(f"withdrawn by entry {found.issued.withdrawn_idx}")
    lines.append(_head_words(found))
    show.answer(
        desk,
        lines,
        number=found.number,
        serial=found.serial,
        entry=found.issued.idx,
        entries=[record_claims.data(claim) for claim in found.claims],
        superseded_by=found.replaced_by,
        disputed_since=found.disputed_since,
        withdrawn_by=found.issued.withdrawn_idx,
        head_size=head.size if head else None,
        head_in_log=found.is_kept,
    )
    if head is not None and not found.is_kept:
        raise typer.Exit(1)


def superseded_words(folder: Path, number: str) -> tuple[str, str | None]:
    """Return what a shop's own record adds to a certificate: is there a newer one."""
    from ledger.errors import NotFoundError
    from ledger.views.certificates import Certificate, certificates_of

    shop = Desk(shop=folder, json=False).shop
    with shop.store.reading() as session:
        row = session.get(Certificate, number)
        if row is None:
            raise NotFoundError(
                f"the record in {folder} ends before {number}: give the shop's newest"
            )
        newest = certificates_of(session, row.serial)[-1]
        shown = newest.number, newest.issued_on
        is_newest = newest.idx == row.idx
        by = row.withdrawn_idx
    shop.close()
    gone = f"; it was withdrawn by entry {by}" if by is not None else ""
    if is_newest:
        return f"{number} is the newest of its instrument in this record{gone}", None
    return (
        f"superseded by {shown[0]}, issued {shown[1]}; {number} stays true as of its "
        f"day{gone}"
    ), shown[0]


def _words(row: dict[str, Any]) -> str:
    drawn = "perhaps not printed"
    if row["prints"]:
        drawn = f"drawn {show.counted(row['prints'], 'time')}"
    after = row["superseded_by"]
    state = f"superseded by {after}" if after else "the newest"
    if row["disputed_since"] is not None:
        state += f", disputed since entry {row['disputed_since']}"
    if row["withdrawn_by"] is not None:
        state += f", withdrawn by entry {row['withdrawn_by']}"
    if "reported" in row["states"]:
        state += ", its instrument is reported"
    return (
        f"{row['number']}  issued {row['issued_on']}, {drawn}, {state}  (entry "
        f"{row['entry']})"
    )


def _changed(found: Any) -> str:
    if not found.claims:
        return "nothing was said of it or its wood since"
    count = len(found.claims)
    return f"{count} {'entry' if count == 1 else 'entries'} since"


def _head_words(found: Any) -> str:
    """Say how far the log itself can be trusted to be the same one."""
    if found.head is None:
        return "no head was signed over it yet, so nothing outside proves the log"
    size = f"the head of {found.head.size:,} entries that was signed over it"
    if found.is_kept:
        return f"{size} is in the log: nothing before it was changed"
    return f"CHANGED: {size} is not in the log; run flitchbook record audit"
