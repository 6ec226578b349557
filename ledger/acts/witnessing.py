"""A witness's own side: a neighbour, a lawyer or an owner, who has no shop here.

    line = witness(folder, request, holder=holder, log=None, now=now)

A witness remembers the newest head of each log in a folder, and signs a newer one only
if it goes on from that. What is signed is remembered first. Two heads of one size over
two roots are a fork: nothing is signed, and both notes are kept as evidence.

    FOLDER/<SHA-256 of the origin>/checkpoint    the newest head, as it was signed
    FOLDER/<SHA-256 of the origin>/log           the log's verifier key
    FOLDER/<SHA-256 of the origin>/fork-….note   what proves a fork
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.checkpoint import NAME, NoteKey, verified_checkpoint
from ledger.log.cosignature import (
    ForkError,
    Request,
    ShorterError,
    WitnessKey,
    cosign,
    parse_request,
    require_going_on,
)
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SecretKey
from ledger.log.strokes import locked, write_over

FORMAT = "flitchbook-witness-key/1"
CHECKPOINT, LOG, LOCK = "checkpoint", "log", "lock"
LONGEST_NAME = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """A witness: the name that stands before its signatures, and its key."""

    name: str
    secret: SecretKey

    @property
    def key(self) -> WitnessKey:
        """The key by which others check its signatures."""
        return WitnessKey(self.name, self.secret.public)


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """What a witness signed: the line of its reply, the size, and what it knew before.

    before is 0 where this is the first head of the log.
    """

    line: str
    origin: str
    before: int
    size: int


def new_key_file(
    name: str, pin: str | None, entropy: Callable[[int], bytes]
) -> tuple[bytes, WitnessKey]:
    """Return the file of a new witness's key, and the key that others check with.

    Without a PIN whoever reads the file can sign as this witness.
    """
    if NAME.match(name) is None or len(name) > LONGEST_NAME:
        raise RefusedError(
            f"{name!r} is no name of a witness: one word without a plus sign, best a "
            f"domain of its own, of at most {LONGEST_NAME} letters"
        )
    secret = SecretKey(entropy(keyfile.SEED_SIZE))
    data = (
        keyfile.unsealed(secret, purpose=keyfile.WITNESS)
        if pin is None
        else keyfile.sealed(secret, purpose=keyfile.WITNESS, pin=pin, entropy=entropy)
    )
    members = {"format": FORMAT, "key": parse_object(data), "name": name}
    return canonical(members), WitnessKey(name, secret.public)


def needs_pin(data: bytes) -> bool:
    """Tell whether a witness's key file lies under a PIN."""
    return _key_of(data)["key"].get("kdf") is not None


def open_key(data: bytes, pin: str | None) -> Holder:
    """Open a witness's key; TamperError where the file is none."""
    members = _key_of(data)
    holder = f"the witness {members['name']}"
    key = canonical(members["key"])
    if keyfile.named_key(key, holder)[1] != keyfile.WITNESS:
        raise TamperError(f"the key of {holder} was made for something else")
    secret = keyfile.opened(key, pin=pin, holder=holder)
    return Holder(name=members["name"], secret=secret)


def witness(
    folder: Path,
    data: bytes,
    *,
    holder: Holder,
    log: NoteKey | None,
    now: datetime,
) -> Signed:
    """Sign a head that goes on from the one that is remembered; remember it first.

    `log` is the log's verifier key, needed the first time only. Raises NotFoundError
    for a log that this witness was not told about, ForkError, OtherSizeError, and
    TamperError where signature or hashes do not fit.
    """
    request = _request(data)
    origin = request.head.origin
    memory = folder / sha256(origin.encode()).hexdigest()
    try:
        key = _log_key(memory, origin, log)
        memory.mkdir(mode=0o700, parents=True, exist_ok=True)
        with locked(memory / LOCK):
            return _witness(memory, request, key, holder, now)
    except OSError as problem:
        raise RefusedError(
            f"{memory} cannot be read or written ({problem.strerror}): nothing is "
            f"signed, for it could not be remembered"
        ) from None


def _witness(
    memory: Path, request: Request, key: NoteKey, holder: Holder, now: datetime
) -> Signed:
    note = _remembered(memory / CHECKPOINT)
    known = verified_checkpoint(note, [key]) if note is not None else None
    try:
        require_going_on(request, key, known)
    except ForkError as fork:
        kept = [_keep(memory, each) for each in (note, request.note) if each]
        raise ForkError(
            f"{fork}; both notes are kept, {' and '.join(kept)}: show them to whoever "
            f"relies on this log"
        ) from None
    except ShorterError as shorter:
        raise RefusedError(
            f"{shorter}; give the shop {memory / CHECKPOINT}, to be held against its "
            f"log with flitchbook record audit --against"
        ) from None
    head = request.head
    text = request.note.rpartition("\n\n")[0] + "\n"
    line = cosign(
        text, name=holder.name, secret=holder.secret, seconds=int(now.timestamp())
    )
    if not (memory / LOG).exists():
        write_over(memory / LOG, f"{key}\n".encode())
    # Without whatever else stood there: a hundred strange lines would leave no room.
    own = [each for each in _lines(request.note) if each.startswith(f"— {key.name} ")]
    write_over(memory / CHECKPOINT, f"{text}\n{''.join(own)}{line}".encode())
    return Signed(
        line=line,
        origin=head.origin,
        before=known.size if known is not None else 0,
        size=head.size,
    )


def _lines(note: str) -> list[str]:
    """Return the lines of signature under a note."""
    return [f"{line}\n" for line in note.rpartition("\n\n")[2].split("\n") if line]


def _request(data: bytes) -> Request:
    try:
        return parse_request(data.decode("utf-8"))
    except UnicodeDecodeError:
        raise TamperError("what is to be witnessed is no text") from None


def _log_key(memory: Path, origin: str, told: NoteKey | None) -> NoteKey:
    """Return the key of a log that this witness was told about."""
    said = _remembered(memory / LOG)
    known = None if said is None else NoteKey.parse(said.strip())
    if known is None and told is None:
        raise NotFoundError(
            f"this witness was not told about the log {origin}: ask the shop for its "
            f"verifier key, from person to person, and give it once with --log"
        )
    if told is not None and told.name != origin:
        raise RefusedError(f"--log is the key of {told.name}, and this is of {origin}")
    if known is not None and told is not None and known != told:
        raise RefusedError(
            f"another key of {origin} is remembered here: ask the shop why, before "
            f"anything is signed"
        )
    found = known or told
    if found is None:  # one of the two is there
        raise NotFoundError(origin)
    return found


def _remembered(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise TamperError(f"{path} is damaged: nothing is signed") from None


def _keep(memory: Path, note: str) -> str:
    """Keep a note as evidence, and return where."""
    data = note.encode("utf-8")
    path = memory / f"fork-{sha256(data).hexdigest()[:16]}.note"
    write_over(path, data)
    return str(path)


def _key_of(data: bytes) -> dict[str, Any]:
    members = parse_object(data)
    if set(members) != {"format", "key", "name"} or members["format"] != FORMAT:
        raise TamperError(f"this is no {FORMAT}")
    if not isinstance(members["key"], dict) or not isinstance(members["name"], str):
        raise TamperError(f"this is no {FORMAT}")
    return members
