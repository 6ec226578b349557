"""The shop's status list, issued under the next number, and kept where it publishes."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from ledger.acts.copying import PUBLISHED
from ledger.acts.folders import write
from ledger.acts.names import checked_day
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.log.keys import SecretKey
from ledger.log.statusfile import listed_digest, write_status_list
from ledger.views.ownership import states_now

# How long a list is good for where nobody says otherwise. Common practice, no source.
NEXT_AFTER_DAYS = 30
NAME = "status-"


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
    folder = shop.folder / PUBLISHED
    number = newest_number(shop)
    while True:
        number += 1
        data = write_status_list(
            {listed_digest(token): said for token, said in states.items()},
            origin=shop.standing().origin,
            number=number,
            issued=day,
            next_on=until,
            size=size,
            card=card,
        )
        folder.mkdir(exist_ok=True)
        path = folder / f"{NAME}{number:04d}.json"
        # Another station may have taken the number meanwhile.
        with suppress(FileExistsError):
            write(path, data)
            break
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


def newest_number(shop: Shop) -> int:
    """Return the number of the newest list that the shop issued, or 0."""
    found = (shop.folder / PUBLISHED).glob(f"{NAME}*.json")
    digits = (path.stem.removeprefix(NAME) for path in found)
    return max((int(each) for each in digits if each.isdigit()), default=0)
