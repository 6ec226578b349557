"""An instrument that changes hands: its slip drawn, used, and lost.

slip = slip_of(loft)
handed_on(loft, slip, "Kenji Arakawa")
"""

from datetime import timedelta

from ledger.acts import slips, statuslists, thefts, transfers
from ledger.acts.signing import card_key, find_person
from ledger.acts.slipcodes import printed_code
from ledger.acts.slips import Slip
from ledger.acts.transfers import Transfer
from ledger.log.keys import SecretKey
from ledger.views.ownership import TheftReport
from tests.skerrymoor import PINS, Loft

SERIAL = "26-0001-8"


def slip_of(loft: Loft, serial: str = SERIAL) -> Slip:
    """Return the slip that works, as whoever keeps the papers draws it."""
    return slips.slip_for(loft.shop, serial, loft.hands("12"))


def handed_on(
    loft: Loft,
    slip: Slip,
    name: str = "Kenji Arakawa",
    serial: str = SERIAL,
    yes: tuple[str, ...] = (),
) -> Transfer:
    """Enter the next owner, by the code of a slip."""
    return transfers.transfer(
        loft.shop,
        serial=serial,
        code=printed_code(slip.code),
        name=name,
        transferred_on=None,
        hands=loft.hands("12", *yes),
    )


def reported(loft: Loft, name: str = "Aldous Ferrante") -> TheftReport:
    """Enter that somebody says the instrument was taken."""
    return thefts.report(
        loft.shop, serial=SERIAL, name=name, said_on=None, hands=loft.hands()
    )


def lost(loft: Loft) -> int:
    """Enter that the slip is lost, of an owner whom nobody knows; return the entry."""
    return slips.lost(loft.shop, SERIAL, loft.hands("12", "01")).index


def noticed(loft: Loft) -> int:
    """Enter that the notice of a lost slip was sent; return the entry."""
    return slips.notice_sent(loft.shop, SERIAL, loft.hands("12", "01")).index


def later(loft: Loft, days: int) -> None:
    """Let so many days go by."""
    loft.clock.moment += timedelta(days=days)


def card_of(loft: Loft) -> SecretKey:
    """Open the shop's card key as its lead does."""
    return card_key(loft.shop, find_person(loft.shop, "01"), PINS["01"])


def listed(loft: Loft) -> bytes:
    """Return the status list of today."""
    return statuslists.issue_status(loft.shop, next_on=None, card=card_of(loft)).data
