"""Which copies of the shop there are, as far as the shop knows.

A backup is opened and audited as it is made, and only then noted: a line in the file
`backups`, beside the log and not in it. The note has the copy's own name and never
where it lies, for a path tells who somebody is; whether that was another disk it says.
A copy that made room for newer ones has a line that says so. Exports with names have
their lines in `exports`, because an erasure reaches neither.
"""

from dataclasses import dataclass
from pathlib import Path

from ledger.acts.jottings import jot, jottings
from ledger.acts.shop import Shop
from ledger.errors import LedgerError
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import at_text

BACKUPS = "backups"
EXPORTS = "exports"
# Where a copy lay when it was made.
ELSEWHERE, SAME_DISK = "another disk", "the same disk"


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy that was whole: its folder's name, when, and the head that it holds.

    `place` is empty in a line that was written before the shop looked.
    """

    name: str
    at: str
    size: int
    root: str
    place: str = ""
    sealed: bool = False

    @property
    def day(self) -> str:
        """The day on which it was made."""
        return self.at[:10]

    @property
    def is_elsewhere(self) -> bool | None:
        """Tell whether it lay on another disk than the shop, or None: nobody looked."""
        return self.place == ELSEWHERE if self.place else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """A copy that made room for newer ones."""

    gone: str
    at: str


def note_backup(
    shop: Shop,
    copy: Path,
    *,
    size: int,
    root: bytes,
    is_sealed: bool = False,
    file: str = BACKUPS,
) -> Backup:
    """Keep that a copy was made and found whole; `file` is EXPORTS for an export."""
    made = Backup(
        name=copy.name,
        at=at_text(shop.now()),
        size=size,
        root=root.hex(),
        place=SAME_DISK if is_on_same_disk(shop.folder, copy) else ELSEWHERE,
        sealed=is_sealed,
    )
    jot(shop.folder / file, made)
    return made


def note_gone(shop: Shop, name: str) -> None:
    """Keep that a copy is no more."""
    jot(shop.folder / BACKUPS, Gone(gone=name, at=at_text(shop.now())))


def noted_backups(folder: Path) -> list[Backup]:
    """Return the copies that a shop's folder knows of and that are there still."""
    gone = {line.gone for line in jottings(folder / BACKUPS, Gone)}
    found = jottings(folder / BACKUPS, Backup)
    return [made for made in found if made.name not in gone]


def names_taken(folder: Path) -> set[str]:
    """Return every name that a copy ever bore, so that none is given again."""
    made = {made.name for made in jottings(folder / BACKUPS, Backup)}
    return made | {line.gone for line in jottings(folder / BACKUPS, Gone)}


def noted_exports(folder: Path) -> list[Backup]:
    """Return the exports with names that a shop's folder knows of."""
    return jottings(folder / EXPORTS, Backup)


def newest_backup(folder: Path) -> Backup | None:
    """Return the newest copy that a shop's folder knows of, or None."""
    return next(reversed(noted_backups(folder)), None)


def is_on_same_disk(one: Path, other: Path) -> bool:
    """Tell whether two folders are lost together when a disk breaks.

    Two parts of one disk are taken for two disks: a machine does not say.
    """
    return one.stat().st_dev == other.stat().st_dev


def is_of_this_log(shop: Shop, backup: Backup) -> bool | None:
    """Tell whether a copy holds the log's own head; None where no head was signed.

    One that is longer than the log does not: something is missing here.
    """
    if backup.size > shop.store.head().size:
        return False
    for size, note in shop.store.checkpoints():
        if size == backup.size:
            try:
                head = parse_checkpoint(parse_note(note))
            except LedgerError:
                return False
            return (head.size, head.root.hex()) == (backup.size, backup.root)
    return None
