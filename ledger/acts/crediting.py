"""What a certificate credits its makers with, and the entry that each work is from."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.closing import steps_at, wood_at
from ledger.views.boards import Board
from ledger.views.said import entry_said
from ledger.views.service import services_of

RECEIVED = "received and measured the wood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A work on an instrument or its wood: whose key said it, and in which entry."""

    key: str
    what: str
    entry: int


def works_at(session: Session, serial: str, at: int) -> Iterator[Work]:
    """Yield what counted after an entry: wood, signed steps, and service done here."""
    for stay in wood_at(session, serial, at):
        board = session.get_one(Board, stay.board)
        numbered = entry_said(session, board.idx)
        yield Work(key=numbered.key, what=RECEIVED, entry=numbered.index)
    for signed in steps_at(session, serial, at):
        said = "" if signed.meaning == "did" else f" ({signed.meaning})"
        yield Work(key=signed.key, what=f"{signed.step}{said}", entry=signed.idx)
    for done in services_of(session, serial, at):
        if not done.by_others:
            what = f"{done.work} ({done.day[:4]})"
            yield Work(key=done.key, what=what, entry=done.idx)
