"""Everybody and everything of whom the vault may keep something."""

from sqlmodel import Session, select

from ledger.views.certificates import Certificate, Owner, certificate_subject
from ledger.views.ownership import TheftReport, TransferCode, slip_subject
from ledger.views.people import Person
from ledger.views.wood import Supplier


def known_subjects(session: Session) -> frozenset[str]:
    """Return every subject of whom the log speaks."""
    known = set(session.exec(select(Person.subject)).all())
    known |= set(session.exec(select(Supplier.subject)).all())
    known |= set(session.exec(select(Owner.subject)).all())
    known |= set(session.exec(select(TheftReport.claimant)).all())
    numbers = session.exec(select(Certificate.number)).all()
    known |= {certificate_subject(number) for number in numbers}
    slips = filter(None, session.exec(select(TransferCode.slip)).all())
    return frozenset(known | {slip_subject(number) for number in slips})
