"""What a shop publishes under rising numbers: keys files and status lists."""

import re
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from ledger.acts.folders import write
from ledger.errors import RefusedError
from ledger.log.strokes import drop_left

KEYS_FILES, STATUS_LISTS = "keys", "status"
NUMBERED = re.compile(r"(?P<series>[a-z]+)-(?P<number>[0-9]+)\.json", re.ASCII)


class Numbered(NamedTuple):
    """A file of a series: its number, where it lies, and what it holds if just made."""

    number: int
    path: Path
    data: bytes = b""


def newest(folder: Path, series: str) -> Numbered | None:
    """Return the file of the highest number in a series, or None where none is."""
    found = (
        Numbered(int(name["number"]), path)
        for path in folder.glob(f"{series}-*.json")
        if (name := NUMBERED.fullmatch(path.name))
    )
    return max(found, default=None)


def keep_next(folder: Path, series: str, make: Callable[[int], bytes]) -> Numbered:
    """Write the next file of a series, which is made for its number; return it.

    Where another station took the number meanwhile, it is made again for the next.
    """
    known = newest(folder, series)
    number = known.number if known else 0
    while True:
        number += 1
        data = make(number)
        path = folder / file_name(series, number)
        with suppress(FileExistsError):
            keep(path, data)
            return Numbered(number, path, data)


def keep(path: Path, data: bytes) -> None:
    """Write a file of a series; FileExistsError where another has its number.

    What a power cut left beside it of older ones goes.
    """
    _make_folder(path.parent)
    write(path, data)
    for series in (KEYS_FILES, STATUS_LISTS):
        drop_left(path, f"{series}-*.json")


def _make_folder(folder: Path) -> None:
    """Make the folder of a series; RefusedError where a file has its name."""
    try:
        folder.mkdir(exist_ok=True)
    except FileExistsError:
        raise RefusedError(
            f"{folder} is a file, where what is published lies: move it away"
        ) from None


def file_name(series: str, number: int) -> str:
    """Return the name under which a file of a series lies."""
    return f"{series}-{number:04d}.json"
