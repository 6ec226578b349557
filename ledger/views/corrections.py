"""Entries that were struck, and what their views show since."""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import CorrectionMade, Event, OverrideGiven
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.builds import BuildMeasure, SignedStep, WeighedPart
from ledger.views.measures import Placing, Sizing, Weighing, refresh
from ledger.views.readings import Photograph, RoomReading, Tapping
from ledger.views.taking import take

# Views whose rows an entry gave, and that stay when it is struck.
STRUCK = (
    Sizing,
    Weighing,
    Placing,
    Photograph,
    Tapping,
    RoomReading,
    SignedStep,
    BuildMeasure,
    WeighedPart,
)


class Correction(SQLModel, table=True):
    """An entry that was struck, and the one that struck it."""

    struck: int = Field(primary_key=True)
    idx: int
    reason_commitment: str | None = None


class Override(SQLModel, table=True):
    """A board that a lead let be used in an instrument against a rule."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    serial: str = Field(index=True)
    policy: str
    reason_commitment: str | None


def fold_corrections(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that strikes another, or overrides a rule, into the view."""
    reason = entry.event.get("reason_commitment")
    match event:
        case CorrectionMade():
            if event.index >= entry.index:
                raise TamperError(
                    f"entry {event.index} is struck by entry {entry.index}, which is "
                    f"not after it: run flitchbook record audit"
                )
            row = Correction(struck=event.index, idx=entry.index)
            row.reason_commitment = reason
            take(session, row)
            _strike(session, event.index, entry.index)
        case OverrideGiven():
            given = Override(
                idx=entry.index,
                board=event.board,
                serial=event.serial,
                policy=event.policy,
                reason_commitment=reason,
            )
            session.add(given)


def correction_of(session: Session, index: int) -> Correction | None:
    """Return what struck an entry, or None."""
    return session.get(Correction, index)


def override_for(session: Session, board: str, serial: str) -> Override | None:
    """Return the newest override for a board in an instrument, or None."""
    query = select(Override).where(
        col(Override.board) == board, col(Override.serial) == serial
    )
    return session.exec(query.order_by(col(Override.idx).desc())).first()


def _strike(session: Session, index: int, by: int) -> None:
    """Mark every row that the struck entry gave, and show what stands without it."""
    for view in STRUCK:
        for row in session.exec(select(view).where(col(view.idx) == index)).all():
            row.struck_idx = by
            if isinstance(row, Sizing | Weighing | Placing):
                refresh(session, row.board)
    for board in session.exec(select(Board).where(col(Board.idx) == index)).all():
        board.struck_idx = by
    query = select(Board).where(col(Board.allotted_idx) == index)
    for board in session.exec(query).all():
        board.serial = board.part = board.allotted_idx = None
