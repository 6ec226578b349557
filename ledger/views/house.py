"""The house's own rules as they were adopted; the newest of each format counts."""

import json
from typing import Any

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import RefusedError, TamperError
from ledger.events import Event, PolicyAdopted
from ledger.log.encoding import canonical
from ledger.log.entry import Entry
from ledger.views.adopted import is_of_the_house, read_policy


class AdoptedPolicy(SQLModel, table=True):
    """A policy's whole text, as the entry that adopted it embeds it."""

    idx: int = Field(primary_key=True)
    format: str = Field(index=True)
    text: str


def fold_house(session: Session, entry: Entry, event: Event) -> None:
    """Take an adopted policy into the view."""
    if isinstance(event, PolicyAdopted):
        if is_of_the_house(event.policy):
            _require_sound(session, event.policy)
        text = canonical(event.policy).decode()
        kind = str(event.policy.get("format"))
        session.add(AdoptedPolicy(idx=entry.index, format=kind, text=text))


def newest_policy(session: Session, kind: str) -> dict[str, Any] | None:
    """Return the newest adopted policy of a format, or None."""
    query = select(AdoptedPolicy.text).where(col(AdoptedPolicy.format) == kind)
    text = session.exec(query.order_by(col(AdoptedPolicy.idx).desc())).first()
    said: dict[str, Any] | None = json.loads(text) if text else None
    return said


def adopted_policies(session: Session, kind: str) -> list[dict[str, Any]]:
    """Return every adopted policy of a format, the oldest first."""
    query = select(AdoptedPolicy.text).where(col(AdoptedPolicy.format) == kind)
    texts = session.exec(query.order_by(col(AdoptedPolicy.idx))).all()
    return [json.loads(text) for text in texts]


def newest_version(session: Session, policy: dict[str, Any]) -> int:
    """Return the newest version adopted of the policy of this name, or 0."""
    adopted = adopted_policies(session, policy["format"])
    return max((p["version"] for p in adopted if p["id"] == policy["id"]), default=0)


def _require_sound(session: Session, policy: dict[str, Any]) -> None:
    """See that the house can live by its limits, and that their name is not taken."""
    try:
        said = read_policy(policy)
    except RefusedError as fault:
        raise TamperError(f"{fault}: run flitchbook record audit") from None
    newest = newest_version(session, policy)
    if said.version <= newest:
        raise TamperError(
            f"the house's rules {said.name} do not come after version {newest}, which "
            f"an entry before this one adopted: run flitchbook record audit"
        )
