"""What is seen to before and after each turn at the log, outside of its transaction.

Before: that the log holds what this account remembers. After: the account remembers the
new head, and the first turn of a day leaves a signed one. Neither can refuse what was
said: it is written by then.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

from sqlalchemy.exc import SQLAlchemyError

from ledger.acts import outside
from ledger.errors import LedgerError


@contextmanager
def remembered(shop: Any) -> Iterator[None]:
    """Require before a shop's turn that nothing is missing, and remember after it.

    Raises TamperError where entries are missing that a kept head proves.
    """
    outside.require_no_gap(shop.store, shop.folder, shop.state)
    yield
    if shop.state is not None:
        # What cannot be remembered or signed is told by the next command.
        with suppress(LedgerError, OSError, SQLAlchemyError):
            outside.sight(shop.store, shop.state)
            _sign_once_a_day(shop)


def _sign_once_a_day(shop: Any) -> None:
    """Sign the head after the first turn of a day, if the log's key is at hand."""
    size = shop.store.head().size
    today = outside.day_of(shop.store, size)
    if outside.newest_day(shop.store, shop.state) >= today:
        return
    newest = shop.store.newest_checkpoint()
    if newest is not None and outside.day_of(shop.store, newest[0]) >= today:
        return
    if shop.standing().log_tenures[-1].from_size == size:
        return  # a new key's first head bears the old one's signature as well
    # A shop's turn is taken with this module, and whoever signs needs a shop.
    from ledger.acts.heads import sign_head
    from ledger.acts.signing import log_key

    log_key(shop)
    sign_head(shop)
