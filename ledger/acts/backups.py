"""When the shop was last copied whole, as far as the shop knows.

A backup is opened and audited as it is made, and only then noted: a line in the file
`backups`, beside the log and not in it. The note has the copy's own name and never
where it lies, for a path tells who somebody is.
"""

from dataclasses import dataclass
from pathlib import Path

from ledger.acts.jottings import jot, newest_jotting
from ledger.acts.shop import Shop
from ledger.errors import LedgerError
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import at_text

BACKUPS = "backups"


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy that was whole: its folder's name, when, and the head that it holds."""

    name: str
    at: str
    size: int
    root: str

    @property
    def day(self) -> str:
        """The day on which it was made."""
        return self.at[:10]


def note_backup(shop: Shop, copy: Path, *, size: int, root: bytes) -> None:
    """Keep that a copy was made and found whole."""
    at = at_text(shop.now())
    made = Backup(name=copy.name, at=at, size=size, root=root.hex())
    jot(shop.folder / BACKUPS, made)


def newest_backup(folder: Path) -> Backup | None:
    """Return the newest copy that a shop's folder knows of, or None."""
    return newest_jotting(folder / BACKUPS, Backup)


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
