"""Which entries govern the log, so that a standing is known without reading it all."""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import ClockDoubted, Event
from ledger.log.approvals import once_of
from ledger.log.entry import Entry, Record, parse_record
from ledger.log.standing import is_governing
from ledger.log.tables import StoredEntry
from ledger.views.taking import take


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
    once = once_of(entry.event)
    if once is not None:
        take(session, OnceUsed(once=once, idx=entry.index))


def fold_clock(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about the clock into the view."""
    if isinstance(event, ClockDoubted):
        session.add(DoubtedTime(idx=entry.index, since=event.from_, until=event.to))


def governing_entries(session: Session) -> list[Entry]:
    """Return the governing entries, in order, out of the log."""
    return [record.entry for _, record in governing_records(session)]


def governing_records(session: Session) -> list[tuple[int, Record]]:
    """Return where the governing entries stand and their records, to be judged."""
    return [(idx, parse_record(data)) for idx, data in governing_rows(session)]


def governing_rows(session: Session) -> list[tuple[int, bytes]]:
    """Return where the governing entries stand and their records as stored."""
    query = (
        select(StoredEntry.idx, StoredEntry.record)
        .select_from(GoverningEntry)
        .join(StoredEntry, col(GoverningEntry.idx) == col(StoredEntry.idx))
        # By the small table's column: by the log's, SQLite would walk the whole log.
        .order_by(col(GoverningEntry.idx))
    )
    return [(idx, data) for idx, data in session.exec(query).all()]


def onces_used(session: Session, *, before: int) -> set[str]:
    """Return what the approvals of the first `before` entries bear once."""
    query = select(OnceUsed.once).where(col(OnceUsed.idx) < before)
    return set(session.exec(query).all())


def doubted_times(session: Session, *, before: int) -> list[tuple[str, str]]:
    """Return the spans of time that the first `before` entries doubt."""
    query = select(DoubtedTime).where(col(DoubtedTime.idx) < before)
    return [(row.since, row.until) for row in session.exec(query)]


def is_doubted(session: Session, at: str) -> bool:
    """Tell whether an entry's time lies in a span that somebody doubted."""
    query = select(DoubtedTime).where(
        col(DoubtedTime.since) <= at, col(DoubtedTime.until) >= at
    )
    return session.exec(query).first() is not None
