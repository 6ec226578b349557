"""A new key for the log, where the old one was stolen or is lost; the roots approve."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.acts.heads import sign_first_head
from ledger.acts.keyring import new_key, shown_key
from ledger.acts.shop import Hands, Shop, Turn, read_standing
from ledger.acts.signing import LOG_KEY, NEXT_LOG_KEY
from ledger.errors import LedgerError, RefusedError
from ledger.events import LogKeyReplaced
from ledger.log import keyfile
from ledger.log.entry import Entry
from ledger.log.keys import PublicKey, SecretKey


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
    with shop.turn() as turn, laid_down(turn) as (key, old):
        shown = shown_key(key, origin=turn.standing.origin, purpose="log")
        event = LogKeyReplaced(public=shown.public, possession=shown.possession)
        entry = turn.say(event, hands)
    take_into_use(shop)
    head = sign_first_head(shop, entry.index + 1, old)
    return NewLogKey(entry=entry, key=key.id, head=head, is_cosigned=old is not None)


@contextmanager
def laid_down(turn: Turn) -> Iterator[tuple[SecretKey, SecretKey | None]]:
    """Make a key for the log in a turn, and lay it down before the entry is written.

    Beside it comes the key of today, None where its file is lost or damaged. Two
    stations wait for each other's turn: neither lays its key over the other's. What
    lies there and is not the log's key was made in vain, before the power went. Where
    the entry is refused the new key goes again.
    """
    shop = turn.shop
    old = _in_its_place(shop, turn.standing.log_key)
    key, made = new_key(shop.entropy), shop.keys / NEXT_LOG_KEY
    made.unlink(missing_ok=True)
    keyfile.write(made, keyfile.unsealed(key, purpose="log"))
    try:
        yield key, old
    except RefusedError:
        made.unlink()
        raise


def take_into_use(shop: Shop) -> None:
    """Put the log's key of today in the place of the one before, once it is written.

    Under the log's lock: by now another station may have laid down a newer one.
    """
    with shop.store.appending() as appending:
        _in_its_place(shop, read_standing(appending.session, shop.memory).log_key)


def _in_its_place(shop: Shop, today: PublicKey | None) -> SecretKey | None:
    """Return the log's key of today, moved to where it is looked for, or None."""
    made, used = shop.keys / NEXT_LOG_KEY, shop.keys / LOG_KEY
    for path in (made, used):
        try:
            secret = keyfile.opened(keyfile.read(path), pin=None, holder="the log")
        except LedgerError:
            continue
        if secret.public == today:
            path.replace(used)
            return secret
    return None
