"""Who said an entry, and when, as the shop shows its people; and who leads."""

from sqlmodel import Session

from ledger.acts.shop import Shop
from ledger.acts.signing import holder_name
from ledger.log.authority import LEAD
from ledger.log.entry import parse_record
from ledger.log.standing import Standing
from ledger.views.people import Person, subject_of_key


def who_and_when(shop: Shop, session: Session, index: int) -> str:
    """Return who said an entry: Jakub Wolański (badge 03) on 2026-01-05 at 09:14 UTC.

    The name of somebody who was erased is the badge alone.
    """
    entry = parse_record(shop.store.record(index)).entry
    name = holder_name(shop, session, entry.key)
    badge = badge_of(session, entry.key)
    shown = name if badge is None or badge in name else f"{name} (badge {badge})"
    return f"{shown} on {entry.at[:10]} at {entry.at[11:16]} UTC"


def badge_of(session: Session, key: str) -> str | None:
    """Return the badge of whoever holds or held a key, or None where nobody does."""
    subject = subject_of_key(session, key)
    person = session.get(Person, subject) if subject else None
    return person.badge if person else None


def is_own(shop: Shop, session: Session, index: int, key: str) -> bool:
    """Tell whether an entry was said by whoever holds a key."""
    said = parse_record(shop.store.record(index)).entry.key
    return subject_of_key(session, said) == subject_of_key(session, key)


def leads(session: Session, standing: Standing, key: str) -> bool:
    """Tell whether whoever holds a key is a lead."""
    return LEAD in standing.roles_of(subject_of_key(session, key))
