"""Witnesses: others who sign a log's head, each only if it goes on from the last.

A witness remembers one head of a log. It is given a newer one with the hashes that show
the old tree to be its start, and answers with a line of signature that says when:

    — example.org/witness-test jxjj3AAAAABpVbkAlCAVrGPrh7PPLBOysfhaKIxAeFGWquMHzOTz…

What it is given is a request: the size that it signed last, the hashes, a blank line
and the checkpoint. Two heads of one size that a log signed over two roots are a fork,
and both notes together are the proof of it.

Source: C2SP tlog-cosignature v1.0.1 (signature type 04, Ed25519) and tlog-witness
v1.0.0 (add-checkpoint).
"""

import base64
import re
from dataclasses import dataclass

from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    key_hash,
    parse_checkpoint,
    parse_key,
    parse_note,
    verified_checkpoint,
    written_key,
)
from ledger.log.keys import SIGNATURE_SIZE, PublicKey, SecretKey, base64_bytes
from ledger.log.merkle import EMPTY_ROOT, HASH_SIZE, is_consistent

COSIGNATURE = b"\x04"
TIME_SIZE = 8
LATEST = 2**63 - 1
LONGEST_PROOF = 63
LARGEST_REQUEST = 131_072
OLD = re.compile(r"old (0|[1-9][0-9]{0,15})\Z")


class ForkError(TamperError):
    """A log signed two histories of one size."""


class NotShownError(TamperError):
    """The hashes do not show that a head which the log signed goes on from another."""


class ShorterError(RefusedError):
    """A log shows fewer entries than the witness signed for."""

    def __init__(self, head: Checkpoint, size: int) -> None:
        super().__init__(
            f"this checkpoint of {head.origin} is of {head.size} entries, and {size} "
            f"were signed for here: it is an old one, or the log has lost entries"
        )


class OtherSizeError(RefusedError):
    """A request does not begin where the witness left off.

    size  the number of entries that the witness signed for last
    """

    def __init__(self, origin: str, size: int, old: int) -> None:
        super().__init__(
            f"the newest head of {origin} that is remembered here is of {size} "
            f"entries, and this begins at {old}: have it given again from {size} "
            f"(flitchbook record witness give --from {size})"
        )
        self.size = size


@dataclass(frozen=True, slots=True)
class WitnessKey:
    """A key by which a witness's cosignatures are checked."""

    name: str
    public: PublicKey

    @classmethod
    def parse(cls, text: object) -> "WitnessKey":
        """Read a verifier key of a witness: name+hash+base64 of type and key."""
        return cls(*parse_key(text, COSIGNATURE, "verifier key of a witness"))

    def __str__(self) -> str:
        return written_key(self.name, COSIGNATURE, self.public)

    @property
    def hash(self) -> bytes:
        """The four bytes by which a signature line names this key."""
        return key_hash(self.name, COSIGNATURE, self.public)


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What a witness is given: from which size, by which hashes, to which head."""

    old: int
    path: tuple[bytes, ...]
    note: str

    @property
    def text(self) -> str:
        """The body of an add-checkpoint request; `parse_request` is the inverse."""
        hashes = [base64.b64encode(node).decode("ascii") for node in self.path]
        return "\n".join([f"old {self.old}", *hashes]) + "\n\n" + self.note

    @property
    def head(self) -> Checkpoint:
        """What the checkpoint says, whoever signed it."""
        return parse_checkpoint(parse_note(self.note))


def cosigned_message(text: str, seconds: int) -> bytes:
    """Return the bytes that a witness signs: since 1970, and the checkpoint's text."""
    return f"cosignature/v1\ntime {seconds}\n{text}".encode()


def cosign(text: str, *, name: str, secret: SecretKey, seconds: int) -> str:
    """Return the signature line of a witness under a checkpoint's text.

    seconds  since 1970-01-01T00:00:00Z
    """
    if not 0 < seconds <= LATEST:
        raise RefusedError(f"{seconds} s since 1970 is no time of a cosignature")
    signature = secret.sign(cosigned_message(text, seconds))
    key = WitnessKey(name, secret.public)
    data = key.hash + seconds.to_bytes(TIME_SIZE, "big") + signature
    return f"— {name} {base64.b64encode(data).decode('ascii')}\n"


def cosigned_at(note: str, key: WitnessKey) -> int | None:
    """Return when a witness signed a note, in seconds since 1970; None if it did not.

    Of several times the latest. Raises TamperError where a line of its key does not
    verify.
    """
    parsed, times = parse_note(note), []
    for name, named, data in parsed.signatures:
        if (name, named) != (key.name, key.hash):
            continue
        seconds = int.from_bytes(data[:TIME_SIZE], "big")
        message = cosigned_message(parsed.text, seconds)
        is_whole = len(data) == TIME_SIZE + SIGNATURE_SIZE and 0 < seconds <= LATEST
        if not is_whole or not key.public.has_signed(message, data[TIME_SIZE:]):
            raise TamperError(f"the cosignature of {name} does not verify")
        times.append(seconds)
    return max(times, default=None)


def parse_request(text: str) -> Request:
    """Read what a witness is given; TamperError where it is not of its form."""
    head, _, note = text.partition("\n\n")
    lines = head.split("\n")
    old = OLD.match(lines[0])
    if old is None or not note or len(text) > LARGEST_REQUEST:
        raise TamperError(
            "what a witness is given begins with 'old' and a size, then hashes, a "
            "blank line and a checkpoint"
        )
    path = tuple(base64_bytes(line) or b"" for line in lines[1:])
    if len(path) > LONGEST_PROOF or any(len(node) != HASH_SIZE for node in path):
        raise TamperError(
            f"between 'old' and the checkpoint are at most {LONGEST_PROOF} hashes in "
            f"base64"
        )
    parse_checkpoint(parse_note(note))
    return Request(old=int(old[1]), path=path, note=note)


def require_going_on(request: Request, log: NoteKey, known: Checkpoint | None) -> None:
    """Refuse a head that does not go on from the one that is remembered.

    Raises ForkError where the log signed two roots of one size, ShorterError where it
    shows fewer entries, OtherSizeError where the request begins elsewhere,
    NotShownError where the hashes do not fit, and TamperError where the signature does
    not.
    """
    head = verified_checkpoint(request.note, [log])
    size = known.size if known is not None else 0
    if known is not None and head.size == size and head.root != known.root:
        raise ForkError(
            f"FORK: {head.origin} signed two histories of {size} entries: the root "
            f"here is {known.root.hex()}, and this one is {head.root.hex()}"
        )
    if head.size < size:
        raise ShorterError(head, size)
    if request.old > head.size:
        raise RefusedError(
            f"this begins at {request.old} entries and its checkpoint is of "
            f"{head.size}: have a newer one given"
        )
    if request.old != size:
        raise OtherSizeError(head.origin, size, request.old)
    root = known.root if known is not None else EMPTY_ROOT
    if not _goes_on(request, head, root):
        raise NotShownError(
            f"the hashes do not show that the first {size} of {head.size} entries are "
            f"those that were signed for: nothing is signed"
        )


def _goes_on(request: Request, head: Checkpoint, root: bytes) -> bool:
    if request.old == 0:
        # Every tree goes on from the empty one, and there is nothing to show.
        return not request.path and (head.size > 0 or head.root == EMPTY_ROOT)
    return is_consistent(request.old, head.size, root, head.root, request.path)


def cosignature_lines(reply: str) -> tuple[str, ...]:
    """Return the signature lines of a witness's reply, or of a whole note."""
    lines = reply.rpartition("\n\n")[2].splitlines()
    found = tuple(f"{line}\n" for line in lines if line.startswith("— "))
    if not found or len(found) != len([line for line in lines if line]):
        raise TamperError("a witness replies with lines that begin with a dash")
    return found


def with_lines(note: str, lines: tuple[str, ...]) -> str:
    """Return a note with signature lines that it lacked."""
    there = note.rpartition("\n\n")[2].splitlines(keepends=True)
    whole = note + "".join(line for line in lines if line not in there)
    try:
        parse_note(whole)
    except LedgerError as fault:
        raise TamperError(f"the reply cannot stand under the note: {fault}") from None
    return whole
