"""A rule overridden by a lead, who says why: one board, one instrument."""

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.closing import require_open
from ledger.acts.names import kept_reason
from ledger.acts.policies import house_rules
from ledger.acts.resting import readiness
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import OverrideGiven
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.builds import Build


def override(
    shop: Shop, *, code: str, serial: str, reason: str, hands: Hands
) -> list[Entry]:
    """Let a board, or both halves of a set, be used before it is ready, and say why.

    Raises RefusedError where nothing stands against it.
    """
    with shop.turn() as turn:
        boards = boards_there(turn.session, code)
        if turn.session.get(Build, serial) is None:
            raise NotFoundError(f"there is no instrument {serial}: look at the tag")
        require_open(turn.session, serial)
        # Of all first, so that no reason is kept for half of a set that is refused.
        for board in boards:
            _require_free(board)
        rules = house_rules(turn.session)
        entries = []
        for board in boards:
            against = readiness(turn.session, board, today=shop.today()).reasons
            if against:
                event = OverrideGiven(
                    board=board.code,
                    serial=serial,
                    policy=rules.id,
                    version=rules.version,
                    against=against,
                )
                with kept_reason(turn, hands.by.id, reason) as commitment:
                    entries.append(turn.say(event, hands, reason=commitment))
        if not entries:
            raise RefusedError(f"nothing stands against {code}: allot it")
    return entries


def _require_free(board: Board) -> None:
    """Refuse to override anything for a board that nobody can use any more."""
    require_whole(board)
    if board.serial is not None:
        raise RefusedError(
            f"board {board.code} is allotted to {board.serial} by entry "
            f"{board.allotted_idx}: there is nothing to override"
        )
