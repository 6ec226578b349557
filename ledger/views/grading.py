"""What was judged of boards: grades, rejects, and what was chosen to go together.

Whoever judged is who signed the entry. Grades by different hands stand side by side;
of each hand the newest counts.
"""

import json
from collections.abc import Iterable

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import BoardGraded, BoardRejected, BoardsMatched, Event, codec
from ledger.log.encoding import canonical
from ledger.log.entry import Entry
from ledger.views.boards import Board, whole
from ledger.views.builds import Build
from ledger.views.measures import counting, moment_of
from ledger.views.taking import taken


class Grading(SQLModel, table=True):
    """What one grader decided, and what the house's rule came to.

    `said` is all that was found, as the entry has it, in canonical bytes; `why` is one
    reason to a line.
    """

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    key: str = Field(index=True)
    part: str
    policy: str
    version: int = Field(sa_type=BigInteger)
    grade: str
    suggested: str | None
    why: str
    said: str
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was graded."""
        return self.moment[:10]


class Rejection(SQLModel, table=True):
    """A board that is not used for instruments; its faults are one to a line."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    faults: str
    is_returned: bool
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was rejected."""
        return self.moment[:10]


class Match(SQLModel, table=True):
    """Boards that were chosen for one part, and by which rule; words one to a line."""

    idx: int = Field(primary_key=True)
    part: str
    serial: str | None = Field(default=None, index=True)
    policy: str
    version: int = Field(sa_type=BigInteger)
    method: str
    why: str
    instead: str | None = None
    struck_idx: int | None = None


class MatchedBoard(SQLModel, table=True):
    """One of the boards that were chosen together."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    board: str = Field(index=True)


def fold_grading(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that judges wood into the view."""
    match event:
        case BoardGraded():
            _grade(session, entry, event)
        case BoardRejected():
            _reject(session, entry, event)
        case BoardsMatched():
            _match(session, entry, event)


def gradings_of(session: Session, code: str) -> list[Grading]:
    """Return the gradings of a board that count, by whomever, the oldest first."""
    return list(session.exec(counting(Grading, code)).all())


def found_in(row: Grading) -> BoardGraded:
    """Return all that a grader found and said."""
    said = codec.parse(json.loads(row.said))
    if not isinstance(said, BoardGraded):
        raise TamperError(f"entry {row.idx} grades no board: run a record audit")
    return said


def gradings_by(session: Session, keys: Iterable[str]) -> list[Grading]:
    """Return the gradings that count and were signed with one of these keys."""
    query = select(Grading).where(
        col(Grading.key).in_(list(keys)), col(Grading.struck_idx).is_(None)
    )
    by_time = (col(Grading.moment), col(Grading.idx))
    return list(session.exec(query.order_by(*by_time)).all())


def rejection_of(session: Session, code: str) -> Rejection | None:
    """Return the newest rejection of a board that counts, or None."""
    rows = session.exec(counting(Rejection, code)).all()
    return rows[-1] if rows else None


def matches_of(session: Session, code: str) -> list[Match]:
    """Return what a board was chosen for, as far as it counts, the oldest first."""
    query = (
        select(Match)
        .join(MatchedBoard, col(MatchedBoard.idx) == col(Match.idx))
        .where(col(MatchedBoard.board) == code, col(Match.struck_idx).is_(None))
    )
    return list(session.exec(query.order_by(col(Match.idx))).all())


def matched_boards(session: Session, index: int) -> list[str]:
    """Return the boards that one entry chose together."""
    query = select(MatchedBoard).where(col(MatchedBoard.idx) == index)
    rows = session.exec(query.order_by(col(MatchedBoard.position))).all()
    return [row.board for row in rows]


def show_rejection(session: Session, code: str) -> None:
    """Let a board show the rejection that stands, after one was said or struck."""
    board = session.get_one(Board, code)
    newest = rejection_of(session, code)
    board.rejected_idx = newest.idx if newest else None
    board.returned_idx = newest.idx if newest and newest.is_returned else None


def _grade(session: Session, entry: Entry, event: BoardGraded) -> None:
    whole(session, event.board)
    session.add(
        Grading(
            idx=entry.index,
            board=event.board,
            moment=moment_of(entry),
            key=entry.key,
            part=event.part,
            policy=event.policy,
            version=event.version,
            grade=event.grade,
            suggested=event.suggested,
            why="\n".join(event.why),
            said=canonical(entry.event).decode(),
        )
    )


def _reject(session: Session, entry: Entry, event: BoardRejected) -> None:
    """Take a board out of use; one that is in an instrument is not rejected."""
    board = whole(session, event.board)
    if board.serial is not None:
        raise TamperError(
            f"board {board.code} is rejected and was in {board.serial} before: run "
            f"flitchbook record audit"
        )
    session.add(
        Rejection(
            idx=entry.index,
            board=event.board,
            moment=moment_of(entry),
            faults="\n".join(event.faults),
            is_returned=bool(event.returned),
        )
    )
    session.flush()
    show_rejection(session, event.board)


def _match(session: Session, entry: Entry, event: BoardsMatched) -> None:
    if event.serial is not None:
        taken(session, Build, event.serial)
    session.add(
        Match(
            idx=entry.index,
            part=event.part,
            serial=event.serial,
            policy=event.policy,
            version=event.version,
            method=event.method,
            why="\n".join(event.why),
            instead=None if event.instead is None else "\n".join(event.instead),
        )
    )
    for position, code in enumerate(event.boards):
        whole(session, code)
        session.add(MatchedBoard(idx=entry.index, position=position, board=code))
