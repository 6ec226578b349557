"""Rest: whether wood may be allotted yet, and the air of the room it rests in."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.names import checked_words
from ledger.acts.policies import house_rules
from ledger.acts.shop import Hands, Shop
from ledger.craft.policy import HousePolicy
from ledger.craft.seasoning import (
    Air,
    Rested,
    Verdict,
    is_ready,
    is_steady,
    last_steady,
    spread_ppm,
)
from ledger.errors import RefusedError
from ledger.events import RoomMeasured
from ledger.log.entry import Entry
from ledger.quantities import celsius, humidity
from ledger.views.boards import Board, parents_of
from ledger.views.family import lots_of
from ledger.views.measures import weighings_of
from ledger.views.readings import RoomReading, newest_air
from ledger.views.wood import Lot
from ledger.wood.moisture import equilibrium_moisture

ZERO_CELSIUS_MILLIKELVIN = 273_150
Weighings = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomAir:
    """The air of a room as it was entered, and the moisture that it gives to wood."""

    entry: Entry
    emc_ppm: int


def measure_room(
    shop: Shop,
    *,
    room: str,
    temperature_millikelvin: int,
    humidity_ppm: int,
    hands: Hands,
) -> RoomAir:
    """Enter the air of a room.

    Raises RefusedError for air that no room of a shop has, and for air of which no
    equation says what it does to wood.
    """
    checked_words("room", room)
    warmth = temperature_millikelvin - ZERO_CELSIUS_MILLIKELVIN
    if not -20_000 <= warmth <= 60_000:
        raise RefusedError(
            f"{celsius(temperature_millikelvin)} is no air of a room: look whether it "
            f"is Celsius or Fahrenheit"
        )
    if not 0 < humidity_ppm < 1_000_000:
        said = humidity(humidity_ppm)
        raise RefusedError(f"{said} is no air of a room: read the hygrometer again")
    emc = emc_ppm(
        temperature_millikelvin=temperature_millikelvin, humidity_ppm=humidity_ppm
    )
    event = RoomMeasured(
        room=room,
        temperature_millikelvin=temperature_millikelvin,
        humidity_ppm=humidity_ppm,
    )
    with shop.turn() as turn:
        return RoomAir(entry=turn.say(event, hands), emc_ppm=emc)


def emc_ppm(*, temperature_millikelvin: int, humidity_ppm: int) -> int:
    """Return the moisture that a room's air gives to wood in the end [ppm]."""
    percent = equilibrium_moisture(
        temperature=(temperature_millikelvin - ZERO_CELSIUS_MILLIKELVIN) / 1000,
        humidity=humidity_ppm / 1_000_000,
    )
    return round(percent * 10_000)


def readiness(session: Session, board: Board, *, today: str) -> Verdict:
    """Tell whether a board may be allotted today, and if not, why not and when."""
    policy = house_rules(session)
    return is_ready(_rested(session, board, policy), today=today, policy=policy)


def _rested(session: Session, board: Board, policy: HousePolicy) -> Rested:
    """Return what is known of a board that rests; one glued of two rests as both.

    Old stock rests since the day on which it is said to have come in.
    """
    lots = _lots(session, board.code)
    reading = _air_around(session, board)
    air = None
    if reading is not None:
        air = Air(
            day=reading.moment[:10],
            humidity_ppm=reading.humidity_ppm,
            emc_ppm=_known_emc(reading),
        )
    return Rested(
        woods=tuple((lot.species, lot.received_on) for lot in lots),
        weighings=_weighings(session, board.code, lots, policy),
        moisture_ppm=board.moisture_ppm,
        air=air,
    )


def _air_around(session: Session, board: Board) -> RoomReading | None:
    """Return the newest air of the room a board lies in, which its place begins with.

    Where that room was never measured, the newest of any stands for it.
    """
    room = (board.place or "").partition(",")[0].strip()
    there = newest_air(session, room) if room else None
    return there or newest_air(session)


def _lots(session: Session, code: str) -> list[Lot]:
    return [session.get_one(Lot, lot) for lot in lots_of(session, code)]


def _weighings(
    session: Session, code: str, lots: Sequence[Lot], policy: HousePolicy
) -> Weighings:
    """Return a board's weighings here; a piece with too few has its board's until then.

    Wood that was steady stays so under the saw, unless the piece tells otherwise. Of
    several boards that were glued every one was steady, or the piece is asked itself.
    """
    own = _own_weighings(session, code, lots)
    kept = last_steady(own, apart_days=policy.apart_days)
    parents = parents_of(session, code)
    if not parents or len(kept) >= policy.weighings:
        return own
    if kept and spread_ppm(kept) > policy.within_ppm:
        return own
    theirs = [
        _weighings(session, parent, _lots(session, parent), policy)
        for parent in parents
    ]
    return theirs[0] if all(is_steady(w, policy) for w in theirs) else own


def _own_weighings(session: Session, code: str, lots: Sequence[Lot]) -> Weighings:
    """Return a board's weighings; those from before it came in tell nothing of here."""
    here = max(lot.received_on for lot in lots)
    rows = weighings_of(session, code)
    return tuple((row.day, row.mass_mg) for row in rows if row.day >= here)


def _known_emc(reading: RoomReading) -> int | None:
    """Return the moisture that air gives to wood, or None where no equation holds."""
    try:
        return emc_ppm(
            temperature_millikelvin=reading.temperature_millikelvin,
            humidity_ppm=reading.humidity_ppm,
        )
    except RefusedError:
        return None
