"""flitchbook record restore and rehearse: a copy put back, or that tried and timed."""

import secrets
from dataclasses import asdict
from pathlib import Path
from time import perf_counter
from typing import Annotated, Any

import typer

from cli import context, record_backup, show
from cli.context import Desk, PinFileOption, opens, reads

CopyArgument = Annotated[
    Path, typer.Argument(help="A copy that flitchbook record backup made.")
]
ScratchOption = Annotated[
    Path | None,
    typer.Option(
        help="A folder in which the copy is opened meanwhile, such as one in memory; "
        "else where the machine keeps what is temporary."
    ),
]
ROLLED_BACK = (
    "If a paper proves more than these entries, something is missing: hold it against "
    "this shop with flitchbook record audit --against before anybody writes here."
)


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the record."""
    reads(app)(restore)
    opens(app)(rehearse)


def restore(desk: Desk, copy: CopyArgument, pin_file: PinFileOption = None) -> None:
    """Put a copy back as the shop's folder, audited.

    The folder is new.

    A sealed copy asks for its pass-phrase: the line 'seal …' of the pin file, or typed.
    """
    from ledger.acts.backups import note_backup
    from ledger.acts.folders import new_folder
    from ledger.acts.restoring import put_back, require_copy
    from ledger.acts.shop import open_for_audit

    require_copy(copy)
    desk.told_pins(pin_file)
    with new_folder(desk.folder):
        lock = record_backup.lock_of(desk, copy)
        desk.folder.chmod(0o700)
        put_back(copy, desk.folder, lock=lock)
        shop = open_for_audit(desk.folder, now=context.now)
        try:
            refusal = f"{copy} is not put back, it is not whole"
            report = record_backup.whole_report(shop, refusal)
            note_backup(
                shop,
                copy,
                size=report.size,
                root=report.root,
                is_sealed=lock is not None,
            )
            newest = shop.store.newest_checkpoint()
            missing = _missing(shop)
        finally:
            shop.close()
    signed = newest[0] if newest else 0
    lines = [
        *(f"WARNING: {each}" for each in filter(None, [missing])),
        f"{desk.folder}: {report.size} entries, audited; root {report.root.hex()}",
        *(f"  {finding}" for finding in report.findings),
        *_left(copy, desk.folder),
        f"The newest signed head in it is of {signed} entries. {ROLLED_BACK}",
    ]
    show.answer(
        desk,
        lines,
        folder=str(desk.folder),
        size=report.size,
        root=report.root.hex(),
        signed=signed,
        missing=missing,
        findings=show.findings(report.findings),
    )


def _missing(shop: Any) -> str | None:
    """Say what this account saw and the copy has not.

    It is no fault of the copy, which may be all that is left.
    """
    from ledger.acts.outside import NEXT, find_gap

    gap = find_gap(shop.store, shop.folder, context.state_folder())
    return None if gap is None else f"{gap}; {NEXT}"


def rehearse(desk: Desk, copy: CopyArgument, scratch: ScratchOption = None) -> None:
    """Try whether a copy comes back, and time it.

    It is put into a scratch folder, and each step is judged.

    With --by one key is tried too. What the shop has and the copy has not is counted
    where the shop is at hand. Nothing is recorded; it ends with 1 where a step failed.
    Meanwhile names and keys of a sealed copy lie in the clear in the scratch folder,
    which goes at the end; one that a cut left is swept the next time.
    """
    from ledger.acts import rehearsing
    from ledger.acts.restoring import require_copy
    from ledger.acts.scratch import scratch_folder

    require_copy(copy)
    lock = record_backup.lock_of(desk, copy)
    living = _living(desk)
    badge, pin = desk.tried_key()
    trial = rehearsing.Trial(
        now=context.now,
        entropy=secrets.token_bytes,
        clock=perf_counter,
        lock=lock,
        badge=badge,
        pin=pin,
        living=living,
    )
    steps: list[Any] = []
    with scratch_folder(scratch) as (folder, swept):
        for step in rehearsing.rehearse(copy, folder / "shop", trial):
            steps.append(step)
    is_sound = all(step.is_sound for step in steps)
    seconds = sum(step.seconds for step in steps)
    word = "it comes back" if is_sound else "IT DOES NOT COME BACK"
    lines = [
        f"{word}: {copy.name}, in {seconds:.1f} s",
        *(_line(step) for step in steps),
        *([f"  {swept} left over from before, swept"] if swept else []),
        f"It was opened in {folder}, which is gone again.",
    ]
    show.answer(
        desk,
        lines,
        comes_back=is_sound,
        seconds=round(seconds, 3),
        swept=swept,
        steps=[asdict(step) for step in steps],
    )
    if not is_sound:
        raise typer.Exit(1)


def _left(copy: Path, folder: Path) -> list[str]:
    """Say which settings of a copy were not taken over; no value, it may be secret."""
    from ledger.acts.settings import FILE, read_settings

    settings = read_settings(copy)
    return [
        f"  {name} of {copy / FILE} is not taken over: if it is the shop's own, write "
        f"it into {folder / FILE} again"
        for name in ("database", "backup_to")
        if getattr(settings, name)
    ]


def _line(step: Any) -> str:
    mark = "" if step.is_sound else "FAILED, "
    return f"  {step.what}: {mark}{step.said}  ({step.seconds:.2f} s)"


def _living(desk: Desk) -> Any:
    """Return the shop of today, or None where it is gone: a copy has to do without."""
    from ledger.errors import LedgerError

    try:
        return desk.shop_of_any_edition
    except (LedgerError, OSError):
        return None
