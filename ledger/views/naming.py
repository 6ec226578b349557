"""Which entries name a code or a key, found in the records themselves.

A code's digits stand in a record as they are typed. What only begins like the code,
as a half or a piece of a board, is another code.
"""

import re
from collections.abc import Collection

from sqlalchemy import LargeBinary, func, literal, or_
from sqlmodel import Session, SQLModel, col, select

from ledger.log.approvals import approvers_of
from ledger.log.entry import Entry, parse_record
from ledger.log.tables import StoredEntry


def entries_naming(session: Session, *codes: str, start: int = 0) -> list[Entry]:
    """Return the entries from an index on that name one of these codes, in order.

    The records are read once, however many codes are asked for.
    """
    named = "|".join(re.escape(code) for code in codes)
    # Within a lost entry that is quoted, quotation marks have a stroke before them.
    whole = re.compile(rf'"(?:{named})\\?"'.encode())
    return [
        parse_record(record).entry
        for record in _holding(session, codes, start)
        if whole.search(record)
    ]


def entries_holding(session: Session, text: str, start: int = 0) -> list[Entry]:
    """Return the entries from an index on whose records hold a text, in order."""
    return [parse_record(record).entry for record in _holding(session, [text], start)]


def entries_by(session: Session, keys: Collection[str]) -> list[bytes]:
    """Return the records that one of these keys signed, in order."""
    found: dict[int, bytes] = {}
    for key in keys:
        for record in _holding(session, [f'"key":"{key}"']):
            entry = parse_record(record).entry
            if entry.key == key:
                found[entry.index] = record
    return [found[index] for index in sorted(found)]


def entries_with(session: Session, key: str) -> list[Entry]:
    """Return the entries that a key signed or approved, in order."""
    entries = [parse_record(r).entry for r in _holding(session, [f'"key":"{key}"'])]
    return [
        entry for entry in entries if key in (entry.key, *approvers_of(entry.event))
    ]


def entries_on_boards(
    session: Session,
    views: Collection[type[SQLModel]],
    codes: Collection[str],
    *,
    after: int,
) -> list[int]:
    """Return the entries after one by which a view shows something of these boards."""
    found: set[int] = set()
    for view in views:
        columns = SQLModel.metadata.tables[str(view.__tablename__)].columns
        if {"idx", "board"} <= set(columns.keys()):
            query = select(columns["idx"]).where(
                columns["board"].in_(list(codes)), columns["idx"] > after
            )
            found |= set(session.exec(query).all())
    return sorted(found)


def _holding(session: Session, texts: Collection[str], start: int = 0) -> list[bytes]:
    """Return the records from an index on that hold one of these texts anywhere."""
    is_sqlite = session.get_bind().dialect.name == "sqlite"
    places = []
    for text in texts:
        needle = literal(text.encode(), LargeBinary)
        if is_sqlite:
            places.append(func.instr(StoredEntry.record, needle) > 0)
        else:
            place = func.position(needle.op("IN")(StoredEntry.record))
            places.append(place > 0)
    query = select(StoredEntry.record).where(
        col(StoredEntry.idx) >= start, or_(*places)
    )
    return list(session.exec(query.order_by(col(StoredEntry.idx))).all())
