"""Whole files and folders: made new, written to the disk, copied for few eyes only."""

import errno
import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from typing import IO

from ledger.errors import RefusedError
from ledger.log.strokes import UNFINISHED, sync_folder

# Of files and folders with a secret or a name in them.
PRIVATE, PRIVATE_FOLDER = 0o600, 0o700


def private_file(path: Path) -> IO[bytes]:
    """Make a new file that only its owner ever reads, open for writing."""
    return os.fdopen(_private(path), "wb")


@contextmanager
def new_folder(folder: Path, *, is_private: bool = False) -> Iterator[None]:
    """Make a folder that is new or empty; it goes again if what follows fails.

    is_private  whether only its owner looks into it, for names; one that was there
                already stays as it is
    """
    require_new(folder)
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        mode = PRIVATE_FOLDER if is_private else 0o777
        folder.mkdir(mode=mode, parents=True, exist_ok=True)
        yield
        undo.pop_all()


def require_new(folder: Path) -> None:
    """Refuse a folder in use, and what is no folder."""
    if folder.exists() and not folder.is_dir():
        raise RefusedError(f"{folder} is a file: name a new folder")
    if folder.exists() and any(folder.iterdir()):
        raise RefusedError(f"{folder} is not empty: name a new folder")


def require_apart(folder: Path, shop: Path) -> None:
    """Refuse to publish in a shop's folder, within it or around it."""
    given, own = folder.resolve(), shop.resolve()
    if given.is_relative_to(own) or own.is_relative_to(given):
        raise RefusedError(
            f"{folder} is the shop's own folder, or lies within it or around it, and "
            f"its keys and its vault would go on the web: name one elsewhere"
        )


def write(path: Path, data: bytes, *, is_private: bool = False) -> None:
    """Write a new file at one stroke, to the disk; FileExistsError where one is.

    Nobody ever reads half of it under its own name, whenever the power goes.

    is_private  whether only its owner ever reads it, for a code or a name
    """
    part = path.with_name(f"{path.name}.{secrets.token_hex(4)}{UNFINISHED}")
    try:
        with private_file(part) if is_private else part.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _name(part, path)
    finally:
        part.unlink(missing_ok=True)
    sync_folder(path.parent)


def _name(part: Path, path: Path) -> None:
    """Give a whole file its name; FileExistsError where another has it."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:
        # A stick may know no second names. There nobody writes at the same time.
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, "is there already", str(path)) from None
        part.rename(path)


def copy_file(source: Path, target: Path) -> None:
    """Copy a file into one that only its owner ever reads."""
    with source.open("rb") as old, os.fdopen(_private(target), "wb") as new:
        shutil.copyfileobj(old, new)
        new.flush()
        os.fsync(new.fileno())


def copy_database(source: Path, target: Path) -> None:
    """Copy a database that may be in use, as it stands at one moment."""
    address = f"{source.resolve().as_uri()}?mode=ro"
    os.close(_private(target))
    try:
        with (
            closing(sqlite3.connect(address, uri=True)) as old,
            closing(sqlite3.connect(target)) as new,
        ):
            old.backup(new)
    except sqlite3.Error as problem:
        raise RefusedError(
            f"{source} cannot be copied to {target} ({problem}): see that the disk has "
            f"room"
        ) from None


def _private(path: Path) -> int:
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE)
