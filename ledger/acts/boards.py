"""Boards: given their codes and first measures, and labelled."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.names import checked_words
from ledger.acts.plausible import density_gram_per_m3, require_density
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardNumbered, LabelPrinted
from ledger.ids import BoardId, LotId, parse_any
from ledger.views.boards import Board, boards_named, boards_of, codes_ever_given
from ledger.views.wood import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardDraft:
    """A board as far as it is known; two masses are the two halves of a set.

    `is_set` makes two halves that nobody has weighed yet. `as_read` says that sizes and
    masses were measured twice, however odd they look.
    """

    meant_for: str
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None
    masses_mg: tuple[int, ...] = ()
    is_set: bool = False
    mark: str | None = None
    supplier_grade: str | None = None
    sizes_as_written: str | None = None
    as_read: bool = False


def number_boards(
    shop: Shop, lot: LotId, drafts: Sequence[BoardDraft], hands: Hands
) -> list[str]:
    """Give boards of a lot their codes and first measures; return the codes."""
    with shop.turn() as turn:
        return number_in(turn, lot, drafts, hands)


def number_in(
    turn: Turn, lot: LotId, drafts: Sequence[BoardDraft], hands: Hands
) -> list[str]:
    """Give boards their codes within a turn that says more than that."""
    for draft in drafts:
        _require_sound(draft)
    received = turn.session.get(Lot, str(lot))
    if received is None:
        raise NotFoundError(f"there is no lot {lot}: receive it first")
    given = codes_ever_given(turn.session, str(lot))
    numbers = {BoardId.parse(code).number for code in given}
    living = {BoardId.parse(b.code).number for b in boards_of(turn.session, str(lot))}
    if len(living) + len(drafts) > received.boards:
        raise RefusedError(
            f"lot {lot} came in with {received.boards} boards, {len(living)} are "
            f"numbered and {len(drafts)} more would be too many"
        )
    codes = []
    for number, draft in enumerate(drafts, start=max(numbers, default=0) + 1):
        for board, mass in _pieces(lot, number, draft):
            event = _event(board, mass, draft)
            if not draft.as_read:
                _require_plausible(event, received.species)
            turn.say(event, hands)
            codes.append(event.board)
    return codes


def require_board(session: Session, code: str) -> Board:
    """Return a board that is there to be worked on.

    Raises NotFoundError where it was never numbered, RefusedError where it is pieces
    by now or its number was struck.
    """
    board = session.get(Board, code)
    if board is None:
        raise NotFoundError(
            f"there is no board {code}: scan its label again, or number it first"
        )
    require_whole(board)
    return board


def require_whole(board: Board) -> None:
    """Refuse a board that is pieces by now, or whose number was struck."""
    if board.became_idx is not None:
        raise RefusedError(
            f"board {board.code} was made into pieces by entry {board.became_idx}: "
            f"take the piece, flitchbook trace {board.code} lists them"
        )
    if board.struck_idx is not None:
        raise RefusedError(
            f"the number of board {board.code} was struck by entry "
            f"{board.struck_idx}: give the board a new one"
        )


def labels_printed(
    shop: Shop, codes: Sequence[str], *, paper: str, sha256: str, hands: Hands
) -> None:
    """Record that labels for these boards were drawn for the printer."""
    with shop.turn() as turn:
        for code in codes:
            if turn.session.get(Board, code) is None:
                raise NotFoundError(f"there is no board {code}")
        event = LabelPrinted(codes=tuple(codes), paper=paper, sha256=sha256)
        turn.say(event, hands)


def boards_meant(session: Session, text: str) -> list[Board]:
    """Return the boards that a code stands for: a board, a set's halves, a lot's all.

    Raises NotFoundError where there is none, RefusedError for a code of something else.
    """
    code = parse_any(text)
    if isinstance(code, LotId):
        found = boards_of(session, str(code))
        missing = f"no board of lot {code} is numbered: number them first"
    elif isinstance(code, BoardId):
        found = boards_named(session, str(code))
        missing = f"there is no board {code}: number it first"
    else:
        raise RefusedError(
            f"{code} is a {code.form.noun}: give a board, a set or a lot"
        )
    if not found:
        raise NotFoundError(missing)
    return found


def labelled_codes(session: Session, texts: Sequence[str]) -> list[str]:
    """Return the boards that codes stand for, each once, in the order they are named.

    Of a set these are both halves, of a lot all its boards.
    """
    codes = [board.code for text in texts for board in boards_meant(session, text)]
    return list(dict.fromkeys(codes))


def _require_sound(draft: BoardDraft) -> None:
    checked_words("use of a board", draft.meant_for)
    checked_words("sawyer's mark", draft.mark)
    checked_words("sawyer's grade", draft.supplier_grade)
    checked_words("size as the sawyer wrote it", draft.sizes_as_written)
    sizes = (draft.length_um, draft.width_um, draft.thickness_um, *draft.masses_mg)
    least = min((size for size in sizes if size is not None), default=1)
    if least <= 0:
        raise RefusedError(
            f"length, width, thickness and mass of a board are all above nothing: "
            f"{least} is not"
        )


def _event(board: BoardId, mass_mg: int | None, draft: BoardDraft) -> BoardNumbered:
    return BoardNumbered(
        board=str(board),
        lot=str(board.lot),
        meant_for=draft.meant_for,
        length_um=draft.length_um,
        width_um=draft.width_um,
        thickness_um=draft.thickness_um,
        mass_mg=mass_mg,
        sizes_as_written=draft.sizes_as_written,
        mark=draft.mark,
        supplier_grade=draft.supplier_grade,
    )


def _require_plausible(event: BoardNumbered, species: str) -> None:
    density = density_gram_per_m3(
        mass_mg=event.mass_mg,
        length_um=event.length_um,
        width_um=event.width_um,
        thickness_um=event.thickness_um,
    )
    if density is not None:
        require_density(event.board, species, density)


def _pieces(
    lot: LotId, number: int, draft: BoardDraft
) -> list[tuple[BoardId, int | None]]:
    """Return the codes of one draft, each with its mass if it was weighed."""
    masses = draft.masses_mg
    if len(masses) > 2 or (draft.is_set and len(masses) == 1):
        raise RefusedError(
            f"a board has one mass, a set has two for its halves, not {len(masses)}"
        )
    if draft.is_set or len(masses) == 2:
        pair = masses or (None, None)
        halves = (BoardId(lot=lot, number=number, half=half) for half in "AB")
        return list(zip(halves, pair, strict=True))
    return [(BoardId(lot=lot, number=number), masses[0] if masses else None)]
