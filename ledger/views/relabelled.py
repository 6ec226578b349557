"""Boards that were identified and labelled again, as the entries themselves say it.

No table keeps them: they are few, and each gave a reason, so that they are found among
the entries that did.
"""

from collections.abc import Collection

from sqlmodel import Session, col, select

from ledger.log.entry import Entry, parse_record
from ledger.log.tables import StoredEntry
from ledger.views.boards import Board
from ledger.views.corrections import GivenReason

REPLACED, IDENTIFIED = "label.replaced", "board.identified"


def replacements_of(session: Session, codes: Collection[str]) -> list[Entry]:
    """Return the entries that replaced labels of boards, the oldest first."""
    return [e for e in found_again(session, codes) if _name(e) == REPLACED]


def found_again(session: Session, codes: Collection[str]) -> list[Entry]:
    """Return the entries that identified boards, or replaced their labels, in order."""
    query = select(Board.code, Board.idx).where(
        col(Board.code).in_(codes), col(Board.label) > 0
    )
    since = dict(session.exec(query).all())
    if not since:
        return []
    records = (
        select(StoredEntry.record)
        .join(GivenReason, col(GivenReason.idx) == col(StoredEntry.idx))
        .where(col(GivenReason.idx) > min(since.values()))
        .order_by(col(StoredEntry.idx))
    )
    entries = (parse_record(bytes(r)).entry for r in session.exec(records))
    return [
        entry
        for entry in entries
        if _name(entry) in (REPLACED, IDENTIFIED) and entry.event["board"] in since
    ]


def _name(entry: Entry) -> str:
    return entry.kind.partition("/")[0]
