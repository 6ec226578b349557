"""A folder for what is opened for a while only, swept where a cut left one behind.

What a sealed copy holds lies there in the clear as long as it is looked at. Whoever
looks holds a lock, which ends with the program however that ends: a folder that nobody
holds is left over.
"""

import os
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from ledger.errors import RefusedError
from ledger.log.strokes import locked

PREFIX = "flitchbook-scratch-"
HELD = "held"
# Whoever makes a folder holds it long before that.
NEW_SECONDS = 60


@contextmanager
def scratch_folder(within: Path | None = None) -> Iterator[tuple[Path, int]]:
    """Give a new folder for its owner only, and say how many left over were swept.

    It lies in `within`, or where the machine keeps what is temporary, and goes at the
    end. Raises RefusedError where there is no such folder.
    """
    place = within or Path(tempfile.gettempdir())
    if not place.is_dir():
        raise RefusedError(
            f"there is no folder {place} to try the copy in: make it, or name another "
            f"with --scratch"
        )
    folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=place))
    try:
        with locked(folder / HELD):
            yield folder, _sweep(place, (folder / HELD).lstat())
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _sweep(place: Path, own: os.stat_result) -> int:
    """Take away what an account left in a folder and nobody holds any more.

    own  of the file that was made just now: whose it is, and the clock of the disk
    """
    left = (folder for folder in place.glob(f"{PREFIX}*") if _is_old(folder, own))
    return sum(map(_is_swept, left))


def _is_old(folder: Path, own: os.stat_result) -> bool:
    """Tell whether a folder is the account's, and was not made this moment."""
    with suppress(OSError):
        told = folder.lstat()
        made = (folder / HELD).lstat()
        is_own = stat.S_ISDIR(told.st_mode) and told.st_uid == own.st_uid
        is_held = stat.S_ISREG(made.st_mode)
        return is_own and is_held and made.st_mtime < own.st_mtime - NEW_SECONDS
    return False


def _is_swept(folder: Path) -> bool:
    """Take a folder away while its lock is held, so that nobody else looks into it."""
    try:
        with locked(folder / HELD, patience_seconds=0):
            shutil.rmtree(folder, ignore_errors=True)
    except RefusedError:
        return False
    # Windows takes away no file that is open, and the lock was.
    shutil.rmtree(folder, ignore_errors=True)
    return not folder.exists()
