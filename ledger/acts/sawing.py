"""Boards sawn into pieces and offcuts, and pieces glued of boards."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.measuring import is_worked
from ledger.acts.names import checked_words, kept_reason
from ledger.acts.plausible import (
    density_gram_per_m3,
    require_density,
    require_like_last_mass,
)
from ledger.acts.policies import house_rules
from ledger.acts.reserving import is_kept, require_own
from ledger.acts.shop import Hands, Shop, Turn
from ledger.craft.balance import Saw, Sizes, balances, holds_together, sawdust_mg
from ledger.craft.seasoning import Verdict
from ledger.errors import RefusedError
from ledger.events import BoardJoined, BoardSplit, BoardWeighed
from ledger.events.board import Piece
from ledger.ids import BoardId
from ledger.quantities import grams
from ledger.views.boards import Board, codes_ever_given
from ledger.views.family import lots_of
from ledger.views.wood import Lot

LAST_PIECE = 999
MOST_PIECES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceDraft:
    """A piece as it came off the saw or out of the clamps; its code comes later."""

    meant_for: str
    mass_mg: int
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None
    is_offcut: bool = False


class UnbalancedError(RefusedError):
    """Mass is neither made nor lost at the bench."""

    def __init__(self, verdict: Verdict) -> None:
        super().__init__("; ".join(verdict.reasons))
        self.verdict = verdict


def split(
    shop: Shop,
    *,
    codes: Sequence[str],
    pieces: Sequence[PieceDraft],
    kerf: Saw | int | None = None,
    waste_mg: int | None = None,
    masses_mg: Sequence[int] = (),
    reason: str | None = None,
    as_read: bool = False,
    hands: Hands,
) -> list[str]:
    """Saw a board, or a set as one, into pieces; return their codes.

    `kerf` is the saw, or the mass of its dust [mg]; what nobody took is None and
    counts for nothing. `masses_mg` are the boards' masses
    as weighed just now, one for each; without them the newest ones count. `as_read`
    says that all was measured twice, however odd it looks.
    Raises UnbalancedError where the pieces are too heavy or too much is missing.
    """
    _require_drafts(pieces)
    _require_amounts(waste_mg, kerf)
    with shop.turn() as turn:
        boards = free_boards(turn.session, codes)
        _require_unkept(turn, boards, hands)
        _require_one_number(boards)
        masses = _masses(turn.session, boards, masses_mg, as_read=as_read)
        dust = _dust(kerf, boards, masses)
        verdict = balances(
            parent_mg=sum(masses),
            pieces_mg=[(piece.meant_for, piece.mass_mg) for piece in pieces],
            dust_mg=dust or 0,
            waste_mg=waste_mg or 0,
            within_ppm=house_rules(turn.session).balance_ppm,
            explained=reason is not None,
        )
        _require_balance(verdict)
        made = _made(turn.session, boards[0], pieces)
        if not as_read:
            _require_plausible(turn.session, boards, made)
        event = BoardSplit(
            parents=tuple(board.code for board in boards),
            masses_mg=tuple(masses),
            made=made,
            dust_mg=dust,
            waste_mg=waste_mg,
            **(asdict(kerf) if isinstance(kerf, Saw) else {}),
        )
        _say_weighed(turn, boards, masses_mg, hands)
        _say(turn, event, hands, reason)
    return [piece.board for piece in made]


def join(
    shop: Shop,
    *,
    codes: Sequence[str],
    draft: PieceDraft,
    masses_mg: Sequence[int] = (),
    reason: str | None = None,
    as_read: bool = False,
    hands: Hands,
) -> str:
    """Glue boards into one piece, which is of all their lots; return its code.

    The code is the first board's. `masses_mg` are the boards' masses as weighed just
    now, one for each; `as_read` says that all was measured twice. Raises
    UnbalancedError where the piece does not weigh what went into it.
    """
    _require_drafts([draft])
    with shop.turn() as turn:
        boards = free_boards(turn.session, codes)
        _require_unkept(turn, boards, hands)
        if len(boards) < 2:
            raise RefusedError(
                f"board {boards[0].code} alone is glued to nothing: name the other one"
            )
        masses = _masses(turn.session, boards, masses_mg, as_read=as_read)
        verdict = holds_together(
            parents_mg=sum(masses),
            piece_mg=draft.mass_mg,
            within_ppm=house_rules(turn.session).balance_ppm,
            explained=reason is not None,
        )
        _require_balance(verdict)
        (piece,) = _made(turn.session, boards[0], [draft])
        if not as_read:
            _require_plausible(turn.session, boards, [piece])
        event = BoardJoined(
            parents=tuple(board.code for board in boards),
            masses_mg=tuple(masses),
            made=piece,
        )
        _say_weighed(turn, boards, masses_mg, hands)
        _say(turn, event, hands, reason)
    return piece.board


def free_boards(session: Session, codes: Sequence[str]) -> list[Board]:
    """Return the boards of these codes, a set's halves each, all there to be used up.

    Raises NotFoundError and RefusedError that name the first board that is not.
    """
    boards: list[Board] = []
    for code in codes:
        for board in boards_there(session, code):
            if board in boards:
                raise RefusedError(f"board {board.code} is named twice: name it once")
            _require_free(board)
            boards.append(board)
    if not boards:
        raise RefusedError("no board is named: name one")
    return boards


def _require_free(board: Board) -> None:
    require_whole(board)
    if board.serial is not None:
        raise RefusedError(
            f"board {board.code} is allotted to {board.serial} as its {board.part}: "
            f"release it first, with flitchbook board release {board.code} --why"
        )


def _require_unkept(turn: Turn, boards: Sequence[Board], hands: Hands) -> None:
    """Leave wood that is kept for somebody to whoever kept it, and to a lead."""
    for board in boards:
        if is_kept(turn.session, board, today=turn.shop.today()):
            require_own(turn, board, hands)


def _require_one_number(boards: Sequence[Board]) -> None:
    """See that what is sawn as one is one: of others the origin would be lost."""
    stem = _stem(boards[0])
    other = next((board for board in boards if _stem(board) != stem), None)
    if other is not None:
        raise RefusedError(
            f"{boards[0].code} and {other.code} are not one board: saw each for "
            f"itself, or glue them first with flitchbook board join"
        )


def _require_drafts(drafts: Sequence[PieceDraft]) -> None:
    if not drafts:
        raise RefusedError("nothing came off the saw: name at least one piece")
    if len(drafts) > MOST_PIECES:
        raise RefusedError(
            f"{len(drafts)} pieces are more than the {MOST_PIECES} that one entry "
            f"holds: enter it in two goes, what is left of the first as a piece"
        )
    faults = [fault for draft in drafts for fault in _faults(draft)]
    if faults:
        raise RefusedError("; ".join(faults))


def _faults(draft: PieceDraft) -> Iterator[str]:
    try:
        checked_words("use of a piece", draft.meant_for)
    except RefusedError as refusal:
        yield str(refusal)
    if draft.mass_mg <= 0:
        yield f"{draft.meant_for} weighs {grams(draft.mass_mg)}: weigh it again"
    sizes = (draft.length_um, draft.width_um, draft.thickness_um)
    if any(size is not None and size <= 0 for size in sizes):
        yield f"{draft.meant_for} has a size that is not above nothing: measure again"


def _require_amounts(waste_mg: int | None, kerf: Saw | int | None) -> None:
    for name, mass in (("waste", waste_mg), ("kerf", kerf)):
        if isinstance(mass, int) and mass < 0:
            raise RefusedError(
                f"the {name} weighs {grams(mass)}: it is never below 0 g"
            )


def _require_balance(verdict: Verdict) -> None:
    if not verdict:
        raise UnbalancedError(verdict)


def _require_plausible(
    session: Session, boards: Sequence[Board], made: Sequence[Piece]
) -> None:
    """Refuse a piece whose sizes and mass no wood of its species has together."""
    lots = {lot for board in boards for lot in lots_of(session, board.code)}
    kinds = {session.get_one(Lot, lot).species for lot in lots}
    species = kinds.pop() if len(kinds) == 1 else "of several"
    for piece in made:
        density = density_gram_per_m3(
            mass_mg=piece.mass_mg,
            length_um=piece.length_um,
            width_um=piece.width_um,
            thickness_um=piece.thickness_um,
        )
        if density is not None:
            name = f"{piece.board} ({piece.meant_for})"
            require_density(name, species, density)


def _masses(
    session: Session, boards: Sequence[Board], weighed: Sequence[int], *, as_read: bool
) -> list[int]:
    """Return each board's mass: as weighed just now, else the newest."""
    if weighed and len(weighed) != len(boards):
        names = ", ".join(board.code for board in boards)
        raise RefusedError(
            f"give one mass for each of {names}: {len(boards)}, not {len(weighed)}"
        )
    masses = list(weighed) or [board.mass_mg or 0 for board in boards]
    for board, mass in zip(boards, masses, strict=True):
        if mass <= 0 and weighed:
            raise RefusedError(f"{board.code} weighs {grams(mass)}: weigh it again")
        if mass <= 0:
            raise RefusedError(
                f"board {board.code} was never weighed: weigh it, and give its mass"
            )
        if board.mass_mg and not (as_read or is_worked(session, board, {})):
            require_like_last_mass(board.code, mass, board.mass_mg)
    return masses


def _dust(
    kerf: Saw | int | None, boards: Sequence[Board], masses: Sequence[int]
) -> int | None:
    if not isinstance(kerf, Saw):
        return kerf
    sizes = [
        Sizes(
            code=board.code,
            mass_mg=mass,
            length_um=board.length_um,
            width_um=board.width_um,
            thickness_um=board.thickness_um,
        )
        for board, mass in zip(boards, masses, strict=True)
    ]
    return sawdust_mg(kerf, sizes)


def _made(
    session: Session, first: Board, drafts: Sequence[PieceDraft]
) -> tuple[Piece, ...]:
    """Give pieces numbers flat under the first board; none is ever given again."""
    stem = _stem(first)
    start = f"{stem}.C"
    given = codes_ever_given(session, str(stem.lot))
    taken = [BoardId.parse(code).child for code in given if code.startswith(start)]
    after = max(taken, default=0)
    if after + len(drafts) > LAST_PIECE:
        raise RefusedError(
            f"{stem} has {after} pieces, and {len(drafts)} more would be more than "
            f"{LAST_PIECE}: keep small ones together, as one offcut"
        )
    return tuple(
        Piece(
            board=f"{start}{number}",
            meant_for=draft.meant_for.strip(),
            mass_mg=draft.mass_mg,
            length_um=draft.length_um,
            width_um=draft.width_um,
            thickness_um=draft.thickness_um,
            offcut=True if draft.is_offcut else None,
        )
        for number, draft in enumerate(drafts, start=after + 1)
    )


def _stem(board: Board) -> BoardId:
    """Return the code under which a board's pieces are numbered."""
    own = BoardId.parse(board.code)
    return BoardId(lot=own.lot, number=own.number)


def _say_weighed(
    turn: Turn, boards: Sequence[Board], weighed: Sequence[int], hands: Hands
) -> None:
    if weighed:
        for board, mass in zip(boards, weighed, strict=True):
            turn.say(BoardWeighed(board=board.code, mass_mg=mass), hands)


def _say(
    turn: Turn, event: BoardSplit | BoardJoined, hands: Hands, reason: str | None
) -> None:
    with _kept(turn, hands, reason) as commitment:
        turn.say(event, hands, reason=commitment)


@contextmanager
def _kept(turn: Turn, hands: Hands, reason: str | None) -> Iterator[str | None]:
    if reason is None:
        yield None
        return
    with kept_reason(turn, hands.by.id, checked_words("reason", reason) or "") as kept:
        yield kept
