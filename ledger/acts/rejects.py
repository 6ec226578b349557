"""Boards that are not used for instruments, and those that went back to the sawyer."""

from collections.abc import Sequence

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.names import checked_words, kept_reason
from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import BoardRejected
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.grading import rejection_of

MOST_FAULTS = 12


def reject(
    shop: Shop,
    code: str,
    *,
    faults: Sequence[str],
    is_returned: bool = False,
    reason: str | None = None,
    hands: Hands,
) -> list[Entry]:
    """Take a board, or both halves of a set, out of use, and say what is wrong with it.

    A rejected board may still be sawn, for what is left of it; one that is returned to
    the sawyer is gone. Raises RefusedError where it is in an instrument.
    """
    words = tuple(dict.fromkeys(str(checked_words("fault", text)) for text in faults))
    if not 1 <= len(words) <= MOST_FAULTS:
        raise RefusedError(
            f"a reject has 1 to {MOST_FAULTS} faults, not {len(words)}: say what is "
            f"wrong with the board"
        )
    with shop.turn() as turn:
        boards = boards_there(turn.session, str(BoardId.parse(code)))
        for board in boards:
            _require_loose(turn.session, board, is_returned=is_returned)
        entries = []
        for board in boards:
            event = BoardRejected(
                board=board.code, faults=words, returned=True if is_returned else None
            )
            if reason is None:
                entries.append(turn.say(event, hands))
                continue
            with kept_reason(turn, hands.by.id, reason) as commitment:
                entries.append(turn.say(event, hands, reason=commitment))
    return entries


def require_kept(session: Session, board: Board) -> None:
    """Refuse a board that was rejected: it goes into no instrument."""
    row = rejection_of(session, board.code)
    if row is not None:
        raise RefusedError(
            f"board {board.code} was rejected for {fault_words(row.faults)} by entry "
            f"{row.idx}: choose another, or strike that entry if it was wrong"
        )


def fault_words(faults: str) -> str:
    """Return what is wrong with a board, as the view keeps it, in a row of words."""
    return ", ".join(faults.split("\n"))


def _require_loose(session: Session, board: Board, *, is_returned: bool) -> None:
    require_whole(board)
    if board.serial is not None:
        raise RefusedError(
            f"board {board.code} is the {board.part} of {board.serial}: release it "
            f"first with flitchbook board release"
        )
    row = rejection_of(session, board.code)
    if row is not None and not is_returned:
        raise RefusedError(
            f"board {board.code} was rejected for {fault_words(row.faults)} by entry "
            f"{row.idx} already: nothing more was recorded"
        )
