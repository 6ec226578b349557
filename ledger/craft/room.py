"""The air of a room as a rule looks at it: one reading, or a mean over days."""

from dataclasses import dataclass

from ledger.quantities import days, humidity


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air of a room, read once or as its mean over days, and what it gives wood.

    `day` is that of the reading, or the last of the days; of a mean `over_days` is the
    span and `kept_days` how many of them a logger has. Where nobody can tell the
    moisture that the air gives, as in frost, `emc_ppm` is absent.
    """

    day: str
    humidity_ppm: int
    emc_ppm: int | None
    room: str = "room"
    over_days: int | None = None
    kept_days: int | None = None


def air_words(air: Air) -> str:
    """Say what the air of a room was, and over how many days: the crib averaged ….

    Source: the readings of the room.
    """
    damp = humidity(air.humidity_ppm)
    if air.over_days is None:
        return f"the {air.room} was at {damp} on {air.day}"
    return f"the {air.room} averaged {damp} over {_span_words(air)}"


def giving_words(air: Air) -> str:
    """Say what gave wood its moisture: the crib's air gave over 7 days to ….

    Source: the readings of the room.
    """
    if air.over_days is None:
        return f"the {air.room}'s air gives"
    return f"the {air.room}'s air gave over {_span_words(air)}"


def _span_words(air: Air) -> str:
    """Say over which days a mean is, and how many of them nobody measured."""
    span = days(air.over_days or 0)
    if air.kept_days != air.over_days:
        span = f"{air.kept_days} of {span}"
    return f"{span} to {air.day}"
