"""A folder for what is opened for a while only, swept where a cut left one behind.

What a sealed copy holds lies there in the clear as long as it is looked at. Whoever
looks holds a lock, which ends with the program however that ends: a folder that nobody
holds is left over.
"""

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
            yield folder, _sweep(place, folder.lstat().st_uid)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _sweep(place: Path, account: int) -> int:
    """Take away what an account left in a folder and nobody holds any more."""
    count = 0
    for folder in place.glob(f"{PREFIX}*"):
        if _is_left(folder, account):
            shutil.rmtree(folder, ignore_errors=True)
            count += not folder.exists()
    return count


def _is_left(folder: Path, account: int) -> bool:
    with suppress(OSError, RefusedError):
        told = folder.lstat()
        is_own = stat.S_ISDIR(told.st_mode) and told.st_uid == account
        # One that is made this moment has no file yet, and is left alone.
        if is_own and (folder / HELD).is_file():
            with locked(folder / HELD, patience_seconds=0):
                return True
    return False
