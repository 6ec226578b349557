"""What papers were issued for: lines of species and amounts, as they were read."""

from collections.abc import Sequence

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import Event, PermitRead
from ledger.log.entry import Entry
from ledger.views.taking import taken
from ledger.views.wood import Document


class PermitRow(SQLModel, table=True):
    """One line of a paper: a species or a genus, and the amount in one unit."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    document: str = Field(index=True)
    species: str
    mass_mg: int | None = Field(default=None, sa_type=BigInteger)
    volume_mm3: int | None = Field(default=None, sa_type=BigInteger)
    pieces: int | None = Field(default=None, sa_type=BigInteger)
    as_written: str | None = None
    struck_idx: int | None = None


def fold_permits(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that says what a paper was issued for into the view."""
    if not isinstance(event, PermitRead):
        return
    taken(session, Document, event.document)
    before = permit_rows(session, event.document)
    if before:
        raise TamperError(
            f"what {event.document} was issued for was read by entry {before[0].idx} "
            f"before this one: run flitchbook record audit"
        )
    for position, line in enumerate(event.lines, start=1):
        row = PermitRow(
            idx=entry.index,
            position=position,
            document=event.document,
            species=line.species,
            mass_mg=line.mass_mg,
            volume_mm3=line.volume_mm3,
            pieces=line.pieces,
            as_written=line.as_written,
        )
        session.add(row)


def permit_rows(session: Session, document: str) -> Sequence[PermitRow]:
    """Return what a paper was issued for, line by line, as far as it was read."""
    query = select(PermitRow).where(
        col(PermitRow.document) == document, col(PermitRow.struck_idx).is_(None)
    )
    return session.exec(query.order_by(col(PermitRow.position))).all()
