"""Labels that were lost or torn: the next one is marked, and the old one is void."""

from sqlmodel import Session

from ledger.acts.boards import one_board
from ledger.acts.names import kept_reason
from ledger.acts.shop import Hands, Shop, Turn
from ledger.codes import split_scan
from ledger.errors import RefusedError
from ledger.events import LabelReplaced
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.relabelled import Relabelling, replacements_of


class VoidLabelError(RefusedError):
    """A label that was replaced says nothing of the wood it is stuck to."""

    def __init__(self, board: Board, newest: Relabelling) -> None:
        super().__init__(
            f"this label of {board.code} was replaced by number {board.label} on "
            f"{newest.at[:10]} in entry {newest.idx}: look at the wood, and type the "
            f"code that is pencilled on it"
        )
        self.board = board.code


def replace_label(shop: Shop, code: str, *, reason: str, hands: Hands) -> Entry:
    """Void the label of a board, or of one half of a set; the next one is marked.

    Raises RefusedError for a set, of which somebody has to say which half is meant.
    """
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        return say_replaced(turn, board, reason, hands)


def say_replaced(turn: Turn, board: Board, reason: str, hands: Hands) -> Entry:
    """Say within a turn that a board's label is void, and why."""
    event = LabelReplaced(board=board.code, number=board.label + 1)
    with kept_reason(turn, hands.by.id, reason) as commitment:
        return turn.say(event, hands, reason=commitment)


def require_true_label(session: Session, text: str) -> None:
    """Refuse the scan of a board's label that was replaced, or never given.

    What was typed came from the wood, and says nothing of labels.
    """
    scan = split_scan(text)
    if scan is None or scan.mark != BoardId.form.mark:
        return
    if not BoardId.form.shape.fullmatch(scan.code[:-1]):
        return
    board = session.get(Board, scan.code[:-1])
    # A set has no label of its own, only its halves have.
    if board is None or scan.label == board.label:
        return
    if scan.label > board.label:
        raise RefusedError(
            f"board {board.code} never had a label {scan.label}, its newest is "
            f"{board.label}: look at the wood, and type the code pencilled on it"
        )
    newest = replacements_of(session, [board.code])[-1]
    raise VoidLabelError(board, newest)
