"""Wood of a part taken out for other wood, in one turn: no instrument has it twice."""

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass

from ledger.acts.allotting import allot_in
from ledger.acts.boards import boards_there
from ledger.acts.builds import require_build, require_part
from ledger.acts.closing import require_open
from ledger.acts.reserving import (
    is_kept,
    kept_for,
    names_of,
    require_releasable_wood,
    say_released,
)
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.whose import leads
from ledger.errors import RefusedError
from ledger.ids import BoardId
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build


@dataclass(frozen=True, slots=True, kw_only=True)
class Swapped:
    """What was taken out of a part, what went in, and where that was before.

    `left` is the serial and part that lost it, where it was in another instrument.
    """

    serial: str
    part: str
    out: tuple[str, ...]
    into: tuple[str, ...]
    left: tuple[str, str] | None
    entries: tuple[int, ...]


def swap(
    shop: Shop,
    *,
    serial: str,
    out: str,
    into: str,
    reason: str,
    override: str | None = None,
    hands: Hands,
) -> Swapped:
    """Take a part's wood out and put other wood in, with a reason; a lead does.

    Where that wood was in another instrument, its part there is without wood then; a
    reservation for another ends. What is not ready or does not fit is refused, unless
    `override` says why it may be used all the same.
    """
    with shop.turn() as turn:
        build = require_build(turn, serial)
        if not leads(turn.session, turn.standing, hands.by.id):
            raise _not_a_lead(serial)
        outs, part = _of_build(turn, build, str(BoardId.parse(out)))
        ins = boards_there(turn.session, str(BoardId.parse(into)))
        others = _where_they_are(turn, build, ins)
        left = next(((str(b.serial), str(b.part)) for b in others if b.serial), None)
        codes = [board.code for board in outs], [board.code for board in ins]
        with ExitStack() as keeping:
            freed = say_released(turn, [*outs, *others], reason, hands, keeping)
            ins = [turn.session.get_one(Board, code) for code in codes[1]]
            allotted = allot_in(turn, build, part, ins, override, hands, keeping)
    return Swapped(
        serial=serial,
        part=part,
        out=tuple(codes[0]),
        into=tuple(codes[1]),
        left=left,
        entries=tuple(entry.index for entry in (*freed, *allotted)),
    )


def require_lead(shop: Shop, serial: str, hands: Hands) -> None:
    """Refuse a swap to whoever is no lead, before anybody is asked why."""
    standing = shop.standing()
    with shop.store.reading() as session:
        if not leads(session, standing, hands.by.id):
            raise _not_a_lead(serial)


def _not_a_lead(serial: str) -> RefusedError:
    return RefusedError(
        f"only a lead swaps the wood of {serial}: ask one, or release what you "
        f"allotted or reserved yourself with flitchbook board release"
    )


def _of_build(turn: Turn, build: Build, code: str) -> tuple[list[Board], str]:
    """Return the whole wood of the part that a board is of, or is kept for."""
    named = boards_there(turn.session, code)
    names, today = names_of(turn.session, build.serial), turn.shop.today()
    first = named[0]
    if first.reserved_for in names and is_kept(turn.session, first, today=today):
        part = str(first.reserved_part)
        require_open(turn.session, build.serial, part=part)
        require_part(turn.session, build, part)
        return kept_for(turn.session, build.serial, part, today=today), part
    for board in named:
        if board.serial != build.serial:
            where = f"in {board.serial}" if board.serial else "in no instrument"
            raise RefusedError(
                f"board {board.code} is {where} and not in {build.serial}: look at "
                f"flitchbook build show {build.serial}"
            )
    require_open(turn.session, build.serial, part=str(named[0].part))
    whole = _part(turn, build.serial, str(named[0].part))
    for board in whole:
        require_releasable_wood(turn, board)
    return whole, str(named[0].part)


def _where_they_are(turn: Turn, build: Build, ins: Sequence[Board]) -> list[Board]:
    """Return what has to be let go before wood can go in: all of the part it is in."""
    bound: dict[str, Board] = {}
    for board in ins:
        if board.serial == build.serial:
            raise RefusedError(
                f"board {board.code} is the {board.part} of {build.serial} itself: "
                f"release it first, or choose another"
            )
        if board.serial is not None:
            require_open(turn.session, board.serial, part=str(board.part))
            for other in _part(turn, board.serial, str(board.part)):
                require_releasable_wood(turn, other)
                bound[other.code] = other
        elif board.reserved_for is not None:
            bound[board.code] = board
    return list(bound.values())


def _part(turn: Turn, serial: str, part: str) -> list[Board]:
    return [board for board in boards_in(turn.session, serial) if board.part == part]
