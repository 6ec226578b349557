"""Plain rows: of thousands of things columns are read, and no objects made."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import select
from sqlmodel import Session


def columns_of(view: Any, names: Sequence[str]) -> Any:
    """Ask for some columns of a view."""
    return select(*(getattr(view, name) for name in names))


def plain_rows(session: Session, query: Any) -> Sequence[Any]:
    """Return plain rows, with what this session has yet to write."""
    session.flush()
    return session.connection().execute(query).all()
