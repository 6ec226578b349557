"""Sawyers, their papers and their lots as they are today."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    DocumentFiled,
    Event,
    LotPaperAdded,
    LotReceived,
    SupplierRecorded,
)
from ledger.log.entry import Entry
from ledger.views.taking import take, taken

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
    """What came in together from one supplier.

    `harvested_idx` is the entry that says where it was harvested. Where nobody knows
    that, `may_be_from` has the countries that it may be, as in "CM GA".
    """

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
    harvested_idx: int | None = None
    may_be_from: str = ""


class LotDocument(SQLModel, table=True):
    """A paper that belongs to a lot: since which entry, and the country it gives.

    One that came in with the lot has the lot's own entry.
    """

    idx: int = Field(primary_key=True)
    lot: str = Field(primary_key=True, index=True)
    document: str = Field(primary_key=True, index=True)
    harvested_in: str | None = None
    struck_idx: int | None = None


def fold_wood(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about wood that came in into the view."""
    match event:
        case SupplierRecorded():
            _record_supplier(session, entry, event)
        case DocumentFiled():
            _file_document(session, entry, event)
        case LotReceived():
            _receive_lot(session, entry, event)
        case LotPaperAdded():
            _add_paper(session, entry, event)


def documents_of(session: Session, lot: str) -> list[Document]:
    """Return the papers of a lot."""
    query = (
        select(Document)
        .join(LotDocument, col(LotDocument.document) == col(Document.code))
        .where(col(LotDocument.lot) == lot, col(LotDocument.struck_idx).is_(None))
        .order_by(col(Document.code))
    )
    return list(session.exec(query).all())


def joins_of(session: Session, lot: str) -> dict[str, LotDocument]:
    """Return since which entry each paper of a lot is one, by its code."""
    query = select(LotDocument).where(
        col(LotDocument.lot) == lot, col(LotDocument.struck_idx).is_(None)
    )
    by_code = query.order_by(col(LotDocument.document))
    return {join.document: join for join in session.exec(by_code).all()}


def lots_with(session: Session, document: str) -> list[Lot]:
    """Return the lots that a paper belongs to."""
    query = (
        select(Lot)
        .join(LotDocument, col(LotDocument.lot) == col(Lot.code))
        .where(
            col(LotDocument.document) == document,
            col(LotDocument.struck_idx).is_(None),
        )
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
        harvested_idx=entry.index if event.harvested_in else None,
    )
    take(session, row)
    for document in event.documents:
        join = LotDocument(idx=entry.index, lot=event.lot, document=document)
        take(session, join)


def _add_paper(session: Session, entry: Entry, event: LotPaperAdded) -> None:
    """Join a paper to a lot once, and never let it say another country."""
    lot = taken(session, Lot, event.lot)
    taken(session, Document, event.document)
    before = joins_of(session, event.lot).get(event.document)
    if before is not None:
        raise TamperError(
            f"{event.document} is a paper of {event.lot} since entry {before.idx}, "
            f"before this one: run flitchbook record audit"
        )
    said = event.harvested_in
    if said is not None and lot.harvested_in not in (None, said):
        raise TamperError(
            f"{event.lot} was harvested in {lot.harvested_in} by entry "
            f"{lot.harvested_idx}, before this one, which says {said}: run flitchbook "
            f"record audit"
        )
    if said is not None and said not in (lot.may_be_from.split() or [said]):
        raise TamperError(
            f"{event.lot} may be of {lot.may_be_from} by an entry before this one, "
            f"which says {said}: run flitchbook record audit"
        )
    if said is not None and lot.harvested_in is None:
        lot.harvested_in, lot.harvested_idx = said, entry.index
    join = LotDocument(
        idx=entry.index, lot=event.lot, document=event.document, harvested_in=said
    )
    take(session, join)
