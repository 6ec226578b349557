"""Codes under the fold of transfer slips, and reports of theft, as they are today.

Of an instrument at most one code is open: the first certificate's, or the one that took
its place when a code was used or its slip was lost. A code that is on a slip goes on
over every newer certificate, whose own is never used: else whoever issues certificates
could make a slip worthless at once. A code is kept as its SHA-256.
"""

from hashlib import sha256

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    CertificateIssued,
    Event,
    NoticeSent,
    OwnerTransferred,
    SlipFound,
    SlipIssued,
    SlipLost,
    SlipPrinted,
    SlipPrintedV1,
    TheftReported,
    TheftWithdrawn,
)
from ledger.log.entry import Entry
from ledger.log.statusfile import REPORTED, STATES, SUPERSEDED, WITHDRAWN
from ledger.views.certificates import Certificate, certificates_of, owners_of
from ledger.views.taking import require_free, take, taken

# How a code came to its end.
USED, REPLACED, CERTIFIED_ANEW = "used", "replaced", "superseded"
# Of a certificate that came while a slip was out: the slip goes on in its place.
UNUSED = "unused"


class TransferCode(SQLModel, table=True):
    """A code that a transfer asks for: whose, on which slip, and how it ended.

    `carried_idx` is of its newest print that carried a checkpoint out.
    """

    idx: int = Field(primary_key=True)
    sha256: str = Field(index=True)
    serial: str = Field(index=True)
    certificate: str
    slip: str | None = Field(default=None, index=True)
    slip_idx: int | None = None
    prints: int = 0
    carried_idx: int | None = None
    lost_idx: int | None = None
    lost_on: str | None = None
    notice_idx: int | None = None
    notice_on: str | None = None
    ended_idx: int | None = None
    how: str | None = None


class TheftReport(SQLModel, table=True):
    """Somebody's report that an instrument was taken, by subject."""

    serial: str = Field(primary_key=True)
    number: int = Field(primary_key=True)
    claimant: str = Field(index=True)
    name_commitment: str
    said_on: str
    entered_on: str
    idx: int
    withdrawn_idx: int | None = None


def fold_ownership(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about slips, changes of owner and reports into the view."""
    match event:
        case CertificateIssued():
            _certify(session, entry, event)
        case SlipIssued():
            _issue(session, entry, event)
        case SlipPrintedV1():
            slip_row(session, event.slip).prints += 1
        case SlipPrinted():
            row = slip_row(session, event.slip)
            row.prints, row.carried_idx = row.prints + 1, entry.index
        case SlipLost() | SlipFound() | NoticeSent():
            _fold_loss(session, entry, event)
        case OwnerTransferred():
            _transfer(session, entry, event)
        case TheftReported():
            _report(session, entry, event)
        case TheftWithdrawn():
            _withdraw(session, entry, event)


def _fold_loss(
    session: Session, entry: Entry, event: SlipLost | SlipFound | NoticeSent
) -> None:
    """Take in that a slip is lost, was found, or that its notice was sent."""
    row = _open_slip(session, event.slip, is_lost=not isinstance(event, SlipLost))
    if isinstance(event, SlipLost):
        row.lost_idx, row.lost_on = entry.index, entry.at[:10]
    elif isinstance(event, SlipFound):
        row.lost_idx = row.lost_on = row.notice_idx = row.notice_on = None
    elif row.notice_idx is not None:
        raise _again(f"the notice of slip {event.slip} was sent")
    else:
        row.notice_idx, row.notice_on = entry.index, entry.at[:10]


def codes_of(session: Session, serial: str) -> list[TransferCode]:
    """Return the codes that an instrument ever had, the oldest first."""
    query = select(TransferCode).where(col(TransferCode.serial) == serial)
    return list(session.exec(query.order_by(col(TransferCode.idx))).all())


def open_code(session: Session, serial: str) -> TransferCode | None:
    """Return the code of an instrument that a transfer asks for, or None."""
    query = select(TransferCode).where(
        col(TransferCode.serial) == serial, col(TransferCode.ended_idx).is_(None)
    )
    return session.exec(query.order_by(col(TransferCode.idx).desc())).first()


def codes_like(session: Session, digest: str) -> list[TransferCode]:
    """Return whatever a code of this SHA-256 was or is for, the oldest first."""
    query = select(TransferCode).where(col(TransferCode.sha256) == digest)
    return list(session.exec(query.order_by(col(TransferCode.idx))).all())


def newest_slip(session: Session, start: str) -> str | None:
    """Return the highest number of a slip that begins like this, or None."""
    query = select(func.max(TransferCode.slip))
    return session.exec(query.where(col(TransferCode.slip).startswith(start))).one()


def slip_subject(number: str) -> str:
    """Return the subject under which the vault keeps the code of a slip."""
    return sha256(f"slip {number}".encode()).hexdigest()[:32]


def slip_row(session: Session, number: str) -> TransferCode:
    """Return the code on a slip; TamperError where no entry gave it its number."""
    query = select(TransferCode).where(col(TransferCode.slip) == number)
    row = session.exec(query).first()
    if row is None:
        raise TamperError(
            f"there is no slip {number} before this entry: run flitchbook record audit"
        )
    return row


def reports_of(session: Session, serial: str) -> list[TheftReport]:
    """Return the reports of theft of an instrument, withdrawn ones too."""
    query = select(TheftReport).where(col(TheftReport.serial) == serial)
    return list(session.exec(query.order_by(col(TheftReport.number))).all())


def open_reports(session: Session, serial: str) -> list[TheftReport]:
    """Return the reports of theft that stand."""
    return [row for row in reports_of(session, serial) if row.withdrawn_idx is None]


def reports_about(session: Session, subject: str) -> list[TheftReport]:
    """Return the open reports that name somebody, or an instrument that was theirs."""
    claimed = select(TheftReport).where(
        col(TheftReport.claimant) == subject, col(TheftReport.withdrawn_idx).is_(None)
    )
    found = {(row.serial, row.number): row for row in session.exec(claimed).all()}
    standing = select(TheftReport).where(col(TheftReport.withdrawn_idx).is_(None))
    for row in session.exec(standing).all():
        if any(owner.subject == subject for owner in owners_of(session, row.serial)):
            found[row.serial, row.number] = row
    return [found[key] for key in sorted(found)]


def is_claimant(session: Session, subject: str) -> bool:
    """Tell whether somebody ever reported an instrument as taken."""
    query = select(TheftReport).where(col(TheftReport.claimant) == subject)
    return session.exec(query).first() is not None


def states_of(session: Session, certificate: Certificate) -> tuple[str, ...]:
    """Return what a certificate is by now besides true as of its day, sorted."""
    issued = certificates_of(session, certificate.serial)
    is_reported = bool(open_reports(session, certificate.serial))
    return _states(certificate, newest=issued[-1].idx, is_reported=is_reported)


def states_now(session: Session) -> dict[str, tuple[str, ...]]:
    """Return the states of every certificate that has any.

    By the SHA-256 of its status token; all certificates are read once.
    """
    rows = session.exec(select(Certificate).order_by(col(Certificate.idx))).all()
    newest = {row.serial: row.idx for row in rows}
    query = select(TheftReport.serial).where(col(TheftReport.withdrawn_idx).is_(None))
    reported = set(session.exec(query).all())
    states = {
        row.status_token_sha256: _states(
            row, newest=newest[row.serial], is_reported=row.serial in reported
        )
        for row in rows
    }
    return {token: said for token, said in states.items() if said}


def _states(
    certificate: Certificate, *, newest: int, is_reported: bool
) -> tuple[str, ...]:
    """Judge a certificate by the entry of its instrument's newest, and by reports."""
    said = {
        REPORTED: is_reported,
        SUPERSEDED: newest > certificate.idx,
        WITHDRAWN: certificate.withdrawn_idx is not None,
    }
    return tuple(state for state in STATES if said[state])


def _give(
    session: Session, entry: Entry, serial: str, certificate: str, digest: str
) -> TransferCode:
    row = TransferCode(
        idx=entry.index, sha256=digest, serial=serial, certificate=certificate
    )
    take(session, row)
    return row


def _certify(session: Session, entry: Entry, event: CertificateIssued) -> None:
    """Open a certificate's own code, unless the one that works is on a slip."""
    before = open_code(session, event.serial)
    is_out = before is not None and before.slip is not None
    if not is_out:
        _end_open(session, event.serial, entry.index, CERTIFIED_ANEW)
    digest = event.transfer_sha256
    row = _give(session, entry, event.serial, event.number, digest)
    if is_out:
        row.ended_idx, row.how = entry.index, UNUSED
        session.flush()


def _end_open(session: Session, serial: str, index: int, how: str) -> None:
    row = open_code(session, serial)
    if row is not None:
        row.ended_idx, row.how = index, how
        session.flush()


def _issue(session: Session, entry: Entry, event: SlipIssued) -> None:
    """Give the open code its slip, or a new code where none is open or one is lost."""
    taken(session, Certificate, event.certificate)
    require_free(session, TransferCode, slip=event.slip)
    _open_unused(session, entry, event)
    row = open_code(session, event.serial)
    if row is None or row.sha256 != event.transfer_sha256:
        if row is not None and row.lost_idx is None:
            raise _again(f"{event.serial} has a code that works")
        require_free(session, TransferCode, sha256=event.transfer_sha256)
        _end_open(session, event.serial, entry.index, REPLACED)
        row = _give(
            session, entry, event.serial, event.certificate, event.transfer_sha256
        )
    elif row.slip is not None:
        raise _again(f"the code of {event.serial} is on slip {row.slip}")
    row.slip, row.slip_idx = event.slip, entry.index


def _open_unused(session: Session, entry: Entry, event: SlipIssued) -> None:
    """Let a newer certificate's own code take a slip's place, as older entries say."""
    for row in codes_like(session, event.transfer_sha256):
        if row.how == UNUSED and row.certificate == event.certificate:
            _end_open(session, event.serial, entry.index, CERTIFIED_ANEW)
            row.ended_idx = row.how = None
            session.flush()


def _open_slip(session: Session, number: str, *, is_lost: bool) -> TransferCode:
    row = slip_row(session, number)
    if row.ended_idx is not None or (row.lost_idx is not None) != is_lost:
        raise _again(f"slip {number} was said to be so, or has ended,")
    return row


def _transfer(session: Session, entry: Entry, event: OwnerTransferred) -> None:
    row = open_code(session, event.serial)
    if row is None or row.sha256 != event.consumed_sha256:
        raise _again(f"the code that {event.serial} was handed over with had ended")
    row.ended_idx, row.how = entry.index, USED


def _report(session: Session, entry: Entry, event: TheftReported) -> None:
    if not certificates_of(session, event.serial):
        raise _again(f"{event.serial} has no certificate")
    if event.number != len(reports_of(session, event.serial)) + 1:
        raise _again(f"report {event.number} of {event.serial} is not the next")
    row = TheftReport(
        serial=event.serial,
        number=event.number,
        claimant=event.claimant,
        name_commitment=event.name_commitment,
        said_on=event.said_on,
        entered_on=entry.at[:10],
        idx=entry.index,
    )
    take(session, row)


def _withdraw(session: Session, entry: Entry, event: TheftWithdrawn) -> None:
    row = session.get(TheftReport, (event.serial, event.number))
    if row is None or row.withdrawn_idx is not None:
        raise _again(f"no report {event.number} of {event.serial} stood")
    row.withdrawn_idx = entry.index


def _again(what: str) -> TamperError:
    return TamperError(f"{what} before this entry: run flitchbook record audit")
