"""Rest: whether wood may be allotted yet, one board or a whole rack at once."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session, col, func, select

from ledger.acts.policies import house_rules
from ledger.acts.surroundings import History, histories, own_air, room_air, room_of
from ledger.craft.policy import HousePolicy
from ledger.craft.room import Air
from ledger.craft.seasoning import (
    Rested,
    Verdict,
    is_ready,
    is_steady,
    last_steady,
    spread_ppm,
)
from ledger.views.boards import AnyBoard, Board, BoardParent
from ledger.views.measures import Sizing, Weighing
from ledger.views.rows import columns_of, plain_rows
from ledger.views.wood import Lot

Weighings = tuple[tuple[str, int], ...]
# So many boards are named in one question.
AT_ONCE = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """What is known of boards and of those they came from, read in a few questions.

    All is by board; `lots` are those of boards that came in, `air` that of rooms, and
    `judged_by` the air that wood in each of them is judged by.
    """

    policy: HousePolicy
    parents: Mapping[str, Sequence[str]]
    lots: Mapping[str, Lot]
    weighings: Mapping[str, Weighings]
    metered_on: Mapping[str, str] = field(default_factory=dict)
    air: Mapping[str, History] = field(default_factory=dict)
    judged_by: Mapping[str, Air] = field(default_factory=dict)


def readiness(session: Session, board: AnyBoard, *, today: str) -> Verdict:
    """Tell whether a board may be allotted today, and if not, why not and when."""
    return readiness_of(session, [board], today=today)[board.code]


def readiness_of(
    session: Session, boards: Sequence[AnyBoard], *, today: str
) -> dict[str, Verdict]:
    """Tell the same of many boards; how much is asked hardly grows with their number.

    Old stock rests since the day on which it is said to have come in.
    """
    rack = rack_of(session, boards)
    return {board.code: judged(rack, board, today=today) for board in boards}


def rack_of(session: Session, boards: Sequence[AnyBoard]) -> Rack:
    """Read what the rule asks of boards."""
    parents = _parents(session, [board.code for board in boards])
    codes = sorted(
        {b.code for b in boards} | {p for row in parents.values() for p in row}
    )
    came_in = [code for code in codes if code not in parents]
    metered = [board.code for board in boards if board.moisture_ppm is not None]
    policy = house_rules(session)
    air = histories(session, {room_of(board.place) for board in boards})
    fresh = policy.fresh_days
    return Rack(
        policy=policy,
        parents=parents,
        lots=_lots(session, boards, came_in),
        weighings=_weighings(session, codes),
        metered_on=_metered_on(session, metered),
        air=air,
        judged_by={room: room_air(h, fresh_days=fresh) for room, h in air.items()},
    )


def judged(rack: Rack, board: AnyBoard, *, today: str) -> Verdict:
    """Judge one board out of what was read of many."""
    return is_ready(_rested(rack, board), today=today, policy=rack.policy)


def joined(verdicts: Sequence[Verdict]) -> Verdict:
    """Return the verdict of a set: it is ready when its last half is."""
    reasons = dict.fromkeys(reason for each in verdicts for reason in each.reasons)
    return Verdict(
        reasons=tuple(reasons),
        earliest=max(str(each.earliest) for each in verdicts),
        preferred=max(str(each.preferred) for each in verdicts),
    )


def lots_in(rack: Rack, code: str) -> list[Lot]:
    """Return the lots that a board is of: more than one where it was glued."""
    found: dict[str, Lot] = {}
    ahead = [code]
    while ahead:
        each = ahead.pop()
        ahead += rack.parents.get(each, ())
        if each in rack.lots:
            found[rack.lots[each].code] = rack.lots[each]
    return [found[name] for name in sorted(found)]


def own_weighings(rack: Rack, code: str) -> Weighings:
    """Return a board's weighings; those from before it came in tell nothing of here."""
    here = max(lot.received_on for lot in lots_in(rack, code))
    rows = rack.weighings.get(code, ())
    # The oldest one is the first of them.
    if rows and rows[0][0] >= here:
        return rows
    return tuple(row for row in rows if row[0] >= here)


def _rested(rack: Rack, board: AnyBoard) -> Rested:
    """Return what is known of a board that rests; one glued of two rests as both."""
    lots, room, own = lots_in(rack, board.code), room_of(board.place), None
    if room in rack.air and board.code in rack.metered_on:
        own = own_air(
            rack.air[room],
            species=[lot.species for lot in lots],
            thickness_um=board.thickness_um,
            metered_on=rack.metered_on[board.code],
            fresh_days=rack.policy.fresh_days,
        )
    return Rested(
        woods=tuple((lot.species, lot.received_on) for lot in lots),
        weighings=_told_weighings(rack, board.code),
        moisture_ppm=board.moisture_ppm,
        air=rack.judged_by.get(room),
        own_air=own,
    )


def _told_weighings(rack: Rack, code: str) -> Weighings:
    """Return a board's weighings here; a piece with too few has its board's until then.

    Wood that was steady stays so under the saw, unless the piece tells otherwise. Of
    several boards that were glued every one was steady, or the piece is asked itself.
    """
    own, policy = own_weighings(rack, code), rack.policy
    parents = rack.parents.get(code, ())
    if not parents:
        return own
    kept = last_steady(own, apart_days=policy.apart_days, most=policy.weighings)
    if len(kept) >= policy.weighings:
        return own
    if kept and spread_ppm(kept) > policy.within_ppm:
        return own
    theirs = [_told_weighings(rack, parent) for parent in parents]
    return theirs[0] if all(is_steady(w, policy) for w in theirs) else own


def _parents(session: Session, codes: Sequence[str]) -> dict[str, list[str]]:
    """Return for each piece, and each it came from in turn, what it came from."""
    found: dict[str, list[str]] = defaultdict(list)
    ahead: Iterable[str] = codes
    while ahead := [code for code in dict.fromkeys(ahead) if code not in found]:
        came = [row for part in in_parts(ahead) for row in _origins(session, part)]
        for piece, parent in came:
            found[piece].append(parent)
        ahead = [parent for _, parent in came]
    return dict(found)


def _origins(session: Session, codes: Sequence[str]) -> Sequence[tuple[str, str]]:
    """Return each piece and what it came from, in the order of their codes."""
    query = columns_of(BoardParent, ("piece", "parent"))
    of_these = query.where(col(BoardParent.piece).in_(codes))
    by_code = (col(BoardParent.piece), col(BoardParent.parent))
    return plain_rows(session, of_these.order_by(*by_code))


def _lots(
    session: Session, boards: Sequence[AnyBoard], codes: Sequence[str]
) -> dict[str, Lot]:
    """Return the lot of each board that came in; of those at hand it is known."""
    known = {board.code: board.lot for board in boards}
    rows = [(code, known[code]) for code in codes if code in known]
    rows += [
        row
        for part in in_parts([code for code in codes if code not in known])
        for row in session.exec(
            select(Board.code, Board.lot).where(col(Board.code).in_(part))
        ).all()
    ]
    names = sorted({lot for _, lot in rows})
    lots = {
        lot.code: lot
        for part in in_parts(names)
        for lot in session.exec(select(Lot).where(col(Lot.code).in_(part))).all()
    }
    return {code: lots[name] for code, name in rows}


def _weighings(session: Session, codes: Sequence[str]) -> dict[str, Weighings]:
    """Return the weighings of boards that count, the oldest first."""
    found: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for part in in_parts(codes):
        query = (
            columns_of(Weighing, ("board", "moment", "mass_mg"))
            .where(col(Weighing.board).in_(part), col(Weighing.struck_idx).is_(None))
            .order_by(col(Weighing.moment), col(Weighing.idx))
        )
        for code, moment, mass_mg in plain_rows(session, query):
            found[code].append((moment[:10], mass_mg))
    return {code: tuple(rows) for code, rows in found.items()}


def _metered_on(session: Session, codes: Sequence[str]) -> dict[str, str]:
    """Return the day on which the moisture of each board was read last."""
    found: dict[str, str] = {}
    for part in in_parts(codes):
        query = (
            select(Sizing.board, func.max(Sizing.moment))
            .where(
                col(Sizing.board).in_(part),
                col(Sizing.struck_idx).is_(None),
                col(Sizing.moisture_ppm).is_not(None),
            )
            .group_by(col(Sizing.board))
        )
        found |= {code: moment[:10] for code, moment in session.exec(query).all()}
    return found


def in_parts(codes: Sequence[str]) -> Iterator[Sequence[str]]:
    """Yield codes in parts that one question of the database can name."""
    for start in range(0, len(codes), AT_ONCE):
        yield codes[start : start + AT_ONCE]
