"""Numbers that papers prove issued in entries that are lost: nobody gets them again."""

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.events import Event, NumberReserved
from ledger.log.entry import Entry


class ReservedNumber(SQLModel, table=True):
    """A number that was issued, though the entry that says so is lost."""

    number: str = Field(primary_key=True)
    idx: int


def fold_reserved(session: Session, entry: Entry, event: Event) -> None:
    """Take the numbers that are kept free; one that is kept already stays as it is."""
    if isinstance(event, NumberReserved):
        for number in event.numbers:
            if session.get(ReservedNumber, number) is None:
                session.add(ReservedNumber(number=number, idx=entry.index))


def reserved(session: Session) -> list[ReservedNumber]:
    """Return every number that is kept free, in order."""
    query = select(ReservedNumber).order_by(col(ReservedNumber.number))
    return list(session.exec(query).all())


def newest_issued(session: Session, start: str, newest: str | None) -> str | None:
    """Return the highest number that begins like this, of the log's and of lost ones.

    newest  the highest that the log itself has, or None
    """
    query = select(func.max(ReservedNumber.number))
    lost = session.exec(query.where(col(ReservedNumber.number).startswith(start))).one()
    return max(filter(None, (newest, lost)), default=None)


def lost_words(session: Session, number: str) -> str | None:
    """Say that a number was issued in entries that are lost, or None where not."""
    row = session.get(ReservedNumber, number)
    if row is None:
        return None
    return (
        f"{number} was issued in entries that are lost, a paper proves it (entry "
        f"{row.idx}): nothing more is known of it here"
    )
