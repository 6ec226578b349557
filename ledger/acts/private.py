"""What is kept of somebody, and what would be left once it is erased.

No value is told: which fields there are and how many, which entries speak of the
subject or keep a commitment, and whether a name stands in the log in plain, where
nothing can take it out.
"""

import json
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from sqlmodel import Session, col, select

from ledger.acts.owners import OWNER_NAME
from ledger.acts.people import PERSON_NAME, require_somebody
from ledger.acts.shop import Shop
from ledger.acts.signing import find_person
from ledger.acts.suppliers import SUPPLIER_NAME, find_supplier
from ledger.acts.thefts import CLAIMANT_NAME
from ledger.errors import NotFoundError
from ledger.log.vaultfile import kept_of
from ledger.views.certificates import Owner
from ledger.views.orders import order_of
from ledger.views.ownership import is_claimant
from ledger.views.people import ErasedSubject, Person, PersonKey
from ledger.views.service import trips_of
from ledger.views.wood import Supplier

Who = Literal["person", "sawyer", "owner", "claimant"]

SUBJECT = re.compile(r"[0-9a-f]{32}\Z")
NAMES: dict[Who, str] = {
    "person": PERSON_NAME,
    "sawyer": SUPPLIER_NAME,
    "owner": OWNER_NAME,
    "claimant": CLAIMANT_NAME,
}
# Whose names are sealed for the office, so that nobody here can look for them.
SEALED: tuple[Who, ...] = ("owner", "claimant")
# In canonical JSON members are sorted, and these two stand in no event.
SIGNED_BY = re.compile(rb'"key":"([0-9a-f]{16})","origin":')
COMMITTED = re.compile(rb'"reason_commitment":"([0-9a-f]{64})"')
# Shorter words stand in others by chance.
SHORTEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field in the vault: how often it is there, and how often sealed."""

    field: str
    count: int
    sealed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is on record of one subject; entries are named by their numbers.

    `named` are the entries in which its 32 digits stand, `reasons` those that keep a
    commitment to a reason of theirs, `plain` those in which the name can be read; None
    where nobody here may read the name. Of an owner `elsewhere` are the trips of the
    instrument whose place is kept with whoever said it, and `orders` the entries with
    the order's number, by which the shop's other books may know a name. `erased` is
    the entry of the erasing, if any.
    """

    who: Who
    subject: str
    badge: str | None
    fields: tuple[Field, ...]
    files: tuple[str, ...]
    named: tuple[int, ...]
    reasons: tuple[int, ...]
    signatures: int
    plain: tuple[int, ...] | None
    elsewhere: tuple[int, ...]
    orders: tuple[int, ...]
    erased: int | None


def find_subject(shop: Shop, name: str) -> str:
    """Return the subject of a badge or a name; NotFoundError where nobody has it."""
    if SUBJECT.match(name):
        with shop.store.reading() as session:
            require_somebody(session, name)
        return name
    try:
        return find_person(shop, name).subject
    except NotFoundError:
        pass
    try:
        return find_supplier(shop, name).subject
    except NotFoundError:
        raise NotFoundError(
            f"nobody here is called {name!r}, no person and no sawyer: give a badge, a "
            f"name, or a serial with --owner 1 or --claimant 1"
        ) from None


def kept(shop: Shop, subject: str) -> Kept:
    """Tell what is kept of a subject; the log is walked over once."""
    with shop.store.reading() as session:
        who, badge = _who(session, subject)
        keys = _keys(session, subject)
        gone = session.get(ErasedSubject, subject)
        erased = gone.idx if gone else None
        trips, orders = _of_owner(session, subject)
    rows = kept_of(shop.vault.path, shop.vault.connection, subject)
    commitments = frozenset(commitment.encode() for commitment, *_ in rows)
    word = _plain_name(shop, who, subject)
    named, reasons, plain, signatures = [], [], [], 0
    for index, record in shop.store.records():
        if subject.encode() in record:
            named.append(index)
        if commitments.intersection(COMMITTED.findall(record)):
            reasons.append(index)
        if word and word in record:
            plain.append(index)
        signatures += not keys.isdisjoint(SIGNED_BY.findall(record))
    return Kept(
        who=who,
        subject=subject,
        badge=badge,
        fields=_fields((field, is_sealed) for _, field, is_sealed in rows),
        files=shop.vault.attachments_of(subject),
        named=tuple(named),
        reasons=tuple(reasons),
        signatures=signatures,
        plain=None if word is None else tuple(plain),
        elsewhere=tuple(index for index in trips if index not in reasons),
        orders=orders,
        erased=erased,
    )


def _fields(rows: Iterable[tuple[str, bool]]) -> tuple[Field, ...]:
    counted = Counter(rows)
    names = sorted({field for field, _ in counted})
    return tuple(
        Field(
            field=name,
            count=counted[name, False] + counted[name, True],
            sealed=counted[name, True],
        )
        for name in names
    )


def _who(session: Session, subject: str) -> tuple[Who, str | None]:
    require_somebody(session, subject)
    person = session.get(Person, subject)
    if person is not None:
        return "person", person.badge
    if session.get(Supplier, subject) is not None:
        return "sawyer", None
    return ("claimant" if is_claimant(session, subject) else "owner"), None


def _of_owner(session: Session, subject: str) -> tuple[list[int], tuple[int, ...]]:
    """Return the trips and the order of an owner's instrument; of others there is none.

    Trips of which the log itself says whither are long ago, and are among them.
    """
    owner = session.get(Owner, subject)
    if owner is None:
        return [], ()
    order = order_of(session, owner.serial)
    numbered = (order.idx,) if order is not None and order.order is not None else ()
    return [trip.idx for trip in trips_of(session, owner.serial)], numbered


def _keys(session: Session, subject: str) -> frozenset[bytes]:
    query = select(PersonKey.key).where(col(PersonKey.subject) == subject)
    return frozenset(key.encode() for key in session.exec(query))


def _plain_name(shop: Shop, who: Who, subject: str) -> bytes | None:
    """Return the name as it would stand in a record, or None where it is not read."""
    if who in SEALED:
        return None
    opening = shop.vault.get(subject, NAMES[who])
    if opening is None or len(opening.value) < SHORTEST:
        return None
    return json.dumps(opening.value, ensure_ascii=False)[1:-1].encode()
