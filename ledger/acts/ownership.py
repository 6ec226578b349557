"""Whose an instrument was and is, as far as a reader may see: names for the office.

The notice of a lost slip is drafted here as well, to the owner entered last; none is
sent, and it admits nothing.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey
from sqlmodel import Session

from ledger.acts.heads import sign_head
from ledger.acts.owners import OWNER_NAME
from ledger.acts.shop import Shop
from ledger.acts.slips import replaced_from
from ledger.acts.thefts import CLAIMANT_NAME
from ledger.errors import NotFoundError, RefusedError
from ledger.log.keys import SecretKey
from ledger.log.vault import person_sealing_key
from ledger.views.certificates import certificates_of, owners_of
from ledger.views.ownership import (
    TheftReport,
    TransferCode,
    codes_of,
    open_code,
    reports_of,
)
from ledger.views.people import erased_subjects

SEALED, ERASED = "sealed for the office", "erased"
ASKED = (
    "If you have the slip, please tell us so within this time: then it goes on "
    "working, and no other takes its place.",
    "If the instrument is no longer yours, please tell us to whom you gave it.",
)
CAVEAT = (
    "We write to the owner whom our record names last. A slip is no title, and this "
    "letter says nothing of whose the instrument is."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """An owner as entered: counted from 1, with the name as far as it may be read."""

    which: int
    name: str
    since: str
    certificate: str
    entry: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Claimed:
    """A report as entered, with the claimant's name as far as it may be read."""

    number: int
    name: str
    said_on: str
    entry: int
    withdrawn_by: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ownership:
    """All that the record has of whose an instrument is."""

    serial: str
    owners: tuple[Entered, ...]
    codes: tuple[TransferCode, ...]
    reports: tuple[Claimed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """A draft to the last known owner: a slip was said to be lost."""

    serial: str
    certificate: str
    slip: str
    to: str
    opening: str
    facts: tuple[str, ...]
    asked: tuple[str, ...]
    caveat: str
    until: str


def ownership(shop: Shop, serial: str, key: SecretKey) -> Ownership:
    """Tell whose an instrument was and is; names only where the key opens the office's.

    Raises NotFoundError where it has no certificate.
    """
    office = _office(shop, key)
    with shop.store.reading() as session:
        if not certificates_of(session, serial):
            raise NotFoundError(f"{serial} has no certificate yet, and so no owner")
        gone = erased_subjects(session)
        owners = tuple(
            Entered(
                which=which,
                name=_name(shop, row.subject, OWNER_NAME, office, gone),
                since=row.registered_on,
                certificate=row.certificate,
                entry=row.idx,
            )
            for which, row in enumerate(owners_of(session, serial), 1)
        )
        reports = tuple(
            _claimed(shop, row, office, gone) for row in reports_of(session, serial)
        )
        codes = tuple(codes_of(session, serial))
        session.expunge_all()
    return Ownership(serial=serial, owners=owners, codes=codes, reports=reports)


def draft_notice(shop: Shop, serial: str, key: SecretKey) -> Notice:
    """Draft the notice of a lost slip to the owner entered last.

    It names the first day on which another slip may be made, if it is sent today. The
    head is signed, so that no loss is unsaid after its notice.

    Raises RefusedError where no slip is lost, or the key opens no office name, and
    NotFoundError where no owner's name is known.
    """
    office = shop.vault.open_office(person_sealing_key(key.seed))
    with shop.store.reading() as session:
        row = open_code(session, serial)
        if row is None or row.lost_idx is None:
            raise RefusedError(f"no slip of {serial} is said to be lost")
        owners = owners_of(session, serial)
        known = owners and owners[-1].subject not in erased_subjects(session)
        opening = (
            shop.vault.get(owners[-1].subject, OWNER_NAME, office=office)
            if known
            else None
        )
        if opening is None:
            raise NotFoundError(
                f"no owner of {serial} is known by name, and the notice goes to "
                f"nobody: enter that with flitchbook owner slip-notice-sent"
            )
        notice = _notice(session, row, opening.value, shop.today())
    sign_head(shop)
    return notice


def _notice(session: Session, row: TransferCode, name: str, today: str) -> Notice:
    until = replaced_from(row.notice_on or today)
    return Notice(
        serial=row.serial,
        certificate=row.certificate,
        slip=str(row.slip),
        to=name,
        opening=(
            f"This is about the instrument with the serial {row.serial} and its "
            f"transfer slip {row.slip}."
        ),
        facts=tuple(_facts(session, row, until)),
        asked=ASKED,
        caveat=CAVEAT,
        until=until,
    )


def _facts(session: Session, row: TransferCode, until: str) -> Iterator[str]:
    yield (
        f"On {row.lost_on} we were told that slip {row.slip} is lost (entry "
        f"{row.lost_idx} of our record)."
    )
    yield (
        f"Thirty days after this letter was sent, and not before {until}, we may give "
        f"another in its place to whoever told us. Until then the slip works as it did."
    )
    for owner in owners_of(session, row.serial)[-1:]:
        since = owner.registered_on
        yield f"You are entered as owner since {since} (entry {owner.idx})."


def _claimed(
    shop: Shop, row: TheftReport, office: X25519PrivateKey | None, gone: set[str]
) -> Claimed:
    return Claimed(
        number=row.number,
        name=_name(shop, row.claimant, CLAIMANT_NAME, office, gone),
        said_on=row.said_on,
        entry=row.idx,
        withdrawn_by=row.withdrawn_idx,
    )


def _name(
    shop: Shop,
    subject: str,
    field: str,
    office: X25519PrivateKey | None,
    gone: set[str],
) -> str:
    if subject in gone:
        return ERASED
    if office is None:
        return SEALED
    opening = shop.vault.get(subject, field, office=office)
    return opening.value if opening else ERASED


def _office(shop: Shop, key: SecretKey) -> X25519PrivateKey | None:
    """Return the office's key where this person's opens it."""
    try:
        return shop.vault.open_office(person_sealing_key(key.seed))
    except RefusedError:
        return None
