"""Numbers that papers prove issued in lost entries, kept free for ever."""

from collections.abc import Collection

from sqlmodel import Session

from ledger.acts.builds import next_number
from ledger.acts.numbers import number_after
from ledger.acts.secondyes import require_another
from ledger.acts.shop import Hands, Shop, Turn
from ledger.benchcodes import GaugeId, HoldId, MaterialId
from ledger.errors import RefusedError
from ledger.events import NumberReserved
from ledger.ids import (
    BoardId,
    BodyId,
    CertificateId,
    Code,
    DocumentId,
    LotId,
    NeckId,
    ShipmentId,
    SlipId,
    parse_any,
)
from ledger.log.entry import Entry
from ledger.serials import Serial, SerialPattern, last_number
from ledger.views.certificates import newest_number
from ledger.views.holds import newest_hold
from ledger.views.materials import newest_batch, newest_gauge
from ledger.views.ownership import newest_slip
from ledger.views.reserved import ReservedNumber
from ledger.views.shipments import newest_shipment
from ledger.views.wood import Document, Lot, newest_code

# Beyond that two people look at the paper: a slip of the finger is many numbers away.
# The bound is our own.
MOST_LOST = 100
NEWEST = {
    CertificateId.form.mark: newest_number,
    SlipId.form.mark: newest_slip,
    ShipmentId.form.mark: newest_shipment,
    HoldId.form.mark: newest_hold,
    MaterialId.form.mark: newest_batch,
    GaugeId.form.mark: newest_gauge,
}


def reserve(shop: Shop, numbers: Collection[str], hands: Hands) -> Entry:
    """Keep numbers free that a paper, a tag or a stamp proves issued.

    The next number of each sort follows the highest of them. Raises RefusedError for
    what is no number that the shop gives, where all of them are kept free already, and
    for one so high that too few are left, or that somebody else must look at it too.
    """
    codes = checked(numbers, shop.settings.pattern)
    with shop.turn() as turn:
        for code in codes:
            ahead = require_room(turn, code)
            if ahead > MOST_LOST:
                why = (
                    f"{code} is {ahead} beyond the newest of its sort that is known "
                    f"here, and more than {MOST_LOST} is for two to say"
                )
                require_another(turn, hands, why)
        return reserve_in(turn, codes, hands)


def checked(numbers: Collection[str], pattern: SerialPattern) -> tuple[str, ...]:
    """Return the numbers as the shop writes them, each of them once."""
    codes = [parse_any(text, pattern) for text in numbers]
    board = next((code for code in codes if isinstance(code, BoardId)), None)
    if board is not None:
        raise RefusedError(
            f"{board} is a board's code, which is numbered within its lot: keep the "
            f"lot's own code free, {board.lot}"
        )
    return tuple(sorted({str(code) for code in codes}))


def require_room(turn: Turn, text: str) -> int:
    """Return how far a number lies beyond the newest of its sort; 0 if it does not.

    Raises RefusedError where it would use up more than half of the numbers left: a
    mistyped one would end its sort for the year, and with half there is always room.
    """
    code = parse_any(text, turn.shop.settings.pattern)
    newest, last = _newest(turn, code), _last(turn, code)
    ahead = max(code.number - newest, 0)
    left = max(last - newest, 0)
    if 2 * ahead > left:
        raise RefusedError(
            f"{code} is {ahead} beyond the newest of its sort that is known here, and "
            f"more than half of the {left} numbers left would never be given: look at "
            f"the paper again"
        )
    return ahead


def _newest(turn: Turn, code: Code) -> int:
    """Return the highest number of a code's sort and year that is taken, or 0."""
    if isinstance(code, Serial | BodyId | NeckId):
        today = int(turn.shop.today()[:4])
        # Two digits are of this century, as they are when a number is given.
        year = today if code.year is None else today - today % 100 + code.year % 100
        return next_number(turn, year) - 1
    start = f"{str(code).rpartition('-')[0]}-"
    return number_after(turn, start, _given(turn.session, code, start)) - 1


def _given(session: Session, code: Code, start: str) -> str | None:
    """Return the highest code of the same sort that the log itself gave, or None."""
    match code:
        case LotId():
            return newest_code(session, Lot, start)
        case DocumentId():
            return newest_code(session, Document, start)
        case _:
            return NEWEST[code.form.mark](session, start)


def _last(turn: Turn, code: Code) -> int:
    """Return the highest number that a code's sort has room for."""
    if isinstance(code, Serial | BodyId | NeckId):
        pattern = turn.shop.settings.pattern
        return min(last_number(pattern), BodyId.form.last_number)
    return code.form.last_number


def reserve_in(turn: Turn, codes: Collection[str], hands: Hands) -> Entry:
    """Say in a turn which numbers are kept free."""
    fresh = [c for c in codes if turn.session.get(ReservedNumber, c) is None]
    if not fresh:
        raise RefusedError(f"{', '.join(codes) or 'nothing'}: kept free already")
    return turn.say(NumberReserved(numbers=tuple(fresh)), hands)
