"""What an exported record tells of each instrument and of each paper on file."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from sqlmodel import Session, SQLModel, col, select

from ledger.views.allotting import Stay
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.people import Person, PersonKey
from ledger.views.wood import Document, Lot


class Told(NamedTuple):
    """What is told of an instrument by one table: its columns, and the rows of it."""

    columns: Sequence[str]
    rows: Sequence[Mapping[Any, Any]]


def builds(session: Session) -> Iterator[tuple[Build, list[Certificate]]]:
    """Yield each instrument with its certificates, in the order of their entries."""
    issued: dict[str, list[Certificate]] = {}
    for row in session.exec(select(Certificate).order_by(col(Certificate.idx))):
        issued.setdefault(row.serial, []).append(row)
    for build in session.exec(select(Build).order_by(col(Build.idx))):
        yield build, issued.get(build.serial, [])


def documents(session: Session) -> Iterator[Document]:
    """Yield each paper on file, in the order of their entries."""
    yield from session.exec(select(Document).order_by(col(Document.idx)))


def badges(session: Session) -> dict[str, str]:
    """Return whose badge each key belongs to."""
    asked = select(PersonKey.key, Person.badge).join(
        Person, col(Person.subject) == PersonKey.subject
    )
    return dict(session.exec(asked).all())


def wood_in(session: Session, serial: str) -> Sequence[tuple[Stay, Lot]]:
    """Return which wood is in an instrument: what came off is among the stays alone."""
    asked = (
        select(Stay, Lot)
        .join(Board, col(Board.code) == Stay.board)
        .join(Lot, col(Lot.code) == Board.lot)
        .where(Stay.serial == serial, col(Stay.ended_idx).is_(None))
        .order_by(col(Stay.idx))
    )
    return session.exec(asked).all()


def told_by(session: Session, name: str, serial: str) -> Told:
    """Return what the table of a name tells of an instrument.

    Columns that are empty in all its rows are left out, and the unit of a value, which
    goes with it.
    """
    table = SQLModel.metadata.tables[name]
    asked = select(*table.columns).where(table.c.serial == serial)
    rows = session.connection().execute(asked.order_by(*table.primary_key.columns))
    found = [row._mapping for row in rows]
    columns = [
        column.name
        for column in table.columns
        if not (column.name == "unit" and "value" in table.columns)
        and any(row[column.name] is not None for row in found)
    ]
    return Told(columns, found)
