"""Whether wood has rested enough: the days, the scale, the moisture and the room."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from ledger.craft.policy import HousePolicy
from ledger.craft.room import Air, air_words, giving_words
from ledger.quantities import days as days_words
from ledger.quantities import humidity, percent

PRINTED_PPM = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The answer of a rule: yes, or every reason why not, and when it might be yes.

    `earliest` is the first day on which it could be yes, as far as a day can be
    known; `preferred` is the better one.
    """

    reasons: tuple[str, ...] = ()
    earliest: str | None = None
    preferred: str | None = None

    def __bool__(self) -> bool:
        return not self.reasons


@dataclass(frozen=True, slots=True, kw_only=True)
class Rested:
    """What is known of a board that rests.

    `woods` are its species and the day since which each rests here: more than one where
    it was glued. `weighings` are days and masses [mg], the oldest first; `moisture_ppm`
    is what a meter read, if one was used. Its room is judged by `air`; its moisture is
    compared with `own_air`, that of as many days as wood so thick needs to follow the
    air, where a logger has them, and else with the same.
    """

    woods: tuple[tuple[str, str], ...]
    weighings: tuple[tuple[str, int], ...]
    moisture_ppm: int | None
    air: Air | None
    own_air: Air | None = None


def is_ready(board: Rested, *, today: str, policy: HousePolicy) -> Verdict:
    """Tell whether a board may be allotted, and if not, why not and when it might.

    Source: the shop's policy; nature sets no limit of days (common practice, no
    source).
    """
    reasons: list[str] = []
    first, better = _days_of_rest(board, policy, today, reasons)
    steady = _steadiness(board.weighings, policy, today, reasons)
    _moisture(board, policy, reasons)
    _room(board.air, policy, today, reasons)
    return Verdict(
        reasons=tuple(reasons), earliest=max(today, first, steady), preferred=better
    )


def ready_words(verdict: Verdict) -> str:
    """Say whether wood may be used: ready, or each reason and the earliest day.

    rested 12 of 90 days; nobody has measured the room's air yet; earliest 2026-04-05

    Source: the rule's own reasons.
    """
    return (
        "; ".join([*verdict.reasons, when_words(verdict)]) if not verdict else "ready"
    )


def when_words(verdict: Verdict) -> str:
    """Say on which day wood may be used at the earliest.

    Source: the rule's own day.
    """
    return f"earliest {verdict.earliest}"


def last_steady(
    weighings: Sequence[tuple[str, int]], *, apart_days: int, most: int | None = None
) -> tuple[tuple[str, int], ...]:
    """Return the newest weighings that lie at least so many days apart, oldest first.

    The newest one counts; of those nearer to a later one only the later counts. With
    `most` no more than so many are looked for.

    Source: the shop's policy; steady successive weighings are common practice, no
    source.
    """
    kept: list[tuple[str, int]] = []
    for day, mass in reversed(weighings):
        if most is not None and len(kept) == most:
            break
        if not kept or _after(day, apart_days) <= kept[-1][0]:
            kept.append((day, mass))
    return tuple(reversed(kept))


def is_steady(weighings: Sequence[tuple[str, int]], policy: HousePolicy) -> bool:
    """Tell whether a mass stays as it is by its last weighings, the oldest first.

    Source: the shop's policy; steady successive weighings are common practice, no
    source.
    """
    if not policy.weighings:
        return True
    apart, wanted = policy.apart_days, policy.weighings
    kept = last_steady(weighings, apart_days=apart, most=wanted)
    return len(kept) == policy.weighings and spread_ppm(kept) <= policy.within_ppm


def spread_ppm(weighings: Sequence[tuple[str, int]]) -> int:
    """Return by how much masses differ [ppm of the least], rounded up.

    Source: common practice, no source.
    """
    masses = [mass for _, mass in weighings]
    return -((min(masses) - max(masses)) * 1_000_000 // min(masses))


def _days_of_rest(
    board: Rested, policy: HousePolicy, today: str, reasons: list[str]
) -> tuple[str, str]:
    """Judge the days of each wood; return when all rested long enough, and better."""
    ends = []
    for species, since in board.woods:
        rest = policy.rest_for(species)
        first, better = (
            _after(since, span) for span in (rest.least_days, rest.preferred_days)
        )
        ends.append((first, better))
        if today < first:
            of = f"{species} " if len(board.woods) > 1 else ""
            rested = max(0, _days_between(since, today))
            reasons.append(f"{of}rested {rested} of {days_words(rest.least_days)}")
    return max(first for first, _ in ends), max(better for _, better in ends)


def _steadiness(
    weighings: Sequence[tuple[str, int]],
    policy: HousePolicy,
    today: str,
    reasons: list[str],
) -> str:
    """Judge the last masses, and return the first day when they could be steady."""
    wanted, apart = policy.weighings, policy.apart_days
    if is_steady(weighings, policy):
        return today
    missing, day = _first_steady(weighings, policy, today)
    kept = last_steady(weighings, apart_days=apart, most=wanted)
    if len(kept) == wanted:
        reasons.append(
            f"the last {wanted} weighings differ by {_rounded_up(spread_ppm(kept))}, "
            f"more than {percent(policy.within_ppm)}"
        )
    else:
        reasons.append(
            f"{missing} of {wanted} steady weighings still to come, "
            f"{days_words(apart)} apart"
        )
    return day


def _first_steady(
    weighings: Sequence[tuple[str, int]], policy: HousePolicy, today: str
) -> tuple[int, str]:
    """Return how many weighings are wanted, and the day of the last one.

    Supposed is that from now on the mass stays as it was last, and that the board is
    weighed as early as counts.
    """
    apart = policy.apart_days
    mass = weighings[-1][1] if weighings else 1
    starts = {today, *(max(today, _after(day, apart)) for day, _ in weighings)}
    plans = sorted(
        (_after(start, apart * (count - 1)), count, start)
        for start in starts
        for count in range(1, policy.weighings + 1)
    )
    return next(
        (count, last)
        for last, count, start in plans
        if is_steady(
            [*weighings, *((_after(start, apart * n), mass) for n in range(count))],
            policy,
        )
    )


def _moisture(board: Rested, policy: HousePolicy, reasons: list[str]) -> None:
    air = board.own_air or board.air
    if board.moisture_ppm is None or air is None or air.emc_ppm is None:
        return
    off = board.moisture_ppm - air.emc_ppm
    if abs(off) > policy.around_emc_ppm:
        way = "above" if off > 0 else "below"
        read, emc = (
            percent(ppm, places=1) for ppm in (board.moisture_ppm, air.emc_ppm)
        )
        reasons.append(
            f"moisture {read} is {percent(abs(off), places=1)} {way} the {emc} that "
            f"{giving_words(air)}"
        )


def _room(air: Air | None, policy: HousePolicy, today: str, reasons: list[str]) -> None:
    if not policy.fresh_days:
        return
    if air is None:
        reasons.append("nobody has measured the room's air yet")
    elif _after(air.day, policy.fresh_days) < today:
        reasons.append(
            f"the room's air was last measured on {air.day}, more than "
            f"{days_words(policy.fresh_days)} ago"
        )
    elif not policy.least_humidity_ppm <= air.humidity_ppm <= policy.most_humidity_ppm:
        reasons.append(
            f"{air_words(air)}, outside {percent(policy.least_humidity_ppm)} to "
            f"{humidity(policy.most_humidity_ppm)}"
        )


def _rounded_up(ppm: int) -> str:
    """Print a spread to 0.01 %, and never as small as a limit that it is above."""
    return percent(-(-ppm // PRINTED_PPM) * PRINTED_PPM)


# A rack asks for the same days again and again.
@lru_cache(maxsize=4096)
def _after(day: str, span: int) -> str:
    """Return the day so many days later; the calendar's last day has none after it."""
    first = date.fromisoformat(day)
    left = (date.max - first).days
    return (first + timedelta(days=min(span, left))).isoformat()


def _days_between(first: str, last: str) -> int:
    return (date.fromisoformat(last) - date.fromisoformat(first)).days
