"""What a process that opens thousands of shops, one after another, need not do anew.

A command opens one shop and ends. A worker of the tests opens a copy of the same shop
for each test, asks it the same questions, and hears the same signatures judged.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache

import pytest
from sqlalchemy import Connection, Engine, event
from sqlalchemy.engine.default import DefaultDialect
from sqlalchemy.util import LRUCache

from ledger.log.keys import PublicKey

QUESTIONS, SIGNATURES = 5_000, 50_000


@contextmanager
def kept() -> Iterator[None]:
    """Keep what was worked out for one shop for those that come after it."""
    with pytest.MonkeyPatch.context() as patch:
        _share_questions(patch)
        # Whether a key made a signature over some bytes never changes.
        heard = lru_cache(SIGNATURES)(PublicKey.has_signed)
        patch.setattr(PublicKey, "has_signed", heard)
        yield


def forget_signatures() -> None:
    """Judge every signature anew, for whoever changes how one is judged."""
    forget = getattr(PublicKey.has_signed, "cache_clear", None)
    if forget is not None:
        forget()


def _share_questions(patch: pytest.MonkeyPatch) -> None:
    """Let a question be put into a database's own words once for all of its kind.

    An engine keeps the words by its dialect, and each engine has one of its own.
    """
    patch.setattr(DefaultDialect, "__eq__", lambda one, other: type(one) is type(other))
    patch.setattr(DefaultDialect, "__hash__", lambda one: hash(type(one)))
    words: LRUCache[object, object] = LRUCache(QUESTIONS)

    @event.listens_for(Engine, "engine_connect")
    def share(connection: Connection) -> None:
        connection.execution_options(compiled_cache=words)
