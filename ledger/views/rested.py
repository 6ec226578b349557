"""The entries that an instrument rested on after one of them, whatever came since.

Wood that came off later still counts, and a step or a paper that was struck later.
"""

from collections.abc import Iterator

from sqlmodel import Session, col, select

from ledger.views.allotting import Stay, stays_at
from ledger.views.boards import Board
from ledger.views.builds import SignedStep
from ledger.views.family import lots_of
from ledger.views.graduations import graduations_of
from ledger.views.measures import stands
from ledger.views.trace import trace
from ledger.views.wood import Lot, LotDocument


def entries_at(session: Session, serial: str, at: int) -> set[int]:
    """Return the entries behind an instrument: its wood, steps and papers of then."""
    # Of the deeper lines only those of wood that was in it: below, board by board.
    found = {line.entry for line in trace(session, serial) if line.depth <= 1}
    found |= {row.idx for row in graduations_of(session, serial, at)}
    found |= set(_signed(session, serial, at))
    for stay in stays_at(session, serial, at):
        found |= set(_of_board(session, stay, at))
    return {entry for entry in found if entry <= at}


def _of_board(session: Session, stay: Stay, at: int) -> Iterator[int]:
    """Yield what a board rested on that was in an instrument, and that it went in."""
    yield stay.idx
    yield session.get_one(Board, stay.board).consumed_idx or stay.idx
    for line in trace(session, stay.board):
        if line.code != stay.board:
            yield line.entry
    for code in lots_of(session, stay.board):
        lot = session.get_one(Lot, code)
        query = select(LotDocument).where(
            col(LotDocument.lot) == code, stands(LotDocument, at)
        )
        # A paper that came in with its lot rests on its own entry, as in a trace.
        yield from (row.idx for row in session.exec(query).all() if row.idx != lot.idx)


def _signed(session: Session, serial: str, at: int) -> Iterator[int]:
    """Yield the signatures that counted: neither struck nor to be done again."""
    query = select(SignedStep).where(
        col(SignedStep.serial) == serial, stands(SignedStep, at)
    )
    for step in session.exec(query).all():
        if step.reworked_idx is None or step.reworked_idx > at:
            yield step.idx
