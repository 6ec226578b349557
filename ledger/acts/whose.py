"""Who said an entry, and when, as the shop shows its people; and who leads."""

from sqlmodel import Session

from ledger.acts.shop import Shop
from ledger.acts.signing import holder_of, person_name
from ledger.log.authority import LEAD
from ledger.log.standing import Standing
from ledger.views.people import subject_of_key
from ledger.views.said import entry_said


def who_and_when(shop: Shop, session: Session, index: int) -> str:
    """Return who said an entry: Jakub Wolański (badge 03) on 2026-01-05 at 09:14 UTC.

    The name of somebody who was erased is the badge alone.
    """
    entry = entry_said(session, index)
    person = holder_of(session, entry.key)
    shown = person_name(shop, person) if person else f"key {entry.key}"
    if person and person.badge not in shown:
        shown += f" (badge {person.badge})"
    return f"{shown} on {entry.at[:10]} at {entry.at[11:16]} UTC"


def badge_of(session: Session, key: str) -> str | None:
    """Return the badge of whoever holds or held a key, or None where nobody does."""
    person = holder_of(session, key)
    return person.badge if person else None


def is_own(session: Session, index: int, key: str) -> bool:
    """Tell whether an entry was said by whoever holds a key."""
    said = entry_said(session, index).key
    return subject_of_key(session, said) == subject_of_key(session, key)


def leads(session: Session, standing: Standing, key: str) -> bool:
    """Tell whether whoever holds a key is a lead."""
    return LEAD in standing.roles_of(subject_of_key(session, key))
