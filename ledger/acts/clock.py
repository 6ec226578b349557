"""The clock: a false time is said to be false, and never overwritten."""

from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import ClockDoubted
from ledger.log.entry import Entry, at_moment


def doubt(shop: Shop, *, since: str, until: str, hands: Hands) -> Entry:
    """Say that times between two moments are false; a lead and another say so.

    Until the real time catches up, every entry carries when it happened.
    """
    try:
        is_span = at_moment(since) <= at_moment(until)
    except ValueError as fault:
        raise RefusedError(str(fault)) from None
    if not is_span:
        raise RefusedError(f"{since} is after {until}: give the first false time first")
    with shop.turn() as turn:
        return turn.say(ClockDoubted(from_=since, to=until), hands)
