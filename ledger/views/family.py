"""Who came from whom: boards sawn into pieces and pieces glued from boards.

A family is asked of the database in one question, however deep it is, and read as
plain rows, so that ten thousand pieces are followed in a blink.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter
from typing import Any, Literal, NamedTuple

from sqlalchemy import Select, String, cast, exists, null, select
from sqlmodel import Session, col

from ledger.views.boards import Board, BoardParent, PlainBoard, origins_of, parents_of
from ledger.views.rows import columns_of, plain_rows

Way = Literal["pieces", "parents"]


class Member(NamedTuple):
    """What a trace tells of a board, and of what became of it."""

    code: str
    lot: str
    meant_for: str
    place: str | None
    is_offcut: bool
    idx: int
    serial: str | None
    part: str | None
    allotted_idx: int | None
    became_idx: int | None
    struck_idx: int | None
    consumed_idx: int | None
    off_idx: int | None


# By place, which costs a third of a look by name, ten thousand times.
CODE, IDX = Member._fields.index("code"), Member._fields.index("idx")
# Of a board that was read with a whole rack.
OWN = attrgetter(*Member._fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Boards by code, and for each of them who is next, pieces or parents.

    Whoever is next comes in the order of the entries, and within one by number.
    """

    boards: dict[str, Member]
    next_of: dict[str, tuple[str, ...]]


def family(session: Session, codes: Iterable[str], way: Way) -> Family:
    """Return all that became of boards, or all that they came from, at any depth.

    No more boards are named at once than a lot has.
    """
    boards: dict[str, Member] = {}
    nexts: dict[str, list[str]] = defaultdict(list)
    found = sorted(plain_rows(session, _kin(list(codes), way)), key=_place)
    for *known, before in found:
        member = Member._make(known)
        boards[member.code] = member
        if before is not None:
            nexts[before].append(member.code)
    return Family(boards=boards, next_of={code: tuple(n) for code, n in nexts.items()})


def every_family(session: Session, every_board: Iterable[PlainBoard]) -> Family:
    """Return every board that ever had a number, and the pieces that came of each.

    every_board  all of them, in the order of their numbering
    """
    boards = {board.code: Member._make(OWN(board)) for board in every_board}
    order = {code: place for place, code in enumerate(boards)}
    nexts: dict[str, list[str]] = defaultdict(list)
    edges = columns_of(BoardParent, ("parent", "piece"))
    for parent, piece in plain_rows(session, edges):
        nexts[parent].append(piece)
    placed = {
        parent: tuple(sorted(pieces, key=order.__getitem__))
        for parent, pieces in nexts.items()
    }
    return Family(boards=boards, next_of=placed)


def part_of(whole: Family, codes: Iterable[str]) -> Family:
    """Return of a family only these boards and what is next to them, at any depth."""
    found: dict[str, Member] = {}
    ahead = list(codes)
    while ahead:
        code = ahead.pop()
        if code not in found:
            found[code] = whole.boards[code]
            ahead += whole.next_of.get(code, ())
    return Family(
        boards=found,
        next_of={c: whole.next_of[c] for c in found if c in whole.next_of},
    )


def lots_of(session: Session, code: str) -> list[str]:
    """Return the lots that a board is of: more than one where it was glued."""
    board = session.get(Board, code)
    if board is not None and not parents_of(session, code):
        # Most wood: to walk a family for it costs five times as much.
        return [board.lot]
    kin = family(session, [code], "parents")
    firsts = [board for board in kin.boards.values() if board.code not in kin.next_of]
    return sorted({board.lot for board in firsts})


def shares_of(session: Session, code: str) -> dict[str, Fraction]:
    """Return which lots a board is of, and how much of it each one is, by mass.

    Nobody can weigh two woods apart once they are glued: each has the share of the
    mass that went into the joint.
    """
    return shares_of_each(session, [code])[code]


def shares_of_each(
    session: Session, codes: Iterable[str]
) -> dict[str, dict[str, Fraction]]:
    """Return of several boards, and of all they came from, which lots each is of."""
    kin = family(session, codes, "parents")
    origins: dict[str, list[BoardParent]] = defaultdict(list)
    for origin in origins_of(session, kin.boards):
        origins[origin.piece].append(origin)
    shares: dict[str, dict[str, Fraction]] = {}
    # From the trees down: whoever came from others comes after them.
    for board in sorted(kin.boards.values(), key=lambda member: member.idx):
        if board.code not in origins:
            shares[board.code] = {board.lot: Fraction(1)}
            continue
        went_in = sum(origin.mass_mg for origin in origins[board.code])
        whole: dict[str, Fraction] = defaultdict(Fraction)
        for origin in origins[board.code]:
            for lot, share in shares[origin.parent].items():
                whole[lot] += share * Fraction(origin.mass_mg, went_in)
        shares[board.code] = whole
    return {code: dict(sorted(parts.items())) for code, parts in shares.items()}


def firsts_of(session: Session, lot: str) -> list[str]:
    """Return the boards of a lot that were sawn or glued from no other, in order."""
    is_piece = exists().where(col(BoardParent.piece) == col(Board.code))
    query = select(col(Board.code)).where(
        col(Board.lot) == lot, col(Board.struck_idx).is_(None), ~is_piece
    )
    query = query.order_by(col(Board.idx), col(Board.code))
    return [code for (code,) in plain_rows(session, query)]


def _kin(codes: Sequence[str], way: Way) -> Select[Any]:
    """Ask for each member of a family, once for each one that it was reached from."""
    here, there = col(BoardParent.parent), col(BoardParent.piece)
    if way == "parents":
        here, there = there, here
    code: Any = col(Board.code)
    nobody: Any = cast(null(), String)
    first: Select[Any] = select(code.label("code"), nobody.label("before"))
    first = first.where(code.in_(codes))
    kin = first.cte("kin", recursive=True)
    # A union keeps each pair once, so that families that meet are walked once.
    kin = kin.union(select(there, here).join(kin, kin.c.code == here))
    columns = [getattr(Board, name) for name in Member._fields]
    query = select(*columns, kin.c.before)
    return query.join_from(kin, Board, col(Board.code) == kin.c.code)


def _place(row: Sequence[Any]) -> tuple[int, int, str]:
    """Return where a row comes: C2 before C10, and both after what was said before."""
    code, idx = row[CODE], row[IDX]
    return idx, len(code), code
