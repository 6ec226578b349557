"""The plots of land on which lots grew, each filed in a paper of its own."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import Event, PlotsFiled
from ledger.log.entry import Entry
from ledger.views.measures import stands
from ledger.views.taking import taken
from ledger.views.wood import Document, Lot


class LotPlots(SQLModel, table=True):
    """That the plots of a lot are on file: in which paper, how many, when cut."""

    idx: int = Field(primary_key=True)
    lot: str = Field(index=True)
    document: str
    harvested_from: str
    harvested_to: str
    number: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None


def fold_plots(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that says where a lot grew into the view."""
    if not isinstance(event, PlotsFiled):
        return
    taken(session, Lot, event.lot)
    taken(session, Document, event.document)
    before = plots_of(session, event.lot)
    if before is not None:
        raise TamperError(
            f"the plots of {event.lot} were filed by entry {before.idx} before this "
            f"one: run flitchbook record audit"
        )
    row = LotPlots(
        idx=entry.index,
        lot=event.lot,
        document=event.document,
        harvested_from=event.harvested_from,
        harvested_to=event.harvested_to,
        number=event.number,
    )
    session.add(row)


def plots_of(session: Session, lot: str, at: int | None = None) -> LotPlots | None:
    """Return what is on file of the plots of a lot, or was after an entry, or None."""
    query = select(LotPlots).where(col(LotPlots.lot) == lot, stands(LotPlots, at))
    return session.exec(query).first()
