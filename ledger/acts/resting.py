"""Rest: whether wood may be allotted yet, and the air of the room it rests in."""

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


def measure_room(
    shop: Shop,
    *,
    room: str,
    temperature_millikelvin: int,
    humidity_ppm: int,
    hands: Hands,
) -> Entry:
    """Enter the air of a room.

    Raises RefusedError for air that no room of a shop has.
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
    with shop.turn() as turn:
        event = RoomMeasured(
            room=room,
            temperature_millikelvin=temperature_millikelvin,
            humidity_ppm=humidity_ppm,
        )
        return turn.say(event, hands)


def emc_ppm(reading: RoomReading) -> int:
    """Return the moisture that a room's air gives to wood in the end [ppm]."""
    warmth = (reading.temperature_millikelvin - ZERO_CELSIUS_MILLIKELVIN) / 1000
    share = reading.humidity_ppm / 1_000_000
    percent = equilibrium_moisture(temperature=warmth, humidity=share)
    return round(percent * 10_000)


def readiness(session: Session, board: Board, *, today: str) -> Verdict:
    """Tell whether a board may be allotted today, and if not, why not and when."""
    return is_ready(rested(session, board), today=today, policy=house_rules(session))


def rested(session: Session, board: Board) -> Rested:
    """Return what is known of a board that rests; one glued of two rests as both.

    Old stock rests since the day on which it is said to have come in.
    """
    lots = [session.get_one(Lot, code) for code in lots_of(session, board.code)]
    reading = newest_air(session)
    air = None
    if reading is not None:
        air = Air(
            day=reading.moment[:10],
            humidity_ppm=reading.humidity_ppm,
            emc_ppm=_known_emc(reading),
        )
    return Rested(
        woods=tuple((lot.species, lot.received_on) for lot in lots),
        weighings=_weighings(session, board.code, house_rules(session)),
        moisture_ppm=board.moisture_ppm,
        air=air,
    )


def _weighings(session: Session, code: str, policy: HousePolicy) -> Weighings:
    """Return a board's weighings here; a piece with too few has its board's until then.

    Wood that was steady stays so under the saw, unless the piece tells otherwise. Of
    several boards that were glued every one was steady, or the piece is asked itself.
    """
    own = _own_weighings(session, code)
    kept = last_steady(own, apart_days=policy.apart_days)
    parents = parents_of(session, code)
    if not parents or len(kept) >= policy.weighings:
        return own
    if kept and spread_ppm(kept) > policy.within_ppm:
        return own
    theirs = [_weighings(session, parent, policy) for parent in parents]
    return theirs[0] if all(is_steady(w, policy) for w in theirs) else own


def _own_weighings(session: Session, code: str) -> Weighings:
    """Return a board's weighings; those from before it came in tell nothing of here."""
    lots = (session.get_one(Lot, lot) for lot in lots_of(session, code))
    here = max(lot.received_on for lot in lots)
    rows = weighings_of(session, code)
    return tuple((row.day, row.mass_mg) for row in rows if row.day >= here)


def _known_emc(reading: RoomReading) -> int | None:
    """Return the moisture that air gives to wood, or None where no equation holds."""
    try:
        return emc_ppm(reading)
    except RefusedError:
        return None
