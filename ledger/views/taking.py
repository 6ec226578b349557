"""Rows of the views, looked for before they are taken, and taken once only."""

from collections.abc import Iterable
from typing import TypeVar

from sqlalchemy import inspect
from sqlmodel import Session, SQLModel, select

from ledger.errors import TamperError

Row = TypeVar("Row", bound=SQLModel)


def take(session: Session, row: SQLModel) -> None:
    """Add a row, whose key no other has taken before.

    Raises TamperError where one has.
    """
    view = type(row)
    names = [column.name for column in inspect(view).primary_key]
    key = tuple(getattr(row, name) for name in names)
    if session.get(view, key) is not None:
        raise TamperError(_taken(view, key))
    session.add(row)


def taken(session: Session, view: type[Row], *key: str) -> Row:
    """Return the row that an entry speaks of.

    Raises TamperError where no entry before it said that it is there.
    """
    row = session.get(view, key)
    if row is None:
        raise TamperError(
            f"there is no {view.__name__.lower()} {' '.join(key)} before this entry: "
            f"run flitchbook record audit"
        )
    return row


def require_free(session: Session, view: type[SQLModel], **members: str) -> None:
    """See that no row has these members: a number is given to one only.

    Raises TamperError where one has.
    """
    query = select(view).filter_by(**members)
    if session.exec(query).first() is not None:
        raise TamperError(_taken(view, members.values()))


def _taken(view: type[SQLModel], key: Iterable[object]) -> str:
    said = " ".join(str(part) for part in key)
    return (
        f"{view.__name__.lower()} {said} was taken by an entry before this one: run "
        f"flitchbook record audit"
    )
