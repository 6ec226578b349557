"""A folder for what is opened for a while only, swept where a cut left one behind.

What a sealed copy holds lies there in the clear as long as it is looked at. Whoever
looks holds a lock, which ends with the program however that ends: a folder that nobody
holds is left over.
"""

import fcntl
import os
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from ledger.errors import RefusedError

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
    swept = _sweep(place)
    folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=place))
    try:
        with (folder / HELD).open("xb") as held:
            _holds(held)
            yield folder, swept
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _sweep(place: Path) -> int:
    """Take away what this account left in a folder and nobody holds any more."""
    count = 0
    for folder in place.glob(f"{PREFIX}*"):
        if _is_left(folder):
            shutil.rmtree(folder, ignore_errors=True)
            count += not folder.exists()
    return count


def _is_left(folder: Path) -> bool:
    # One that is made this moment has no file yet, and is left alone.
    with suppress(OSError):
        told = folder.lstat()
        if stat.S_ISDIR(told.st_mode) and told.st_uid == os.getuid():
            with (folder / HELD).open("rb") as held:
                return _holds(held)
    return False


def _holds(file: IO[bytes]) -> bool:
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
