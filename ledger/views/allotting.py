"""Boards kept for somebody, allotted, let go, built in, spoiled and taken off again."""

from collections.abc import Collection, Iterable
from typing import NamedTuple, TypeVar

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    BoardConsumed,
    BoardReleased,
    BoardReserved,
    BuildVoided,
    Event,
    ModelDefined,
    PartRemoved,
    PartScrapped,
)
from ledger.log.entry import Entry
from ledger.views.boards import Board, boards_in, whole
from ledger.views.builds import (
    AnyStep,
    Build,
    BuildMeasure,
    SignedStep,
    measures_read,
    reworked_since,
    signed_steps,
    standing_build,
)
from ledger.views.models import plan_of
from ledger.views.taking import taken


class Stay(SQLModel, table=True):
    """That a board was allotted to an instrument, and by which entry it is no more."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    serial: str = Field(index=True)
    part: str
    ended_idx: int | None = None
    how: str | None = None  # "released", "struck", "scrapped", "removed" or "voided"


class PlainStay(NamedTuple):
    """A stay as plain columns, for whoever reads those of many instruments."""

    idx: int
    board: str
    serial: str
    part: str
    ended_idx: int | None
    how: str | None


AnyStay = Stay | PlainStay
Wood = TypeVar("Wood", bound=AnyStay)


def fold_allotting(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about who has which board into the view."""
    match event:
        case BoardAllotted():
            _allot(session, entry, event)
        case BoardReserved() | BoardReleased() | BoardConsumed():
            _keep(session, entry, event)
        case PartScrapped():
            _take_off(session, entry, event, "scrapped")
        case PartRemoved():
            _take_off(session, entry, event, "removed")
        case BuildVoided():
            for board in boards_in(session, event.serial):
                if board.consumed_idx is None:
                    leave(session, board, entry.index, "voided")


def stays_of(session: Session, code: str) -> list[Stay]:
    """Return the instruments that a board was ever allotted to, the first one first."""
    query = select(Stay).where(col(Stay.board) == code)
    return list(session.exec(query.order_by(col(Stay.idx))).all())


def stays_in(session: Session, serial: str) -> list[Stay]:
    """Return the boards that were ever allotted to an instrument, in order."""
    query = select(Stay).where(col(Stay.serial) == serial)
    return list(session.exec(query.order_by(col(Stay.idx))).all())


def stays_at(session: Session, serial: str, at: int) -> list[Stay]:
    """Return the boards that were in an instrument after an entry, in order."""
    return [
        stay
        for stay in stays_in(session, serial)
        if stay.idx <= at and (stay.ended_idx is None or stay.ended_idx > at)
    ]


def reserved_boards(session: Session) -> list[Board]:
    """Return the boards that are kept for somebody, or were until a day that is over.

    Those whose day is over first; then by code.
    """
    query = select(Board).where(col(Board.reserved_for).is_not(None))
    by_day = (col(Board.reserved_until), col(Board.code))
    return list(session.exec(query.order_by(*by_day)).all())


def reserved_for(session: Session, names: Collection[str], part: str) -> list[Board]:
    """Return the boards that are kept as a part for any of these names, by code."""
    query = select(Board).where(
        col(Board.reserved_for).in_(names), col(Board.reserved_part) == part
    )
    return list(session.exec(query.order_by(col(Board.code))).all())


def steps_that_took(session: Session, board: Board) -> list[SignedStep]:
    """Return the signatures that count of steps that use up a board's part."""
    build = session.get(Build, board.serial or "")
    if build is None:
        return []
    plan = plan_of(session, build.model, build.version)
    took = {s.step for s in plan.steps if board.part in (s.uses_up or ())}
    signed = standing_steps(session, build)
    return [row for row in signed if row.step in took and row.meaning == "did"]


def standing_steps(session: Session, build: Build) -> list[SignedStep]:
    """Return the signed steps that count, of wood that still is in the instrument."""
    plan = plan_of(session, build.model, build.version)
    stays = stays_in(session, build.serial)
    rows = signed_steps(session, build.serial)
    return [row for row in rows if newer_wood(row, plan, stays) is None]


def standing_measures(session: Session, build: Build) -> list[BuildMeasure]:
    """Return the newest value of each thing measured with a step that counts."""
    counting = {row.idx for row in standing_steps(session, build)}
    read = measures_read(session, build.serial)
    return list({row.what: row for row in read if row.idx in counting}.values())


def done_anew_since(session: Session, serial: str, step: str) -> int:
    """Return the newest entry by which a step is to be done anew, or -1.

    That is an order to do it again, or wood of its part that came off or came in since.
    """
    build = session.get_one(Build, serial)
    plan = plan_of(session, build.model, build.version)
    uses, optional = _uses(plan, step)
    stays = [stay for stay in stays_in(session, serial) if stay.part in uses]
    since = [reworked_since(session, serial, step)]
    since += [
        int(stay.ended_idx or 0)
        for stay in stays
        if stay.how in ("scrapped", "removed") and stay.part not in optional
    ]
    for row in signed_steps(session, serial):
        newer = newer_wood(row, plan, stays) if row.step == step else None
        if newer is not None and newer.idx > row.idx:
            since.append(newer.idx)
    return max(since)


def newer_wood(
    row: AnyStep,
    plan: ModelDefined,
    stays: Iterable[Wood],
    *,
    at: int | None = None,
) -> Wood | None:
    """Return which wood went in or came off since a step used up that part, if any.

    An optional part that is without wood now asks for nothing. With `at` it is told as
    it was after that entry.
    """
    uses, optional = _uses(plan, row.step)
    found = None
    for stay in stays:
        if stay.part not in uses or (at is not None and stay.idx > at):
            continue
        is_over = stay.ended_idx is not None and (at is None or stay.ended_idx <= at)
        ended = stay.ended_idx if is_over else None
        was_in = ended is None or stay.how in ("scrapped", "removed")
        is_newer = stay.idx > row.idx and was_in
        is_gone = ended is not None and stay.idx < row.idx < ended
        if is_newer or (is_gone and stay.part not in optional):
            found = stay
    return found


def leave(session: Session, board: Board, by: int, how: str) -> None:
    """Let a board be in no instrument any more, and keep that it was."""
    for stay in stays_of(session, board.code):
        if stay.ended_idx is None:
            stay.ended_idx, stay.how = by, how
    board.serial = board.part = board.allotted_idx = None


def _uses(plan: ModelDefined, step: str) -> tuple[set[str], set[str]]:
    """Return the parts that a step uses up, and those that an instrument may lack."""
    uses = {part for s in plan.steps if s.step == step for part in s.uses_up or ()}
    return uses, {part.part for part in plan.parts if part.optional}


def _allot(session: Session, entry: Entry, event: BoardAllotted) -> None:
    standing_build(session, event.serial)
    board = whole(session, event.board)
    if board.serial is not None:
        raise TamperError(
            f"board {board.code} was allotted to {board.serial} before this entry: run "
            f"flitchbook record audit"
        )
    if board.rejected_idx is not None:
        raise TamperError(
            f"board {board.code} was rejected by entry {board.rejected_idx}, before it "
            f"was allotted: run flitchbook record audit"
        )
    board.serial, board.part = event.serial, event.part
    board.allotted_idx = entry.index
    _forget_reservation(board)
    stay = Stay(idx=entry.index, board=board.code, serial=event.serial, part=event.part)
    session.add(stay)


def _keep(
    session: Session,
    entry: Entry,
    event: BoardReserved | BoardReleased | BoardConsumed,
) -> None:
    """Keep a board for somebody, let it go, or take it into its instrument for good."""
    board = whole(session, event.board)
    match event:
        case BoardReserved():
            if board.serial is not None:
                raise TamperError(
                    f"board {board.code} was in {board.serial} before it was kept for "
                    f"{event.reserved_for}: run flitchbook record audit"
                )
            board.reserved_for, board.reserved_part = event.reserved_for, event.part
            board.reserved_until, board.reserved_idx = event.until, entry.index
        case BoardReleased():
            if board.serial is None:
                _forget_reservation(board)
            else:
                leave(session, board, entry.index, "released")
        case BoardConsumed():
            if board.serial != event.serial:
                raise TamperError(
                    f"board {board.code} went into {event.serial}, to which it was not "
                    f"allotted: run flitchbook record audit"
                )
            board.consumed_idx = entry.index


def _take_off(
    session: Session, entry: Entry, event: PartScrapped | PartRemoved, how: str
) -> None:
    for code in event.boards:
        board = taken(session, Board, code)
        if board.serial != event.serial:
            raise TamperError(
                f"board {code} comes off {event.serial}, in which it was not: run "
                f"flitchbook record audit"
            )
        leave(session, board, entry.index, how)
        board.off_idx = entry.index


def _forget_reservation(board: Board) -> None:
    board.reserved_for = board.reserved_part = None
    board.reserved_until = board.reserved_idx = None
