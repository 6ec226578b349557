"""When a board that dries will be at rest, foretold from its own weighings.

A forecast is no verdict: the rule asks for weighings that were steady, and this says
about when they can be.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import gcd, prod

from sqlmodel import Session

from ledger.acts.measuring import SIZES, WORKED_PPM, is_worked
from ledger.acts.resting import Rack, Weighings, lots_in, own_weighings, rack_of
from ledger.errors import RefusedError
from ledger.views.boards import Board
from ledger.views.measures import sizings_of, weighings_of
from ledger.wood.drying import (
    LEAST_TO_SHOW,
    Between,
    Drying,
    drying_of,
    ready_day,
    remaining_at,
)

LEAST_WEIGHINGS = 3
# So many tell the first days in new air from a plain approach; of fewer the weighing of
# the very first day is left out, and then both ways lead to the same day.
LEAST_TO_TELL = 5
# The steps of common balances [mg], the coarsest first; one of 2 g is taken for finer.
STEPS_MG = (10_000, 5_000, 1_000, 500, 100, 50, 10)
DAY_SECONDS = 86_400
# Of a fitted curve: so many points are drawn, over ten years at most.
POINTS, MOST_DRAWN = 60, 3_650.0
PPM = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """On which day a board is at rest, so that no more than `within_ppm` is left.

    The interval holds the day in 95 of 100 cases (k = 2), as long as the room's air
    stays; where its end is not known yet, `latest` is None. What has `u` in its name is
    a standard uncertainty. `left_ppm` is what it still has to lose since it was weighed
    last, `weighed` the days and masses that all this rests on, and `curve` the fit.
    """

    likely: str
    earliest: str
    latest: str | None
    within_ppm: int
    left_ppm: int
    end_mass_mg: int
    u_end_mass_mg: int
    time_constant_seconds: int
    u_time_constant_seconds: int
    weighed: Weighings
    curve: Weighings
    method: str
    warnings: tuple[str, ...]


def forecast(
    session: Session,
    board: Board,
    *,
    rack: Rack | None = None,
    with_curve: bool = False,
) -> Forecast | str:
    """Return when a board will be at rest, or the reason why nobody can tell.

    rack        what is known of boards, where it was read already
    with_curve  whether the fitted curve is wanted too, to be drawn
    """
    known = rack or rack_of(session, [board])
    rows = _series(session, board, known)
    if board.gone_idx is None and is_worked(session, board, {}):
        return "it was worked since it was weighed last: weigh it, and again in a week"
    if not known.policy.within_ppm:
        return "the house has no limit of a steady mass, so none can be foretold"
    is_fresh = bool(rows) and _is_fresh(session, board, known, rows)
    if is_fresh and len(rows) < LEAST_TO_TELL:
        if len(rows) <= LEAST_WEIGHINGS:
            return (
                f"too few weighings to foretell: {len(rows)} of at least "
                f"{LEAST_WEIGHINGS + 1}, the first of which is of the day it came in"
            )
        rows, is_fresh = rows[1:], False
    if len(rows) < LEAST_WEIGHINGS:
        return (
            f"too few weighings to foretell: {len(rows)} of at least {LEAST_WEIGHINGS}"
        )
    try:
        return _foretold(
            rows,
            is_fresh=is_fresh,
            within_ppm=known.policy.within_ppm,
            with_curve=with_curve,
        )
    except RefusedError as reason:
        return str(reason)


def forecast_words(found: Forecast, *, today: str) -> str:
    """Say when a board is at rest: at rest about 2026-02-14, between 02-09 and 02-25.

    A year is said again only where it is another one.
    """
    since = "since about" if (found.latest or today) < today else "about"
    count = f"(k = 2), from {len(found.weighed)} weighings, if the air stays as it is"
    if found.latest is None:
        return (
            f"at rest {since} {found.likely}, not before {found.earliest}, and how "
            f"much later nobody can tell yet {count}"
        )
    year = found.likely[:5]
    first, last = (day.removeprefix(year) for day in (found.earliest, found.latest))
    return f"at rest {since} {found.likely}, between {first} and {last} {count}"


def balance_step_mg(masses_mg: Sequence[int]) -> int:
    """Return the step of the balance that masses were read on, as far as they show it.

    The coarsest common step that all of them are multiples of, 10 g at most.
    """
    common = gcd(*masses_mg)
    return next((step for step in STEPS_MG if common % step == 0), 1)


def _series(session: Session, board: Board, rack: Rack) -> Weighings:
    """Return a board's weighings here since it was last worked, one of each day."""
    here = {day for day, _ in own_weighings(rack, board.code)}
    cut = _last_cut(session, board.code)
    rows = {
        row.day: row.mass_mg
        for row in weighings_of(session, board.code)
        if row.day in here and (row.moment, row.idx) > cut
    }
    return tuple(rows.items())


def _last_cut(session: Session, code: str) -> tuple[str, int]:
    """Return moment and entry of the newest sizes that are smaller than those before.

    A list's sizes are nominal: what is measured below them was not worked off.
    """
    known: dict[str, int] = {}
    found = ("", -1)
    for row in sizings_of(session, code):
        newer = {n: um for n in SIZES if (um := getattr(row, n)) is not None}
        if row.is_listed or not newer:
            continue
        then = known | newer
        before, now = (prod(each[n] for n in known) for each in (known, then))
        if now * PPM < WORKED_PPM * before:
            found = (row.moment, row.idx)
        known = then
    return found


def _is_fresh(session: Session, board: Board, rack: Rack, rows: Weighings) -> bool:
    """Tell whether the first weighing was made on the day on which a board came in."""
    lots = lots_in(rack, board.code)
    if len(lots) != 1 or lots[0].is_opening or board.code in rack.parents:
        return False
    return rows[0][0] == lots[0].received_on


def _foretold(
    rows: Weighings, *, is_fresh: bool, within_ppm: int, with_curve: bool
) -> Forecast:
    first = date.fromisoformat(rows[0][0])
    days = [float((date.fromisoformat(day) - first).days) for day, _ in rows]
    drying = _fitted(days, [mass for _, mass in rows], is_fresh=is_fresh)
    ready = ready_day(drying, remaining=within_ppm / PPM)
    end, pace = drying.end_mass, drying.time_constant
    return Forecast(
        likely=_day(first, ready.likely),
        earliest=_day(first, ready.least),
        latest=_day(first, ready.most) if math.isfinite(ready.most) else None,
        within_ppm=within_ppm,
        left_ppm=round(remaining_at(drying, day=drying.days[-1]).likely * PPM),
        end_mass_mg=round(end.value * 1e6),
        u_end_mass_mg=round(end.u * 1e6),
        time_constant_seconds=round(pace.value * DAY_SECONDS),
        u_time_constant_seconds=round(pace.u * DAY_SECONDS),
        weighed=tuple(rows[len(days) - len(drying.days) :]),
        curve=_curve(drying, first, ready) if with_curve else (),
        method=drying.method,
        warnings=_warnings(drying, len(days)),
    )


def _fitted(
    days: Sequence[float], masses_mg: Sequence[int], *, is_fresh: bool
) -> Drying:
    """Fit the curve of wood that came into this air, or the plain one.

    Wood that comes from a like air goes the plain way from its first day: where enough
    weighings tell the two apart, the one counts that the balance alone explains.
    """
    step = balance_step_mg(masses_mg) / 1e6
    masses = [mass / 1e6 for mass in masses_mg]

    def fit(is_fresh: bool) -> Drying:
        return drying_of(days=days, masses=masses, resolution=step, is_fresh=is_fresh)

    if not is_fresh:
        return fit(False)
    try:
        fresh = fit(is_fresh=True)
    except RefusedError as reason:
        plain = _plain(fit, step)
        if plain is None:
            raise reason from None
        return plain
    return (_plain(fit, step) or fresh) if fresh.u > _balance_u(step) else fresh


def _warnings(drying: Drying, given: int) -> tuple[str, ...]:
    """Return what to bear in mind; that first days may lie off it, in our own words."""
    count = len(drying.days)
    is_known = drying.is_fresh or count < given or count >= LEAST_TO_SHOW
    if is_known or drying.u > _balance_u(_step_of(drying)):
        return drying.warnings
    return (
        f"{count} weighings cannot show whether the first days lie on the curve, and "
        f"{LEAST_TO_SHOW} can: weigh on",
    )


def _step_of(drying: Drying) -> float:
    return balance_step_mg([round(mass * 1e6) for mass in drying.masses]) / 1e6


def _plain(fit: Callable[[bool], Drying], step: float) -> Drying | None:
    """Return the plain curve if the weighings lie on it as well as the balance can."""
    try:
        plain = fit(False)
    except RefusedError:
        return None
    return plain if plain.u <= _balance_u(step) else None


def _balance_u(step: float) -> float:
    """Return what a balance scatters of itself, with its rounding, and a hair more."""
    return 1.001 * math.hypot(step, step / math.sqrt(12))


def _curve(drying: Drying, first: date, ready: Between) -> Weighings:
    """Return days and masses of the fitted curve, a little beyond the likely day."""
    begin, last = drying.days[0], max(drying.days[-1], min(ready.likely, MOST_DRAWN))
    step = max(1, round((last - begin) / POINTS))
    found = []
    for day in range(round(begin), round(last) + step + 1, step):
        left = remaining_at(drying, day=float(day)).likely
        mass = drying.end_mass.value * (1 + left)
        found.append((_day(first, day), round(mass * 1e6)))
    return tuple(found)


def _day(first: date, span: float) -> str:
    """Return the day on which so many have gone by, or the calendar's last one."""
    left = (date.max - first).days
    return (first + timedelta(days=min(math.ceil(span), left))).isoformat()
