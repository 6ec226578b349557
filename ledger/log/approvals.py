"""Approvals: how more than one person says yes to the same event.

    "approvals": {"once": <32 hex>, "root_version": 1, "by": [{"key", "signature"}, …]}

`by` is sorted by key and names none twice. Each signature covers the event without its
approvals, the log's origin, the version of the roots in force, and `once`, which
occurs in one entry of a log only, so that no approval can be used again elsewhere.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.log.encoding import canonical
from ledger.log.keys import (
    PublicKey,
    SecretKey,
    hex_bytes,
    signature_bytes,
    signature_text,
)

APPROVAL_FORMAT = "flitchbook-approval/1"
ONCE_SIZE = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Approved:
    """Whose approvals an event bears, and what is wrong with them."""

    once: str | None = None
    by: frozenset[str] = frozenset()
    faults: tuple[str, ...] = ()


def approve(
    event: dict[str, Any],
    *,
    origin: str,
    root_version: int,
    once: bytes,
    by: Sequence[SecretKey],
) -> dict[str, Any]:
    """Return the event with the approvals of these keys."""
    statement = _statement(event, origin, root_version, once.hex())
    signed = {secret.id: signature_text(secret.sign(statement)) for secret in by}
    said = [{"key": key, "signature": signed[key]} for key in sorted(signed)]
    approvals = {"by": said, "once": once.hex(), "root_version": root_version}
    return event | {"approvals": approvals}


def read_approvals(
    event: dict[str, Any],
    *,
    origin: str,
    root_version: int,
    publics: Mapping[str, PublicKey],
) -> Approved:
    """Return the keys that approved an event, out of the `publics` that could.

    An approval by a key that is not among them counts for nothing; one by a key that
    is among them must verify.
    """
    if "approvals" not in event:
        return Approved()
    said = event["approvals"]
    if not isinstance(said, dict) or set(said) != {"by", "once", "root_version"}:
        return Approved(faults=("the approvals are not of their form",))
    if hex_bytes(said["once"], ONCE_SIZE) is None:
        return Approved(faults=("the approvals do not say what they are for, once",))
    if type(said["root_version"]) is not int or said["root_version"] != root_version:
        return Approved(
            faults=(
                f"the approvals are for version {said['root_version']} of the roots, "
                f"and version {root_version} is in force",
            )
        )
    bare = {name: value for name, value in event.items() if name != "approvals"}
    statement = _statement(bare, origin, root_version, said["once"])
    by, faults = _counted(said["by"], statement, publics)
    return Approved(once=said["once"], by=by, faults=faults)


def approvers_of(event: dict[str, Any]) -> tuple[str, ...]:
    """Return the keys that an event names as having approved it, whatever they are."""
    approvals = event.get("approvals")
    said = approvals.get("by") if isinstance(approvals, dict) else None
    rows = said if isinstance(said, list) else []
    return tuple(row["key"] for row in rows if _is_approval(row))


def once_of(event: dict[str, Any]) -> str | None:
    """Return the once of an event's approvals, or None where it bears none."""
    approvals = event.get("approvals")
    once = approvals.get("once") if isinstance(approvals, dict) else None
    return once if isinstance(once, str) else None


def _statement(
    event: dict[str, Any], origin: str, root_version: int, once: str
) -> bytes:
    return canonical(
        {
            "event": event,
            "format": APPROVAL_FORMAT,
            "once": once,
            "origin": origin,
            "root_version": root_version,
        }
    )


def _counted(
    said: object, statement: bytes, publics: Mapping[str, PublicKey]
) -> tuple[frozenset[str], tuple[str, ...]]:
    rows = [row for row in said if _is_approval(row)] if isinstance(said, list) else []
    if not isinstance(said, list) or len(rows) != len(said):
        return frozenset(), ("an approval is a key and a signature",)
    keys = [row["key"] for row in rows]
    if keys != sorted(set(keys)):
        return frozenset(), ("the approvals are not sorted by key, each named once",)
    by = set()
    for row in rows:
        public = publics.get(row["key"])
        if public is None:
            continue
        signature = signature_bytes(row["signature"])
        if signature is None or not public.has_signed(statement, signature):
            return frozenset(), (f"the approval by key {public.id} does not verify",)
        by.add(public.id)
    return frozenset(by), ()


def _is_approval(row: object) -> bool:
    if not isinstance(row, dict) or set(row) != {"key", "signature"}:
        return False
    return isinstance(row["key"], str)
