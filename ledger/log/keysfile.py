"""The keys file: whose keys the shop vouches for, signed by its roots.

    {"format":"flitchbook-keys/1","origin","number","date","root_version","threshold",
     "size","root","lineage":[record, …],"log":[{vkey, from_size, until_size}],
     "keys":[{key, public, purpose, subject, from_index, until_index, disputed_since,
              affirmed?, roles:[{role, from_index, until_index}]}],
     "signatures":[{key, signature}]}

`size` and `root` are of the head for which it speaks; an `until_index` is the last
index that counts, null while open. The signatures of the root threshold cover the
canonical rest. A reader who has it from the shop itself can judge any certificate up
to that size without a network.

What a key said from `disputed_since` on is in doubt: others may have had it. `affirmed`
are those of these entries, sorted, that somebody stands by after all; without any it is
not there. Whoever had the card key could make a card of any index: once it is disputed
no card of it proves anything, and the certificate's own file counts.

`lineage` holds the founding record, every change of roots, every new key of the log and
every volume in which it went on. They lead from the first origin to the roots, the
threshold and the log's keys of today, each under the name that the log had then, so
that nobody with fewer keys than the shop asked for can make up a keys file under the
shop's own origin. What no file can do is
vouch for its origin: whoever makes up a shop makes up an origin too, so the reader
compares it, or takes the file from the shop's own hand.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.errors import RefusedError, TamperError
from ledger.log.checkpoint import NoteKey
from ledger.log.encoding import canonical, is_count, parse_object
from ledger.log.entry import is_day
from ledger.log.keys import (
    PURPOSES,
    PublicKey,
    SecretKey,
    hex_bytes,
    signature_bytes,
    signature_text,
)
from ledger.log.keysrows import AFFIRMED, key_row, log_row
from ledger.log.lineage import walk_lineage
from ledger.log.standing import Standing

KEYS_FORMAT = "flitchbook-keys/1"
# Over eight thousand keys as long as the demonstration's; a browser has to bear it.
LARGEST_KEYS_FILE = 2 * 1_048_576
MEMBERS = frozenset(
    {
        "date",
        "format",
        "keys",
        "lineage",
        "log",
        "number",
        "origin",
        "root",
        "root_version",
        "signatures",
        "size",
        "threshold",
    }
)
KEY_MEMBERS = frozenset(
    {
        "disputed_since",
        "from_index",
        "key",
        "public",
        "purpose",
        "roles",
        "subject",
        "until_index",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From which index to which, both counting; open while `until_index` is None."""

    from_index: int
    until_index: int | None

    def covers(self, index: int) -> bool:
        """Tell whether the span counts at this index."""
        ended = self.until_index is not None and index > self.until_index
        return self.from_index <= index and not ended


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownKey:
    """One key as the shop's roots vouch for it."""

    public: PublicKey
    purpose: str
    subject: str | None
    span: Span
    disputed_since: int | None
    roles: tuple[tuple[str, Span], ...]
    affirmed: frozenset[int] = frozenset()

    def is_disputed_at(self, index: int) -> bool:
        """Tell whether what the key said in this entry is in dispute still."""
        since = self.disputed_since
        return since is not None and index >= since and index not in self.affirmed

    def has_role(self, role: str, index: int) -> bool:
        """Tell whether the key's holder had a role in the entry of this index."""
        return any(name == role and span.covers(index) for name, span in self.roles)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogKey:
    """A key of the log, and the sizes of the trees whose heads it signs."""

    key: NoteKey
    sizes: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class KeysFile:
    """The keys of one log up to one head, signed by its roots."""

    origin: str
    number: int
    date: str
    size: int
    root: bytes
    log: tuple[LogKey, ...]
    keys: tuple[KnownKey, ...]

    def log_keys_at(self, size: int) -> list[NoteKey]:
        """Return the keys that sign the head of a tree of this size."""
        return [known.key for known in self.log if known.sizes.covers(size)]

    def origin_at(self, index: int) -> str:
        """Return the name that the log had when the entry of this index was said."""
        names = (k.key.name for k in self.log if k.sizes.covers(index + 1))
        return next(names, self.origin)

    def closed_after(self, origin: str) -> int | None:
        """Return how many entries the log held when this name of it ended, or None."""
        ends = [k.sizes.until_index for k in self.log if k.key.name == origin]
        return ends[-1] if ends else None

    def key(self, key_id: object) -> KnownKey | None:
        """Return what the file says of a key, or None."""
        return next((k for k in self.keys if k.public.id == key_id), None)


def write_keys_file(
    standing: Standing,
    *,
    lineage: Sequence[bytes],
    number: int,
    date: str,
    size: int,
    root: bytes,
    roots: Sequence[SecretKey],
) -> bytes:
    """Return the signed keys file for a standing; `read_keys_file` is the inverse.

    `lineage` is the records of the founding, of every change of roots, of every new
    key of the log and of every volume in which it went on. Raises RefusedError when
    fewer of the live roots sign than the threshold asks for.
    """
    live = standing.live_keys("root", size)
    signers = {secret.id: secret for secret in roots if secret.id in live}
    if len(signers) < standing.threshold or not standing.log_tenures:
        raise RefusedError(
            f"a keys file needs {standing.threshold} of the shop's roots, "
            f"and {len(signers)} signed: name another root key's file with --root"
        )
    rest: dict[str, Any] = {
        "date": date,
        "format": KEYS_FORMAT,
        "keys": [key_row(standing, key) for key in standing.keys],
        "lineage": [record.decode("utf-8") for record in lineage],
        "log": [log_row(tenure) for tenure in standing.log_tenures],
        "number": number,
        "origin": standing.origin,
        "root": root.hex(),
        "root_version": standing.root_version,
        "size": size,
        "threshold": standing.threshold,
    }
    signed = canonical(rest)
    signatures = [
        {"key": key, "signature": signature_text(signers[key].sign(signed))}
        for key in sorted(signers)
    ]
    return canonical(rest | {"signatures": signatures})


def read_keys_file(data: bytes) -> KeysFile:
    """Read a keys file and check its roots' signatures.

    Raises TamperError where the file is not of its form, bears too few signatures, or
    names other roots than its lineage leads to.
    """
    if len(data) > LARGEST_KEYS_FILE:
        raise TamperError(f"a keys file has at most {LARGEST_KEYS_FILE} bytes")
    members = parse_object(data)
    if set(members) != MEMBERS or members["format"] != KEYS_FORMAT:
        raise TamperError(f"this is no {KEYS_FORMAT}")
    root = hex_bytes(members["root"], 32)
    counts = ("number", "size", "root_version", "threshold")
    if root is None or not isinstance(members["origin"], str):
        raise TamperError("the keys file does not say its origin and root")
    if not is_day(members["date"]):
        raise TamperError("the keys file's date is no day such as 2026-11-24")
    if not all(is_count(members[name], least=1) for name in counts):
        raise TamperError("the keys file's number, size and threshold count from 1")
    file = KeysFile(
        origin=members["origin"],
        number=members["number"],
        date=members["date"],
        size=members["size"],
        root=root,
        log=tuple(_log_key(row) for row in _rows(members["log"])),
        keys=tuple(_known_key(row) for row in _rows(members["keys"])),
    )
    _require_names(file)
    _require_lineage(file, members)
    _require_signatures(file, members)
    return file


def _rows(value: object) -> list[dict[str, Any]]:
    if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
        raise TamperError("the keys file's keys are lists of objects")
    return value


def _log_key(row: dict[str, Any]) -> LogKey:
    if set(row) != {"from_size", "until_size", "vkey"}:
        raise TamperError("a log's key says its verifier key and its sizes")
    try:
        key = NoteKey.parse(row["vkey"])
    except RefusedError as refusal:
        raise TamperError(f"the keys file's key of the log: {refusal}") from None
    return LogKey(key=key, sizes=_span(row, "from_size", "until_size"))


def _known_key(row: dict[str, Any]) -> KnownKey:
    if set(row) - {AFFIRMED} != KEY_MEMBERS or row["purpose"] not in PURPOSES:
        raise TamperError("a key of the keys file is not of its form")
    try:
        public = PublicKey.parse(row["public"])
    except RefusedError as refusal:
        raise TamperError(f"the keys file is not to be trusted: {refusal}") from None
    subject, disputed = row["subject"], row["disputed_since"]
    if public.id != row["key"]:
        raise TamperError(f"key {row['key']} is not the id of the public key beside it")
    if subject is not None and not isinstance(subject, str):
        raise TamperError(f"key {public.id} has no subject of the right form")
    if disputed is not None and not is_count(disputed, least=0):
        raise TamperError(f"key {public.id} is disputed since no index")
    return KnownKey(
        public=public,
        purpose=row["purpose"],
        subject=subject,
        span=_span(row),
        disputed_since=disputed,
        roles=tuple(_role(role) for role in _rows(row["roles"])),
        affirmed=_affirmed(row, disputed),
    )


def _affirmed(row: dict[str, Any], since: int | None) -> frozenset[int]:
    """Return the entries that were affirmed: in dispute, sorted, each of them once."""
    if AFFIRMED not in row:
        return frozenset()
    said = row[AFFIRMED]
    is_list = isinstance(said, list) and bool(said)
    if not is_list or not all(is_count(index, least=0) for index in said):
        raise TamperError(f"key {row['key']} was affirmed in no entries")
    if since is None or said[0] < since or said != sorted(set(said)):
        raise TamperError(f"key {row['key']} was affirmed where it is not disputed")
    return frozenset(said)


def _role(row: dict[str, Any]) -> tuple[str, Span]:
    if set(row) != {"from_index", "role", "until_index"}:
        raise TamperError("a role of the keys file says from and until which index")
    return str(row["role"]), _span(row)


def _span(
    row: dict[str, Any], since: str = "from_index", until: str = "until_index"
) -> Span:
    first, last = row[since], row[until]
    ends = last is None or is_count(last, least=0)
    if not is_count(first, least=0) or not ends:
        raise TamperError(f"a key counts from a {since} until a {until} or null")
    return Span(from_index=first, until_index=last)


def _require_names(file: KeysFile) -> None:
    publics = [key.public for key in file.keys]
    if len({public.id for public in publics}) != len(publics):
        raise TamperError("the keys file names a key twice")
    if not file.log or file.log[-1].key.name != file.origin:
        raise TamperError("the keys file's log has no key of its own name")


def _require_lineage(file: KeysFile, members: dict[str, Any]) -> None:
    """Walk from the founding to the roots of today, and compare them."""
    standing = walk_lineage(members["lineage"], file.size)
    said = (file.origin, members["root_version"], members["threshold"])
    if said != (standing.origin, standing.root_version, standing.threshold):
        raise TamperError(
            f"the keys file's lineage leads to version {standing.root_version} and "
            f"threshold {standing.threshold} of {standing.origin}, and the file says "
            f"version {members['root_version']} and threshold {members['threshold']}"
        )
    roots = {
        key.public.id: (key.span.from_index, key.span.until_index)
        for key in file.keys
        if key.purpose == "root"
    }
    walked = {
        key: (known.from_index, known.until_index)
        for key, known in standing.keys.items()
    }
    if roots != walked:
        raise TamperError("the keys file names other roots than its lineage leads to")
    if file.log[0].key.public != standing.log_tenures[0].public:
        raise TamperError("the keys file's first key of the log is not the founding's")
    sizes = [(k.key, k.sizes.from_index, k.sizes.until_index) for k in file.log]
    led = [
        (NoteKey(t.origin, t.public), t.from_size, t.until_size)
        for t in standing.log_tenures
    ]
    if sizes != led:
        raise TamperError(
            "the keys file names other keys of the log, or other sizes, than its "
            "lineage leads to"
        )


def _require_signatures(file: KeysFile, members: dict[str, Any]) -> None:
    rest = {name: value for name, value in members.items() if name != "signatures"}
    signed = canonical(rest)
    good = set()
    for row in _rows(members["signatures"]):
        if set(row) != {"key", "signature"}:
            raise TamperError("a signature of the keys file says its key")
        known = file.key(row["key"])
        if known is None or known.purpose != "root" or not known.span.covers(file.size):
            continue
        if known.public.id in good:
            raise TamperError(f"the keys file is signed twice by {known.public.id}")
        signature = signature_bytes(row["signature"])
        if signature is None or not known.public.has_signed(signed, signature):
            raise TamperError(f"the keys file's signature by {known.public.id} is bad")
        good.add(known.public.id)
    if len(good) < members["threshold"]:
        raise TamperError(
            f"the keys file is signed by {len(good)} of {members['threshold']} roots"
        )
