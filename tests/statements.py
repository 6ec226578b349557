"""How many questions a database is asked, to see that they do not grow with the wood.

with statements.asked(session) as asked:
    ...
assert len(asked) == 4
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import event
from sqlmodel import Session


@contextmanager
def asked(session: Session) -> Iterator[list[str]]:
    """Give the list to which every question of a session is added."""
    heard: list[str] = []

    def hear(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        heard.append(statement)

    engine = session.connection().engine
    event.listen(engine, "before_cursor_execute", hear)
    try:
        yield heard
    finally:
        event.remove(engine, "before_cursor_execute", hear)
