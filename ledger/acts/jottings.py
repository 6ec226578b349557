"""Lines kept beside the log: what a shop's folder knows of its copies and its audits.

They are no part of the record and prove nothing; whoever reads one compares it with
the log. A line that cannot be read says nothing.
"""

import json
from dataclasses import asdict, fields
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, get_type_hints

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Jotting = TypeVar("Jotting", bound="DataclassInstance")


def jot(path: Path, said: "DataclassInstance") -> None:
    """Write one line more, of text and whole numbers only."""
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps(asdict(said), sort_keys=True) + "\n")


def newest_jotting(path: Path, kind: type[Jotting]) -> Jotting | None:
    """Return the last line that can be read as a kind, or None."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return None
    return next(filter(None, (_read(line, kind) for line in reversed(lines))), None)


def _read(line: str, kind: type[Jotting]) -> Jotting | None:
    try:
        said = kind(**json.loads(line))
    except (ValueError, TypeError):
        return None
    wanted = get_type_hints(kind)
    is_right = all(type(getattr(said, f.name)) is wanted[f.name] for f in fields(kind))
    return said if is_right else None
