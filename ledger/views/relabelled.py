"""Boards that were found without a label, and labels that were replaced."""

from collections.abc import Collection

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import BoardIdentified, Event, LabelReplaced
from ledger.log.entry import Entry


class Relabelling(SQLModel, table=True):
    """That a board was identified, or that its label became void.

    `number` is of the label that is true since; of an identification there is none, but
    its `confidence`, and how many `others` would have fitted.
    """

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    at: str
    number: int | None = Field(default=None, sa_type=BigInteger)
    confidence: str | None = None
    others: int = Field(default=0, sa_type=BigInteger)


def fold_relabelled(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about boards found again into the view."""
    row = Relabelling(idx=entry.index, board="", at=entry.at)
    match event:
        case BoardIdentified():
            row.board, row.confidence = event.board, event.confidence
            row.others = len(event.others)
        case LabelReplaced():
            row.board, row.number = event.board, event.number
        case _:
            return
    session.add(row)


def replacements_of(session: Session, codes: Collection[str]) -> list[Relabelling]:
    """Return by which entries labels of boards became void, the oldest first."""
    return [row for row in found_again(session, codes) if row.number is not None]


def found_again(session: Session, codes: Collection[str]) -> list[Relabelling]:
    """Return how boards were identified and their labels replaced, in order."""
    query = select(Relabelling).where(col(Relabelling.board).in_(list(codes)))
    return list(session.exec(query.order_by(col(Relabelling.idx))).all())
