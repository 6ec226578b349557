"""flitchbook record backup: the shop copied, the copy audited, and that noted."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import context, show
from cli.context import Desk, PinFileOption, reads

FoldersArgument = Annotated[
    list[Path] | None,
    typer.Argument(
        help="Folders to copy into, such as a stick's; else those of backup_to."
    ),
]
SealOption = Annotated[
    bool,
    typer.Option(
        "--seal-vault",
        help="Seal names, key files and papers with personal data under a pass-phrase.",
    ),
]
KeepOption = Annotated[
    int | None,
    typer.Option(
        "--keep", help="So many copies stay in each folder; the oldest go first."
    ),
]
ScheduleOption = Annotated[
    bool,
    typer.Option("--schedule", help="Only show lines for the machine's own timetable."),
]
SEAL = "seal"
SAME_DISK = (
    "  It lies on the shop's own disk and is lost with it: make one on a stick or on "
    "another machine too."
)


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(backup)


def backup(
    desk: Desk,
    folders: FoldersArgument = None,
    seal_vault: SealOption = False,
    keep: KeepOption = None,
    schedule: ScheduleOption = False,
    pin_file: PinFileOption = None,
) -> None:
    """Copy the whole shop into each folder, and audit every copy.

    It may be done while others work. A pass-phrase is the line 'seal …' of the pin
    file, or is typed.
    """
    from ledger.errors import LedgerError, RefusedError

    if keep is not None and keep < 1:
        raise RefusedError(f"--keep {keep} would leave no copy: keep 1 or more")
    targets = _targets(desk, folders)
    if schedule:
        _show_schedule(desk, targets, keep, is_sealed=seal_vault, pin_file=pin_file)
        return
    desk.told_pins(pin_file)
    lock = new_lock(desk) if seal_vault else None
    made: list[dict[str, Any]] = []
    failed: list[str] = []
    for target in targets:
        try:
            made.append(_into(desk, target, lock, keep))
        except (LedgerError, OSError) as fault:
            if len(targets) == 1:
                raise
            failed.append(f"{target}: {fault}")
    if not made:
        raise RefusedError("; ".join(failed))
    lines = [line for told in made for line in told.pop("lines")]
    lines += [f"NO COPY in {why}" for why in failed]
    first = {name: made[0][name] for name in ("folder", "size")}
    show.answer(desk, lines, **first, copies=made, failed=failed)
    if failed:
        raise typer.Exit(1)


def new_lock(desk: Desk) -> Any:
    """Return a new lock, of a pass-phrase that is typed twice or stands in the file."""
    import secrets

    from ledger.log.sealedfile import new_lock as lock

    phrase = desk.secret(SEAL, "pass-phrase for the sealed files", is_new=True)
    return lock(phrase, entropy=secrets.token_bytes)


def lock_of(desk: Desk, folder: Path) -> Any:
    """Return the lock of a sealed copy or export, or None where it is in the clear."""
    from ledger.acts.restoring import is_sealed, lock_of_copy

    if not is_sealed(folder):
        return None
    return lock_of_copy(folder, desk.secret(SEAL, f"pass-phrase of {folder.name}"))


def changes(report: Any) -> list[Any]:
    """Return the findings that name a change; views of another version need be none."""
    return [f for f in report.findings if not f.is_open and f.cause != "edition"]


def whole_report(shop: Any, refusal: str) -> Any:
    """Audit a copy; TamperError with this and the worst where it is not whole."""
    from ledger.audit import audit
    from ledger.errors import TamperError

    report = audit(shop, progress=show.Progress("auditing"))
    changed = changes(report)
    if changed or report.is_clouded:
        raise TamperError(f"{refusal}: {(*changed, *report.findings)[0]}")
    return report


def _targets(desk: Desk, folders: list[Path] | None) -> list[Path]:
    """Return where copies go: what was named, else what the settings name."""
    from ledger.acts.settings import read_settings
    from ledger.errors import RefusedError

    if folders:
        return folders
    known = list(read_settings(desk.folder).backup_folders)
    if not known:
        raise RefusedError(
            "say where the copy goes: name a folder, or write it once into shop.toml, "
            'as backup_to = "/media/stick"'
        )
    return known


def _show_schedule(
    desk: Desk,
    targets: list[Path],
    keep: int | None,
    *,
    is_sealed: bool,
    pin_file: Path | None,
) -> None:
    from cli import record_schedule as timetable

    words = timetable.command(
        desk.folder, targets, keep=keep, is_sealed=is_sealed, pin_file=pin_file
    )
    service, timer = timetable.systemd(words)
    show.answer(
        desk,
        timetable.lines(words),
        cron=timetable.cron(words),
        service=service,
        timer=timer,
        schtasks=timetable.schtasks(words),
    )


def _into(desk: Desk, target: Path, lock: Any, keep: int | None) -> dict[str, Any]:
    """Copy into one folder, audit the copy, note it; make room for it afterwards."""
    from ledger.acts.backups import note_backup
    from ledger.acts.copies import back_up
    from ledger.acts.holdings import holdings_of, holds_words
    from ledger.acts.keeping import make_room
    from ledger.acts.leaving import backup_left
    from ledger.errors import RefusedError

    shop = desk.shop_of_any_edition
    if target in shop.settings.backup_folders and not target.is_dir():
        raise RefusedError(f"there is no folder {target}: is the stick in?")
    copy = back_up(shop, target, lock=lock)
    report = _audited(copy, lock)
    noted = note_backup(
        shop, copy, size=report.size, root=report.root, is_sealed=lock is not None
    )
    backup_left(shop, noted)
    room = make_room(shop, target, keep=keep) if keep is not None else None
    held = holdings_of(shop, copy, is_sealed=lock is not None)
    place = [] if noted.is_elsewhere else [SAME_DISK]
    return {
        "lines": [
            f"{copy}: {report.size} entries, audited. Keep it on another machine.",
            f"  {holds_words(held)}",
            *place,
            *_finding_words(report, is_sealed=lock is not None),
            *_room_words(room),
        ],
        "folder": str(copy),
        "size": report.size,
        "root": report.root.hex(),
        "sealed": lock is not None,
        "offsite": noted.is_elsewhere,
        "removed": room.removed if room else [],
    }


def _audited(copy: Path, lock: Any) -> Any:
    """Walk over a copy where it lies, through its seal; TamperError where it is not."""
    from ledger.acts.restoring import open_copy_for_audit, require_sealed_whole

    shop = open_copy_for_audit(copy, now=context.now, lock=lock)
    try:
        refusal = f"the copy in {copy} is not whole, and neither may the shop be"
        report = whole_report(shop, refusal)
    finally:
        shop.close()
    if lock is not None:
        require_sealed_whole(copy, lock)
    return report


def _finding_words(report: Any, *, is_sealed: bool) -> Iterator[str]:
    """Yield what no open question is: its entries are whole, and are folded again."""
    yield from (f"  {finding}" for finding in report.findings if not finding.is_open)
    if is_sealed:
        yield "  Every sealed file was opened again to its end, and is what was sealed."


def _room_words(room: Any) -> Iterator[str]:
    for name in room.removed if room else ():
        yield f"  {name} made room."
    for name, why in room.left if room else ():
        yield f"  {name} was left: {why}."
