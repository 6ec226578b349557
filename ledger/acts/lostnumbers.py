"""Numbers that papers prove issued in lost entries, kept free for ever."""

from collections.abc import Collection

from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import RefusedError
from ledger.events import NumberReserved
from ledger.ids import BoardId, parse_any
from ledger.log.entry import Entry
from ledger.serials import SerialPattern
from ledger.views.reserved import ReservedNumber


def reserve(shop: Shop, numbers: Collection[str], hands: Hands) -> Entry:
    """Keep numbers free that a paper, a tag or a stamp proves issued.

    The next number of each sort follows the highest of them. Raises RefusedError for
    what is no number that the shop gives, and where all of them are kept free already.
    """
    codes = checked(numbers, shop.settings.pattern)
    with shop.turn() as turn:
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


def reserve_in(turn: Turn, codes: Collection[str], hands: Hands) -> Entry:
    """Say in a turn which numbers are kept free."""
    fresh = [c for c in codes if turn.session.get(ReservedNumber, c) is None]
    if not fresh:
        raise RefusedError(f"{', '.join(codes) or 'nothing'}: kept free already")
    return turn.say(NumberReserved(numbers=tuple(fresh)), hands)
