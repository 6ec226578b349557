"""The shop's status list, issued under the next number, and kept where it publishes.

A number is one more than the newest, and never below the number of entries that its
list speaks for. The head of these is signed before the list leaves, so that a log that
was put back gives no number twice: it is refused until they are there again, and a next
volume counts under another origin.
"""

from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from ledger.acts.heads import sign_head
from ledger.acts.layout import PUBLISHED
from ledger.acts.names import checked_day
from ledger.acts.numbered import STATUS_LISTS, file_name, keep, newest
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.log import seenlists
from ledger.log.keys import SecretKey
from ledger.log.seenlists import SeenList
from ledger.log.statusfile import listed_digest, write_status_list
from ledger.views.ownership import states_now

# How long a list is good for where nobody says otherwise. The span is our own.
NEXT_AFTER_DAYS = 30
# And at most: whoever has an older list takes it for the newest until that day, and a
# shop that is shut for a season has to have said so much. The bound is our own.
NEXT_AT_MOST_DAYS = 366


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

    It enters nothing. Raises RefusedError where it were to be replaced before today, or
    so late that strangers would trust it too long.
    """
    day = shop.today()
    checked_day(next_on)
    after = date.fromisoformat(day) + timedelta(days=NEXT_AFTER_DAYS)
    until = next_on or after.isoformat()
    if until < day:
        raise RefusedError(
            f"a list of {day} is not replaced on {until}, before it: give a later day"
        )
    latest = (date.fromisoformat(day) + timedelta(days=NEXT_AT_MOST_DAYS)).isoformat()
    if until > latest:
        raise RefusedError(
            f"a list of {day} that is good until {until} would hide what is withdrawn "
            f"or reported meanwhile: give a day up to {latest}"
        )
    with ExitStack() as undo:
        with shop.turn() as turn:
            # Nothing is said: the list speaks for exactly these entries, and no other
            # station gives a number meanwhile.
            states, size = states_now(turn.session), turn.size
            origin = turn.standing.origin
            number = _next_number(shop, origin, size)
            data = write_status_list(
                {listed_digest(token): said for token, said in states.items()},
                origin=origin,
                number=number,
                issued=day,
                next_on=until,
                size=size,
                card=card,
            )
            path = shop.folder / PUBLISHED / file_name(STATUS_LISTS, number)
            keep(path, data)
            undo.callback(path.unlink)
        sign_head(shop)
        undo.pop_all()
    made = SeenList.of(data, number=number, key=card.id)
    seenlists.remember(shop.state, origin, _founding(shop), made)
    counted = {
        state: sum(state in said for said in states.values())
        for state in sorted({state for said in states.values() for state in said})
    }
    return Issued(
        path=path,
        data=data,
        number=number,
        size=size,
        next_on=until,
        counted=counted,
    )


def _next_number(shop: Shop, origin: str, size: int) -> int:
    known = seenlists.newest(shop.state, origin, _founding(shop))
    kept = newest(shop.folder / PUBLISHED, STATUS_LISTS)
    return max([size, *(each.number + 1 for each in (known, kept) if each)])


def _founding(shop: Shop) -> bytes:
    return shop.store.record(0)


def newest_list(shop: Shop) -> Path | None:
    """Return where the newest list lies, by number and not by name; None where none."""
    found = newest(shop.folder / PUBLISHED, STATUS_LISTS)
    return found.path if found else None
