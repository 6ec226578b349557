"""The people of the shop, by badge; their names are in the vault."""

from collections.abc import Iterable

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import (
    Event,
    KeyCompromised,
    KeyRetired,
    PersonEnrolled,
    PersonErased,
    PersonKeyReplaced,
    QualificationGranted,
    QualificationWithdrawn,
    RoleGranted,
    RoleWithdrawn,
)
from ledger.log.entry import Entry
from ledger.log.keys import PublicKey
from ledger.views.rows import columns_of, plain_rows
from ledger.views.taking import require_free, take, taken


class Person(SQLModel, table=True):
    """Somebody with a badge, and the key of today if there is one."""

    subject: str = Field(primary_key=True)
    badge: str = Field(index=True)
    key: str = Field(index=True)
    name_commitment: str
    idx: int
    is_retired: bool = False
    is_erased: bool = False


class PersonKey(SQLModel, table=True):
    """A key that is or was a person's."""

    key: str = Field(primary_key=True)
    subject: str = Field(index=True)
    idx: int


class PersonAbility(SQLModel, table=True):
    """A role or a qualification that a person holds today."""

    subject: str = Field(primary_key=True)
    what: str = Field(primary_key=True)  # "role" or "qualification"
    name: str = Field(primary_key=True)
    idx: int


class ErasedSubject(SQLModel, table=True):
    """A subject whose particulars are gone, or have to go."""

    subject: str = Field(primary_key=True)
    idx: int


def fold_people(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about people into the view."""
    match event:
        case PersonEnrolled():
            _enrol(session, entry, event)
        case PersonKeyReplaced():
            person = taken(session, Person, event.subject)
            person.key = _remember_key(session, entry, event)
            person.is_retired = False
        case KeyRetired() | KeyCompromised():
            for holder in people_by_key(session, event.key):
                holder.is_retired = True
        case PersonErased():
            _erase(session, entry, event)
        case RoleGranted() | QualificationGranted():
            take(session, PersonAbility(**_ability(event), idx=entry.index))
        case RoleWithdrawn() | QualificationWithdrawn():
            key = tuple(_ability(event).values())
            session.delete(taken(session, PersonAbility, *key))


def people_by_key(session: Session, key: str) -> list[Person]:
    """Return the people whose key of today this is: one or none."""
    return list(session.exec(select(Person).where(col(Person.key) == key)).all())


def subject_of_key(session: Session, key: str) -> str | None:
    """Return whose key this is or was, or None."""
    known = session.get(PersonKey, key)
    return known.subject if known else None


def subjects_of_keys(session: Session, keys: Iterable[str]) -> dict[str, str | None]:
    """Return whose each key is or was, however often it signed, asked for once."""
    wanted = set(keys)
    query = columns_of(PersonKey, ("key", "subject"))
    of_these = query.where(col(PersonKey.key).in_(wanted))
    known = dict(map(tuple, plain_rows(session, of_these)))
    return {key: known.get(key) for key in wanted}


def people(session: Session) -> list[Person]:
    """Return everybody who was ever enrolled, by badge."""
    return list(session.exec(select(Person).order_by(col(Person.badge))).all())


def erased_subjects(session: Session) -> set[str]:
    """Return the subjects whose particulars are erased."""
    return set(session.exec(select(ErasedSubject.subject)).all())


def abilities(session: Session, subject: str) -> list[PersonAbility]:
    """Return the roles and qualifications that a person holds today."""
    query = select(PersonAbility).where(col(PersonAbility.subject) == subject)
    return list(session.exec(query.order_by(col(PersonAbility.idx))).all())


def _enrol(session: Session, entry: Entry, event: PersonEnrolled) -> None:
    require_free(session, Person, badge=event.badge)
    take(
        session,
        Person(
            subject=event.subject,
            badge=event.badge,
            key=_remember_key(session, entry, event),
            name_commitment=event.name_commitment,
            idx=entry.index,
        ),
    )


def _remember_key(
    session: Session, entry: Entry, event: PersonEnrolled | PersonKeyReplaced
) -> str:
    key = PublicKey.parse(event.public).id
    take(session, PersonKey(key=key, subject=event.subject, idx=entry.index))
    return key


def _erase(session: Session, entry: Entry, event: PersonErased) -> None:
    take(session, ErasedSubject(subject=event.subject, idx=entry.index))
    person = session.get(Person, event.subject)
    if person is not None:
        person.is_erased = True


def _ability(
    event: RoleGranted | QualificationGranted | RoleWithdrawn | QualificationWithdrawn,
) -> dict[str, str]:
    if isinstance(event, RoleGranted | RoleWithdrawn):
        return {"subject": event.subject, "what": "role", "name": event.role}
    name = event.qualification
    return {"subject": event.subject, "what": "qualification", "name": name}
