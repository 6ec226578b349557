"""A witness's own side: a neighbour, a lawyer or an owner, who has no shop here.

    line = witness(folder, request, holder=holder, log=None, now=now)

A witness remembers the newest head of each log in a folder, and signs a newer one only
if it goes on from that. What is signed is remembered first. Two heads of one size over
two roots are a fork: nothing is signed, and both notes are kept as evidence. So are two
heads of other sizes that nothing shows to be of one history, with what was given.

A log may get a new key. The shop's keys file leads to it from the founding on, and says
up to which size the older one signed; it is remembered too.

    FOLDER/<SHA-256 of the origin>/checkpoint    the newest head, as it was signed
    FOLDER/<SHA-256 of the origin>/log           the log's verifier key
    FOLDER/<SHA-256 of the origin>/keys          the shop's keys file, if one was given
    FOLDER/<SHA-256 of the origin>/fork-….note   what proves a fork
    FOLDER/<SHA-256 of the origin>/doubt-….note  what may prove one
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.checkpoint import (
    NAME,
    NoteKey,
    parse_checkpoint,
    parse_note,
    verified_checkpoint,
)
from ledger.log.cosignature import (
    ForkError,
    NotShownError,
    Request,
    ShorterError,
    WitnessKey,
    cosign,
    parse_request,
    require_going_on,
)
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SecretKey
from ledger.log.keysfile import KeysFile, read_keys_file
from ledger.log.strokes import locked, write_over

FORMAT = "flitchbook-witness-key/1"
CHECKPOINT, LOG, KEYS, LOCK = "checkpoint", "log", "keys", "lock"
DOUBT = "doubt"
# Anybody can give other hashes to a head that is public; they are not to fill a disk.
MOST_DOUBTS = 16
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
class _Keys:
    """The log's keys as a witness knows them, and what it was told of them just now."""

    first: NoteKey
    file: KeysFile | None
    told: bytes | None

    def of(self, note: str) -> NoteKey:
        """Return the key that has to have signed a head; TamperError where none has."""
        if self.file is None:
            return self.first
        head = parse_checkpoint(parse_note(note))
        for key in self.file.log_keys_at(head.size):
            if key.name == head.origin:
                return key
        raise TamperError(
            f"the keys file names no key of {head.origin} for a head of {head.size} "
            f"entries: nothing is signed"
        )


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
    keys: bytes | None = None,
) -> Signed:
    """Sign a head that goes on from the one that is remembered; remember it first.

    `log` is the log's verifier key, needed the first time only; `keys` the shop's keys
    file, needed once its log has another key. Raises NotFoundError for a log that this
    witness was not told about, ForkError, OtherSizeError, and TamperError where
    signature or hashes do not fit.
    """
    request = _request(data)
    origin = request.head.origin
    memory = folder / sha256(origin.encode()).hexdigest()
    try:
        known = _log_keys(memory, origin, log, keys)
        memory.mkdir(mode=0o700, parents=True, exist_ok=True)
        with locked(memory / LOCK):
            return _witness(memory, request, known, holder, now)
    except OSError as problem:
        raise RefusedError(
            f"{memory} cannot be read or written ({problem.strerror}): nothing is "
            f"signed, for it could not be remembered"
        ) from None


def _witness(
    memory: Path, request: Request, keys: _Keys, holder: Holder, now: datetime
) -> Signed:
    note = _remembered(memory / CHECKPOINT)
    known = None if note is None else verified_checkpoint(note, [keys.of(note)])
    key = keys.of(request.note)
    try:
        require_going_on(request, key, known)
    except ForkError as fork:
        kept = [_keep(memory, each) for each in (note, request.note) if each]
        raise ForkError(
            f"{fork}; both notes are kept, {' and '.join(kept)}: show them to whoever "
            f"relies on this log"
        ) from None
    except NotShownError as doubt:
        raise NotShownError(f"{doubt}; {_kept_doubt(memory, note, request)}") from None
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
    if keys.told is not None:
        write_over(memory / KEYS, keys.told)
    if not (memory / LOG).exists():
        write_over(memory / LOG, f"{keys.first}\n".encode())
    own = _line_of(request.note, key)
    write_over(memory / CHECKPOINT, f"{text}\n{own}{line}".encode())
    return Signed(
        line=line,
        origin=head.origin,
        before=known.size if known is not None else 0,
        size=head.size,
    )


def _line_of(note: str, key: NoteKey) -> str:
    """Return the line with which the log's key signed a note.

    Without whatever else stands there: a hundred strange lines would leave no room.
    """
    above, _, below = note.rpartition("\n\n")
    for line in below.splitlines(keepends=True):
        with suppress(TamperError):
            verified_checkpoint(f"{above}\n\n{line}", [key])
            return line
    raise TamperError(f"{key.name} did not sign this")  # it was verified before


def _request(data: bytes) -> Request:
    try:
        return parse_request(data.decode("utf-8"))
    except UnicodeDecodeError:
        raise TamperError("what is to be witnessed is no text") from None


def _log_keys(
    memory: Path, origin: str, told: NoteKey | None, given: bytes | None
) -> _Keys:
    """Return the keys of a log that this witness was told about."""
    said, before = _remembered(memory / LOG), _remembered(memory / KEYS)
    known = None if said is None else NoteKey.parse(said.strip())
    data = given if before is None else given or before.encode()
    file = None if data is None else read_keys_file(data)
    if given is not None and before is not None:
        _require_newer(given, before.encode())
    names = [] if file is None else [each.key for each in file.log]
    if file is not None and origin not in {key.name for key in names}:
        raise RefusedError(
            f"the keys file is of {file.origin}, and this is of {origin}"
        )
    if told is not None and told.name != origin:
        raise RefusedError(f"--log is the key of {told.name}, and this is of {origin}")
    first = known or told or next((k for k in names if k.name == origin), None)
    if first is None:
        raise NotFoundError(
            f"this witness was not told about the log {origin}: ask the shop for its "
            f"verifier key, from person to person, and give it once with --log"
        )
    for key in filter(None, (first, told)):
        if key not in (names or [first]):
            raise RefusedError(_other_key(origin, file))
    return _Keys(first=first, file=file, told=given)


def _require_newer(newer: bytes, before: bytes) -> None:
    """Refuse a keys file that does not go on from the one that is remembered.

    An older one, shown again by a thief, would let a replaced key sign once more.
    """
    new, old = parse_object(newer), parse_object(before)
    kept = old["lineage"]
    if new["lineage"][: len(kept)] != kept or new["number"] < old["number"]:
        raise RefusedError(
            f"keys file {new['number']} of {new['date']} does not go on from number "
            f"{old['number']} of {old['date']}, which is remembered here: ask the shop "
            f"for its newest"
        )


def _other_key(origin: str, file: KeysFile | None) -> str:
    if file is not None:
        return (
            f"the keys file does not lead to the key of {origin} that is remembered "
            f"here or told with --log: ask the shop why, before anything is signed"
        )
    return (
        f"another key of {origin} is remembered here: ask the shop why, and for its "
        f"keys file, which --keys takes, before anything is signed"
    )


def _remembered(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise TamperError(f"{path} is damaged: nothing is signed") from None


def _keep(memory: Path, note: str, named: str = "fork") -> str:
    """Keep a note as evidence, and return where."""
    data = note.encode("utf-8")
    path = memory / f"{named}-{sha256(data).hexdigest()[:16]}.note"
    write_over(path, data)
    return str(path)


def _kept_doubt(memory: Path, note: str | None, request: Request) -> str:
    """Keep two heads that nothing shows to be of one history, and what was given."""
    then = (
        "have it given again, and if that fails as well the log has two histories: "
        "show what is kept to whoever relies on it"
    )
    if len(list(memory.glob(f"{DOUBT}-*"))) >= MOST_DOUBTS:
        return f"{MOST_DOUBTS} files of that kind are kept in {memory} already; {then}"
    texts = filter(None, (note, request.note, request.text))
    kept = [_keep(memory, each, DOUBT) for each in texts]
    return f"both heads and what was given are kept, {' and '.join(kept)}; {then}"


def _key_of(data: bytes) -> dict[str, Any]:
    members = parse_object(data)
    if set(members) != {"format", "key", "name"} or members["format"] != FORMAT:
        raise TamperError(f"this is no {FORMAT}")
    if not isinstance(members["key"], dict) or not isinstance(members["name"], str):
        raise TamperError(f"this is no {FORMAT}")
    return members
