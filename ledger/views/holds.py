"""What is in doubt today, and what was cleared of it."""

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import Event, HoldLifted, HoldPlaced
from ledger.log.entry import Entry
from ledger.views.boards import Board, boards_named
from ledger.views.materials import Gauge, Material
from ledger.views.people import Person
from ledger.views.taking import take, taken
from ledger.views.wood import Document, Lot, Supplier

THINGS: dict[str, type[SQLModel]] = {
    "supplier": Supplier,
    "document": Document,
    "lot": Lot,
    "batch": Material,
    "gauge": Gauge,
    "person": Person,
}


class Hold(SQLModel, table=True):
    """A doubt in something of the shop; one with a `lifted_idx` is over."""

    hold: str = Field(primary_key=True)
    on: str = Field(index=True)
    code: str = Field(index=True)
    since: str | None
    key: str
    at: str
    idx: int
    lifted_idx: int | None = None


class HoldClearing(SQLModel, table=True):
    """What was cleared of a doubt, a lot or a board, while the rest of it stands.

    An instrument is cleared of what is in it then, and may be again of what came since.
    """

    hold: str = Field(primary_key=True)
    code: str = Field(primary_key=True)
    idx: int = Field(primary_key=True)


def fold_holds(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about a doubt into the view."""
    match event:
        case HoldPlaced():
            _require_there(session, event)
            row = Hold(
                hold=event.hold,
                on=event.on,
                code=event.code,
                since=event.since,
                key=entry.key,
                at=entry.at,
                idx=entry.index,
            )
            take(session, row)
        case HoldLifted():
            _lift(session, entry, event)


def open_holds(session: Session) -> list[Hold]:
    """Return the doubts that stand, the oldest first."""
    query = select(Hold).where(col(Hold.lifted_idx).is_(None))
    return list(session.exec(query.order_by(col(Hold.idx))).all())


def all_holds(session: Session) -> list[Hold]:
    """Return every doubt there ever was, the oldest first."""
    return list(session.exec(select(Hold).order_by(col(Hold.idx))).all())


def clearings_of(session: Session, hold: str) -> list[HoldClearing]:
    """Return what was cleared of a doubt, the first one first."""
    query = select(HoldClearing).where(col(HoldClearing.hold) == hold)
    by_entry = query.order_by(col(HoldClearing.idx), col(HoldClearing.code))
    return list(session.exec(by_entry).all())


def newest_hold(session: Session, start: str) -> str | None:
    """Return the highest number of a hold that begins like this, or None."""
    query = select(func.max(Hold.hold)).where(col(Hold.hold).startswith(start))
    return session.exec(query).one()


def _require_there(session: Session, event: HoldPlaced) -> None:
    """See that there is what is in doubt; a set is there where its halves are.

    Raises TamperError where no entry before said so.
    """
    if event.on != "board":
        taken(session, THINGS[event.on], event.code)
    elif not boards_named(session, event.code):
        taken(session, Board, event.code)


def _lift(session: Session, entry: Entry, event: HoldLifted) -> None:
    hold = taken(session, Hold, event.hold)
    if hold.lifted_idx is not None:
        raise TamperError(
            f"hold {event.hold} was lifted before, by entry {hold.lifted_idx}: run "
            f"flitchbook record audit"
        )
    if event.code is None:
        hold.lifted_idx = entry.index
        return
    cleared = HoldClearing(hold=event.hold, code=event.code, idx=entry.index)
    take(session, cleared)
