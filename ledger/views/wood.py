"""Sawyers, papers, lots and boards as they are today."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    BoardNumbered,
    DocumentFiled,
    Event,
    LabelPrinted,
    LotReceived,
    SupplierRecorded,
)
from ledger.log.entry import Entry
from ledger.views.builds import Build
from ledger.views.taking import take, taken


class Supplier(SQLModel, table=True):
    """A sawyer, and how the name may be shown."""

    subject: str = Field(primary_key=True)
    name_commitment: str
    shown: str
    region: str | None
    country: str | None
    idx: int


class Document(SQLModel, table=True):
    """A paper on file."""

    code: str = Field(primary_key=True)
    paper: str
    number_as_written: str | None
    issued_on: str | None
    expires_on: str | None
    digest: str = Field(index=True)
    is_salted: bool
    idx: int


class Lot(SQLModel, table=True):
    """What came in together from one supplier."""

    code: str = Field(primary_key=True)
    supplier: str | None = Field(index=True)
    species: str
    trade_name: str | None
    form: str
    boards: int = Field(sa_type=BigInteger)
    received_on: str
    harvested_in: str | None
    is_opening: bool
    evidence: str | None
    idx: int


class LotDocument(SQLModel, table=True):
    """A paper that belongs to a lot."""

    lot: str = Field(primary_key=True)
    document: str = Field(primary_key=True, index=True)


class Board(SQLModel, table=True):
    """One measured, numbered piece, and the instrument it is allotted to."""

    code: str = Field(primary_key=True)
    lot: str = Field(index=True)
    meant_for: str
    length_um: int = Field(sa_type=BigInteger)
    width_um: int = Field(sa_type=BigInteger)
    thickness_um: int = Field(sa_type=BigInteger)
    mass_mg: int = Field(sa_type=BigInteger)
    idx: int
    serial: str | None = Field(default=None, index=True)
    part: str | None = None
    allotted_idx: int | None = None
    labels: int = 0


def fold_wood(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about wood into the view."""
    match event:
        case SupplierRecorded():
            _record_supplier(session, entry, event)
        case DocumentFiled():
            _file_document(session, entry, event)
        case LotReceived():
            _receive_lot(session, entry, event)
        case BoardNumbered():
            _number_board(session, entry, event)
        case BoardAllotted():
            _allot(session, entry, event)
        case LabelPrinted():
            for code in event.codes:
                taken(session, Board, code).labels += 1


def boards_of(session: Session, lot: str) -> list[Board]:
    """Return the boards of a lot, in the order in which they were numbered."""
    query = select(Board).where(col(Board.lot) == lot).order_by(col(Board.idx))
    return list(session.exec(query).all())


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


def documents_of(session: Session, lot: str) -> list[Document]:
    """Return the papers of a lot."""
    query = (
        select(Document)
        .join(LotDocument, col(LotDocument.document) == col(Document.code))
        .where(col(LotDocument.lot) == lot)
        .order_by(col(Document.code))
    )
    return list(session.exec(query).all())


def lots_with(session: Session, document: str) -> list[Lot]:
    """Return the lots that a paper belongs to."""
    query = (
        select(Lot)
        .join(LotDocument, col(LotDocument.lot) == col(Lot.code))
        .where(col(LotDocument.document) == document)
        .order_by(col(Lot.code))
    )
    return list(session.exec(query).all())


def newest_code(
    session: Session, view: type[Lot] | type[Document], start: str
) -> str | None:
    """Return the highest code of lots or documents that begins like this, or None."""
    query = select(func.max(view.code)).where(col(view.code).startswith(start))
    return session.exec(query).one()


def suppliers(session: Session) -> list[Supplier]:
    """Return every sawyer, in the order of entry."""
    return list(session.exec(select(Supplier).order_by(col(Supplier.idx))).all())


def _record_supplier(session: Session, entry: Entry, event: SupplierRecorded) -> None:
    row = Supplier(
        subject=event.supplier,
        name_commitment=event.name_commitment,
        shown=event.shown,
        region=event.region,
        country=event.country,
        idx=entry.index,
    )
    take(session, row)


def _file_document(session: Session, entry: Entry, event: DocumentFiled) -> None:
    row = Document(
        code=event.document,
        paper=event.paper,
        number_as_written=event.number_as_written,
        issued_on=event.issued_on,
        expires_on=event.expires_on,
        digest=str(event.sha256 or event.salted_sha256),
        is_salted=event.sha256 is None,
        idx=entry.index,
    )
    take(session, row)


def _receive_lot(session: Session, entry: Entry, event: LotReceived) -> None:
    row = Lot(
        code=event.lot,
        supplier=event.supplier,
        species=event.species,
        trade_name=event.trade_name,
        form=event.form,
        boards=event.boards,
        received_on=event.received_on,
        harvested_in=event.harvested_in,
        is_opening=bool(event.opening),
        evidence=event.evidence,
        idx=entry.index,
    )
    take(session, row)
    for document in event.documents:
        take(session, LotDocument(lot=event.lot, document=document))


def _number_board(session: Session, entry: Entry, event: BoardNumbered) -> None:
    taken(session, Lot, event.lot)
    row = Board(
        code=event.board,
        lot=event.lot,
        meant_for=event.meant_for,
        length_um=event.length_um,
        width_um=event.width_um,
        thickness_um=event.thickness_um,
        mass_mg=event.mass_mg,
        idx=entry.index,
    )
    take(session, row)


def _allot(session: Session, entry: Entry, event: BoardAllotted) -> None:
    taken(session, Build, event.serial)
    board = taken(session, Board, event.board)
    if board.serial is not None:
        raise TamperError(
            f"board {board.code} was allotted to {board.serial} before this entry: run "
            f"flitchbook record audit"
        )
    board.serial, board.part = event.serial, event.part
    board.allotted_idx = entry.index
