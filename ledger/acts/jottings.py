"""Lines kept beside the log: what a shop's folder knows of its copies and its audits.

They are no part of the record and prove nothing: whoever owns the machine may write
them otherwise. Whoever reads one compares it with the log.
"""

import json
import os
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any, TypeVar, get_type_hints

# Of a dataclass whose members are texts and whole numbers.
Jotting = TypeVar("Jotting")


def jot(path: Path, said: Any) -> None:
    """Write one line more, out of a dataclass of texts and whole numbers.

    A line that a power cut left half stays a line of its own. Only the owner of a new
    file reads it.
    """
    handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o600)
    with os.fdopen(handle, "a+b") as file:
        size = file.seek(0, 2)
        if size:
            file.seek(size - 1)
        begin = b"\n" if size and file.read(1) != b"\n" else b""
        line = json.dumps(asdict(said), sort_keys=True).encode("utf-8")
        file.write(begin + line + b"\n")
        file.flush()
        os.fsync(file.fileno())


def newest_jotting(path: Path, kind: type[Jotting]) -> Jotting | None:
    """Return the last line that can be read as a kind, or None."""
    found = (_read(line, kind) for line in _newest_first(path))
    return next(filter(None, found), None)


def jottings(path: Path, kind: type[Jotting]) -> list[Jotting]:
    """Return every line that can be read as a kind, the oldest first."""
    found = (_read(line, kind) for line in _newest_first(path))
    return list(filter(None, found))[::-1]


def last_jotting(path: Path, kind: type[Jotting]) -> Jotting | None:
    """Return the last line; None where there is none, or it cannot be read."""
    found = (_read(line, kind) for line in _newest_first(path))
    return next(found, None)


def _newest_first(path: Path) -> Iterator[str]:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return
    yield from (line for line in reversed(lines) if line.strip())


def _read(line: str, kind: type[Jotting]) -> Jotting | None:
    try:
        said = kind(**json.loads(line))
    except (ValueError, TypeError, RecursionError):
        return None
    wanted = get_type_hints(kind)
    is_right = all(type(getattr(said, name)) is wanted[name] for name in wanted)
    return said if is_right else None
