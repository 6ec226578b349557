"""One entry of the log, read in the same state as the views beside it."""

from sqlmodel import Session

from ledger.errors import NotFoundError
from ledger.log import queries
from ledger.log.entry import Entry, Record, parse_record


def entry_said(session: Session, index: int) -> Entry:
    """Return an entry; NotFoundError where there is none."""
    return record_said(session, index).entry


def record_said(session: Session, index: int) -> Record:
    """Return the record of an entry; NotFoundError where there is none."""
    return parse_record(record_in(session, index))


def record_in(session: Session, index: int) -> bytes:
    """Return the bytes of a record; NotFoundError where there is none."""
    data = queries.record(session.connection(), index)
    if data is None:
        raise NotFoundError(f"there is no entry {index}")
    return data
