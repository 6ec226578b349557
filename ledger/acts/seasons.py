"""How boards came to rest: their masses over days, side by side."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from ledger.acts.boards import boards_meant, stored_board
from ledger.acts.forecast import PPM, Forecast, forecast
from ledger.acts.resting import (
    Rack,
    Weighings,
    judged,
    lots_in,
    own_weighings,
    rack_of,
)
from ledger.acts.surroundings import room_air, room_of
from ledger.craft.policy import Rest
from ledger.craft.room import Air
from ledger.craft.seasoning import Verdict, last_steady, spread_ppm
from ledger.errors import RefusedError
from ledger.views.boards import Board


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """One board in the rack: its weighings here, the verdict, and the forecast.

    `left_ppm` is what it still has to lose, by its forecast or else what its last
    weighings differ by, None where nobody can tell; without a forecast `ahead` is the
    reason for it.
    """

    board: Board
    species: str
    since: str
    weighings: Weighings
    verdict: Verdict
    ahead: Forecast | str
    left_ppm: int | None

    def rest_days(self, day: str) -> int:
        """Return how many days it had rested on a day."""
        return (date.fromisoformat(day) - date.fromisoformat(self.since)).days


@dataclass(frozen=True, slots=True, kw_only=True)
class RestMass:
    """Between which masses a board is at rest in its room's air, by the house."""

    low_mg: int
    high_mg: int
    emc_ppm: int
    around_ppm: int
    air: Air


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasons:
    """Boards side by side; one of them chosen, and the most stubborn of the others."""

    boards: tuple[Season, ...]
    chosen: Season
    stubborn: Season | None
    rest: RestMass | None
    limits: Rest
    within_ppm: int


def seasons(
    session: Session, codes: Sequence[str], *, today: str, chosen: str | None = None
) -> Seasons:
    """Return how the boards of lots or sets came to rest, one of them looked at closer.

    chosen  the code of one of them; else the one that still has most to lose
    """
    meant = [board for code in codes for board in boards_meant(session, code)]
    boards = [b for b in {b.code: b for b in meant}.values() if b.gone_idx is None]
    if not boards:
        raise RefusedError("none of these boards lies in the rack any more")
    rack = rack_of(session, boards)
    found = [_season(session, rack, board, today=today) for board in boards]
    worst = max(found, key=lambda each: (each.left_ppm or 0, len(each.weighings)))
    one = worst if chosen is None else _chosen(session, found, chosen)
    is_stubborn = (worst.left_ppm or 0) > rack.policy.within_ppm and worst is not one
    closer = _season(session, rack, one.board, today=today, with_curve=True)
    return Seasons(
        boards=tuple(found),
        chosen=closer,
        stubborn=worst if is_stubborn else None,
        rest=_rest_mass(rack, closer),
        limits=rack.policy.rest_for(closer.species),
        within_ppm=rack.policy.within_ppm,
    )


def _chosen(session: Session, found: Sequence[Season], code: str) -> Season:
    wanted = stored_board(session, code).code
    one = next((each for each in found if each.board.code == wanted), None)
    if one is None:
        raise RefusedError(f"board {wanted} is none of these: name its lot, or itself")
    return one


def _season(
    session: Session, rack: Rack, board: Board, *, today: str, with_curve: bool = False
) -> Season:
    ahead = forecast(session, board, rack=rack, with_curve=with_curve)
    weighings = tuple(dict(own_weighings(rack, board.code)).items())
    lots = lots_in(rack, board.code)
    return Season(
        board=board,
        species=" and ".join(sorted({lot.species for lot in lots})),
        since=max(lot.received_on for lot in lots),
        weighings=weighings,
        verdict=judged(rack, board, today=today),
        ahead=ahead,
        left_ppm=_left(rack, weighings, ahead),
    )


def _left(rack: Rack, weighings: Weighings, ahead: Forecast | str) -> int | None:
    if isinstance(ahead, Forecast):
        return ahead.left_ppm
    last = last_steady(weighings, apart_days=rack.policy.apart_days)[-2:]
    return spread_ppm(last) if len(last) > 1 else None


def _rest_mass(rack: Rack, season: Season) -> RestMass | None:
    """Return the masses at rest of a board whose moisture and air are known.

    Its oven-dry mass follows from the weighing that is nearest to when it was metered.
    """
    board, history = season.board, rack.air.get(room_of(season.board.place))
    metered_on = rack.metered_on.get(board.code)
    if history is None or metered_on is None or not season.weighings:
        return None
    air = room_air(history, fresh_days=rack.policy.fresh_days)
    if air.emc_ppm is None or board.moisture_ppm is None:
        return None
    then = season.rest_days(metered_on)
    _, mass_mg = min(
        season.weighings, key=lambda row: abs(season.rest_days(row[0]) - then)
    )
    dry_mg = mass_mg * PPM / (PPM + board.moisture_ppm)
    around = rack.policy.around_emc_ppm
    low, high = (
        round(dry_mg * (PPM + max(0, air.emc_ppm + off)) / PPM)
        for off in (-around, around)
    )
    return RestMass(
        low_mg=low, high_mg=high, emc_ppm=air.emc_ppm, around_ppm=around, air=air
    )
