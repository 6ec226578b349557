"""The air of rooms as a hygrometer shows it, and the moisture that it gives to wood.

What a logger kept of a room is taken over by `ledger.acts.roomlogs`.
"""

from dataclasses import dataclass

from ledger.acts.names import checked_words
from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import RoomMeasured
from ledger.log.entry import Entry
from ledger.quantities import celsius, humidity
from ledger.wood.moisture import equilibrium_moisture

ZERO_CELSIUS_MILLIKELVIN = 273_150
# Below 5 %RH a decimal point has slipped, or a sensor is dead: common practice.
LEAST_HUMIDITY_PPM = 50_000


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
    require_air(temperature_millikelvin, humidity_ppm)
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


def known_emc(*, temperature_millikelvin: int, humidity_ppm: int) -> int | None:
    """Return the moisture that air gives to wood, or None where no equation holds."""
    try:
        return emc_ppm(
            temperature_millikelvin=temperature_millikelvin, humidity_ppm=humidity_ppm
        )
    except RefusedError:
        return None


def require_air(
    temperature_millikelvin: int, humidity_ppm: int, *, on: str = ""
) -> None:
    """Refuse air that no room of a shop has."""
    day = f" on {on}" if on else ""
    warmth = temperature_millikelvin - ZERO_CELSIUS_MILLIKELVIN
    if not -20_000 <= warmth <= 60_000:
        raise RefusedError(
            f"{celsius(temperature_millikelvin)}{day} is no air of a room: look "
            f"whether it is Celsius or Fahrenheit"
        )
    if not LEAST_HUMIDITY_PPM <= humidity_ppm < 1_000_000:
        raise RefusedError(
            f"{humidity(humidity_ppm)}{day} is no air of a room: read the hygrometer "
            f"again"
        )
