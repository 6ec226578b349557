"""A certificate that the shop takes back.

It stays in the log, and its proof still holds: only a status list tells a stranger. No
paper of it is drawn any more, and nothing leaves on it. It still closes its build, as
any certificate does; another one may be issued at once, though nothing was done since.
"""

from ledger.acts.names import kept_reason
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import CertificateWithdrawn
from ledger.log.entry import Entry
from ledger.views.certificates import Certificate


def withdraw(shop: Shop, *, number: str, reason: str, hands: Hands) -> Entry:
    """Withdraw a certificate, and say why."""
    with shop.turn() as turn:
        found = turn.session.get(Certificate, number)
        if found is None:
            raise NotFoundError(f"there is no certificate {number}")
        if found.withdrawn_idx is not None:
            raise RefusedError(
                f"{number} was withdrawn by entry {found.withdrawn_idx} already"
            )
        event = CertificateWithdrawn(number=number)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)
