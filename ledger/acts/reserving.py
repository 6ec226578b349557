"""Boards kept for an instrument or an order until a day, and let go again."""

from collections.abc import Sequence
from contextlib import ExitStack
from datetime import date, timedelta

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.builds import find_build, require_part
from ledger.acts.closing import require_open
from ledger.acts.measuring import species_in
from ledger.acts.names import checked_day, checked_words, kept_reason
from ledger.acts.rejects import require_kept
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.whose import is_own, leads, who_and_when
from ledger.errors import RefusedError
from ledger.events import BoardReleased, BoardReserved
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.serials import is_serial
from ledger.views.allotting import reserved_for
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.certificates import certificates_after
from ledger.views.orders import order_of
from ledger.views.wood import UNKNOWN

# Common practice, no source: whoever needs longer says so.
USUAL_DAYS = 30


class BoardKeptError(RefusedError):
    """A board that is kept for somebody goes to nobody else before its day."""

    def __init__(self, board: Board, who: str) -> None:
        super().__init__(
            f"board {board.code} is kept for {board.reserved_for} as its "
            f"{board.reserved_part} until {board.reserved_until}, reserved by {who} in "
            f"entry {board.reserved_idx}; nothing was used up: choose another board, "
            f"or let whoever reserved it or a lead release it with flitchbook board "
            f"release {board.code}"
        )
        self.board = board.code
        self.reserved_for = str(board.reserved_for)


def reserve(
    shop: Shop,
    *,
    code: str,
    wanted: str,
    part: str,
    until: str | None = None,
    hands: Hands,
) -> list[Entry]:
    """Keep a board, or both halves of a set, for an instrument or an order.

    wanted  a serial, or an order as the shop numbers it
    until   the last day of it, YYYY-MM-DD; without one 30 days from now

    Whoever kept it for the same, or a lead, may keep it for longer. Raises
    BoardKeptError where it is kept for another.
    """
    wanted, part = (
        str(checked_words(what, text))
        for what, text in (("order", wanted), ("name of a part", part))
    )
    last = _last_day(shop, until)
    with shop.turn() as turn:
        boards = boards_there(turn.session, str(BoardId.parse(code)))
        _require_wanted(turn, wanted, part)
        for board in boards:
            _require_free(turn, board)
            require_unkept(turn, board, wanted)
            if is_kept(turn.session, board, today=shop.today()):
                require_own(turn, board, hands)
        return [
            turn.say(
                BoardReserved(
                    board=board.code, reserved_for=wanted, part=part, until=last
                ),
                hands,
            )
            for board in boards
        ]


def release(
    shop: Shop, *, code: str, reason: str | None = None, hands: Hands
) -> list[Entry]:
    """Let a board, or both halves of a set, go: it is kept for nobody, in nothing.

    Whoever allotted or reserved it does, or a lead; an allotment asks for a reason.
    What was used up for good is not released.
    """
    with shop.turn() as turn:
        boards = boards_there(turn.session, str(BoardId.parse(code)))
        bound = [board for board in boards if _holder(board) is not None]
        for board in boards:
            _require_releasable(turn, board)
        if not bound:
            raise RefusedError(
                f"board {code} is kept for nobody and allotted to nothing: it is free"
            )
        for board in bound:
            require_own(turn, board, hands)
            if board.serial is not None and reason is None:
                raise RefusedError(
                    f"board {board.code} is the {board.part} of {board.serial}: say "
                    f"why it is released, with --why"
                )
        with ExitStack() as keeping:
            return say_released(turn, bound, reason, hands, keeping)


def say_released(
    turn: Turn,
    boards: Sequence[Board],
    reason: str | None,
    hands: Hands,
    keeping: ExitStack,
) -> list[Entry]:
    """Say within a turn that boards are free again, each with its reason.

    keeping  what forgets the reasons where the turn comes to nothing after all
    """
    entries = []
    for code in [board.code for board in boards]:
        commitment = None
        if reason is not None:
            kept = kept_reason(turn, hands.by.id, reason)
            commitment = keeping.enter_context(kept)
        event = BoardReleased(board=code)
        entries.append(turn.say(event, hands, reason=commitment))
    return entries


def is_kept(session: Session, board: Board, *, today: str) -> bool:
    """Tell whether a board is kept for somebody: its day is not over, nor void."""
    if board.reserved_for is None or str(board.reserved_until) < today:
        return False
    build = session.get(Build, board.reserved_for)
    return build is None or build.voided_idx is None


def names_of(session: Session, wanted: str) -> tuple[str, ...]:
    """Return under which names wood is kept for an instrument: itself, its order."""
    order = order_of(session, wanted)
    return (wanted, order.order) if order and order.order else (wanted,)


def kept_for(session: Session, serial: str, part: str, *, today: str) -> list[Board]:
    """Return the boards that are kept for a part of an instrument, and still are."""
    kept = reserved_for(session, names_of(session, serial), part)
    return [board for board in kept if is_kept(session, board, today=today)]


def require_unkept(turn: Turn, board: Board, wanted: str) -> None:
    """Refuse a board that is kept for another instrument or order than this one."""
    if not is_kept(turn.session, board, today=turn.shop.today()):
        return
    if board.reserved_for in names_of(turn.session, wanted):
        return
    who = who_and_when(turn.shop, turn.session, int(board.reserved_idx or 0))
    raise BoardKeptError(board, who)


def require_releasable_wood(turn: Turn, board: Board) -> None:
    """Refuse to take out of an instrument what is in it for good."""
    if board.consumed_idx is not None:
        raise RefusedError(
            f"board {board.code} was used up in {board.serial} by entry "
            f"{board.consumed_idx}: it is not released any more; a lead scraps the "
            f"part where it was spoiled"
        )
    if board.serial is None:
        return
    allotted = int(board.allotted_idx or 0)
    issued = certificates_after(turn.session, board.serial, allotted)
    if issued:
        raise RefusedError(
            f"{board.serial} has its certificate {issued[-1].number}, which names "
            f"board {board.code}: it is not released"
        )


def require_named(session: Session, board: Board) -> None:
    """See that wood has a name: nobody can say of other wood what papers it needs."""
    if UNKNOWN in species_in(session, board.code):
        raise RefusedError(
            f"nobody knows of which species board {board.code} is: it is fit for jigs "
            f"only, so choose another board"
        )


def _require_releasable(turn: Turn, board: Board) -> None:
    require_releasable_wood(turn, board)
    require_whole(board)


def _last_day(shop: Shop, until: str | None) -> str:
    """Return the last day of a reservation, which is not over."""
    today = shop.today()
    if until is None:
        return (date.fromisoformat(today) + timedelta(days=USUAL_DAYS)).isoformat()
    checked_day(until)
    if until < today:
        raise RefusedError(
            f"{until} is over, and today is {today}: give a day that is still to come"
        )
    return until


def _require_wanted(turn: Turn, wanted: str, part: str) -> None:
    """See that an instrument is there and has such a part; of an order nobody knows."""
    if is_serial(wanted, turn.shop.settings.pattern):
        build = find_build(turn.session, wanted)
        require_open(turn.session, wanted, part=part)
        require_part(turn.session, build, part)


def _require_free(turn: Turn, board: Board) -> None:
    if board.serial is not None:
        who = who_and_when(turn.shop, turn.session, int(board.allotted_idx or 0))
        raise RefusedError(
            f"board {board.code} is the {board.part} of {board.serial} already, "
            f"allotted by {who} in entry {board.allotted_idx}: choose another board"
        )
    require_whole(board)
    require_kept(turn.session, board)
    require_named(turn.session, board)


def _holder(board: Board) -> int | None:
    """Return the entry by which a board is bound, or None where it is free."""
    return board.allotted_idx if board.serial is not None else board.reserved_idx


def require_own(turn: Turn, board: Board, hands: Hands) -> None:
    """See that whoever lets wood go bound it, or is a lead."""
    index = int(_holder(board) or 0)
    if leads(turn.session, turn.standing, hands.by.id):
        return
    if not is_own(turn.session, index, hands.by.id):
        who = who_and_when(turn.shop, turn.session, index)
        bound = (
            f"allotted to {board.serial}"
            if board.serial is not None
            else f"kept for {board.reserved_for}"
        )
        raise RefusedError(
            f"board {board.code} was {bound} by {who} in entry {index}: that person "
            f"releases it, or a lead"
        )
