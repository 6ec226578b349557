"""A new key for the log, where the old one was stolen or is lost; the roots approve."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.acts.heads import sign_first_head
from ledger.acts.keyring import new_key, shown_key
from ledger.acts.shop import Hands, Shop
from ledger.acts.signing import LOG_KEY, NEXT_LOG_KEY, log_key
from ledger.errors import LedgerError, RefusedError
from ledger.events import LogKeyReplaced
from ledger.log import keyfile
from ledger.log.entry import Entry
from ledger.log.keys import SecretKey


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLogKey:
    """The entry that gave the log a new key, the head with which that begins to sign.

    `is_cosigned` tells whether the old key signed this head as well: not where its file
    is lost.
    """

    entry: Entry
    key: str
    head: str
    is_cosigned: bool


def replace_log_key(shop: Shop, hands: Hands) -> NewLogKey:
    """Sign heads with a new key from now on; the roots approve.

    Heads that were signed before stand. What nobody can tell any more is whether the
    old key signed another head of no more than that many entries, today or later: a
    head that was kept elsewhere shows it. The new key is laid down before its entry is
    written, so that it is there whenever the power goes.
    """
    old = old_key(shop)
    with laid_down(shop, old) as key, shop.turn() as turn:
        shown = shown_key(key, origin=turn.standing.origin, purpose="log")
        event = LogKeyReplaced(public=shown.public, possession=shown.possession)
        entry = turn.say(event, hands)
    head = sign_first_head(shop, entry.index + 1, old)
    return NewLogKey(entry=entry, key=key.id, head=head, is_cosigned=old is not None)


@contextmanager
def laid_down(shop: Shop, old: SecretKey | None) -> Iterator[SecretKey]:
    """Make a key for the log, and lay it down before the entry that speaks of it.

    In the place of the `old` one once that is written; where the entry is refused the
    new key goes again.
    """
    key = new_key(shop.entropy)
    made, used = shop.keys / NEXT_LOG_KEY, shop.keys / LOG_KEY
    if old is not None and _lies_in(shop, NEXT_LOG_KEY) == old.id:
        made.replace(used)
    made.unlink(missing_ok=True)
    keyfile.write(made, keyfile.unsealed(key, purpose="log"))
    try:
        yield key
    except RefusedError:
        made.unlink()
        raise
    made.replace(used)


def old_key(shop: Shop) -> SecretKey | None:
    """Return the log's key of today, or None where its file is lost or damaged."""
    try:
        secret = log_key(shop)
    except LedgerError:
        return None
    return secret if secret.public == shop.standing().log_key else None


def _lies_in(shop: Shop, name: str) -> str | None:
    path = shop.keys / name
    if not path.exists():
        return None
    return keyfile.named_key(keyfile.read(path), "the log")[0].id
