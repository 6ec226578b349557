"""The shop's status list, issued under the next number, and kept where it publishes."""

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from ledger.acts import numbered
from ledger.acts.layout import PUBLISHED
from ledger.acts.names import checked_day
from ledger.acts.numbered import STATUS_LISTS
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.log.keys import SecretKey
from ledger.log.statusfile import listed_digest, write_status_list
from ledger.views.ownership import states_now

# How long a list is good for where nobody says otherwise. Common practice, no source.
NEXT_AFTER_DAYS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """A list that was issued: where it lies, its bytes, and what it says of how many.

    `counted` is how many certificates have each state; one may have several.
    """

    path: Path
    data: bytes
    number: int
    size: int
    next_on: str
    counted: dict[str, int]


def issue_status(shop: Shop, *, next_on: str | None, card: SecretKey) -> Issued:
    """Sign what became of every certificate up to now, and keep the list; return it.

    It enters nothing. Raises RefusedError where it were to be replaced before today.
    """
    day = shop.today()
    checked_day(next_on)
    after = date.fromisoformat(day) + timedelta(days=NEXT_AFTER_DAYS)
    until = next_on or after.isoformat()
    if until < day:
        raise RefusedError(
            f"a list of {day} is not replaced on {until}, before it: give a later day"
        )
    with shop.turn() as turn:
        # Nothing is said: the list speaks for exactly these entries.
        states, size = states_now(turn.session), turn.size

    def made(number: int) -> bytes:
        return write_status_list(
            {listed_digest(token): said for token, said in states.items()},
            origin=shop.standing().origin,
            number=number,
            issued=day,
            next_on=until,
            size=size,
            card=card,
        )

    kept = numbered.keep_next(shop.folder / PUBLISHED, STATUS_LISTS, made)
    counted = {
        state: sum(state in said for said in states.values())
        for state in sorted({state for said in states.values() for state in said})
    }
    return Issued(
        path=kept.path,
        data=kept.data,
        number=kept.number,
        size=size,
        next_on=until,
        counted=counted,
    )


def newest_list(shop: Shop) -> Path | None:
    """Return where the newest list lies, by number and not by name; None where none."""
    found = numbered.newest(shop.folder / PUBLISHED, STATUS_LISTS)
    return found.path if found else None
