"""The status list: what became of certificates, for whoever checks one far away.

    {"certificates":[{"states":["reported","superseded"],"token":"<32 hex>"},…],
     "format":"flitchbook-status/1","issued":"YYYY-MM-DD","key":"<16 hex>",
     "next":"YYYY-MM-DD","number":N,"origin":"<log origin>","size":S,
     "signature":"<88 base64>"}

A row's token is the first 16 bytes of the SHA-256 of the certificate's status token, so
that the list tells nothing to whoever has no certificate in hand. Only those that have
a state are in it, sorted by token. `size` is the number of entries it speaks for, and
`number` rises with every list. The shop's card key signs the canonical rest.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ledger.errors import RefusedError, TamperError
from ledger.log.encoding import canonical, is_count, parse_object
from ledger.log.entry import is_day
from ledger.log.keys import (
    PublicKey,
    SecretKey,
    hex_bytes,
    signature_bytes,
    signature_text,
)

STATUS_FORMAT = "flitchbook-status/1"
LARGEST_STATUS_LIST = 1_048_576
# By its first member, for canonical members are sorted.
STATUS_START = b'{"certificates":'
REPORTED, SUPERSEDED, WITHDRAWN = STATES = ("reported", "superseded", "withdrawn")
MEMBERS = frozenset(
    {
        "certificates",
        "format",
        "issued",
        "key",
        "next",
        "number",
        "origin",
        "signature",
        "size",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusList:
    """A status list as it was read; `signed` is what its signature covers."""

    origin: str
    number: int
    issued: str
    next: str
    size: int
    key: str
    states: Mapping[str, tuple[str, ...]]
    signed: bytes
    signature: bytes

    def is_signed_by(self, public: PublicKey) -> bool:
        """Tell whether this key has signed it."""
        return public.has_signed(self.signed, self.signature)


def listed_token(status_token: bytes) -> str:
    """Return how a list names the certificate of a status token, in hex."""
    return listed_digest(sha256(status_token).hexdigest())


def listed_digest(status_token_sha256: str) -> str:
    """Return how a list names the certificate whose entry has this digest."""
    return status_token_sha256[:32]


def write_status_list(
    states: Mapping[str, tuple[str, ...]],
    *,
    origin: str,
    number: int,
    issued: str,
    next_on: str,
    size: int,
    card: SecretKey,
) -> bytes:
    """Return the signed list; `read_status_list` is the inverse.

    states  by the token as it is listed, each sorted and out of STATES

    Raises RefusedError where the list would be larger than a reader takes.
    """
    rest: dict[str, Any] = {
        "certificates": [
            {"states": list(states[token]), "token": token} for token in sorted(states)
        ],
        "format": STATUS_FORMAT,
        "issued": issued,
        "key": card.id,
        "next": next_on,
        "number": number,
        "origin": origin,
        "size": size,
    }
    signature = signature_text(card.sign(canonical(rest)))
    data = canonical(rest | {"signature": signature})
    if len(data) > LARGEST_STATUS_LIST:
        raise RefusedError(
            f"a status list of {len(states)} certificates has {len(data)} bytes, and "
            f"no reader takes more than {LARGEST_STATUS_LIST}"
        )
    return data


def read_status_list(data: bytes) -> StatusList:
    """Read a list; whether its signature is the shop's is asked with a keys file.

    Raises TamperError where it is not of its form.
    """
    if len(data) > LARGEST_STATUS_LIST:
        raise TamperError(f"a status list has at most {LARGEST_STATUS_LIST} bytes")
    members = parse_object(data)
    if set(members) != MEMBERS or members["format"] != STATUS_FORMAT:
        raise TamperError(f"this is no {STATUS_FORMAT}")
    signature = signature_bytes(members["signature"])
    if signature is None or hex_bytes(members["key"], 8) is None:
        raise TamperError("the status list does not say its key and signature")
    if not isinstance(members["origin"], str) or not members["origin"]:
        raise TamperError("the status list does not say its origin")
    if not all(is_count(members[name], least=1) for name in ("number", "size")):
        raise TamperError("the status list's number and size count from 1")
    if not all(is_day(members[name]) for name in ("issued", "next")):
        raise TamperError("the status list's days are no days such as 2026-11-24")
    if members["next"] < members["issued"]:
        raise TamperError(
            f"the status list was issued on {members['issued']}, after it was to be "
            f"replaced on {members['next']}"
        )
    rest = {name: value for name, value in members.items() if name != "signature"}
    return StatusList(
        origin=members["origin"],
        number=members["number"],
        issued=members["issued"],
        next=members["next"],
        size=members["size"],
        key=members["key"],
        states=dict(_rows(members["certificates"])),
        signed=canonical(rest),
        signature=signature,
    )


def _rows(value: object) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield token and states of each row; they stand in order, and each once."""
    if not isinstance(value, list):
        raise TamperError("the status list's certificates are no list")
    before = ""
    for row in value:
        if not isinstance(row, dict) or set(row) != {"states", "token"}:
            raise TamperError("a row of the status list is a token and its states")
        token, states = row["token"], row["states"]
        if hex_bytes(token, 16) is None:
            raise TamperError("a token of the status list has not 32 hex digits")
        if token <= before:
            raise TamperError("the status list's tokens are not sorted, each once")
        before = token
        yield token, _states(states)


def _states(value: object) -> tuple[str, ...]:
    named = [state for state in STATES if isinstance(value, list) and state in value]
    if not named or value != named:
        raise TamperError(
            f"a certificate's states are some of {', '.join(STATES)}, sorted, each once"
        )
    return tuple(named)
