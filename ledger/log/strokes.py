"""Files written at one stroke, brought to the disk, and by one writer at a time.

What a power cut leaves of a file that was being written bears its name and an ending of
its own beside it, and is never taken for the file.
"""

import os
import sqlite3
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from ledger.errors import RefusedError

UNFINISHED = ".part"
# Nobody writes at one stroke for so long.
LEFT_AFTER_SECONDS = 86_400
PATIENCE_SECONDS = 10
# A web host gives out what everybody may read.
FOR_ALL = 0o644


def write_over(path: Path, data: bytes, *, is_public: bool = False) -> None:
    """Write a file at one stroke: it is the old one or the new one, never half.

    is_public  whether everybody on this machine may read it; else its owner alone
    """
    write_pieces_over(path, [data], is_public=is_public)


def write_pieces_over(
    path: Path, pieces: Iterable[bytes], *, is_public: bool = False
) -> None:
    """Write a stream of bytes at one stroke; where it breaks off nothing changes."""
    handle, name = tempfile.mkstemp(
        dir=path.parent, prefix=f"{path.name}.", suffix=UNFINISHED
    )
    try:
        with os.fdopen(handle, "wb") as part:
            for piece in pieces:
                part.write(piece)
            part.flush()
            os.fsync(part.fileno())
        if is_public:
            Path(name).chmod(FOR_ALL)
        Path(name).replace(path)
    finally:
        # After the rename there is nothing left to remove.
        Path(name).unlink(missing_ok=True)
    sync_folder(path.parent)


def drop_unfinished(folder: Path, pattern: str = "*") -> None:
    """Remove what a power cut left half written in a folder with one writer."""
    for path in folder.glob(f"{pattern}{UNFINISHED}"):
        path.unlink(missing_ok=True)


def drop_left(whole: Path, pattern: str) -> None:
    """Remove what a power cut left half written beside a file that was just written.

    A younger one may be a file that somebody else is writing now. Its age is by the
    clock of the disk, which wrote the time of both.

    pattern  of the names of files that are written here, with * for what differs
    """
    before = whole.stat().st_mtime - LEFT_AFTER_SECONDS
    for path in whole.parent.glob(f"{pattern}.*{UNFINISHED}"):
        # Another may be quicker, and what cannot go stays.
        with suppress(OSError):
            if path.lstat().st_mtime < before:
                path.unlink()


def sync_folder(folder: Path) -> None:
    """Bring a rename to the disk; Windows does so by itself and opens no folder."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def locked(path: Path, *, patience_seconds: int = PATIENCE_SECONDS) -> Iterator[None]:
    """Hold a lock that ends with the process, on every system alike.

    Raises RefusedError where another holds it for longer than one has patience, and
    where it cannot be written.
    """
    try:
        held = sqlite3.connect(path, timeout=patience_seconds, isolation_level=None)
    except sqlite3.Error as problem:
        raise _not_held(path, problem) from None
    with closing(held):
        try:
            held.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as problem:
            raise _not_held(path, problem) from None
        yield


def _not_held(path: Path, problem: sqlite3.Error) -> RefusedError:
    return RefusedError(f"{path} cannot be held ({problem})")
