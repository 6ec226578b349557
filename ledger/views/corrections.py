"""Entries that were struck, and what their views show since."""

from collections.abc import Collection, Sequence
from typing import Any, NamedTuple

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import CorrectionMade, Event, OverrideGiven
from ledger.log.entry import Entry
from ledger.views.allotting import leave, steps_that_took
from ledger.views.boards import Board, BoardParent, whole
from ledger.views.builds import (
    Build,
    BuildMeasure,
    SignedStep,
    StepGauge,
    StepMaterial,
    StepPhotograph,
    WeighedPart,
    looked_at,
)
from ledger.views.certificates import certificates_after
from ledger.views.grading import Grading, Match, Rejection, show_rejection
from ledger.views.graduations import Graduation
from ledger.views.harvests import HarvestNaming, refresh_country
from ledger.views.materials import Calibration, MaterialDocument
from ledger.views.measures import Metering, Placing, Sizing, Weighing, refresh
from ledger.views.orders import Concession
from ledger.views.permits import PermitRow
from ledger.views.plots import LotPlots
from ledger.views.readings import (
    Flexing,
    Photograph,
    RoomLog,
    RoomReading,
    Tapping,
    VoiceTapping,
)
from ledger.views.relying import came_with_it, relies_on
from ledger.views.service import Service, ServiceMaterial, Trip
from ledger.views.shipments import shipments_of
from ledger.views.taking import take, taken
from ledger.views.wood import LotDocument

# Views whose rows an entry gave, and that stay when it is struck.
STRUCK = (
    Sizing,
    Weighing,
    Metering,
    Flexing,
    Placing,
    Photograph,
    Tapping,
    VoiceTapping,
    RoomReading,
    RoomLog,
    Graduation,
    Grading,
    Rejection,
    Match,
    SignedStep,
    BuildMeasure,
    WeighedPart,
    StepMaterial,
    StepGauge,
    StepPhotograph,
    Calibration,
    Concession,
    PermitRow,
    LotPlots,
    LotDocument,
    MaterialDocument,
    HarvestNaming,
    Service,
    ServiceMaterial,
    Trip,
)


class Correction(SQLModel, table=True):
    """An entry that was struck, and the one that struck it."""

    struck: int = Field(primary_key=True)
    idx: int


class GivenReason(SQLModel, table=True):
    """That somebody gave a reason, which the vault keeps for as long as the name."""

    idx: int = Field(primary_key=True)
    commitment: str
    key: str


class Override(SQLModel, table=True):
    """A board that a lead let be used in an instrument against a rule."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    serial: str = Field(index=True)
    policy: str
    version: int = Field(sa_type=BigInteger)


class _Given(NamedTuple):
    """What an entry gave."""

    rows: Sequence[Any]
    numbered: Sequence[Board]
    allotted: Sequence[Board]
    consumed: Sequence[Board]


def fold_corrections(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that strikes another or overrides a rule, and that it says why."""
    reason = entry.event.get("reason_commitment")
    if reason is not None:
        given_by = GivenReason(idx=entry.index, commitment=reason, key=entry.key)
        session.add(given_by)
    match event:
        case CorrectionMade():
            if event.index >= entry.index:
                raise TamperError(
                    f"entry {event.index} is struck by entry {entry.index}, which is "
                    f"not after it: run flitchbook record audit"
                )
            struck = _given_by(session, event.index)
            _require_loose(session, event.index, struck)
            take(session, Correction(struck=event.index, idx=entry.index))
            _strike(session, struck, entry.index)
        case OverrideGiven():
            _require_free(session, event)
            given = Override(
                idx=entry.index,
                board=event.board,
                serial=event.serial,
                policy=event.policy,
                version=event.version,
            )
            session.add(given)


def correction_of(session: Session, index: int) -> Correction | None:
    """Return what struck an entry, or None."""
    return session.get(Correction, index)


def corrections_of(session: Session, indexes: Collection[int]) -> dict[int, Correction]:
    """Return what struck some entries, by the entry that was struck."""
    if not indexes:
        return {}
    struck = col(Correction.struck)
    query = select(Correction).where(struck.between(min(indexes), max(indexes)))
    known = set(indexes)
    return {row.struck: row for row in session.exec(query) if row.struck in known}


def override_for(session: Session, board: str, serial: str) -> Override | None:
    """Return the newest override for a board in an instrument, or None."""
    query = select(Override).where(
        col(Override.board) == board, col(Override.serial) == serial
    )
    return session.exec(query.order_by(col(Override.idx).desc())).first()


def overrides_for(session: Session, board: str, serial: str) -> list[Override]:
    """Return every override for a board in an instrument, the oldest first."""
    query = select(Override).where(
        col(Override.board) == board, col(Override.serial) == serial
    )
    return list(session.exec(query.order_by(col(Override.idx))).all())


def _require_free(session: Session, event: OverrideGiven) -> None:
    """See that a board is one that can still be used, and the instrument is there."""
    board = whole(session, event.board)
    taken(session, Build, event.serial)
    if board.serial is not None:
        raise TamperError(
            f"board {event.board} is let for {event.serial}, and was in {board.serial} "
            f"before: run flitchbook record audit"
        )


def _given_by(session: Session, index: int) -> _Given:
    """Return all that an entry gave: rows of views, boards numbered or allotted."""
    rows = [
        row
        for view in STRUCK
        for row in session.exec(select(view).where(col(view.idx) == index)).all()
    ]
    numbered = select(Board).where(col(Board.idx) == index)
    allotted = select(Board).where(col(Board.allotted_idx) == index)
    consumed = select(Board).where(col(Board.consumed_idx) == index)
    boards = (session.exec(each).all() for each in (numbered, allotted, consumed))
    return _Given(rows, *boards)


def _require_loose(session: Session, index: int, given: _Given) -> None:
    """See that an entry can be struck: it gave something, and nothing rests on it.

    A piece's number and first mass came off the saw, where its board ended; what came
    in with a lot or a batch stays with it.
    """
    is_piece = session.exec(select(BoardParent).where(col(BoardParent.idx) == index))
    joins = [r for r in given.rows if isinstance(r, LotDocument | MaterialDocument)]
    if (
        is_piece.first() is not None
        or not any(given)
        or any(came_with_it(session, join) for join in joins)
    ):
        raise TamperError(
            f"entry {index} is none that can be struck: run flitchbook record audit"
        )
    holds = [
        *(_holds_number(session, board) for board in given.numbered),
        *(_holds_mass(session, row) for row in given.rows if isinstance(row, Weighing)),
        *(_holds_allotment(session, board, index) for board in given.allotted),
        *(_holds_consumed(session, board, index) for board in given.consumed),
        *(
            _holds_step(session, row)
            for row in given.rows
            if isinstance(row, SignedStep)
        ),
        *(
            f"entry {row.returned_idx}"
            for row in given.rows
            if isinstance(row, Trip) and row.returned_idx is not None
        ),
        *(
            relies_on(session, row)
            for row in given.rows
            if isinstance(row, LotDocument | MaterialDocument | HarvestNaming)
        ),
    ]
    hold = next(filter(None, holds), None)
    if hold is not None:
        raise TamperError(
            f"entry {index} is not struck, for {hold} rests on it: run flitchbook "
            f"record audit"
        )


def _holds_number(session: Session, board: Board) -> str | None:
    """Say what rests on a board's number."""
    if board.serial is not None:
        return board.serial
    if board.became_idx is not None:
        return f"entry {board.became_idx}"
    return next((s.number for s in shipments_of(session, board.code)), None)


def _holds_mass(session: Session, row: Weighing) -> str | None:
    """Say what rests on a board's mass: the saw's balance, or the glue's shares."""
    board = session.get_one(Board, row.board)
    return f"entry {board.became_idx}" if board.became_idx is not None else None


def _holds_build(session: Session, serial: str, index: int) -> str | None:
    """Say what rests on how an instrument was built by an entry."""
    issued = certificates_after(session, serial, index)
    return next((certificate.number for certificate in issued), None)


def _holds_allotment(session: Session, board: Board, index: int) -> str | None:
    """Say what rests on an allotment: that the wood went in, or a certificate."""
    if board.consumed_idx is not None:
        return f"entry {board.consumed_idx}"
    return _holds_build(session, str(board.serial), index)


def _holds_consumed(session: Session, board: Board, index: int) -> str | None:
    """Say what rests on wood that went in: the step that took it, or a certificate."""
    for signed in steps_that_took(session, board):
        return f"entry {signed.idx}"
    return _holds_build(session, str(board.serial), index)


def _holds_step(session: Session, signed: SignedStep) -> str | None:
    """Say what rests on a step: a certificate, or whoever looked at the work."""
    certificate = _holds_build(session, signed.serial, signed.idx)
    if certificate is not None or signed.meaning != "did":
        return certificate
    return next((f"entry {row.idx}" for row in looked_at(session, signed)), None)


def _strike(session: Session, given: _Given, by: int) -> None:
    """Mark every row that the struck entry gave, and show what stands without it."""
    for row in given.rows:
        row.struck_idx = by
        if isinstance(row, Sizing | Weighing | Placing):
            refresh(session, row.board)
        if isinstance(row, LotDocument):
            refresh_country(session, row.lot)
        if isinstance(row, HarvestNaming):
            refresh_country(session, row.code)
        if isinstance(row, Rejection):
            session.flush()
            show_rejection(session, row.board)
    for board in given.numbered:
        board.struck_idx = by
    for board in given.consumed:
        board.consumed_idx = None
    for board in given.allotted:
        leave(session, board, by, "struck")
