"""Which entries stand behind what is known of boards: the newest of each kind."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from sqlmodel import Session, col, func, select

from ledger.views.boards import Board
from ledger.views.grading import Grading
from ledger.views.measures import Placing, Sizing, Weighing
from ledger.views.readings import Tapping

# So many boards are named in one question; of more all are asked for.
MOST_NAMED = 500


def entries_behind(
    session: Session, codes: Iterable[str]
) -> dict[str, tuple[int, ...]]:
    """Return of each board the entries that its number, measures and grade rest on.

    Of sizes, masses, places, taps and grades it is the newest that nobody struck.
    """
    wanted = list(dict.fromkeys(codes))
    found: dict[str, set[int]] = defaultdict(set)
    numbered = select(Board.code, Board.idx)
    if len(wanted) <= MOST_NAMED:
        numbered = numbered.where(col(Board.code).in_(wanted))
    for code, idx in session.exec(numbered).all():
        found[code].add(idx)
    for view in (Sizing, Weighing, Placing, Tapping, Grading):
        table: Any = view
        query = select(table.board, func.max(table.idx)).where(
            table.struck_idx.is_(None)
        )
        if len(wanted) <= MOST_NAMED:
            query = query.where(table.board.in_(wanted))
        for code, idx in session.exec(query.group_by(table.board)).all():
            found[code].add(idx)
    return {code: tuple(sorted(found[code])) for code in wanted}
