"""A moisture meter put to a board: what it showed stays as it was read."""

from dataclasses import dataclass

from ledger.acts import plausible
from ledger.acts.boards import one_board
from ledger.acts.gauges import named_gauge
from ledger.acts.names import checked_words
from ledger.acts.rooms import ZERO_CELSIUS_MILLIKELVIN
from ledger.acts.shop import Hands, Shop
from ledger.events import BoardMetered
from ledger.log.entry import Entry
from ledger.wood.meter import AS_READ, RULE, moisture_from_meter


@dataclass(frozen=True, slots=True, kw_only=True)
class Metered:
    """A board that was metered: the moisture, the rule it is by, and what to doubt."""

    entry: Entry
    board: str
    moisture_ppm: int
    rule: str
    warnings: tuple[str, ...]


def meter(
    shop: Shop,
    code: str,
    *,
    reading_ppm: int,
    temperature_millikelvin: int,
    meter: str,
    setting: str,
    is_compensated: bool = False,
    hands: Hands,
    as_read: bool = False,
) -> Metered:
    """Record what a meter showed of a board, or of one half of a set.

    `setting` is the species or group it was set to, the temperature is the wood's; it
    `is_compensated` where the meter was set to that too. Raises RefusedError for what
    no meter shows, and for green wood unless it is taken `as_read`.
    """
    name, species = checked_words("meter", meter), checked_words("setting", setting)
    moisture_ppm, rule, warnings = corrected(
        reading_ppm, temperature_millikelvin, RULE if not is_compensated else AS_READ
    )
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        name = named_gauge(turn.session, name, "moisture")
        if not as_read:
            plausible.require_moisture(board.code, moisture_ppm)
        event = BoardMetered(
            board=board.code,
            meter=str(name),
            setting=str(species),
            reading_ppm=reading_ppm,
            temperature_millikelvin=temperature_millikelvin,
            moisture_ppm=moisture_ppm,
            rule=rule,
        )
        return Metered(
            entry=turn.say(event, hands),
            board=board.code,
            moisture_ppm=moisture_ppm,
            rule=rule,
            warnings=warnings,
        )


def corrected(
    reading_ppm: int, temperature_millikelvin: int, rule: str
) -> tuple[int, str, tuple[str, ...]]:
    """Return the moisture that a reading comes to by a rule, its name, and doubts."""
    found = moisture_from_meter(
        reading=reading_ppm / 10_000,
        temperature=(temperature_millikelvin - ZERO_CELSIUS_MILLIKELVIN) / 1000,
        is_compensated=rule == AS_READ,
    )
    return round(found.moisture.value * 10_000), found.rule, found.warnings
