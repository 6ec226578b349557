"""A log whose newest entries are lost for good goes on in a next volume.

The entries that are left stay where they are, and so do their numbers: the next volume
begins behind them, under an origin and a key of its own, with an entry that the roots
approve. It says up to where the older volume is held and which head proves that there
was more. All is one tree still, so that every head of the next volume commits to the
entries of the older one too, and a paper of the older one is proved under either.
"""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.acts.heads import sign_first_head
from ledger.acts.keyring import shown_key
from ledger.acts.logkey import laid_down, take_into_use
from ledger.acts.lostnumbers import checked, require_room, reserve_in
from ledger.acts.outside import find_gap
from ledger.acts.shop import Hands, Shop, Turn
from ledger.check.outside import Outside
from ledger.errors import RefusedError
from ledger.events import ShopContinued, codec
from ledger.events.shop import Head
from ledger.log import merkle
from ledger.log.checkpoint import checkpoint_by
from ledger.log.entry import Entry
from ledger.log.governing import volume_origin
from ledger.log.standing import Closed
from ledger.views.fold import require_this_edition


@dataclass(frozen=True, slots=True, kw_only=True)
class NextVolume:
    """The entry with which a volume begins, what was lost before, and its first head.

    `reserved` are the numbers that are kept free from then on.
    """

    entry: Entry
    closed: Closed
    key: str
    head: str
    reserved: tuple[str, ...]


def lost(shop: Shop, given: Outside | None) -> Closed:
    """Return what the head that proves most says of entries that are not here.

    given  a head that was kept outside; those that this account or the shop's folder
           holds count as well

    Raises RefusedError where nothing proves that an entry is missing, and TamperError
    where a note is given that the log's own key did not sign.
    """
    standing, size = shop.standing(), shop.store.head().size
    proven = []
    gap = find_gap(shop.store, shop.folder, shop.state)
    if gap is not None:
        proven.append((gap.proven.size, gap.proven.root.hex()))
    if given is not None:
        proven += _proven(shop, given, size)
    if not proven:
        what = "holds what you gave" if given else "holds all that is known of it here"
        raise RefusedError(
            f"nothing is lost: this log of {size:,} entries {what}; where a paper "
            f"proves more, name it with --proven"
        )
    largest, root = max(proven)
    return Closed(
        origin=standing.origin, size=size, proven_size=largest, proven_root=root
    )


def go_on(
    shop: Shop, given: Outside | None, hands: Hands, *, issued: Collection[str] = ()
) -> NextVolume:
    """Close the log as it is and go on in a next volume; the roots approve.

    issued  numbers that papers prove issued in the entries that are lost

    The key of the next volume is laid down before the entry, and both volumes lie in
    one log: a power cut leaves the one or the other.
    """
    codes = checked(issued, shop.settings.pattern)
    with _closing(shop) as (turn, root), laid_down(turn) as (key, _):
        closed = lost(shop, given)
        if closed.size != turn.size:
            raise RefusedError("another station recorded meanwhile: look again")
        origin = volume_origin(turn.standing)
        event = ShopContinued(
            origin=origin,
            number=turn.standing.volume + 1,
            log=shown_key(key, origin=origin, purpose="log"),
            closed=Head(origin=closed.origin, size=closed.size, root=root.hex()),
            proven=Head(
                origin=closed.origin,
                size=closed.proven_size,
                root=closed.proven_root,
            ),
        )
        entry = turn.say(event, hands)
        for code in codes:
            require_room(turn, code)
        if codes:
            reserve_in(turn, codes, hands)
    take_into_use(shop)
    # Not by the old key: whoever has the lost entries may have that one, too.
    head = sign_first_head(shop, entry.index + 1, None)
    return NextVolume(entry=entry, closed=closed, key=key.id, head=head, reserved=codes)


@contextmanager
def _closing(shop: Shop) -> Iterator[tuple[Turn, bytes]]:
    """Hold the log although a kept head proves more; nothing else may be said so."""
    with codec.refusing(), shop.store.appending() as appending:
        require_this_edition(appending.session)
        turn = Turn(shop, appending)
        turn.judge()
        yield turn, appending.head.root


def _proven(shop: Shop, given: Outside, size: int) -> list[tuple[int, str]]:
    """Return what a head that was given proves beyond the log, if anything."""
    standing = shop.standing()
    if given.origin not in (None, standing.origin):
        raise RefusedError(
            f"this head is of {given.origin}, and the log is {standing.origin}"
        )
    if given.note is not None:
        checkpoint_by(given.note, standing.log_keys_at)
    if not given.root_start:
        raise RefusedError(
            "a card proves its own entry and no head of the log: name the certificate "
            "that came with it, a note or a proof, or type the number and the words of "
            "a paper; the card's numbers are kept free with --issued"
        )
    if given.size <= size:
        edge = merkle.edge_at(given.size, shop.store.node)
        if merkle.edge_root(edge).startswith(given.root_start):
            return []
    return [(given.size, given.root_start.hex())]
