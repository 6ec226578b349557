"""Boards: given their codes and first measures, and labelled."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from ledger.acts.names import checked_words
from ledger.acts.plausible import density_gram_per_m3, require_density
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardNumbered, LabelPrinted
from ledger.ids import BoardId, LotId, parse_any
from ledger.views.boards import Board, boards_named, boards_of, codes_ever_given
from ledger.views.wood import Lot

# The cells of measure of a sawyer's row, each after its header.
LONGEST_ROW = 2_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardDraft:
    """A board as far as it is known; two masses are the two halves of a set.

    `masses_mg` were read on the shop's own scale, `listed_mg` on the sawyer's list;
    `is_listed` says that the sizes are the list's too.
    `is_set` makes two halves that nobody has weighed yet. `as_read` says that sizes and
    masses were measured twice, however odd they look.
    """

    meant_for: str
    length_um: int | None = None
    width_um: int | None = None
    thickness_um: int | None = None
    masses_mg: tuple[int, ...] = ()
    listed_mg: tuple[int, ...] = ()
    listed_moisture_ppm: int | None = None
    is_listed: bool = False
    is_set: bool = False
    mark: str | None = None
    supplier_grade: str | None = None
    as_written: str | None = None
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
    drafts = [_sound(draft) for draft in drafts]
    received = turn.session.get(Lot, str(lot))
    if received is None:
        raise NotFoundError(
            f"there is no lot {lot}: look at the label again, or receive it with "
            f"flitchbook lot receive"
        )
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
        for event in _events(lot, number, draft):
            if not draft.as_read:
                _require_plausible(event, received.species)
            turn.say(event, hands)
            codes.append(event.board)
    return codes


def boards_there(session: Session, code: str) -> list[Board]:
    """Return the board of a code, or both halves of a set; else NotFoundError."""
    found = boards_named(session, code)
    if not found:
        raise NotFoundError(
            f"there is no board {code}: scan its label again, or number it first"
        )
    return found


def one_board(session: Session, code: str) -> Board:
    """Return the one board of a code that is there to be worked on.

    Raises NotFoundError where it was never numbered, RefusedError where it is pieces
    by now, its number was struck, or the code is a set's.
    """
    board = stored_board(session, code)
    require_whole(board)
    return board


def stored_board(session: Session, code: str) -> Board:
    """Return the one board of a code, whatever became of it.

    Of a set somebody has to say which half is meant, else RefusedError.
    """
    code = str(BoardId.parse(code))
    found = boards_there(session, code)
    if found[0].code != code:
        raise RefusedError(
            f"{code} is a set: scan the half, {' or '.join(b.code for b in found)}"
        )
    return found[0]


def require_whole(board: Board) -> None:
    """Refuse a board that is one no more: sawn, sent back, used up, spoiled, struck."""
    if board.became_idx is not None:
        raise RefusedError(
            f"board {board.code} was made into pieces by entry {board.became_idx}: "
            f"take the piece, flitchbook trace {board.code} lists them"
        )
    if board.returned_idx is not None:
        raise RefusedError(
            f"board {board.code} went back to the sawyer by entry "
            f"{board.returned_idx}: take another, or strike that entry if it is here"
        )
    if board.off_idx is not None:
        raise RefusedError(
            f"board {board.code} was spoiled or taken off its instrument by entry "
            f"{board.off_idx}: it is no board any more, take another"
        )
    if board.consumed_idx is not None:
        raise RefusedError(
            f"board {board.code} went into {board.serial} for good, by entry "
            f"{board.consumed_idx}: it is no board any more"
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
            stored_board(turn.session, code)
        event = LabelPrinted(codes=tuple(codes), paper=paper, sha256=sha256)
        turn.say(event, hands)


def boards_meant(session: Session, text: str) -> list[Board]:
    """Return the boards that a code stands for: a board, a set's halves, a lot's all.

    Raises NotFoundError where there is none, RefusedError for a code of something else.
    """
    code = parse_any(text)
    if isinstance(code, LotId):
        found = boards_of(session, str(code))
        if not found:
            _require_lot(session, str(code))
            raise NotFoundError(
                f"no board of lot {code} is numbered: number them first"
            )
        return found
    if isinstance(code, BoardId):
        return boards_there(session, str(code))
    raise RefusedError(f"{code} is a {code.form.noun}: give a board, a set or a lot")


def _require_lot(session: Session, code: str) -> None:
    """Refuse the code of a lot that never came in."""
    if session.get(Lot, code) is None:
        raise NotFoundError(
            f"there is no lot {code}: look at the label again, or receive it with "
            f"flitchbook lot receive"
        )


def labelled_codes(session: Session, texts: Sequence[str]) -> list[str]:
    """Return the boards that codes stand for, each once, in the order they are named.

    Of a set these are both halves, of a lot all its boards.
    """
    codes = [board.code for text in texts for board in boards_meant(session, text)]
    return list(dict.fromkeys(codes))


def _sound(draft: BoardDraft) -> BoardDraft:
    """Return a draft whose words and numbers can be entered as they are."""
    sizes = [draft.length_um, draft.width_um, draft.thickness_um]
    sizes += [*draft.masses_mg, *draft.listed_mg]
    least = min((size for size in sizes if size is not None), default=1)
    if least <= 0:
        raise RefusedError(
            f"length, width, thickness and mass of a board are all above nothing: "
            f"{least} is not"
        )
    return replace(
        draft,
        meant_for=str(checked_words("use of a board", draft.meant_for)),
        mark=checked_words("sawyer's mark", draft.mark),
        supplier_grade=checked_words("sawyer's grade", draft.supplier_grade),
        as_written=checked_words(
            "row as the sawyer wrote it", draft.as_written, longest=LONGEST_ROW
        ),
    )


def _events(lot: LotId, number: int, draft: BoardDraft) -> list[BoardNumbered]:
    """Return what is said of one draft: of a set, once for each half."""
    is_set = draft.is_set or 2 in (len(draft.masses_mg), len(draft.listed_mg))
    halves = ("A", "B") if is_set else ("",)
    masses = _each("mass", draft.masses_mg, len(halves))
    listed = _each("listed mass", draft.listed_mg, len(halves))
    return [
        BoardNumbered(
            board=str(BoardId(lot=lot, number=number, half=half)),
            lot=str(lot),
            meant_for=draft.meant_for,
            mass_mg=mass,
            **_sizes(draft),
            listed_mg=listed_mg,
            listed_moisture_ppm=draft.listed_moisture_ppm,
            as_written=draft.as_written,
            mark=draft.mark,
            supplier_grade=draft.supplier_grade,
        )
        for half, mass, listed_mg in zip(halves, masses, listed, strict=True)
    ]


def _sizes(draft: BoardDraft) -> dict[str, int | None]:
    """Return the sizes under their names: the shop's own, or those of the list."""
    whose = "listed_" if draft.is_listed else ""
    return {
        f"{whose}length_um": draft.length_um,
        f"{whose}width_um": draft.width_um,
        f"{whose}thickness_um": draft.thickness_um,
    }


def _each(what: str, masses: tuple[int, ...], pieces: int) -> tuple[int | None, ...]:
    if not masses:
        return (None,) * pieces
    if len(masses) != pieces:
        raise RefusedError(
            f"a board has one {what}, a set has two for its halves, not {len(masses)}"
        )
    return masses


def _require_plausible(event: BoardNumbered, species: str) -> None:
    density = density_gram_per_m3(
        mass_mg=event.mass_mg or event.listed_mg,
        length_um=event.length_um or event.listed_length_um,
        width_um=event.width_um or event.listed_width_um,
        thickness_um=event.thickness_um or event.listed_thickness_um,
    )
    if density is not None:
        require_density(event.board, species, density)
