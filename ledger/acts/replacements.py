"""What there is in the rack in place of a board that cannot be had."""

from collections.abc import Iterator, Sequence

from sqlmodel import Session, col, select

from ledger.acts.reserving import is_kept
from ledger.acts.resting import joined, readiness_of
from ledger.acts.shop import Shop
from ledger.views.boards import Board, set_of
from ledger.views.wood import Lot

# How many are offered, and how much of each size they have at least.
MOST_OFFERED = 3
LEAST_PPM = 980_000
MILLION = 1_000_000
SIZES = ("length_um", "width_um", "thickness_um")
# So many boards or sets are judged in one question, the nearest first.
AT_ONCE = 8


def next_best(shop: Shop, session: Session, board: Board) -> list[str]:
    """Return up to three boards or sets like this one that are ready and free.

    They are of the same use and species, those of its own lot first, then the nearest
    in size; none has less than 98 % of any size (common practice, no source).
    """
    sets: dict[str, list[Board]] = {}
    for other in _free(session, board, today=shop.today()):
        sets.setdefault(set_of(other.code), []).append(other)
    near = sorted(sets, key=lambda name: (*_distance(sets[name][0], board), name))
    found: list[str] = []
    while near and len(found) < MOST_OFFERED:
        names, near = near[:AT_ONCE], near[AT_ONCE:]
        halves = [half for name in names for half in sets[name]]
        verdicts = readiness_of(session, halves, today=shop.today())
        for name in names:
            if joined([verdicts[half.code] for half in sets[name]]):
                found.append(name if len(sets[name]) > 1 else sets[name][0].code)
    return found[:MOST_OFFERED]


def _free(session: Session, board: Board, *, today: str) -> Iterator[Board]:
    """Give the boards that lie in the rack for nobody and are like this one."""
    species = session.get_one(Lot, board.lot).species
    query = (
        select(Board)
        .join(Lot, col(Lot.code) == col(Board.lot))
        .where(
            col(Lot.species) == species,
            col(Board.meant_for) == board.meant_for,
            col(Board.serial).is_(None),
            col(Board.became_idx).is_(None),
            col(Board.struck_idx).is_(None),
            col(Board.returned_idx).is_(None),
            col(Board.rejected_idx).is_(None),
            col(Board.off_idx).is_(None),
        )
    )
    for other in session.exec(query.order_by(col(Board.code))).all():
        is_other = set_of(other.code) != set_of(board.code)
        if is_other and _is_like(other, board):
            kept = is_kept(session, other, today=today)
            yield from () if kept else (other,)


def _is_like(other: Board, board: Board) -> bool:
    """Tell whether wood has enough of every size that is known of both."""
    return all(
        own * MILLION >= wanted * LEAST_PPM for own, wanted in _sizes(other, board)
    )


def _distance(other: Board, board: Board) -> tuple[bool, int]:
    """Return how far wood is from a board: another lot is further than any size."""
    parts = [
        abs(own - wanted) * MILLION // wanted for own, wanted in _sizes(other, board)
    ]
    return other.lot != board.lot, sum(parts)


def _sizes(other: Board, board: Board) -> Sequence[tuple[int, int]]:
    pairs = ((getattr(other, name), getattr(board, name)) for name in SIZES)
    return [(own, wanted) for own, wanted in pairs if own and wanted]
