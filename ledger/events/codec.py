"""Events as plain members and back.

Reserved members may stand in every event beside its own: when it happened, if that is
not when it was entered; the station; a commitment to a reason that is kept in the
vault; approvals. An optional member without a value is left out.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass

from ledger.errors import RefusedError, TamperError
from ledger.events import EVENTS, Event
from ledger.events.form import STRICT, Digest, Moment, Words
from ledger.log.encoding import canonical

BESIDE = ("happened_at", "station", "reason_commitment")
RESERVED = (*BESIDE, "approvals")
KINDS: dict[str, type[Event]] = {event.kind: event for event in EVENTS}


@dataclass(frozen=True, slots=True, kw_only=True, config=STRICT)
class Beside:
    """What may stand beside an event's own members; approvals are judged elsewhere."""

    happened_at: Moment | None = None
    station: Words | None = None
    reason_commitment: Digest | None = None


_BESIDE: TypeAdapter[Beside] = TypeAdapter(Beside)


def plain(event: Event, beside: Beside | None = None) -> dict[str, Any]:
    """Return an event's members; `parse` is the inverse."""
    said = beside or Beside()
    around = {name: getattr(said, name, None) for name in RESERVED}
    members: dict[str, Any] = _adapter(event.kind).dump_python(
        event, mode="json", by_alias=True, exclude_none=True
    )
    present = {name: value for name, value in around.items() if value is not None}
    return {"kind": event.kind} | present | members


def parse(members: dict[str, Any]) -> Event:
    """Return the event that members say, strictly: no other members, no other types.

    Raises TamperError for an unknown kind and for members that do not fit the kind.
    """
    event = KINDS.get(members["kind"])
    if event is None:
        raise TamperError(f"the kind {members['kind']} is not known here")
    own = {
        name: value
        for name, value in members.items()
        if name != "kind" and name not in RESERVED
    }
    beside = {name: members[name] for name in BESIDE if name in members}
    try:
        if _is_empty_somewhere(beside) or _is_empty_somewhere(own):
            raise TamperError(f"{event.kind}: a member without a value is left out")
        _BESIDE.validate_json(canonical(beside))
        return _adapter(event.kind).validate_json(canonical(own))
    except ValidationError as problem:
        raise TamperError(f"{event.kind}: {fault_in(problem)}") from None


@contextmanager
def refusing() -> Iterator[None]:
    """Refuse what cannot be written down, and say why."""
    try:
        yield
    except ValidationError as problem:
        raise RefusedError(
            f"this cannot be written down: {fault_in(problem)}"
        ) from None
    except UnicodeEncodeError as problem:
        raise RefusedError(f"this cannot be written down: {problem.reason}") from None


def fault_in(problem: ValidationError) -> str:
    """Say which member does not fit, and why."""
    first = problem.errors(include_url=False, include_input=False)[0]
    place = ".".join(str(part) for part in first["loc"])
    return f"{place}: {first['msg'].lower()}"


def _is_empty_somewhere(said: object) -> bool:
    """Tell whether a member has no value; a policy's text is its author's own."""
    if isinstance(said, dict):
        return any(
            _is_empty_somewhere(v) for name, v in said.items() if name != "policy"
        )
    if isinstance(said, list):
        return any(_is_empty_somewhere(each) for each in said)
    return said is None


@cache
def _adapter(kind: str) -> TypeAdapter[Event]:
    return TypeAdapter(KINDS[kind])
