"""Boards as they are today: their sizes, where they lie, what became of them."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    BoardJoined,
    BoardNumbered,
    BoardNumberedV1,
    BoardSplit,
    Event,
    LabelPrinted,
    LabelReplaced,
)
from ledger.events.board import Piece
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.quantities import grams
from ledger.views.rows import columns_of, plain_rows
from ledger.views.taking import take, taken
from ledger.views.wood import Lot

Sizes = tuple[int | None, int | None, int | None]
# What is the sawyer's word of a board.
LISTED = (
    "listed_mg",
    "listed_moisture_ppm",
    "as_written",
    "mark",
    "supplier_grade",
)


class Board(SQLModel, table=True):
    """One numbered piece: what is known of it, and the instrument it is allotted to.

    Sizes, mass and place are the newest ones that nobody struck; what is listed is the
    sawyer's word.
    `became_idx` is the entry by which it was sawn or glued into others, `struck_idx`
    the one that struck its number, `rejected_idx` the one that says it is not used for
    instruments, and `returned_idx` likewise where it went back to the sawyer. With
    `consumed_idx` it went into its instrument for good; `off_idx` is the entry by which
    it was spoiled there, or taken off it again. What begins with `reserved` says for
    whom it is kept, and until when. `label` is the number of the replacement that is
    true; 0 is the first label.
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
    listed_mg: int | None = Field(default=None, sa_type=BigInteger)
    listed_moisture_ppm: int | None = Field(default=None, sa_type=BigInteger)
    as_written: str | None = None
    mark: str | None = None
    supplier_grade: str | None = None
    is_offcut: bool = False
    idx: int
    serial: str | None = Field(default=None, index=True)
    part: str | None = None
    allotted_idx: int | None = Field(default=None, index=True)
    became_idx: int | None = None
    struck_idx: int | None = None
    rejected_idx: int | None = None
    returned_idx: int | None = None
    consumed_idx: int | None = Field(default=None, index=True)
    off_idx: int | None = None
    reserved_for: str | None = Field(default=None, index=True)
    reserved_part: str | None = None
    reserved_until: str | None = None
    reserved_idx: int | None = None
    label: int = Field(default=0, sa_type=BigInteger)
    labels: int = 0

    @property
    def gone_idx(self) -> int | None:
        """The entry since which it is no board: sawn, struck, sent back, built in."""
        ends = (
            self.became_idx,
            self.struck_idx,
            self.returned_idx,
            self.consumed_idx,
            self.off_idx,
        )
        return next((idx for idx in ends if idx is not None), None)


class PlainBoard(NamedTuple):
    """A board as plain columns, for whoever reads the boards of a whole rack."""

    code: str
    lot: str
    meant_for: str
    length_um: int | None
    width_um: int | None
    thickness_um: int | None
    moisture_ppm: int | None
    mass_mg: int | None
    place: str | None
    supplier_grade: str | None
    is_offcut: bool
    idx: int
    serial: str | None
    part: str | None
    allotted_idx: int | None
    became_idx: int | None
    struck_idx: int | None
    rejected_idx: int | None
    returned_idx: int | None
    consumed_idx: int | None
    off_idx: int | None


AnyBoard = Board | PlainBoard


class BoardParent(SQLModel, table=True):
    """That a piece came from a board; one that was glued came from several.

    `mass_mg` is what the board weighed before.
    """

    piece: str = Field(primary_key=True)
    parent: str = Field(primary_key=True, index=True)
    mass_mg: int = Field(sa_type=BigInteger)
    idx: int


class Cut(SQLModel, table=True):
    """What a split took away beside the pieces; what nobody took is None."""

    idx: int = Field(primary_key=True)
    mass_mg: int = Field(sa_type=BigInteger)
    dust_mg: int | None = Field(default=None, sa_type=BigInteger)
    waste_mg: int | None = Field(default=None, sa_type=BigInteger)


def fold_boards(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about boards into the view."""
    match event:
        case BoardNumbered():
            row = _row(entry, event.lot, event)
            for name in LISTED:
                setattr(row, name, getattr(event, name))
            _number(session, row)
        case BoardNumberedV1():
            _number(session, _row(entry, event.lot, event))
        case BoardSplit():
            _require_no_more(event)
            taken_off = {"dust_mg": event.dust_mg, "waste_mg": event.waste_mg}
            mass_mg = sum(event.masses_mg)
            session.add(Cut(idx=entry.index, mass_mg=mass_mg, **taken_off))
            _become(session, entry, _masses(event), event.made)
        case BoardJoined():
            _become(session, entry, _masses(event), (event.made,))
        case LabelPrinted():
            for code in event.codes:
                taken(session, Board, code).labels += 1
        case LabelReplaced():
            _replace_label(session, event)


def boards_of(session: Session, lot: str) -> list[Board]:
    """Return the boards of a lot, its pieces too, in the order of their numbering."""
    query = select(Board).where(col(Board.lot) == lot, col(Board.struck_idx).is_(None))
    by_number = (col(Board.idx), func.length(Board.code), col(Board.code))
    return list(session.exec(query.order_by(*by_number)).all())


def plain_boards(session: Session, *where: Any) -> list[PlainBoard]:
    """Return the boards for which all this is so, in the order of their numbering."""
    by_number = (col(Board.idx), func.length(Board.code), col(Board.code))
    query = columns_of(Board, PlainBoard._fields).where(*where).order_by(*by_number)
    return [PlainBoard._make(row) for row in plain_rows(session, query)]


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
    return [came.parent for came in origins_of(session, [code])]


def origins_of(session: Session, pieces: Iterable[str]) -> list[BoardParent]:
    """Return what each of several pieces came from, in the order of their codes."""
    query = select(BoardParent).where(col(BoardParent.piece).in_(list(pieces)))
    by_code = (col(BoardParent.piece), col(BoardParent.parent))
    return list(session.exec(query.order_by(*by_code)).all())


def whole(session: Session, code: str) -> Board:
    """Return the board that an entry speaks of, which is one piece and has its number.

    Raises TamperError where it was never numbered, or was used up, struck or sent back
    before.
    """
    board = taken(session, Board, code)
    if board.gone_idx is not None:
        raise TamperError(
            f"board {code} was gone before this entry, by entry {board.gone_idx}: run "
            f"flitchbook record audit"
        )
    return board


def set_of(code: str) -> str:
    """Return the code of the set that a half belongs to; another code as it is."""
    return code[:-2] if code.endswith((".A", ".B")) else code


def sizes_said(said: BoardNumbered | BoardNumberedV1 | Piece) -> tuple[Sizes, bool]:
    """Return a board's first length, width and thickness, and if they are listed."""
    own = (said.length_um, said.width_um, said.thickness_um)
    if any(own) or not isinstance(said, BoardNumbered):
        return own, False
    told = (said.listed_length_um, said.listed_width_um, said.listed_thickness_um)
    return told, any(told)


def _row(
    entry: Entry, lot: str, said: BoardNumbered | BoardNumberedV1 | Piece
) -> Board:
    (length_um, width_um, thickness_um), _ = sizes_said(said)
    return Board(
        code=said.board,
        lot=lot,
        meant_for=said.meant_for,
        length_um=length_um,
        width_um=width_um,
        thickness_um=thickness_um,
        mass_mg=said.mass_mg,
        idx=entry.index,
    )


def _number(session: Session, row: Board) -> None:
    """Take a board that came in: of its own lot, no piece, no set beside its halves."""
    code = BoardId.parse(row.code)
    if str(code.lot) != row.lot or code.child:
        raise TamperError(
            f"board {row.code} is numbered in lot {row.lot}, out of which it cannot "
            f"come: run flitchbook record audit"
        )
    others = [set_of(row.code)] if code.half else [f"{row.code}.A", f"{row.code}.B"]
    for other in others:
        if session.get(Board, other) is not None:
            raise TamperError(
                f"board {row.code} was numbered as {other} before this entry: run "
                f"flitchbook record audit"
            )
    _take(session, row)


def _take(session: Session, row: Board) -> None:
    taken(session, Lot, row.lot)
    take(session, row)


def _require_no_more(event: BoardSplit) -> None:
    """See that nothing came off the saw that did not go in."""
    pieces, sawn = (sum(piece.mass_mg for piece in event.made), sum(event.masses_mg))
    if pieces > sawn:
        raise TamperError(
            f"the pieces weigh {grams(pieces)} and what was sawn {grams(sawn)}: run "
            f"flitchbook record audit"
        )


def _masses(event: BoardSplit | BoardJoined) -> dict[str, int]:
    """Return what each board weighed before; one that is named twice is used up."""
    parents = event.parents
    twice = next((code for code in parents if parents.count(code) > 1), None)
    if twice is not None:
        raise TamperError(
            f"board {twice} is used up twice by one entry: run flitchbook record audit"
        )
    return dict(zip(event.parents, event.masses_mg, strict=True))


def _become(
    session: Session, entry: Entry, parents: Mapping[str, int], made: Sequence[Piece]
) -> None:
    """Let boards become pieces; a piece is new, so that no board is its own parent.

    `parents` are the boards, and what each of them weighed before.
    """
    for code in parents:
        board = taken(session, Board, code)
        if board.gone_idx is not None or board.serial:
            raise TamperError(
                f"board {code} was used up before this entry: run flitchbook record "
                f"audit"
            )
        board.became_idx = entry.index
    first = next(iter(parents))
    stem = first.partition(".")[0]
    for piece in made:
        if piece.board.partition(".")[0] != stem:
            raise TamperError(
                f"piece {piece.board} does not bear the number of {first}, which it "
                f"came from: run flitchbook record audit"
            )
        number = BoardId.parse(piece.board)
        row = _row(entry, str(number.lot), piece)
        row.is_offcut = bool(piece.offcut)
        _take(session, row)
        if not number.child:
            raise TamperError(
                f"piece {piece.board} has the code of a board that came in: run "
                f"flitchbook record audit"
            )
        for code, mass_mg in parents.items():
            origin = BoardParent(
                piece=piece.board, parent=code, mass_mg=mass_mg, idx=entry.index
            )
            take(session, origin)


def _replace_label(session: Session, event: LabelReplaced) -> None:
    board = taken(session, Board, event.board)
    if event.number != board.label + 1:
        raise TamperError(
            f"label {event.number} of board {board.code} replaces label {board.label}: "
            f"run flitchbook record audit"
        )
    board.label = event.number
