"""What one account on one machine has seen of a log, kept where the log is not.

One small file for each origin, named by its hash: the newest signed head that was seen,
the newest that is known to be elsewhere, heads that prove entries which this log did
not have, and the head after the newest turn, which nobody has signed yet: that proves
nothing to others. A log's own folder can be put back as it was; this file then still
knows.

    {"against":[…],"format":"flitchbook-seen/1","left":{…},"newest":{"day":…,"log":…,
    "note":…},"sighted":{"day":…,"root":…,"size":…}}

Each head lies with the key that signed it, so that a damaged file is told from a log
that changed. A head is never written over by an older one.
"""

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log.checkpoint import Checkpoint, NoteKey, verified_checkpoint
from ledger.log.merkle import HASH_SIZE
from ledger.log.strokes import locked, write_over

FORMAT = "flitchbook-seen/1"
LARGEST = 1_048_576


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedHead:
    """A head as its log signed it, and the day on which it was seen."""

    key: NoteKey
    note: str
    day: str

    @property
    def head(self) -> Checkpoint:
        """What the note says; TamperError where its key did not sign it."""
        return _verified(self.note, self.key)


@lru_cache(maxsize=64)
def _verified(note: str, key: NoteKey) -> Checkpoint:
    """Verify a head once: it is asked for at every turn."""
    return verified_checkpoint(note, [key])


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A head that is known to be outside the machine: how it left, and on which day.

    root is 64 hex digits.
    """

    size: int
    root: str
    day: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """A head that nobody had signed when this account saw it, and on which day."""

    head: Checkpoint
    day: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """All that is remembered of one log."""

    newest: SignedHead | None = None
    left: Left | None = None
    against: tuple[SignedHead, ...] = ()
    sighted: Sighting | None = None

    @property
    def heads(self) -> tuple[SignedHead, ...]:
        """Every head that the log must still hold."""
        return (*filter(None, [self.newest]), *self.against)

    def with_newest(self, signed: SignedHead) -> "Seen":
        """Take a head in, unless a larger one was seen."""
        known = self.newest
        is_newer = known is None or known.head.size < signed.head.size
        return replace(self, newest=signed) if is_newer else self

    def with_sighted(self, sighting: Sighting) -> "Seen":
        """Take in a head that nobody signed, unless one as large was seen."""
        known = self.sighted
        is_newer = known is None or known.head.size < sighting.head.size
        return replace(self, sighted=sighting) if is_newer else self

    def with_left(self, left: Left) -> "Seen":
        """Take in that a head left, unless a larger one did."""
        is_newer = self.left is None or self.left.size <= left.size
        return replace(self, left=left) if is_newer else self

    def with_against(self, signed: SignedHead) -> "Seen":
        """Take in a head that proves more than the log holds; once is enough."""
        if signed.note in {known.note for known in self.heads}:
            return self
        return replace(self, against=(*self.against, signed))


# What is remembered, and what shall be.
Change = Callable[[Seen], Seen]


def place(folder: Path, origin: str) -> Path:
    """Return where it is kept what was seen of a log."""
    return folder / f"{sha256(origin.encode()).hexdigest()}.json"


def read(folder: Path, origin: str) -> Seen:
    """Return what was seen of a log; TamperError where the file is damaged."""
    path = place(folder, origin)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        return Seen()
    except OSError as problem:
        raise RefusedError(f"{path} cannot be read ({problem.strerror})") from None
    try:
        seen = _parsed(json.loads(data), origin)
        heads = [signed.head for signed in seen.heads]
    except (ValueError, TypeError, KeyError, RecursionError, LedgerError):
        raise TamperError(f"{path} is damaged") from None
    if len(data) > LARGEST or any(head.origin != origin for head in heads):
        raise TamperError(f"{path} is not of the log {origin}")
    return seen


def remember(folder: Path, origin: str, change: Change) -> Seen:
    """Change what is remembered of a log, one station after the other.

    Raises RefusedError where the folder cannot be written to, and TamperError where
    the file is damaged: it is never written over.
    """
    path = place(folder, origin)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with locked(path.with_suffix(".lock")):
            before = read(folder, origin)
            after = change(before)
            if after != before:
                write_over(path, _written(after))
    except OSError as problem:
        raise RefusedError(
            f"{folder} cannot be written to ({problem.strerror})"
        ) from None
    return after


def set_aside(folder: Path, origin: str, *, is_damaged: bool = False) -> Path | None:
    """Put what is remembered of a log out of use, and keep it; return where it lies."""
    path = place(folder, origin)
    return _renamed(path, "damaged" if is_damaged else "aside")


def damaged(folder: Path, origin: str) -> list[Path]:
    """Return the files that were damaged, until `settle` says that all is well."""
    return sorted(folder.glob(f"{place(folder, origin).stem}.damaged-*"))


def settle(folder: Path, origin: str) -> None:
    """Let damaged files rest as those that were set aside: nobody asks for them."""
    for path in damaged(folder, origin):
        _renamed(path, "aside")


def _renamed(path: Path, word: str) -> Path | None:
    """Rename a file so that it ends in a word and the first number that is free."""
    if not path.exists():
        return None
    number = 1
    while (aside := path.with_suffix(f".{word}-{number}")).exists():
        number += 1
    with suppress(OSError):
        path.rename(aside)
        return aside
    return None


def _parsed(said: Any, origin: str) -> Seen:
    members = {"format", "newest", "left", "against"}
    # What was written before turns were remembered has no sighting.
    if said["format"] != FORMAT or set(said) - {"sighted"} != members:
        raise ValueError
    newest, left, sighted = said["newest"], said["left"], said.get("sighted")
    return Seen(
        newest=None if newest is None else _signed(newest),
        left=None if left is None else _left(left),
        against=tuple(_signed(row) for row in said["against"]),
        sighted=None if sighted is None else _sighting(sighted, origin),
    )


def _signed(said: Any) -> SignedHead:
    head = SignedHead(
        key=NoteKey.parse(said["log"]), note=said["note"], day=said["day"]
    )
    if not isinstance(head.note, str) or not isinstance(head.day, str):
        raise TypeError
    return head


def _left(said: Any) -> Left:
    left = Left(**said)
    if type(left.size) is not int or not all(
        isinstance(word, str) for word in (left.root, left.day, left.how)
    ):
        raise TypeError
    bytes.fromhex(left.root)
    return left


def _sighting(said: Any, origin: str) -> Sighting:
    size, root, day = said["size"], bytes.fromhex(said["root"]), said["day"]
    if type(size) is not int or size < 1 or not isinstance(day, str):
        raise TypeError
    if len(root) != HASH_SIZE:
        raise ValueError
    return Sighting(head=Checkpoint(origin=origin, size=size, root=root), day=day)


def _written(seen: Seen) -> bytes:
    sighted = seen.sighted
    said: dict[str, Any] = {
        "format": FORMAT,
        "newest": None if seen.newest is None else _row(seen.newest),
        "left": None if seen.left is None else asdict(seen.left),
        "against": [_row(signed) for signed in seen.against],
    }
    if sighted is not None:
        head = sighted.head
        said["sighted"] = {
            "day": sighted.day,
            "root": head.root.hex(),
            "size": head.size,
        }
    return json.dumps(said, sort_keys=True, ensure_ascii=False).encode("utf-8")


def _row(signed: SignedHead) -> dict[str, str]:
    return {"log": str(signed.key), "note": signed.note, "day": signed.day}
