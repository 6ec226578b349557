"""flitchbook record export and import: the whole record as files that anyone reads."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import record_backup, show
from cli.context import Desk, PinFileOption, opens, reads
from cli.record_backup import SealOption

FolderArgument = Annotated[Path, typer.Argument(help="A folder.")]
NewFolderArgument = Annotated[Path, typer.Argument(help="A folder that is new.")]
NamesOption = Annotated[
    bool, typer.Option("--with-names", help="Copy the vault of names as well.")
]
PapersOption = Annotated[
    bool,
    typer.Option(
        "--papers",
        help="Draw a figure of each instrument and prove its certificates; with names "
        "its timeline too, and with --by of a lead a statement.",
    ),
]
DatabaseOption = Annotated[
    str, typer.Option(help="A PostgreSQL address; empty: a file in the folder.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the record."""
    opens(app)(export)
    reads(app, "import")(import_)


def export(
    desk: Desk,
    folder: NewFolderArgument,
    with_names: NamesOption = False,
    seal_vault: SealOption = False,
    papers: PapersOption = False,
) -> None:
    """Write the whole record as plain files.

    They are readable without this program.

    Begin with its index.html. With --seal-vault the names lie under a pass-phrase.
    """
    from cli.record_pages import write_pages
    from ledger.acts import exchange
    from ledger.acts.backups import EXPORTS, note_backup
    from ledger.acts.folders import require_new

    require_new(folder)
    shop = desk.shop_of_any_edition
    lock = record_backup.new_lock(desk) if seal_vault else None
    left = list(_left_out(desk, with_names, is_sealed=seal_vault)) if papers else []
    draw = (
        partial(_draw, desk, left, with_names and lock is None)
        if papers
        else write_pages
    )
    size = exchange.export(shop, folder, with_names=with_names, lock=lock, draw=draw)
    if with_names:
        root = exchange.root_of(folder)
        note_backup(
            shop,
            folder,
            size=size,
            root=root,
            is_sealed=seal_vault,
            file=EXPORTS,
        )
    names = "with the names" if with_names else "without the names"
    sealed = ", sealed under a pass-phrase" if seal_vault else ""
    lines = [
        f"{folder}: {size} entries, {names}{sealed}.",
        f"  Read it with a browser: {folder / 'index.html'}",
        *(f"  {sentence}" for sentence in left),
    ]
    show.answer(desk, lines, size=size, sealed=seal_vault, left=left)


def import_(
    desk: Desk,
    folder: FolderArgument,
    database: DatabaseOption = "",
    pin_file: PinFileOption = None,
) -> None:
    """Make a new shop folder out of an exported record.

    The record is verified first.

    Names under a seal ask for their pass-phrase: the line 'seal …' of the pin file, or
    typed.
    """
    from ledger.acts.exchange import import_record
    from ledger.acts.settings import Settings

    desk.told_pins(pin_file)
    lock = record_backup.lock_of(desk, folder)
    size = import_record(folder, desk.folder, Settings(database=database), lock=lock)
    lines = [
        f"{desk.folder}: {size} entries, verified.",
        "It can be read and audited; to go on writing it needs the shop's key files.",
    ]
    show.answer(desk, lines, size=size)


def _left_out(desk: Desk, with_names: bool, *, is_sealed: bool) -> Iterator[str]:
    """Say which papers were asked for and are not drawn, and how they would be."""
    those = "timelines, certificate files and statements are not drawn, for they name"
    if is_sealed:
        yield f"{those} people and the names lie under a seal"
    elif not with_names:
        yield f"{those} people: they come with --with-names"
    elif not desk.has_signer:
        yield "statements are not drawn: they come with --by of a lead"


def _draw(
    desk: Desk,
    left: list[str],
    with_names: bool,
    session: Any,
    folder: Path,
    shown: Any,
) -> None:
    """Draw the papers of every instrument, and the pages that lead to them.

    What cannot be drawn is told in `left`.
    """
    from cli.papers_export import draw_papers
    from cli.record_pages import write_pages

    made, refused = draw_papers(
        desk.shop,
        session,
        folder,
        with_names=with_names,
        statement=partial(_statement, desk) if desk.has_signer else None,
        progress=show.Progress("drawing"),
    )
    left += refused
    write_pages(session, folder, shown, made)


def _statement(desk: Desk, number: str) -> bytes:
    """Draw a statement of a certificate, which enters nothing."""
    from cli import papers_insurer
    from cli.certificate_papers import shown_certificate
    from labels import insurer as drawing

    shown, event = shown_certificate(desk, number, None)
    drawn = papers_insurer.insurer_statement(desk.shop, shown, event)
    return drawing.draw(drawn, paper=desk.shop.settings.paper)
