"""The keys of a shop as files: made, laid under a PIN, shared by leads, taken away."""

from collections.abc import Collection
from dataclasses import dataclass

from ledger.acts.shop import Entropy, Shop, Turn
from ledger.errors import RefusedError
from ledger.events.shop import ShownKey
from ledger.log import keyfile
from ledger.log.authority import LEAD
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey, prove_possession
from ledger.log.vault import person_sealing_key

SEED_SIZE = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """What a lead shares with another: the card key and the office's key.

    `lead` is the sharing lead's own key, `to` the other's, whose PIN will open both.
    """

    lead: SecretKey
    card: SecretKey
    to: SecretKey
    pin: str
    stretching: Stretching | None = None


def new_key(entropy: Entropy) -> SecretKey:
    """Make a key out of chance."""
    return SecretKey(entropy(SEED_SIZE))


def shown_key(secret: SecretKey, *, origin: str, purpose: str) -> ShownKey:
    """Return the public half of a key with a signature that shows possession."""
    possession = prove_possession(secret, origin=origin, purpose=purpose)
    return ShownKey(public=str(secret.public), possession=possession)


def seal_key(
    shop: Shop,
    secret: SecretKey,
    *,
    purpose: str,
    pin: str,
    holder: SecretKey,
    over: Collection[str] = (),
    stretching: Stretching | None = None,
) -> None:
    """Lay a key into the shop's folder under its holder's PIN.

    A file of the same key, or of one of the keys `over`, gives way to it.
    """
    sealed = keyfile.sealed(
        secret, purpose=purpose, pin=pin, entropy=shop.entropy, stretching=stretching
    )
    ending = ".json" if purpose == "person" else f".{purpose}.json"
    path = shop.keys / f"{holder.id}{ending}"
    keyfile.lay(path, sealed, over={secret.id, *over})


def share_in(turn: Turn, sharing: Sharing) -> None:
    """Lay the card key under another lead's PIN, and let that key open the office.

    Raises RefusedError unless both are leads and the card key is the one in use.
    """
    for key in (sharing.lead, sharing.to):
        require_lead(turn, key)
    if sharing.card.id not in turn.standing.live_keys("card", turn.size):
        raise RefusedError(
            f"card key {sharing.card.id} has ended: share the one that is in use"
        )
    mine, other = (person_sealing_key(key.seed) for key in (sharing.lead, sharing.to))
    turn.shop.vault.share_office(turn.shop.entropy, mine, other.public_key())
    seal_key(
        turn.shop,
        sharing.card,
        purpose="card",
        pin=sharing.pin,
        holder=sharing.to,
        # A card key that ended may lie there still.
        over=[k for k, known in turn.standing.keys.items() if known.purpose == "card"],
        stretching=sharing.stretching,
    )


def require_lead(turn: Turn, key: SecretKey) -> None:
    """Refuse the key of somebody who is no lead now."""
    known = turn.standing.keys.get(key.id)
    if known is None or LEAD not in turn.standing.roles_of(known.subject):
        raise RefusedError(f"key {key.id} is no lead's: only leads hold the card key")
