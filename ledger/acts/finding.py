"""Boards that were found without a label: told by what they measure, or unknown."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlmodel import Session, col, select

from ledger.acts.boards import BoardDraft, number_in, one_board
from ledger.acts.lots import LotDraft, receive_in
from ledger.acts.measuring import species_in
from ledger.acts.names import kept_reason
from ledger.acts.relabelling import say_replaced
from ledger.acts.shop import Hands, Shop, Turn
from ledger.codes import shown
from ledger.craft.fitting import is_of
from ledger.craft.identifying import (
    MEASURES,
    Confidence,
    Distance,
    Measured,
    confidences,
    distance,
)
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardIdentified, BoardMoved
from ledger.ids import LotId
from ledger.quantities import grams, millimetres
from ledger.views.boards import Board
from ledger.views.family import lots_of
from ledger.views.readings import Photograph, photographs_of
from ledger.views.wood import UNKNOWN, Lot

# Under these trade names wood is asked for; each hides several species.
COMMON = {
    "spruce": ("Picea",),
    "maple": ("Acer",),
    "mahogany": ("Swietenia", "Khaya"),
    "rosewood": ("Dalbergia",),
    "ebony": ("Diospyros",),
    "cedar": ("Thuja", "Cedrela"),
    "walnut": ("Juglans",),
    "ash": ("Fraxinus",),
    "alder": ("Alnus",),
}
WORDS = {
    "length_um": "long",
    "width_um": "wide",
    "thickness_um": "thick",
    "mass_mg": "in mass",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A board that what was found can be, how sure that is, and how far it is off."""

    board: str
    species: str
    place: str | None
    serial: str | None
    part: str | None
    known: Measured
    distance: Distance
    confidence: Confidence
    photographs: tuple[tuple[str, int], ...]  # what each shows, and its entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Identified:
    """A board that was told by what it measures: how sure, and its entries."""

    board: str
    confidence: Confidence
    others: tuple[str, ...]
    label: int
    entries: tuple[int, ...]


def candidates(
    session: Session,
    found: Measured,
    *,
    species: str | None = None,
    place: str | None = None,
) -> list[Candidate]:
    """Return the boards that a piece without a label can be, the nearest one first.

    species  a genus, a species or a trade name; only wood of it
    place    only wood that lay there last

    Boards in instruments may have lost their label too; those that are pieces, spoiled
    or used up are not there to be found.
    """
    require_measured(found)
    near: list[tuple[Distance, Board]] = []
    for board in _there(session, found, place):
        away = distance(found, _known(board))
        if away.fits and (species is None or _is_wood(session, board, species)):
            near.append((away, board))
    near.sort(key=lambda each: (each[0].total_milli, each[1].code))
    sure = confidences([away for away, _ in near])
    pictures = _pictures(session, [board.code for _, board in near])
    return [
        Candidate(
            board=board.code,
            species=" and ".join(species_in(session, board.code)),
            place=board.place,
            serial=board.serial,
            part=board.part,
            known=_known(board),
            distance=away,
            confidence=each,
            photographs=tuple((p.face, p.idx) for p in pictures.get(board.code, ())),
        )
        for (away, board), each in zip(near, sure, strict=True)
    ]


def identify(
    shop: Shop, code: str, found: Measured, *, reason: str, hands: Hands
) -> Identified:
    """Say which board was found, and why; its old label is void from now on.

    Raises RefusedError where its sizes or its mass on record do not fit.
    """
    require_measured(found)
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        fitting = candidates(turn.session, found)
        mine = next((each for each in fitting if each.board == board.code), None)
        if mine is None:
            raise RefusedError(_misfit_words(board, found))
        others = tuple(each.board for each in fitting if each.board != board.code)
        event = BoardIdentified(
            board=board.code,
            confidence=mine.confidence,
            others=others,
            **asdict(found),
        )
        # The reason goes again where the label cannot be replaced.
        with kept_reason(turn, hands.by.id, reason) as commitment:
            told = turn.say(event, hands, reason=commitment)
            label = say_replaced(turn, board, reason, hands)
    return Identified(
        board=mine.board,
        confidence=mine.confidence,
        others=others,
        label=int(label.event["number"]),
        entries=(told.index, label.index),
    )


def number_unknown(
    shop: Shop,
    found: Measured,
    *,
    place: str | None = None,
    meant_for: str = "jig",
    hands: Hands,
) -> str:
    """Give a board a code of which nobody knows what it is or whence; return it.

    It is a lot of its own, old stock without evidence, and goes into no instrument.
    """
    require_measured(found)
    draft = LotDraft(
        species=UNKNOWN,
        form="sawn",
        boards=1,
        received_on=shop.today(),
        is_opening=True,
        evidence="none",
    )
    with shop.turn() as turn:
        lot = LotId.parse(receive_in(turn, draft, hands))
        board = BoardDraft(
            meant_for=meant_for,
            length_um=found.length_um,
            width_um=found.width_um,
            thickness_um=found.thickness_um,
            masses_mg=() if found.mass_mg is None else (found.mass_mg,),
            as_read=True,
        )
        (code,) = number_in(turn, lot, [board], hands)
        _put(turn, code, place, hands)
    return code


def require_measured(found: Measured) -> None:
    """Refuse what tells nothing: fewer than two measures, or one below nothing."""
    given = [value for value in asdict(found).values() if value is not None]
    if len(given) < 2:
        told = "one measure alone" if given else "nothing measured"
        raise RefusedError(
            f"{told} tells no board from another: give two or more of length, width, "
            f"thickness and mass"
        )
    if min(given) <= 0:
        raise RefusedError(
            f"sizes and mass of a piece are all above nothing: {min(given)} is not"
        )


def measured_words(measured: Measured) -> str:
    """Return sizes and mass in words: 556 mm long, 201 mm wide, 205 g in mass."""
    return ", ".join(
        f"{_shown(name, value)} {WORDS[name]}"
        for name, value in asdict(measured).items()
        if value is not None
    )


def _there(session: Session, found: Measured, place: str | None) -> Sequence[Board]:
    """Return the boards that can be lying about, and are near what was found."""
    query = select(Board).where(
        col(Board.became_idx).is_(None),
        col(Board.struck_idx).is_(None),
        col(Board.returned_idx).is_(None),
        col(Board.consumed_idx).is_(None),
        col(Board.off_idx).is_(None),
    )
    for name in MEASURES:
        value = getattr(found, name)
        if value is not None:
            # Much wider than any that fits, so that not every board is looked at.
            column = col(getattr(Board, name))
            near = column.between(value * 8 // 10 - 2_000, value * 12 // 10 + 2_000)
            query = query.where(column.is_(None) | near)
    boards = session.exec(query.order_by(col(Board.idx))).all()
    wanted = (place or "").strip().casefold()
    return [b for b in boards if wanted in (b.place or "").casefold()]


def _known(board: Board) -> Measured:
    return Measured(**{name: getattr(board, name) for name in MEASURES})


def _is_wood(session: Session, board: Board, wanted: str) -> bool:
    """Tell whether a board is of a species, a genus or a trade name."""
    genera = COMMON.get(wanted.strip().casefold(), (wanted,))
    for code in lots_of(session, board.code):
        lot = session.get_one(Lot, code)
        if wanted.casefold() in (lot.trade_name or "").casefold():
            return True
        if any(is_of(lot.species, genus) for genus in genera):
            return True
    return False


def _pictures(session: Session, codes: Sequence[str]) -> dict[str, list[Photograph]]:
    found: dict[str, list[Photograph]] = {}
    for row in photographs_of(session, codes):
        found.setdefault(row.board, []).append(row)
    return found


def _misfit_words(board: Board, found: Measured) -> str:
    """Say why a board is not what was found: the measure that is furthest off."""
    away = distance(found, _known(board))
    if len(away.apart_milli) < 2:
        return (
            f"board {board.code} has too little on record to be told by what it "
            f"measures: number the piece as unknown, with flitchbook board unknown"
        )
    name = max(away.apart_milli, key=lambda each: away.apart_milli[each])
    own, other = (_shown(name, getattr(each, name)) for each in (found, board))
    return (
        f"what was found is {own} {WORDS[name]}, and board {board.code} is {other}: "
        f"{away.apart_milli[name] / 1000:.0f} standard uncertainties apart, and 3 are "
        f"the most; look with flitchbook board find which it can be"
    )


def _shown(name: str, value: int) -> str:
    return grams(value) if name == "mass_mg" else millimetres(value)


def _put(turn: Turn, code: str, place: str | None, hands: Hands) -> None:
    if place is not None:
        turn.say(BoardMoved(board=code, place=place.strip()), hands)


def require_any(
    found: Sequence[Candidate],
    measured: Measured,
    *,
    species: str | None = None,
    place: str | None = None,
) -> None:
    """Say what to do where no board on record is like what was found."""
    if found:
        return
    wood = "" if species is None else f" of {shown(species)}"
    where = "" if place is None else f" that lay at {shown(place)}"
    raise NotFoundError(
        f"no board{wood}{where} on record is {measured_words(measured)}: measure it "
        f"again, or number it as unknown, with flitchbook board unknown"
    )
