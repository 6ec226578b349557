"""Which entries govern the log, so that a standing is known without reading it all."""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import ClockDoubted, Event
from ledger.log.entry import Entry, parse_record
from ledger.log.standing import is_governing
from ledger.log.tables import StoredEntry


class GoverningEntry(SQLModel, table=True):
    """An entry that changes who may say what."""

    idx: int = Field(primary_key=True)


class OnceUsed(SQLModel, table=True):
    """The `once` of an approval, which no other entry may bear."""

    once: str = Field(primary_key=True)
    idx: int


class DoubtedTime(SQLModel, table=True):
    """A span of times that are false, because the clock was."""

    idx: int = Field(primary_key=True)
    since: str
    until: str


class UsedOnces:
    """The onces of a log as a container, looked up one by one."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def __contains__(self, once: object) -> bool:
        return self._session.get(OnceUsed, once) is not None


def fold_entry(session: Session, entry: Entry) -> None:
    """Remember an entry that governs, and the once of its approvals."""
    if is_governing(entry.kind):
        session.add(GoverningEntry(idx=entry.index))
    approvals = entry.event.get("approvals")
    if approvals is not None:
        session.add(OnceUsed(once=approvals["once"], idx=entry.index))


def fold_clock(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about the clock into the view."""
    if isinstance(event, ClockDoubted):
        session.add(DoubtedTime(idx=entry.index, since=event.from_, until=event.to))


def governing_entries(session: Session) -> list[Entry]:
    """Return the governing entries, in order, out of the log."""
    query = (
        select(StoredEntry.record)
        .join(GoverningEntry, col(GoverningEntry.idx) == col(StoredEntry.idx))
        .order_by(col(StoredEntry.idx))
    )
    return [parse_record(record).entry for record in session.exec(query).all()]


def is_doubted(session: Session, at: str) -> bool:
    """Tell whether an entry's time lies in a span that somebody doubted."""
    query = select(DoubtedTime).where(
        col(DoubtedTime.since) <= at, col(DoubtedTime.until) >= at
    )
    return session.exec(query).first() is not None
