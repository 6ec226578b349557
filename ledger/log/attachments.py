"""Files of the shop, kept by what they hold: recordings, photographs, papers.

A file lies under the 64 hex digits of its SHA-256, or of SHA-256(salt ‖ file) where
it holds personal data: then nobody who has the file can show that the log speaks of
it, once the salt is erased from the vault. The caller makes the 32-byte salt and puts
it into the vault *before* the file.

A file is whole or absent, whatever fails meanwhile: it is written under a temporary
name beside its place, brought to the disk, renamed, and the folder is brought to the
disk as well. Only then may an entry speak of it.
"""

import hashlib
import io
import os
import re
import stat
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log.strokes import UNFINISHED, sync_folder

LARGEST_FILE = 512 * 1024 * 1024
SALT_SIZE = 32
PIECE = 1024 * 1024
DIGEST = re.compile("[0-9a-f]{64}")
# A link or a pipe in the folder is somebody's trick, and opening one may wait forever.
SAFELY = (
    os.O_RDONLY
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
)


def digest_of(
    source: bytes | Path, *, salt: bytes = b"", limit: int = LARGEST_FILE
) -> str:
    """Return the digest under which a file would lie; nothing is kept yet."""
    digest = _hash_of(salt)
    with _opened(source) as stream:
        for piece in _pieces(stream, _named(source), limit):
            digest.update(piece)
    return digest.hexdigest()


def put(
    folder: Path,
    source: bytes | Path,
    *,
    salt: bytes = b"",
    limit: int = LARGEST_FILE,
    announced: str | None = None,
) -> str:
    """Keep a file, and return the digest under which it lies.

    Putting the same file again changes nothing. A digest that was `announced`, as by
    a salt that the vault holds already, must be the file's. limit [bytes]
    """
    digest = _hash_of(salt)
    folder.mkdir(parents=True, exist_ok=True)
    with _opened(source) as stream:
        handle, name = tempfile.mkstemp(dir=folder, suffix=UNFINISHED)
        try:
            with os.fdopen(handle, "wb") as part:
                for piece in _pieces(stream, _named(source), limit):
                    digest.update(piece)
                    part.write(piece)
                part.flush()
                os.fsync(part.fileno())
            if announced not in (None, digest.hexdigest()):
                raise RefusedError(
                    f"{_named(source)} changed while it was read; file it again"
                )
            Path(name).replace(folder / digest.hexdigest())
        finally:
            # After the rename there is nothing left to remove.
            Path(name).unlink(missing_ok=True)
    sync_folder(folder)
    return digest.hexdigest()


def get(folder: Path, digest: str) -> Path:
    """Return where a file lies; what it holds is not looked at."""
    if not DIGEST.fullmatch(digest):
        raise RefusedError(
            f"{digest[:80]!r} is no digest of a file; it has 64 digits of 0-9 and a-f"
        )
    path = folder / digest
    if not os.path.lexists(path):
        raise NotFoundError(
            f"attachment {digest} is not in {folder}; bring it back from a backup"
        )
    return path


def verify(folder: Path, digest: str, *, salt: bytes = b"") -> None:
    """Read a file again and see that it still has its digest, else TamperError."""
    found = _hash_of(salt)
    path = get(folder, digest)
    with _opened_again(path) as stream:
        for piece in _pieces(stream, digest, None):
            found.update(piece)
    _compare(digest, found.hexdigest())


def read(
    folder: Path, digest: str, *, salt: bytes = b"", limit: int = LARGEST_FILE
) -> bytes:
    """Return what a file holds, after seeing that it still has its digest."""
    path = get(folder, digest)
    with _opened_again(path) as stream:
        data = b"".join(_pieces(stream, digest, limit))
    found = _hash_of(salt)
    found.update(data)
    _compare(digest, found.hexdigest())
    return data


def digests(folder: Path) -> tuple[str, ...]:
    """Return the digests of all files kept, sorted."""
    if not folder.is_dir():
        return ()
    names = (path.name for path in folder.iterdir())
    return tuple(sorted(name for name in names if DIGEST.fullmatch(name)))


def remove(folder: Path, digest: str) -> None:
    """Take a file away for good, as when a person is erased; a missing one is well."""
    with suppress(NotFoundError):
        get(folder, digest).unlink(missing_ok=True)
        sync_folder(folder)


def sweep(folder: Path, *, before: datetime) -> int:
    """Remove what a power cut left half written before a time; return how many.

    A younger one may be a file that another station is writing now.
    """
    swept = 0
    for path in folder.glob(f"*{UNFINISHED}"):
        # The other station may finish while we look.
        with suppress(FileNotFoundError):
            if path.lstat().st_mtime < before.timestamp():
                path.unlink()
                swept += 1
    return swept


def _hash_of(salt: bytes) -> "hashlib._Hash":
    if len(salt) not in (0, SALT_SIZE):
        raise RefusedError(
            f"a salt has {SALT_SIZE} bytes, not {len(salt)}; draw a new one"
        )
    return hashlib.sha256(salt)


def _opened(source: bytes | Path) -> BinaryIO:
    """Open what is to be kept, if it is a regular file."""
    if isinstance(source, bytes):
        return io.BytesIO(source)
    try:
        handle = os.open(source, SAFELY)
    except OSError as problem:
        raise RefusedError(
            f"{source} cannot be opened ({problem.strerror}); "
            f"choose a file that is here and not a link"
        ) from None
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise RefusedError(f"{source} is not a file; choose a file")
    return os.fdopen(handle, "rb")


def _opened_again(path: Path) -> BinaryIO:
    """Open a file that was kept; anything else in its place is a fault."""
    try:
        return _opened(path)
    except RefusedError as problem:
        raise TamperError(
            f"attachment {path.name} is not the file that was kept: {problem}"
        ) from None


def _pieces(stream: BinaryIO, name: str, limit: int | None) -> Iterator[bytes]:
    """Yield a stream piece by piece, and stop where it is larger than allowed."""
    size = 0
    while piece := stream.read(PIECE):
        size += len(piece)
        if limit is not None and size > limit:
            raise RefusedError(
                f"{name} has more than {limit} bytes; make it smaller, "
                f"or keep it elsewhere and note where"
            )
        yield piece


def _named(source: bytes | Path) -> str:
    return str(source) if isinstance(source, Path) else "this file"


def _compare(digest: str, found: str) -> None:
    if found != digest:
        raise TamperError(
            f"attachment {digest} now has the digest {found}; "
            f"bring it back from a backup"
        )
