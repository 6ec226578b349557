"""Proof files and certificate files: what a stranger can check without the shop.

A proof file is text: the record, base64, in the `extra` line, its index, the hashes of
its inclusion path, a blank line and a signed checkpoint:

    c2sp.org/tlog-proof@v1
    extra eyJhdCI6Ij…
    index 10
    <base64 hash> …

    <checkpoint>

A certificate file is one canonical object: the record, the proof (without `extra`),
the names its maker discloses, and the status token. Record, leaf, path and checkpoint
hang together: change a letter of one and the others no longer fit.

Source: C2SP tlog-proof.
"""

import base64
import hmac
import re
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ledger.errors import TamperError
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from ledger.log.encoding import LARGEST, canonical, parse_object
from ledger.log.entry import Record, parse_record
from ledger.log.keys import base64_bytes, hex_bytes
from ledger.log.merkle import HASH_SIZE, root_from_path

PROOF_HEADER = "c2sp.org/tlog-proof@v1"
CERTIFICATE_FORMAT = "flitchbook-certificate/1"
LARGEST_FILE = 1_048_576
LONGEST_PATH = 63
INDEX = re.compile(r"index (0|[1-9][0-9]{0,15})\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """That a leaf is in a tree: its index, the path, and the signed head as a note."""

    index: int
    path: tuple[bytes, ...]
    checkpoint: str
    extra: bytes | None = None

    @property
    def text(self) -> str:
        """The proof as a file; `parse_proof` is the inverse."""
        lines = [PROOF_HEADER]
        if self.extra is not None:
            lines.append(f"extra {base64.b64encode(self.extra).decode('ascii')}")
        lines.append(f"index {self.index}")
        lines += [base64.b64encode(node).decode("ascii") for node in self.path]
        return "\n".join(lines) + "\n\n" + self.checkpoint

    @property
    def head(self) -> Checkpoint:
        """What the checkpoint says, whoever signed it."""
        return parse_checkpoint(parse_note(self.checkpoint))

    def covers(self, leaf: bytes) -> bool:
        """Tell whether the path leads from this leaf to the checkpoint's root."""
        head = self.head
        return root_from_path(leaf, self.index, head.size, self.path) == head.root


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """The opening of one commitment: field, subject, value and key."""

    field: str
    subject: str
    value: str
    key: bytes

    @property
    def commitment(self) -> str:
        """The commitment that this opens, in hex (RFC 2104 with SHA-256)."""
        said = canonical({"f": self.field, "s": self.subject, "v": self.value})
        return hmac.new(self.key, said, sha256).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificateFile:
    """A certificate with all that a stranger needs but the shop's keys."""

    record: Record
    proof: Proof
    disclosed: tuple[Disclosure, ...]
    status_token: bytes

    @property
    def data(self) -> bytes:
        """The file's canonical bytes; `parse_certificate_file` is the inverse."""
        disclosed = [
            {"f": d.field, "key": d.key.hex(), "s": d.subject, "v": d.value}
            for d in self.disclosed
        ]
        return canonical(
            {
                "disclosed": disclosed,
                "format": CERTIFICATE_FORMAT,
                "proof": self.proof.text,
                "record": self.record.data.decode("utf-8"),
                "status_token": self.status_token.hex(),
            }
        )


def parse_proof(text: str) -> Proof:
    """Read a proof file; TamperError where it is not of its form."""
    head, _, checkpoint = text.partition("\n\n")
    lines = head.split("\n")
    if lines[0] != PROOF_HEADER or not checkpoint or len(text) > LARGEST_FILE:
        raise TamperError(f"this is no {PROOF_HEADER}")
    extra = None
    if len(lines) > 1 and lines[1].startswith("extra "):
        extra = base64_bytes(lines.pop(1).removeprefix("extra "))
        if extra is None:
            raise TamperError("the proof's extra line is no base64")
    index = INDEX.match(lines[1]) if len(lines) > 1 else None
    if index is None or int(index[1]) > LARGEST:
        raise TamperError("the proof does not say its index")
    path = tuple(_node(line) for line in lines[2:])
    if len(path) > LONGEST_PATH:
        raise TamperError(f"a path has at most {LONGEST_PATH} hashes")
    parse_checkpoint(parse_note(checkpoint))
    return Proof(index=int(index[1]), path=path, checkpoint=checkpoint, extra=extra)


def parse_certificate_file(data: bytes) -> CertificateFile:
    """Read a certificate file; TamperError where it is not of its form."""
    if len(data) > LARGEST_FILE:
        raise TamperError(f"a certificate file has at most {LARGEST_FILE} bytes")
    members = parse_object(data)
    wanted = {"disclosed", "format", "proof", "record", "status_token"}
    if set(members) != wanted or members["format"] != CERTIFICATE_FORMAT:
        raise TamperError(f"this is no {CERTIFICATE_FORMAT}")
    if not all(isinstance(members[name], str) for name in ("proof", "record")):
        raise TamperError("a certificate file holds its record and its proof as text")
    token = hex_bytes(members["status_token"], 16)
    if token is None or not isinstance(members["disclosed"], list):
        raise TamperError("a certificate file holds a status token and disclosures")
    proof = parse_proof(members["proof"])
    if proof.extra is not None:
        raise TamperError("a certificate file's proof has no extra line")
    return CertificateFile(
        record=parse_record(members["record"].encode("utf-8")),
        proof=proof,
        disclosed=tuple(_disclosure(row) for row in members["disclosed"]),
        status_token=token,
    )


def _node(line: str) -> bytes:
    data = base64_bytes(line)
    if data is None or len(data) != HASH_SIZE:
        raise TamperError("a proof's path is of hashes in base64")
    return data


def _disclosure(row: Any) -> Disclosure:
    if not isinstance(row, dict) or set(row) != {"f", "key", "s", "v"}:
        raise TamperError("a disclosure says field, key, subject and value")
    key = hex_bytes(row["key"], 32)
    if key is None or not all(isinstance(row[name], str) for name in "fsv"):
        raise TamperError("a disclosure's key is 64 hex digits, the rest is text")
    return Disclosure(field=row["f"], subject=row["s"], value=row["v"], key=key)
