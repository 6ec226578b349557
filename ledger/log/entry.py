"""Entries, which are signed, and records, which are stored and hashed.

An entry is one canonical object with exactly these seven members:

    {"at":"2026-11-24T22:08:35Z","event":{"kind":"…"},"format":"flitchbook-entry/1",
     "index":1041,"key":"<key id>","origin":"<log origin>","previous":"<leaf hash>"}

`previous` is the leaf hash of the record before, 64 zeros at the start, so that every
signature vouches for the whole past. A record is two lines: the entry, LF, the base64
of the signature over the entry without its LF, LF. The leaf hash of the tree is taken
over the record as it is stored, never over something written again.
"""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from ledger.errors import RefusedError, TamperError
from ledger.log import merkle
from ledger.log.checkpoint import NAME
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import PublicKey, SecretKey, signature_bytes, signature_text

FORMAT = "flitchbook-entry/1"
LARGEST_RECORD = 65_535
NO_PREVIOUS = "0" * 64
MEMBERS = frozenset({"at", "event", "format", "index", "key", "origin", "previous"})
KIND = re.compile(r"[a-z]+(?:-[a-z]+)*\.[a-z]+(?:-[a-z]+)*/[1-9][0-9]*\Z")
KEY_ID = re.compile(r"[0-9a-f]{16}\Z")
LEAF = re.compile(r"[0-9a-f]{64}\Z")
AT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What somebody said, when, in which place of which log, after what."""

    at: str
    event: dict[str, Any]
    index: int
    key: str
    origin: str
    previous: str

    @property
    def kind(self) -> str:
        """The event's kind: noun, past verb and version."""
        return str(self.event["kind"])

    @property
    def happened_at(self) -> str:
        """When what it says happened: as was told, else when it was said."""
        return str(self.event.get("happened_at", self.at))


@dataclass(frozen=True, slots=True)
class Record:
    """An entry and its signature, as stored."""

    data: bytes
    entry: Entry
    signed: bytes
    signature: bytes

    @property
    def leaf(self) -> bytes:
        """The record's leaf hash."""
        return merkle.leaf_hash(self.data)

    def is_signed_by(self, key: PublicKey) -> bool:
        """Tell whether this key signed the entry."""
        return key.has_signed(self.signed, self.signature)


def seal(entry: Entry, secret: SecretKey) -> Record:
    """Sign an entry; `parse_record` is the inverse.

    Raises RefusedError where the record would be too long or not canonical.
    """
    signed = canonical(
        {
            "at": entry.at,
            "event": entry.event,
            "format": FORMAT,
            "index": entry.index,
            "key": entry.key,
            "origin": entry.origin,
            "previous": entry.previous,
        }
    )
    signature = secret.sign(signed)
    data = signed + b"\n" + signature_text(signature).encode("ascii") + b"\n"
    if len(data) > LARGEST_RECORD:
        raise RefusedError(
            f"an entry may have {LARGEST_RECORD} bytes, this one has {len(data)}: "
            f"say it in several entries"
        )
    return Record(data, entry, signed, signature)


def parse_record(data: bytes) -> Record:
    """Read a record; TamperError where it is not one, for whatever reason.

    The signature's form is judged here, not whether it fits: that needs the key.
    """
    if len(data) > LARGEST_RECORD:
        raise TamperError(f"a record has at most {LARGEST_RECORD} bytes")
    lines = data.split(b"\n")
    if len(lines) != 3 or lines[2]:
        raise TamperError("a record is two lines, and this is not")
    signature = signature_bytes(lines[1].decode("ascii", errors="replace"))
    if signature is None:
        raise TamperError("the record's second line is no signature in base64")
    entry = _entry(parse_object(lines[0]))
    return Record(data, entry, lines[0], signature)


def at_text(moment: datetime) -> str:
    """Write a moment as whole seconds of UTC (RFC 3339)."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def at_moment(text: str) -> datetime:
    """Read a moment; ValueError where the text is none."""
    if AT.match(text) is None:
        raise ValueError(f"{text!r} is no time such as 2026-11-24T22:08:35Z")
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)


def is_day(value: object) -> bool:
    """Tell whether a value is a day such as 2026-11-24."""
    try:
        at_moment(f"{value}T00:00:00Z")
    except ValueError:
        return False
    return isinstance(value, str)


def _entry(members: dict[str, Any]) -> Entry:
    if set(members) != MEMBERS:
        raise TamperError("an entry has exactly seven members, and this has others")
    if members.pop("format") != FORMAT:
        raise TamperError(f"this is no {FORMAT}")
    _require(members, "key", KEY_ID)
    _require(members, "previous", LEAF)
    _require_moment(members["at"])
    if type(members["index"]) is not int or members["index"] < 0:
        raise TamperError("an entry's index is a whole number from 0")
    if not isinstance(members["origin"], str) or not NAME.match(members["origin"]):
        raise TamperError("an entry names the origin of its log, without space or plus")
    event = members["event"]
    if not isinstance(event, dict) or "kind" not in event:
        raise TamperError("an entry's event says its kind")
    _require(event, "kind", KIND)
    return Entry(**members)


def _require(members: dict[str, Any], name: str, form: re.Pattern[str]) -> None:
    value = members[name]
    if not isinstance(value, str) or form.match(value) is None:
        raise TamperError(f"the entry's {name} is not of its form")


def _require_moment(text: object) -> None:
    try:
        at_moment(str(text))
    except ValueError as problem:
        raise TamperError(f"the entry's time is wrong: {problem}") from None
