"""Sawyers, their papers and their lots as they are today."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.events import DocumentFiled, Event, LotReceived, SupplierRecorded
from ledger.log.entry import Entry
from ledger.views.taking import take

# The species of wood that nobody can name.
UNKNOWN = "unknown"


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


def fold_wood(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about wood that came in into the view."""
    match event:
        case SupplierRecorded():
            _record_supplier(session, entry, event)
        case DocumentFiled():
            _file_document(session, entry, event)
        case LotReceived():
            _receive_lot(session, entry, event)


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


def document_of_digest(session: Session, digest: str) -> Document | None:
    """Return the first paper on file with these very bytes, or None."""
    query = select(Document).where(col(Document.digest) == digest)
    return session.exec(query.order_by(col(Document.idx))).first()


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
