"""The signet of a shop's card key, with its name, from the key's first day."""

from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.log.entry import at_moment
from ledger.log.keys import SecretKey
from ledger.log.signet import Signet, make_signet
from ledger.views.said import entry_said


def shop_signet(shop: Shop, card: SecretKey) -> Signet:
    """Return what signs PDFs for a card key of this shop, valid from its first day.

    Raises RefusedError for a key that is no card key of this shop.
    """
    standing = shop.standing()
    known = standing.keys.get(card.id)
    if known is None or known.purpose != "card":
        raise RefusedError(
            f"key {card.id} is no card key of this shop: open it with a lead's PIN"
        )
    with shop.store.reading() as session:
        # A key counts from the entry after the one that gave it.
        entered = entry_said(session, known.from_index - 1)
    return make_signet(card, shop=standing.name, since=at_moment(entered.at).date())
