"""Numbers that papers prove issued in entries that are lost: nobody gets them again."""

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.events import EntryRecovered, Event, NumberReserved
from ledger.log.entry import Entry
from ledger.scales import some_of
from ledger.views.naming import entries_naming


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
    """Say that a number was issued in entries that are lost, or None where not.

    Where one that names it was found and is quoted, it says in which entry.
    """
    row = session.get(ReservedNumber, number)
    if row is None:
        return None
    quoting = [
        str(entry.index)
        for entry in entries_naming(session, number)
        if entry.kind == EntryRecovered.kind
    ]
    known = "nothing more is known of it here"
    if quoting:
        noun = "entry" if len(quoting) == 1 else "entries"
        known = (
            f"what was found of it is quoted in {noun} {some_of(quoting)} and folded "
            f"into nothing, flitchbook trace {number} tells it"
        )
    return (
        f"{number} was issued in entries that are lost, a paper proves it (entry "
        f"{row.idx}): {known}"
    )
