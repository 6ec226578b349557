"""Boards allotted to instruments: one board to one part, and to no two of them."""

from collections.abc import Sequence
from contextlib import ExitStack

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.builds import require_build, require_part
from ledger.acts.closing import require_open
from ledger.acts.holds import require_no_hold
from ledger.acts.measuring import species_in
from ledger.acts.names import kept_reason
from ledger.acts.policies import house_rules
from ledger.acts.rejects import require_kept
from ledger.acts.replacements import next_best
from ledger.acts.reserving import kept_for, require_named, require_unkept
from ledger.acts.resting import readiness
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.whose import leads, who_and_when
from ledger.craft.fitting import Wanted, Wood, fits
from ledger.craft.seasoning import Verdict, ready_words
from ledger.errors import RefusedError
from ledger.events import BoardAllotted, OverrideGiven
from ledger.log.entry import Entry
from ledger.views.boards import Board, boards_in, boards_named, set_of
from ledger.views.builds import Build
from ledger.views.corrections import overrides_for
from ledger.views.models import plan_of


class BoardTakenError(RefusedError):
    """A board can be allotted to one instrument at a time.

    who     who allotted it, and when
    others  what is like it, ready and free
    """

    def __init__(self, board: Board, who: str = "", others: Sequence[str] = ()) -> None:
        by = f", by {who} in entry" if who else ", by entry"
        instead = "choose another board"
        if others:
            instead += f", ready and like it: {', '.join(others)}"
        used = "nothing was used up"
        if board.consumed_idx is not None:
            used = f"it went in for good with entry {board.consumed_idx}"
        super().__init__(
            f"board {board.code} is already allotted to {board.serial} as its "
            f"{board.part}{by} {board.allotted_idx}; {used}: {instead}"
        )
        self.board = board.code
        self.serial = str(board.serial)
        self.others = tuple(others)


class OtherBoardKeptError(RefusedError):
    """A part that wood is kept for is made of that, and of no other."""

    def __init__(self, serial: str, part: str, board: Board, who: str) -> None:
        super().__init__(
            f"board {board.code} is kept for the {part} of {serial}, reserved by {who} "
            f"in entry {board.reserved_idx}; nothing was used up: take that one, "
            f"release it with flitchbook board release {board.code}, or let a lead "
            f"swap it"
        )


class BoardRestingError(RefusedError):
    """A board that has not rested enough goes into nothing."""

    def __init__(self, board: str, serial: str, verdict: Verdict) -> None:
        super().__init__(
            f"board {board} is not ready: {ready_words(verdict)}; wait, choose another "
            f"board, or let a lead say why it may be used in {serial} with flitchbook "
            f"board override"
        )
        self.board = board
        self.verdict = verdict


class BoardUnfitError(RefusedError):
    """A board of other wood, or too small, becomes no such part."""

    def __init__(self, board: str, serial: str, part: str, verdict: Verdict) -> None:
        super().__init__(
            f"board {board} does not fit as the {part} of {serial}: "
            f"{'; '.join(verdict.reasons)}; nothing was used up: choose another board, "
            f"or let a lead allot it with --override and say why"
        )
        self.board = board
        self.verdict = verdict


def allot(
    shop: Shop,
    *,
    serial: str,
    part: str,
    code: str,
    override: str | None = None,
    hands: Hands,
) -> list[str]:
    """Allot a board, or both halves of a set, to one part of an instrument.

    override  why a lead lets it be used although it is not ready, or does not fit

    Raises BoardTakenError where the board is allotted already, BoardKeptError where it
    is kept for another, BoardRestingError where it is not ready, BoardUnfitError where
    the model asks for other wood; nothing is used up then.
    """
    _look_first(shop, serial, part, code)
    try:
        with shop.turn(at_once=False) as turn:
            # First, for of many who want one board each but one is refused here.
            _require_free(turn.session, code)
            build = require_build(turn, serial)
            require_open(turn.session, serial, part=part)
            boards = boards_there(turn.session, code)
            require_part(turn.session, build, part)
            for board in boards:
                require_unkept(turn, board, serial)
            _require_none_kept(turn, serial, part, boards)
            with ExitStack() as keeping:
                entries = allot_in(turn, build, part, boards, override, hands, keeping)
    except BoardTakenError as taken:
        # Who has it, and what lies beside it, is looked up once others can go on.
        raise why_taken(shop, [taken.board]) from None
    return [entry.event["board"] for entry in entries]


def why_taken(shop: Shop, codes: Sequence[str]) -> BoardTakenError:
    """Return why the first of several boards that is in an instrument cannot be had."""
    with shop.store.reading() as session:
        boards = [session.get_one(Board, code) for code in codes]
        board = next((b for b in boards if b.serial is not None), boards[0])
        who = who_and_when(shop, session, int(board.allotted_idx or 0))
        return BoardTakenError(board, who, next_best(shop, session, board))


def _look_first(shop: Shop, serial: str, part: str, code: str) -> None:
    """Refuse what is taken before anybody has to wait for the log; it counts later."""
    with shop.store.reading() as session:
        taken = [b.code for b in boards_named(session, code) if b.serial is not None]
        if taken:
            require_open(session, serial, part=part)
    if taken:
        raise why_taken(shop, taken)


def _require_free(session: Session, code: str) -> None:
    for board in boards_named(session, code):
        if board.serial is not None:
            raise BoardTakenError(board)


def kept_instead(
    shop: Shop, serial: str, part: str, codes: Sequence[str]
) -> list[tuple[str, int]]:
    """Return the boards that are kept for a part where others were scanned for it.

    Each comes with the entry that reserved it; none where one of them was scanned.
    """
    with shop.store.reading() as session:
        kept = kept_for(session, serial, part, today=shop.today())
        if any(board.code in codes for board in kept):
            return []
        return [(board.code, int(board.reserved_idx or 0)) for board in kept]


def require_rested(shop: Shop, serial: str, codes: Sequence[str]) -> None:
    """Refuse wood that rests, unless a lead let it through for this instrument.

    Raises BoardRestingError.
    """
    with shop.store.reading() as session:
        build = session.get_one(Build, serial)
        for board in (session.get_one(Board, code) for code in codes):
            rest = _rest_for(session, board, build, today=shop.today())
            if not rest:
                raise BoardRestingError(board.code, serial, rest)


def allot_in(
    turn: Turn,
    build: Build,
    part: str,
    boards: Sequence[Board],
    override: str | None,
    hands: Hands,
    keeping: ExitStack,
) -> list[Entry]:
    """Allot boards that are free within a turn that says more than that.

    keeping  what forgets the reasons where the turn comes to nothing after all
    """
    for board in boards:
        require_whole(board)
        require_kept(turn.session, board)
        require_named(turn.session, board)
    require_no_hold(turn.session, boards=[board.code for board in boards])
    _require_one_set(turn.session, build.serial, part, boards)
    given = [
        event
        for board in boards
        for event in _against(turn, build, part, board, override is not None)
    ]
    _say_overrides(turn, given, override, hands, keeping)
    codes = [board.code for board in boards]
    return [
        turn.say(BoardAllotted(board=code, serial=build.serial, part=part), hands)
        for code in codes
    ]


def fitness(session: Session, board: Board, build: Build, part: str) -> Verdict:
    """Tell whether a board is of the wood and the size that the model asks for."""
    plan = plan_of(session, build.model, build.version)
    planned = next(each for each in plan.parts if each.part == part)
    wanted = Wanted(
        part=part,
        species=planned.species or (),
        length_um=planned.length_um,
        width_um=planned.width_um,
        thickness_um=planned.thickness_um,
    )
    wood = Wood(
        species=tuple(species_in(session, board.code)),
        length_um=board.length_um,
        width_um=board.width_um,
        thickness_um=board.thickness_um,
    )
    return fits(wood, wanted)


def _require_none_kept(
    turn: Turn, serial: str, part: str, boards: Sequence[Board]
) -> None:
    """Refuse other wood for a part that some is kept for."""
    kept = kept_for(turn.session, serial, part, today=turn.shop.today())
    codes = {board.code for board in boards}
    if kept and not any(board.code in codes for board in kept):
        index = int(kept[0].reserved_idx or 0)
        who = who_and_when(turn.shop, turn.session, index)
        raise OtherBoardKeptError(serial, part, kept[0], who)


def _against(
    turn: Turn, build: Build, part: str, board: Board, is_overridden: bool
) -> list[OverrideGiven]:
    """Return what has to be overridden for a board; without that, refuse it."""
    session, serial = turn.session, build.serial
    given: list[OverrideGiven] = []
    rest = _rest_for(session, board, build, today=turn.shop.today())
    if not rest:
        if not is_overridden:
            raise BoardRestingError(board.code, serial, rest)
        rules = house_rules(session)
        given.append(_override(board, serial, rules.id, rules.version, rest))
    fit = fitness(session, board, build, part)
    if not fit:
        if not is_overridden:
            raise BoardUnfitError(board.code, serial, part, fit)
        given.append(_override(board, serial, build.model, build.version, fit))
    return given


def _rest_for(session: Session, board: Board, build: Build, *, today: str) -> Verdict:
    """Tell whether a board has rested, or a lead let it through for an instrument."""
    let = {given.policy for given in overrides_for(session, board.code, build.serial)}
    # One that was given against the model lets no young wood through.
    return Verdict() if let - {build.model} else readiness(session, board, today=today)


def _override(
    board: Board, serial: str, policy: str, version: int, against: Verdict
) -> OverrideGiven:
    return OverrideGiven(
        board=board.code,
        serial=serial,
        policy=policy,
        version=version,
        against=against.reasons,
    )


def _say_overrides(
    turn: Turn,
    given: Sequence[OverrideGiven],
    reason: str | None,
    hands: Hands,
    keeping: ExitStack,
) -> None:
    if reason is None:
        return
    if not given:
        raise RefusedError(
            "nothing stands against this wood: allot it without --override"
        )
    if not leads(turn.session, turn.standing, hands.by.id):
        raise RefusedError("only a lead lets wood be used against a rule: ask one")
    for event in given:
        commitment = keeping.enter_context(kept_reason(turn, hands.by.id, reason))
        turn.say(event, hands, reason=commitment)


def _require_one_set(
    session: Session, serial: str, part: str, boards: Sequence[Board]
) -> None:
    stem = set_of(boards[0].code)
    for board in boards_in(session, serial):
        if board.part == part and set_of(board.code) != stem:
            raise RefusedError(
                f"the {part} of {serial} is board {board.code} already; a part is made "
                f"of one board or set, so give the other one a part of its own"
            )
