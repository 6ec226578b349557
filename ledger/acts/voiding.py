"""Serials that are void: instruments that will not be, numbers stamped by mistake.

Neither is ever given again. A number that was stamped by mistake leads to the true one
wherever it is typed or scanned.
"""

from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void
from ledger.acts.names import kept_reason
from ledger.acts.shop import Hands, Shop
from ledger.codes import tidied
from ledger.errors import RefusedError
from ledger.events import BuildVoided, SerialMisstamped
from ledger.log.entry import Entry
from ledger.serials import SerialPattern, read_serial, stamped_number
from ledger.views.boards import boards_in
from ledger.views.builds import Build
from ledger.views.certificates import certificates_of
from ledger.views.orders import Misstamp, misstamp_of, misstamps
from ledger.views.service import trip_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Voided:
    """An instrument that will not be: its entry, what is free again, what is not."""

    entry: Entry
    freed: tuple[str, ...]
    built_in: tuple[str, ...]


def void(shop: Shop, *, serial: str, reason: str, hands: Hands) -> Voided:
    """Give an instrument up: its serial stays void, its wood is free again.

    Wood that was built in stays in it. Raises RefusedError for one with a certificate.
    """
    with shop.turn() as turn:
        require_not_void(turn.session, serial)
        issued = certificates_of(turn.session, serial)
        if issued:
            raise RefusedError(
                f"{serial} has its certificate {issued[-1].number}: somebody relies on "
                f"it, so it is not void"
            )
        if (trip := trip_out(turn.session, serial)) is not None:
            raise RefusedError(
                f"{serial} is out since {trip.sent_on} (entry {trip.idx}): enter first "
                f"that it came home"
            )
        held = boards_in(turn.session, serial)
        freed = [board.code for board in held if board.consumed_idx is None]
        built_in = [board.code for board in held if board.consumed_idx is not None]
        with kept_reason(turn, hands.by.id, reason) as commitment:
            entry = turn.say(BuildVoided(serial=serial), hands, reason=commitment)
    return Voided(entry=entry, freed=tuple(freed), built_in=tuple(built_in))


def misstamped(
    shop: Shop, *, stamped: str, serial: str, reason: str, hands: Hands
) -> Entry:
    """Say that a number was stamped by mistake: it is void, and leads to the true one.

    It may have a wrong check digit. Raises RefusedError where the number is another
    instrument's.
    """
    wrong = str(stamped_number(stamped, shop.settings.pattern))
    if wrong == serial:
        raise RefusedError(
            f"{serial} is the true number: give the one that was stamped"
        )
    with shop.turn() as turn:
        require_not_void(turn.session, serial)
        other = turn.session.get(Build, wrong)
        if other is not None:
            raise RefusedError(
                f"{wrong} is the number of another instrument, a {other.model}, begun "
                f"by entry {other.idx}: restamp {serial}, whose number it is not"
            )
        known = misstamp_of(turn.session, wrong)
        if known is not None:
            raise RefusedError(misstamp_words(known))
        event = SerialMisstamped(stamped=wrong, serial=serial)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def true_serial(session: Session, text: str, pattern: SerialPattern) -> str:
    """Return a serial, typed or scanned, as it stands on the instrument.

    Raises RefusedError for one that was stamped by mistake, and names the true one.
    """
    require_true(session, text)
    return str(read_serial(text, pattern))


def require_true(session: Session, text: str) -> None:
    """Refuse a number that was stamped by mistake, and name the true one."""
    code = tidied(text).rpartition("/")[2]
    known = misstamp_of(session, code)
    if known is not None:
        raise RefusedError(misstamp_words(known))


def misstamp_words(known: Misstamp) -> str:
    """Say what a number was that leads to another."""
    return (
        f"{known.stamped} was stamped by mistake and is void, by entry {known.idx}: "
        f"the instrument is {known.serial}"
    )


def misstamps_to(session: Session, serial: str) -> list[Misstamp]:
    """Return the numbers that were stamped by mistake on an instrument."""
    find_build(session, serial)
    return [row for row in misstamps(session) if row.serial == serial]
