"""What an act would say, tried before something is done that nobody can take back.

A paper that lies in a printer's tray is there. So an act that records it is rehearsed
before the paper is handed over, and said once the printer has it.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import fields

from ledger.acts.shop import Shop, Turn


class _UnsaidError(Exception):
    """Ends a turn so that nothing of it stays."""


class _Rehearsal(Shop):
    """A shop in which all that is said in a turn is unsaid at its end."""

    @contextmanager
    def turn(self, *, at_once: bool = True) -> Iterator[Turn]:
        """Hold the log for one person's turn, and write nothing of it."""
        with suppress(_UnsaidError), super().turn(at_once=at_once) as turn:
            yield turn
            raise _UnsaidError


def rehearse(shop: Shop, act: Callable[[Shop], object]) -> None:
    """Let an act refuse what it would refuse; nothing that it says stays."""
    act(_Rehearsal(**{each.name: getattr(shop, each.name) for each in fields(shop)}))
