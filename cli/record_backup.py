"""flitchbook record backup: the shop copied, the copy audited, and that noted."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import context, show
from cli.context import Desk, reads

FolderArgument = Annotated[Path, typer.Argument(help="A folder.")]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(backup)


def backup(desk: Desk, folder: FolderArgument) -> None:
    """Copy the whole shop into a folder, and audit the copy."""
    from ledger.acts.backups import note_backup
    from ledger.acts.copies import back_up
    from ledger.acts.leaving import backup_left
    from ledger.acts.shop import open_for_audit
    from ledger.audit import audit as walk
    from ledger.errors import TamperError
    from ledger.log.checkpoint import Checkpoint

    shop = desk.shop_of_any_edition
    copy = back_up(shop, folder)
    report = walk(
        open_for_audit(copy, now=context.now), progress=show.Progress("auditing")
    )
    changed = changes(report)
    if changed or report.is_clouded:
        worst = (*changed, *report.findings)[0]
        raise TamperError(
            f"the copy in {copy} is not whole, and neither may the shop be: {worst}"
        )
    note_backup(shop, copy, size=report.size, root=report.root)
    head = Checkpoint(origin=shop.standing().origin, size=report.size, root=report.root)
    elsewhere = backup_left(shop, copy, head)
    disk = "on another disk than the shop" if elsewhere else "on the shop's own disk"
    lines = [
        f"{copy}: {report.size} entries, audited, {disk}. Keep it on another machine."
    ]
    # Its entries are whole, and whoever brings it back folds them again.
    lines += [f"  {finding}" for finding in report.findings if not finding.is_open]
    show.answer(desk, lines, folder=str(copy), size=report.size)


def changes(report: Any) -> list[Any]:
    """Return the findings that name a change; views of another version need be none."""
    return [f for f in report.findings if not f.is_open and f.cause != "edition"]


def words(shop: Any, size: int) -> str:
    """Say when the shop was last copied, and how much was entered since."""
    from ledger.acts.backups import is_of_this_log, newest_backup

    made = newest_backup(shop.folder)
    if made is None and shop.settings.database:
        return "Its log is on a database server: copy it with the server's own tools."
    if made is None:
        return (
            "No backup is known here: make one with flitchbook record backup FOLDER, "
            "and keep it on another machine."
        )
    if is_of_this_log(shop, made) is False:
        here = f", and this log has {size}" if made.size > size else ""
        return (
            f"THE NEWEST BACKUP, {made.name}, HOLDS ANOTHER HISTORY of {made.size} "
            f"entries{here}: audit it with flitchbook record audit --shop, and keep "
            f"both."
        )
    newer = max(size - made.size, 0)
    since = "1 entry" if newer == 1 else f"{newer} entries"
    return (
        f"Newest backup: {made.name} of {made.day}, {made.size} entries, opened and "
        f"audited whole then; {since} since in none."
    )


def data(shop: Any, size: int) -> dict[str, Any] | None:
    """Return the newest copy as data, or None where none is known."""
    from ledger.acts.backups import is_of_this_log, newest_backup

    made = newest_backup(shop.folder)
    if made is None:
        return None
    return {
        "name": made.name,
        "made": made.at,
        "size": made.size,
        "root": made.root,
        "entries_since": max(size - made.size, 0),
        "of_this_log": is_of_this_log(shop, made),
    }
