"""Boards as they are today: their sizes, where they lie, what became of them."""

from collections.abc import Sequence

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    BoardJoined,
    BoardNumbered,
    BoardNumberedV1,
    BoardSplit,
    Event,
    LabelPrinted,
)
from ledger.events.board import Piece
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.views.builds import Build
from ledger.views.taking import take, taken
from ledger.views.wood import Lot


class Board(SQLModel, table=True):
    """One numbered piece: what is known of it, and the instrument it is allotted to.

    Sizes, mass and place are the newest ones that nobody struck.
    `became_idx` is the entry by which it was sawn or glued into others, `struck_idx`
    the one that struck its number.
    """

    code: str = Field(primary_key=True)
    lot: str = Field(index=True)
    meant_for: str
    length_um: int | None = Field(default=None, sa_type=BigInteger)
    width_um: int | None = Field(default=None, sa_type=BigInteger)
    thickness_um: int | None = Field(default=None, sa_type=BigInteger)
    moisture_ppm: int | None = Field(default=None, sa_type=BigInteger)
    mass_mg: int | None = Field(default=None, sa_type=BigInteger)
    place: str | None = None
    mark: str | None = None
    supplier_grade: str | None = None
    is_offcut: bool = False
    idx: int
    serial: str | None = Field(default=None, index=True)
    part: str | None = None
    allotted_idx: int | None = Field(default=None, index=True)
    became_idx: int | None = None
    struck_idx: int | None = None
    labels: int = 0


class BoardParent(SQLModel, table=True):
    """That a piece came from a board; one that was glued came from several."""

    piece: str = Field(primary_key=True)
    parent: str = Field(primary_key=True, index=True)
    idx: int


class Cut(SQLModel, table=True):
    """What a split took away beside the pieces."""

    idx: int = Field(primary_key=True)
    mass_mg: int = Field(sa_type=BigInteger)
    kerf_mg: int = Field(sa_type=BigInteger)
    waste_mg: int = Field(sa_type=BigInteger)


def fold_boards(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about boards into the view."""
    match event:
        case BoardNumbered():
            row = _row(entry, event.lot, event)
            row.mark, row.supplier_grade = event.mark, event.supplier_grade
            _take(session, row)
        case BoardNumberedV1():
            _take(session, _row(entry, event.lot, event))
        case BoardAllotted():
            _allot(session, entry, event)
        case BoardSplit():
            masses = {"kerf_mg": event.kerf_mg, "waste_mg": event.waste_mg}
            session.add(Cut(idx=entry.index, mass_mg=event.mass_mg, **masses))
            _become(session, entry, event.parents, event.made)
        case BoardJoined():
            _become(session, entry, event.parents, (event.made,))
        case LabelPrinted():
            for code in event.codes:
                taken(session, Board, code).labels += 1


def boards_of(session: Session, lot: str) -> list[Board]:
    """Return the boards of a lot, its pieces too, in the order of their numbering."""
    query = select(Board).where(col(Board.lot) == lot, col(Board.struck_idx).is_(None))
    by_number = (col(Board.idx), func.length(Board.code), col(Board.code))
    return list(session.exec(query.order_by(*by_number)).all())


def codes_ever_given(session: Session, lot: str) -> list[str]:
    """Return every code of a lot's boards and pieces, struck ones too."""
    return list(session.exec(select(Board.code).where(col(Board.lot) == lot)).all())


def boards_named(session: Session, code: str) -> list[Board]:
    """Return the board of this code, or both halves of the set of this code."""
    board = session.get(Board, code)
    if board is not None:
        return [board]
    halves = (session.get(Board, f"{code}.{half}") for half in "AB")
    return [board for board in halves if board is not None]


def boards_in(session: Session, serial: str) -> list[Board]:
    """Return the boards allotted to an instrument, in the order of allotting."""
    query = select(Board).where(col(Board.serial) == serial)
    return list(session.exec(query.order_by(col(Board.allotted_idx))).all())


def parents_of(session: Session, code: str) -> list[str]:
    """Return the boards that a piece came from; of a board that came in, none."""
    query = select(BoardParent.parent).where(col(BoardParent.piece) == code)
    return list(session.exec(query.order_by(col(BoardParent.parent))).all())


def set_of(code: str) -> str:
    """Return the code of the set that a half belongs to; another code as it is."""
    return code[:-2] if code.endswith((".A", ".B")) else code


def _row(
    entry: Entry, lot: str, said: BoardNumbered | BoardNumberedV1 | Piece
) -> Board:
    return Board(
        code=said.board,
        lot=lot,
        meant_for=said.meant_for,
        length_um=said.length_um,
        width_um=said.width_um,
        thickness_um=said.thickness_um,
        mass_mg=said.mass_mg,
        idx=entry.index,
    )


def _take(session: Session, row: Board) -> None:
    taken(session, Lot, row.lot)
    take(session, row)


def _become(
    session: Session, entry: Entry, parents: Sequence[str], made: Sequence[Piece]
) -> None:
    """Let boards become pieces; a piece is new, so that no board is its own parent."""
    for code in parents:
        board = taken(session, Board, code)
        if board.became_idx or board.serial or board.struck_idx:
            raise TamperError(
                f"board {code} was used up before this entry: run flitchbook record "
                f"audit"
            )
        board.became_idx = entry.index
    stem = parents[0].partition(".")[0]
    for piece in made:
        if piece.board.partition(".")[0] != stem:
            raise TamperError(
                f"piece {piece.board} does not bear the number of {parents[0]}, which "
                f"it came from: run flitchbook record audit"
            )
        row = _row(entry, str(BoardId.parse(piece.board).lot), piece)
        row.is_offcut = bool(piece.offcut)
        _take(session, row)
        for code in parents:
            edge = BoardParent(piece=piece.board, parent=code, idx=entry.index)
            take(session, edge)


def _allot(session: Session, entry: Entry, event: BoardAllotted) -> None:
    taken(session, Build, event.serial)
    board = taken(session, Board, event.board)
    if board.serial is not None or board.became_idx is not None:
        taker = board.serial or f"the pieces of entry {board.became_idx}"
        raise TamperError(
            f"board {board.code} was allotted to {taker} before this entry: run "
            f"flitchbook record audit"
        )
    board.serial, board.part = event.serial, event.part
    board.allotted_idx = entry.index
