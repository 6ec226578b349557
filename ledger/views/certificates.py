"""Certificates and owners as they are today; owners' names are in the vault."""

from hashlib import sha256

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import RefusedError, TamperError
from ledger.events import (
    CertificateIssued,
    CertificatePrinted,
    CertificateWithdrawn,
    Event,
    OwnerRegistered,
    OwnerTransferred,
)
from ledger.log.entry import Entry
from ledger.views.builds import standing_build
from ledger.views.people import ErasedSubject
from ledger.views.taking import require_free, take, taken


class Certificate(SQLModel, table=True):
    """An owner's certificate, and how often it was drawn for the printer."""

    number: str = Field(primary_key=True)
    serial: str = Field(index=True)
    issued_on: str
    idx: int
    status_token_sha256: str
    prints: int = 0
    withdrawn_idx: int | None = None


class Owner(SQLModel, table=True):
    """An owner that the shop registered, by subject."""

    subject: str = Field(primary_key=True)
    serial: str = Field(index=True)
    certificate: str
    name_commitment: str
    registered_on: str
    idx: int


def fold_certificates(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about certificates and owners into the view."""
    match event:
        case CertificateIssued():
            _issue(session, entry, event)
        case CertificatePrinted():
            taken(session, Certificate, event.number).prints += 1
        case CertificateWithdrawn():
            _withdraw(session, entry, event)
        case OwnerRegistered():
            taken(session, Certificate, event.certificate)
            require_free(session, Owner, certificate=event.certificate)
            _own(session, entry, event, event.registered_on)
        case OwnerTransferred():
            taken(session, Certificate, event.certificate)
            _own(session, entry, event, event.transferred_on)


def certificates_of(session: Session, serial: str) -> list[Certificate]:
    """Return the certificates of an instrument, the oldest first."""
    query = select(Certificate).where(col(Certificate.serial) == serial)
    return list(session.exec(query.order_by(col(Certificate.idx))).all())


def certificates_after(session: Session, serial: str, index: int) -> list[Certificate]:
    """Return the certificates that rest on an entry: those issued after it."""
    return [row for row in certificates_of(session, serial) if row.idx > index]


def require_standing(certificate: Certificate) -> None:
    """Refuse to rest anything new on a certificate that was withdrawn."""
    if certificate.withdrawn_idx is not None:
        raise RefusedError(
            f"{certificate.number} of {certificate.serial} was withdrawn by entry "
            f"{certificate.withdrawn_idx}, and nothing rests on it any more: issue "
            f"another certificate first"
        )


def certificate_subject(number: str) -> str:
    """Return the subject under which the vault keeps a certificate's secrets."""
    return sha256(f"certificate {number}".encode()).hexdigest()[:32]


def newest_number(session: Session, start: str) -> str | None:
    """Return the highest certificate number that begins like this, or None."""
    query = select(func.max(Certificate.number))
    return session.exec(query.where(col(Certificate.number).startswith(start))).one()


def owners_of(session: Session, serial: str) -> list[Owner]:
    """Return the registered owners of an instrument, the first one first."""
    query = select(Owner).where(col(Owner.serial) == serial)
    return list(session.exec(query.order_by(col(Owner.idx))).all())


def newest_owner(session: Session, serial: str) -> str | None:
    """Return the subject of an instrument's owner; None where none is, or is erased."""
    owners = owners_of(session, serial)
    if not owners or session.get(ErasedSubject, owners[-1].subject) is not None:
        return None
    return owners[-1].subject


def _issue(session: Session, entry: Entry, event: CertificateIssued) -> None:
    standing_build(session, event.serial)
    row = Certificate(
        number=event.number,
        serial=event.serial,
        issued_on=event.issued_on,
        idx=entry.index,
        status_token_sha256=event.status_token_sha256,
    )
    take(session, row)


def _withdraw(session: Session, entry: Entry, event: CertificateWithdrawn) -> None:
    row = taken(session, Certificate, event.number)
    if row.withdrawn_idx is not None:
        raise TamperError(
            f"certificate {event.number} was withdrawn by entry {row.withdrawn_idx} "
            f"before this one: run flitchbook record audit"
        )
    row.withdrawn_idx = entry.index


def _own(
    session: Session,
    entry: Entry,
    event: OwnerRegistered | OwnerTransferred,
    since: str,
) -> None:
    row = Owner(
        subject=event.owner,
        serial=event.serial,
        certificate=event.certificate,
        name_commitment=event.name_commitment,
        registered_on=since,
        idx=entry.index,
    )
    take(session, row)
