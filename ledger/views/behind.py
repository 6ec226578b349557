"""Which entries stand behind what is known of boards: the newest of each kind."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlmodel import Session, col, func, select, union_all

from ledger.views.boards import Board
from ledger.views.grading import Grading
from ledger.views.measures import Placing, Sizing, Weighing
from ledger.views.readings import Tapping
from ledger.views.rows import columns_of, plain_rows

# So many boards are named in one question.
MOST_NAMED = 500


def entries_behind(
    session: Session, codes: Iterable[str]
) -> dict[str, tuple[int, ...]]:
    """Return of each board the entries that its number, measures and grade rest on.

    Of sizes, masses, places, taps and grades it is the newest that nobody struck.
    """
    wanted = list(dict.fromkeys(codes))
    found: dict[str, set[int]] = defaultdict(set)
    for start in range(0, len(wanted), MOST_NAMED):
        for code, idx in _newest(session, wanted[start : start + MOST_NAMED]):
            found[code].add(idx)
    return {code: tuple(sorted(found[code])) for code in wanted}


def _newest(session: Session, codes: Sequence[str]) -> Iterator[tuple[str, int]]:
    """Yield each board with the entry of its number, and with the newest of each kind.

    The boards are named once, and every view is asked in the same question.
    """
    numbered = columns_of(Board, ("code", "idx")).where(col(Board.code).in_(codes))
    named = numbered.cte("named")
    newest: list[Any] = [select(named.c.code, named.c.idx)]
    for view in (Sizing, Weighing, Placing, Tapping, Grading):
        table: Any = view
        query = select(table.board, func.max(table.idx)).where(
            table.struck_idx.is_(None), table.board.in_(select(named.c.code))
        )
        newest.append(query.group_by(table.board))
    yield from plain_rows(session, union_all(*newest))
