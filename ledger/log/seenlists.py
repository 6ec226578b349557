"""The newest status list of each shop that one account on one machine has seen.

One line for each shop, in a file beside what is kept of its log: number, the first 16
hex digits of the list's SHA-256, and the key that signed it. A shop is known by its
origin and its founding: anybody can found another under the same name. What cannot be
read or kept says nothing.
"""

import re
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from ledger.errors import LedgerError
from ledger.log.seen import place
from ledger.log.strokes import locked, write_over

LINE = re.compile(r"([1-9][0-9]{0,15}) ([0-9a-f]{16}) ([0-9a-f]{16})\n")
ENDING = ".list"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenList:
    """A list that was seen: its number, its digest, and who signed it."""

    number: int
    digest: str
    key: str

    @classmethod
    def of(cls, data: bytes, *, number: int, key: str) -> "SeenList":
        """Return how a list is remembered."""
        return cls(number=number, digest=sha256(data).hexdigest()[:16], key=key)


def newest(state: Path | None, origin: str, founding: bytes) -> SeenList | None:
    """Return the newest list of a shop that was seen, or None."""
    if state is None:
        return None
    try:
        text = _path(state, origin, founding).read_text(encoding="ascii")
    except (OSError, UnicodeDecodeError):
        return None
    found = LINE.fullmatch(text)
    return found and SeenList(number=int(found[1]), digest=found[2], key=found[3])


def remember(state: Path | None, origin: str, founding: bytes, seen: SeenList) -> None:
    """Remember a list that was issued or believed, unless a newer of its key was."""
    if state is None:
        return
    path = _path(state, origin, founding)
    line = f"{seen.number} {seen.digest} {seen.key}\n"
    with suppress(OSError, LedgerError):
        state.mkdir(mode=0o700, parents=True, exist_ok=True)
        with locked(path.with_suffix(".lock")):
            known = newest(state, origin, founding)
            if known and known.key == seen.key and known.number > seen.number:
                return
            write_over(path, line.encode("ascii"))


def forget(state: Path | None, origin: str) -> None:
    """Forget the lists of an origin under which a log is founded anew."""
    if state is None:
        return
    with suppress(OSError):
        for path in state.glob(f"{place(state, origin).stem}-*{ENDING}"):
            path.unlink()


def _path(state: Path, origin: str, founding: bytes) -> Path:
    stem = place(state, origin).stem
    return state / f"{stem}-{sha256(founding).hexdigest()[:16]}{ENDING}"
