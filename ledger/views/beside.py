"""What a trace tells beside a board: what it was in, kept for, and labelled again."""

from collections.abc import Iterator
from typing import NamedTuple

from sqlmodel import Session, col, select

from ledger.views.allotting import Stay, stays_in
from ledger.views.boards import Board
from ledger.views.relabelled import Relabelling

# How it ended that a board was in an instrument, in words after "was its top".
ENDS = {
    "released": "until it was released",
    "struck": "by mistake: that was struck",
    "scrapped": "until it was spoiled",
    "removed": "until it was taken off",
    "voided": "until the instrument was given up",
}


class Beside(NamedTuple):
    """One thing told of a board, in words, and the entry it rests on."""

    board: str
    what: str
    said: str
    entry: int


def lot_lines(session: Session, of_lot: str) -> Iterator[Beside]:
    """Tell of the boards whose codes begin like this, lot and hyphen."""
    stays = select(Stay).where(
        col(Stay.board).startswith(of_lot), col(Stay.ended_idx).is_not(None)
    )
    for stay in session.exec(stays.order_by(col(Stay.idx))):
        yield _stay_line(stay, f"was the {stay.part} of {stay.serial}")
    kept = select(Board).where(
        col(Board.code).startswith(of_lot), col(Board.reserved_for).is_not(None)
    )
    for board in session.exec(kept.order_by(col(Board.code))):
        said = (
            f"kept for {board.reserved_for} as its {board.reserved_part} until "
            f"{board.reserved_until}"
        )
        yield Beside(board.code, "kept", said, int(board.reserved_idx or 0))
    again = select(Relabelling).where(col(Relabelling.board).startswith(of_lot))
    for row in session.exec(again.order_by(col(Relabelling.idx))):
        yield _label_line(row)


def gone_from(session: Session, serial: str) -> list[Beside]:
    """Tell which boards were in an instrument and are no more; no mistakes."""
    return [
        _stay_line(stay, f"was its {stay.part}")
        for stay in stays_in(session, serial)
        if stay.ended_idx is not None and stay.how != "struck"
    ]


def _stay_line(stay: Stay, was: str) -> Beside:
    how = str(stay.how)
    said = f"{was} since entry {stay.idx}, {ENDS[how]}"
    return Beside(stay.board, how, said, int(stay.ended_idx or stay.idx))


def _label_line(row: Relabelling) -> Beside:
    if row.number is not None:
        said = f"its label was lost or torn, replacement {row.number} counts"
        return Beside(row.board, "label", said, row.idx)
    more = f"; {row.others} more would have fitted" if row.others else ""
    said = f"identified by measurement, confidence: {row.confidence}{more}"
    return Beside(row.board, "identified", said, row.idx)
