"""The air that wood lies in: of its room, over as long as it counts.

A room is judged by its mean over the days that a reading stays fresh for, where a
logger kept them; one reading off the wall says what the air was in that minute. Thin
wood follows the day, thick wood the mean over its time constant.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session, col, select

from ledger.acts.rooms import known_emc
from ledger.craft.policy import binomial
from ledger.craft.room import Air
from ledger.views.readings import RoomReading, newest_air

# Below this wood follows the day; common practice, no source.
THIN_UM = 6_000
# Water moves so fast across most wood, and across rosewood and ebony [m2/s].
DIFFUSION, DIFFUSION_OF_DENSE = 1e-10, 1e-11
DENSE = ("Dalbergia", "Diospyros")
LONGEST_DAYS = 366
# A mean is printed, and judged, to a tenth of a percent.
JUDGED_PPM = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class DayKept:
    """One day of a room as a logger had it: its mean, and what that gives to wood."""

    humidity_ppm: int
    emc_ppm: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """The air of a room: its newest reading, and a logger's days of the last year."""

    newest: Air
    days: Mapping[str, DayKept]


def room_of(place: str | None) -> str:
    """Return the room that a place begins with: crib, shelf B is in the crib."""
    return (place or "").partition(",")[0].strip()


def histories(session: Session, rooms: Iterable[str]) -> dict[str, History]:
    """Return the air of rooms; for one that was never measured, the newest of any.

    Two questions are asked for each room, and none for each board.
    """
    anywhere = newest_air(session)
    if anywhere is None:
        return {}
    found: dict[str, History] = {}
    for room in set(rooms):
        newest = newest_air(session, room) if room else None
        found[room] = _history(session, newest or anywhere)
    return found


def room_air(history: History, *, fresh_days: int) -> Air:
    """Return the air that a room is judged by: its mean while fresh, else one reading.

    Less than half of the days is no mean of them.
    """
    return mean_air(history, fresh_days, history.newest.day) or history.newest


def own_air(
    history: History,
    *,
    species: Iterable[str],
    thickness_um: int | None,
    metered_on: str,
    fresh_days: int,
) -> Air | None:
    """Return the air that wood of such a thickness had followed when it was metered.

    None where no logger kept enough of it.
    """
    if thickness_um is not None and thickness_um < THIN_UM:
        span = 1
    elif thickness_um is None:
        span = fresh_days
    else:
        span = max(fresh_days, _slowness_days(species, thickness_um))
    return mean_air(history, min(span, LONGEST_DAYS), metered_on)


def mean_air(history: History, span: int, until: str) -> Air | None:
    """Return the mean of a room's air over so many days, if half of them were kept."""
    last = date.fromisoformat(until)
    names = [(last - timedelta(days=n)).isoformat() for n in range(span)]
    kept = [history.days[name] for name in names if name in history.days]
    if not kept or 2 * len(kept) < span:
        return None
    known = [day.emc_ppm for day in kept if day.emc_ppm is not None]
    damp = sum(day.humidity_ppm for day in kept) / len(kept)
    return Air(
        day=until,
        humidity_ppm=round(damp / JUDGED_PPM) * JUDGED_PPM,
        emc_ppm=round(sum(known) / len(known)) if known else None,
        room=history.newest.room,
        over_days=span,
        kept_days=len(kept),
    )


def _slowness_days(species: Iterable[str], thickness_um: int) -> int:
    """Return how many days wood takes to follow the air, by theory, within thrice."""
    # Only for thick wood that was metered: it brings the numeric libraries with it.
    from ledger.wood.drying import expected_time_constant

    is_dense = any(binomial(name).split()[0] in DENSE for name in species if name)
    found = expected_time_constant(
        thickness=thickness_um / 1e6,
        diffusion=DIFFUSION_OF_DENSE if is_dense else DIFFUSION,
    )
    return round(found)


def _history(session: Session, newest: RoomReading) -> History:
    first = date.fromisoformat(newest.day) - timedelta(days=LONGEST_DAYS)
    query = select(
        RoomReading.moment,
        RoomReading.temperature_millikelvin,
        RoomReading.humidity_ppm,
    ).where(
        col(RoomReading.struck_idx).is_(None),
        col(RoomReading.number).is_not(None),
        col(RoomReading.room) == newest.room,
        col(RoomReading.moment) >= first.isoformat(),
    )
    by_entry = query.order_by(col(RoomReading.idx), col(RoomReading.position))
    days = {
        moment[:10]: DayKept(
            humidity_ppm=damp,
            emc_ppm=known_emc(temperature_millikelvin=warm, humidity_ppm=damp),
        )
        for moment, warm, damp in session.exec(by_entry).all()
    }
    return History(
        newest=Air(
            day=newest.day,
            humidity_ppm=newest.humidity_ppm,
            emc_ppm=known_emc(
                temperature_millikelvin=newest.temperature_millikelvin,
                humidity_ppm=newest.humidity_ppm,
            ),
            room=newest.room,
        ),
        days=days,
    )
