"""Checkpoints: the signed head of the tree, as it leaves the building.

A checkpoint is a signed note of three lines, the log's origin, the size of the tree
and its root hash, here with RFC 8032's first test key and the classic tree of eight:

    example.org/ledger-test
    8
    XcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=

    — example.org/ledger-test nd2UZ3pKYZ8+/017hSZhrdnZm9Atg/MGhigC1Zu3vx/QkDRk3me…

A signature line names a key by its holder and four bytes of a hash. Signatures of
unknown keys and types are passed over, one of a known key must verify, and at least
one known key must have signed.

Source: C2SP signed-note v1.0.0 and tlog-checkpoint v1.0.0 (signature type 01, Ed25519).
"""

import base64
import hashlib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass

from ledger.errors import RefusedError, TamperError
from ledger.log.encoding import LARGEST
from ledger.log.keys import PublicKey, SecretKey, base64_bytes
from ledger.log.merkle import HASH_SIZE

ED25519 = b"\x01"
KEY_HASH_SIZE = 4
MOST_SIGNATURES = 100
LARGEST_NOTE = 65_536
SIZE = re.compile(r"(?:0|[1-9][0-9]{0,15})\Z")
# C2SP signed-note: not empty, no Unicode space, no plus sign.
NAME = re.compile(r"[^\s+]+\Z")
# The first volume of a log has no number.
VOLUME = re.compile(r"(?:[2-9]|[1-9][0-9]{1,5})\Z")
CONTROL = re.compile("[\x00-\x09\x0b-\x1f]")


@dataclass(frozen=True, slots=True)
class NoteKey:
    """A key by which a note's signatures are checked."""

    name: str
    public: PublicKey

    @classmethod
    def parse(cls, text: object) -> "NoteKey":
        """Read a verifier key: name+hash+base64 of type and key."""
        return cls(*parse_key(text, ED25519, "Ed25519 verifier key of a note"))

    def __str__(self) -> str:
        return written_key(self.name, ED25519, self.public)

    @property
    def hash(self) -> bytes:
        """The four bytes by which a signature line names this key."""
        return key_hash(self.name, ED25519, self.public)


@dataclass(frozen=True, slots=True)
class Note:
    """A text and its signature lines: name, key hash, signature."""

    text: str
    signatures: tuple[tuple[str, bytes, bytes], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkpoint:
    """The head of a tree: whose, how many leaves, which root."""

    origin: str
    size: int
    root: bytes

    @property
    def text(self) -> str:
        """The three lines that are signed."""
        root = base64.b64encode(self.root).decode("ascii")
        return f"{self.origin}\n{self.size}\n{root}\n"


def parse_key(text: object, kind: bytes, what: str) -> tuple[str, PublicKey]:
    """Read a verifier key of one type of signature: its holder and the key."""
    parts = text.split("+", 2) if isinstance(text, str) else []
    data = base64_bytes(parts[2]) if len(parts) == 3 else None
    if data is None or data[:1] != kind or NAME.match(parts[0]) is None:
        raise RefusedError(
            f"{text!r} is no {what}: copy the whole line name+hash+key that its "
            f"holder gives"
        )
    name, public = parts[0], PublicKey.parse(data[1:].hex())
    if key_hash(name, kind, public).hex() != parts[1]:
        raise RefusedError(
            f"the verifier key of {name} does not fit its hash: copy the whole line "
            f"again"
        )
    return name, public


def written_key(name: str, kind: bytes, public: PublicKey) -> str:
    """Write a verifier key: name+hash+base64 of type and key."""
    data = base64.b64encode(kind + public.raw).decode("ascii")
    return f"{name}+{key_hash(name, kind, public).hex()}+{data}"


def key_hash(name: str, kind: bytes, public: PublicKey) -> bytes:
    """Return the four bytes by which a signature line names a key."""
    named = name.encode() + b"\n" + kind + public.raw
    return hashlib.sha256(named).digest()[:KEY_HASH_SIZE]


def sign_note(text: str, *, name: str, secret: SecretKey) -> str:
    """Return a note with one signature; `parse_note` is the inverse."""
    key = NoteKey(name, secret.public)
    signed = base64.b64encode(key.hash + secret.sign(text.encode())).decode("ascii")
    return f"{text}\n— {name} {signed}\n"


def parse_note(note: str) -> Note:
    """Read a note; TamperError where it is not of the form."""
    head, found, tail = note.rpartition("\n\n")
    if not found or not tail.endswith("\n") or not head:
        raise TamperError("a note is a text, a blank line and signature lines")
    if CONTROL.search(note) or len(note) > LARGEST_NOTE:
        raise TamperError("a note holds no control characters and is not long")
    lines = tail[:-1].split("\n")
    if len(lines) > MOST_SIGNATURES:
        raise TamperError(f"a note has at most {MOST_SIGNATURES} signatures")
    return Note(f"{head}\n", tuple(_signature_line(line) for line in lines))


def verified_note(note: str, keys: Collection[NoteKey]) -> Note:
    """Read a note that at least one of these keys signed.

    Raises TamperError where none did, or where one of them did not sign this text.
    """
    parsed = parse_note(note)
    good = False
    for name, key_hash, signature in parsed.signatures:
        for key in keys:
            if (name, key_hash) != (key.name, key.hash):
                continue
            if not key.public.has_signed(parsed.text.encode(), signature):
                raise TamperError(f"the note's signature by {name} does not verify")
            good = True
    if not good:
        raise TamperError("no key that is known here signed the note")
    return parsed


def parse_checkpoint(note: Note) -> Checkpoint:
    """Read the head of a tree out of a note's text; extension lines are passed over."""
    lines = note.text.split("\n")
    root = base64_bytes(lines[2]) if len(lines) >= 4 else None
    if root is None or len(root) != HASH_SIZE or not lines[0]:
        raise TamperError("a checkpoint says origin, size and root hash")
    # No entry has an index beyond that, so no tree has such a size.
    if SIZE.match(lines[1]) is None or int(lines[1]) > LARGEST:
        raise TamperError(f"{lines[1]!r} is no size of a tree")
    return Checkpoint(origin=lines[0], size=int(lines[1]), root=root)


def verified_checkpoint(note: str, keys: Collection[NoteKey]) -> Checkpoint:
    """Read a checkpoint that the log it names has signed, with one of these keys."""
    head = parse_checkpoint(verified_note(note, keys))
    verified_note(note, [key for key in keys if key.name == head.origin])
    return head


def checkpoint_by(note: str, keys_at: Callable[[int], list[NoteKey]]) -> Checkpoint:
    """Read a checkpoint that was signed by the log's key of its size.

    `keys_at` tells which keys those are: a log's key may have been replaced.
    """
    head = parse_checkpoint(parse_note(note))
    return verified_checkpoint(note, keys_at(head.size))


def is_of_volume(origin: str, later: str) -> bool:
    """Tell whether a log may be the same as another one, or go on from it.

    The volumes of a log are NAME, NAME/v2, NAME/v3: whether there are such, the shop's
    keys file tells.
    """
    if origin == later:
        return True
    name, _, number = later.rpartition("/v")
    if VOLUME.match(number) is None:
        return False
    first, _, own = origin.rpartition("/v")
    is_numbered = first == name and VOLUME.match(own) is not None
    return origin == name or (is_numbered and int(own) < int(number))


def cosigned_note(note: str, *, name: str, secret: SecretKey) -> str:
    """Return a note with one signature more, behind those it bears."""
    text = parse_note(note).text
    return note + sign_note(text, name=name, secret=secret).rpartition("\n\n")[2]


def _signature_line(line: str) -> tuple[str, bytes, bytes]:
    parts = line.split(" ")
    data = base64_bytes(parts[2]) if len(parts) == 3 else None
    if parts[0] != "—" or data is None or len(data) <= KEY_HASH_SIZE:
        raise TamperError("a note's signature line is not of its form")
    if NAME.match(parts[1]) is None:
        raise TamperError(f"{parts[1]!r} is no name of a note's signer")
    return parts[1], data[:KEY_HASH_SIZE], data[KEY_HASH_SIZE:]
