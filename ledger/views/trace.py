"""Wood and papers followed both ways: from a serial to the trees, and back.

A trace is a list of lines, each deeper than the one it belongs to. Every line names
the entry it rests on.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from ledger.errors import NotFoundError
from ledger.views.builds import Build, signed_steps
from ledger.views.certificates import certificates_of, owners_of
from ledger.views.people import Person, subject_of_key
from ledger.views.wood import (
    Board,
    Document,
    Lot,
    boards_in,
    boards_named,
    boards_of,
    documents_of,
    lots_with,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing in a trace: how deep, which code, in which words, from which entry."""

    depth: int
    code: str
    said: str
    entry: int


def trace(session: Session, code: str) -> list[Line]:
    """Follow a serial, a board, a lot or a document; anything else is not found."""
    if (build := session.get(Build, code)) is not None:
        return list(_of_build(session, build))
    if (lot := session.get(Lot, code)) is not None:
        return [*_of_lot(session, lot, 0), *_into_instruments(session, lot, 1)]
    if (document := session.get(Document, code)) is not None:
        return list(_of_document(session, document))
    boards = boards_named(session, code)
    if not boards:
        raise NotFoundError(f"there is no {code}: it was never recorded")
    return [line for board in boards for line in _of_board(session, board, 0)]


def _of_build(session: Session, build: Build) -> Iterator[Line]:
    yield Line(depth=0, code=build.serial, said=build.model, entry=build.idx)
    for board in boards_in(session, build.serial):
        yield from _of_board(session, board, 1)
    for step in signed_steps(session, build.serial):
        said = f"{step.step}, {step.meaning} by {_badge(session, step.key)}"
        yield Line(depth=1, code="step", said=said, entry=step.idx)
    for issued in certificates_of(session, build.serial):
        unsure = "" if issued.prints else ", issued and perhaps not printed"
        said = f"certificate of {issued.issued_on}{unsure}"
        yield Line(depth=1, code=issued.number, said=said, entry=issued.idx)
    for owner in owners_of(session, build.serial):
        said = f"registered {owner.registered_on}"
        yield Line(depth=1, code="owner", said=said, entry=owner.idx)


def _of_board(session: Session, board: Board, depth: int) -> Iterator[Line]:
    if board.serial is None:
        said, entry = f"{board.meant_for}, in the rack", board.idx
    else:
        said, entry = f"{board.part} of {board.serial}", board.allotted_idx or board.idx
    yield Line(depth=depth, code=board.code, said=said, entry=entry)
    yield from _of_lot(session, session.get_one(Lot, board.lot), depth + 1)


def _of_lot(session: Session, lot: Lot, depth: int) -> Iterator[Line]:
    came = "old stock, evidence " + str(lot.evidence) if lot.is_opening else "came in"
    grew = f", grown in {lot.harvested_in}" if lot.harvested_in else ""
    said = f"{lot.species}{grew}, {came} {lot.received_on}"
    yield Line(depth=depth, code=lot.code, said=said, entry=lot.idx)
    for document in documents_of(session, lot.code):
        yield _document_line(document, depth + 1)


def _of_document(session: Session, document: Document) -> Iterator[Line]:
    yield _document_line(document, 0)
    for lot in lots_with(session, document.code):
        yield from _of_lot(session, lot, 1)
        yield from _into_instruments(session, lot, 2)


def _into_instruments(session: Session, lot: Lot, depth: int) -> Iterator[Line]:
    for board in boards_of(session, lot.code):
        where = f"{board.part} of {board.serial}" if board.serial else "in the rack"
        entry = board.allotted_idx or board.idx
        yield Line(depth=depth, code=board.code, said=where, entry=entry)


def _badge(session: Session, key: str) -> str:
    subject = subject_of_key(session, key)
    person = session.get(Person, subject) if subject else None
    return f"badge {person.badge}" if person else f"key {key}"


def _document_line(document: Document, depth: int) -> Line:
    number = f" {document.number_as_written}" if document.number_as_written else ""
    said = f"{document.paper}{number}"
    return Line(depth=depth, code=document.code, said=said, entry=document.idx)
