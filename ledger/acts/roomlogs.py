"""What a logger kept of a room's air, taken over from its file into the record.

A logger's file is filed as it is, and each of its days goes into the record. A day that
an earlier file of the room told of already is the same, or is told more fully by one of
the two, or somebody has to look at it.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session, col, select

from ledger.acts.airlog import AirDay, AirLog, read_airlog
from ledger.acts.filing import kept_file
from ledger.acts.names import checked_words
from ledger.acts.plausible import UnlikelyError
from ledger.acts.rooms import require_air
from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import RoomLogged
from ledger.events.house import RoomDay
from ledger.log import attachments
from ledger.log.entry import Entry
from ledger.quantities import humidity
from ledger.views.readings import RoomLog, RoomReading

METHOD = "logger file/1"
SAID = ", read with "
# So many days and an entry are well below the largest record.
MOST_DAYS = 250
# By so much the means of a day may differ that two files tell of.
SAME_MILLIKELVIN, SAME_PPM = 100, 1_000
# Beyond this a file of a logger's is somebody's mistake.
LARGEST_LOG = 64 * 1024 * 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class HowRead:
    """What somebody had to say of a file so that it could be read in one way."""

    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    dates: str = ""


READ_AS_IT_IS = HowRead()


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """A logger's file as it is taken over: its new days, and what is to be told.

    `entries` are empty where nothing was recorded.
    """

    log: AirLog
    days: tuple[AirDay, ...]
    notes: tuple[str, ...]
    sha256: str
    entries: tuple[Entry, ...] = ()


def look_at_log(
    shop: Shop,
    *,
    room: str,
    data: bytes,
    how: HowRead = READ_AS_IT_IS,
    as_read: bool = False,
) -> Logged:
    """Tell how a logger's file is understood, and what of it is new; nothing is kept.

    Raises RefusedError where it would not be taken over.
    """
    found = _read(shop, room=room, data=data, how=how)
    with shop.store.reading() as session:
        return _sifted(session, room, found, as_read=as_read)


def log_room(
    shop: Shop,
    *,
    room: str,
    data: bytes,
    how: HowRead = READ_AS_IT_IS,
    as_read: bool = False,
    hands: Hands,
) -> Logged:
    """File what a logger kept of a room's air, and record its days.

    A long log is told in several entries of one turn. Raises RefusedError where the
    file was filed before, tells of days to come, or of a day otherwise than an earlier
    one, unless that is taken `as_read`.
    """
    room = str(checked_words("room", room))
    found = _read(shop, room=room, data=data, how=how)
    with shop.store.reading() as session:
        _sifted(session, room, found, as_read=as_read)
    with kept_file(shop, data, announced=found.sha256) as turn:
        sifted = _sifted(turn.session, room, found, as_read=as_read)
        parts = [
            sifted.days[n : n + MOST_DAYS]
            for n in range(0, len(sifted.days), MOST_DAYS)
        ]
        entries = [
            turn.say(
                RoomLogged(
                    room=room,
                    sha256=found.sha256,
                    method=method_of(how),
                    days=tuple(map(_said, part)),
                ),
                hands,
            )
            for part in parts
        ]
    return Logged(
        log=found.log,
        days=sifted.days,
        notes=sifted.notes,
        sha256=found.sha256,
        entries=tuple(entries),
    )


def method_of(how: HowRead) -> str:
    """Return how a file was read, so that anybody can read it so again."""
    said = {
        name: value
        for name, value in (
            ("columns", dict(how.columns)),
            ("dates", how.dates),
            ("units", dict(how.units)),
        )
        if value
    }
    if not said:
        return METHOD
    told = json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return f"{METHOD}{SAID}{told}"


def how_read(method: str) -> HowRead | None:
    """Return how a file was read on its day; None for a method not known here.

    Inverse of `method_of`.
    """
    name, _, said = method.partition(SAID)
    try:
        told = json.loads(said) if said else {}
    except (ValueError, RecursionError):
        return None
    if name != METHOD or not isinstance(told, dict):
        return None
    how = HowRead(
        columns=_texts(told.get("columns")),
        units=_texts(told.get("units")),
        dates=str(told.get("dates", "")),
    )
    return how if method_of(how) == method else None


def facts_told(row: RoomReading) -> tuple[int, ...]:
    """Return what the record tells of a logger's day, to be compared."""
    return (
        row.number or 0,
        row.temperature_millikelvin,
        row.humidity_ppm,
        row.least_humidity_ppm or 0,
        row.most_humidity_ppm or 0,
        row.gap_seconds or 0,
    )


def facts_of(day: AirDay) -> tuple[int, ...]:
    """Return the same of a day as a file tells it."""
    return (
        day.readings,
        day.temperature_millikelvin,
        day.humidity_ppm,
        day.least_humidity_ppm,
        day.most_humidity_ppm,
        day.longest_gap_seconds,
    )


def _texts(said: object) -> dict[str, str]:
    items = said.items() if isinstance(said, dict) else ()
    return {str(name): str(value) for name, value in items}


def _read(shop: Shop, *, room: str, data: bytes, how: HowRead) -> Logged:
    """Read a file, and refuse what no room's log can tell."""
    checked_words("room", room)
    if len(data) > LARGEST_LOG:
        raise RefusedError(
            f"the file has {len(data)} bytes, more than the {LARGEST_LOG} of a "
            f"logger's: export it in parts, a year at a time"
        )
    log = read_airlog(data, columns=how.columns, units=how.units, dates=how.dates)
    today, last = shop.today(), log.days[-1].day
    if last > today:
        raise RefusedError(
            f"the log tells of {last}, and today is {today}: look at the logger's "
            f"clock, or at which figure of a date is the day"
        )
    for day in log.days:
        require_air(day.temperature_millikelvin, day.humidity_ppm, on=day.day)
    digest = attachments.digest_of(data)
    return Logged(log=log, days=log.days, notes=log.notes, sha256=digest)


def _sifted(session: Session, room: str, found: Logged, *, as_read: bool) -> Logged:
    """Return what of a log is new to a room, and tell what of it was there."""
    _require_new_file(session, found.sha256)
    before = _days_before(session, room, found.days)
    kept: list[AirDay] = []
    same: list[str] = []
    notes: list[str] = []
    for day in found.days:
        old = before.get(day.day)
        if old is None:
            kept.append(day)
        elif _is_same(facts_told(old), facts_of(day)):
            same.append(day.day)
        else:
            is_kept, note = _judged(day, old, as_read=as_read)
            kept += [day] * is_kept
            notes.append(note)
    if same:
        told = (
            same[0] if len(same) == 1 else f"{same[0]} to {same[-1]}, {len(same)} days"
        )
        notes.insert(0, f"{told}: in the record already, and the same; left out")
    if not kept:
        raise RefusedError(
            f"the log tells nothing new of {room}: all of its days to "
            f"{found.days[-1].day} are in the record already"
        )
    return Logged(
        log=found.log,
        days=tuple(kept),
        notes=(*found.notes, *notes),
        sha256=found.sha256,
    )


def _is_same(old: tuple[int, ...], new: tuple[int, ...]) -> bool:
    """Tell whether two logs tell the same of a day.

    At the edge of a file the last reading stands a little longer or shorter.
    """
    number, warm, damp, *extremes, _ = zip(old, new, strict=True)
    return (
        all(a == b for a, b in (number, *extremes))
        and abs(warm[0] - warm[1]) <= SAME_MILLIKELVIN
        and abs(damp[0] - damp[1]) <= SAME_PPM
    )


def _judged(day: AirDay, old: RoomReading, *, as_read: bool) -> tuple[bool, str]:
    """Judge a day of which two logs tell: the fuller one counts, if it holds the other.

    A logger that is read out at noon has half of that day, and all of it next time.
    """
    then, now = int(old.number or 0), day.readings
    words = (
        f"{day.day} is in entry {old.idx} with {_readings(then)} and "
        f"{humidity(old.humidity_ppm, places=1)}, and here with {_readings(now)} and "
        f"{humidity(day.humidity_ppm, places=1)}"
    )
    old_span = (int(old.least_humidity_ppm or 0), int(old.most_humidity_ppm or 0))
    new_span = (day.least_humidity_ppm, day.most_humidity_ppm)
    if then < now and _holds(new_span, old_span):
        return True, f"{words}: the fuller one counts from now on"
    if now < then and _holds(old_span, new_span):
        return False, f"{words}: the fuller one stays"
    if as_read:
        return True, f"{words}: this one counts from now on"
    raise UnlikelyError(f"{words}: see that it is the log of this room")


def _holds(wide: tuple[int, int], narrow: tuple[int, int]) -> bool:
    return wide[0] <= narrow[0] and narrow[1] <= wide[1]


def _readings(count: int) -> str:
    return "1 reading" if count == 1 else f"{count} readings"


def _require_new_file(session: Session, digest: str) -> None:
    query = select(RoomLog).where(
        col(RoomLog.digest) == digest, col(RoomLog.struck_idx).is_(None)
    )
    row = session.exec(query.order_by(col(RoomLog.idx))).first()
    if row is not None:
        raise RefusedError(
            f"this file was filed as the log of {row.room} by entry {row.idx} already: "
            f"nothing more was recorded"
        )


def _days_before(
    session: Session, room: str, days: Sequence[AirDay]
) -> dict[str, RoomReading]:
    """Return what a logger's earlier files tell of days; of one day the newest."""
    query = select(RoomReading).where(
        col(RoomReading.room) == room,
        col(RoomReading.number).is_not(None),
        col(RoomReading.struck_idx).is_(None),
        col(RoomReading.moment) >= days[0].day,
    )
    rows: Iterable[RoomReading] = session.exec(query.order_by(col(RoomReading.idx)))
    return {row.day: row for row in rows}


def _said(day: AirDay) -> RoomDay:
    return RoomDay(
        day=day.day,
        number=day.readings,
        temperature_millikelvin=day.temperature_millikelvin,
        humidity_ppm=day.humidity_ppm,
        least_humidity_ppm=day.least_humidity_ppm,
        most_humidity_ppm=day.most_humidity_ppm,
        gap_seconds=day.longest_gap_seconds,
    )
