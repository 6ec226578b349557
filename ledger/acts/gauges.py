"""Gauges: what measures, when it was compared with a better one, what it touched."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.benchnumbers import next_gauge
from ledger.acts.names import (
    EARLIEST_ARRIVAL,
    checked_day,
    checked_past_day,
    checked_words,
    last_day,
)
from ledger.acts.shop import Hands, Shop
from ledger.benchcodes import GaugeId
from ledger.craft.wares import Measures
from ledger.errors import NotFoundError, RefusedError
from ledger.events import GaugeCalibrated, GaugeListed
from ledger.ids import Code, parse_any
from ledger.log.encoding import canonical
from ledger.log.entry import Entry
from ledger.log.tables import StoredEntry
from ledger.views import usage
from ledger.views.graduations import Graduation, graduations_by
from ledger.views.materials import Calibration, Gauge, calibrations_of, gauges
from ledger.views.measures import Metering, Weighing
from ledger.views.usage import Use
from ledger.views.wood import Document

FAILED = "failed"
# What a gauge is called by what it measures.
NOUNS = {"mass": "scale", "moisture": "moisture meter"}


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeTold:
    """A gauge, its calibrations, and all that it touched since a day.

    `wrong_since` is the day on which it was last right, where it failed after that, and
    empty where it was never right before; of a gauge that did not fail it is None.
    """

    gauge: Gauge
    calibrations: tuple[Calibration, ...]
    wrong_since: str | None
    steps: tuple[Use, ...]
    meterings: tuple[Metering, ...]
    weighings: tuple[Weighing, ...]
    graduations: tuple[Graduation, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeDue:
    """A gauge that is to be compared, by when, and why."""

    gauge: Gauge
    until: str | None
    why: str


def add_gauge(
    shop: Shop, *, what: str, measures: Measures, mark: str | None, hands: Hands
) -> str:
    """Put a gauge on the list, with what stands on it; return its code."""
    name = str(checked_words("gauge's name", what))
    stamped = checked_words("mark", mark)
    with shop.turn() as turn:
        for known in gauges(turn.session):
            if (known.what, known.mark) == (name, stamped):
                raise RefusedError(
                    f"{name}, {stamped or 'without a mark'}, is gauge {known.gauge} "
                    f"already: give --mark to tell two of them apart"
                )
        event = GaugeListed(
            gauge=next_gauge(turn), what=name, measures=measures, mark=stamped
        )
        turn.say(event, hands)
    return event.gauge


def calibrate(shop: Shop, event: GaugeCalibrated, hands: Hands) -> Entry:
    """Record that a gauge was compared with a better one, and what came of it."""
    require_days(event.on, event.until)
    checked_past_day(event.on, shop.today())
    if event.outcome == FAILED and event.until is not None:
        raise RefusedError(
            f"gauge {event.gauge} failed on {event.on}, so that it holds until no day: "
            f"leave --until {event.until} away"
        )
    with shop.turn() as turn:
        find_gauge(turn.session, event.gauge)
        if event.document and turn.session.get(Document, event.document) is None:
            raise NotFoundError(
                f"there is no document {event.document}: file it with flitchbook "
                f"document file"
            )
        return turn.say(event, hands)


def require_days(on: str, until: str | None) -> None:
    """Refuse days that are none, and a calibration that ended before it began."""
    checked_day(on)
    checked_day(until)
    if on < EARLIEST_ARRIVAL:
        raise RefusedError(
            f"{on} is before {EARLIEST_ARRIVAL[:4]}, and no gauge that is in use was "
            f"compared then: look at the year again"
        )
    if until is not None and until < on:
        raise RefusedError(
            f"a calibration of {on} cannot hold until {until}: read the paper again"
        )


def find_gauge(session: Session, code: str) -> Gauge:
    """Return a gauge, or say that it was never listed."""
    found = session.get(Gauge, code)
    if found is None:
        raise NotFoundError(
            f"there is no gauge {code}: put it on the list with flitchbook gauge add"
        )
    return found


def named_gauge(session: Session, name: str | None, measures: Measures) -> str | None:
    """Return what measured: a gauge of the list by its code, or in free words.

    Raises NotFoundError for a code that is not on the list, RefusedError for one of a
    gauge that measures something else, and of what is no gauge at all.
    """
    code = None if name is None else _code(name)
    if code is None:
        return name
    noun = NOUNS.get(measures, "gauge")
    if not isinstance(code, GaugeId):
        raise RefusedError(
            f"{code} is a {code.form.noun} and no {noun}: give the code of the {noun}, "
            f"or its name where it has none"
        )
    found = find_gauge(session, str(code))
    if found.measures not in (measures, "other"):
        raise RefusedError(
            f"gauge {code} ({found.what}) measures {found.measures} and is no {noun}: "
            f"give the code of the {noun}, or its name where it has none"
        )
    return str(code)


def _code(text: str) -> Code | None:
    """Return the code that a text is, or None where it is a name in free words."""
    try:
        return parse_any(text)
    except RefusedError:
        return None


def wrong_since(calibrations: Sequence[Calibration]) -> str | None:
    """Return since when a gauge may be wrong, or None where it did not fail.

    Of one that failed it is the day on which it was last right; an empty text where no
    calibration before says that it ever was.
    """
    if not calibrations or calibrations[-1].outcome != FAILED:
        return None
    right = [row.day for row in calibrations if row.outcome != FAILED]
    return right[-1] if right else ""


def tell(session: Session, code: str, *, since: str | None = None) -> GaugeTold:
    """Tell of a gauge and all that it touched since a day.

    Where no day is said it is the one on which it was last right, if it failed since,
    and its first day otherwise.
    """
    gauge = find_gauge(session, code)
    checked_day(since)
    calibrations = tuple(calibrations_of(session, code))
    wrong = wrong_since(calibrations)
    start = since or wrong or ""
    names = tuple(dict.fromkeys((gauge.gauge, gauge.what, gauge.mark or gauge.gauge)))
    is_scale = gauge.measures == "mass"
    return GaugeTold(
        gauge=gauge,
        calibrations=calibrations,
        wrong_since=wrong,
        steps=tuple(usage.uses_of_gauge(session, code, since=start)),
        meterings=tuple(usage.meterings_by(session, names, since=start)),
        weighings=_weighed_on(session, names, start) if is_scale else (),
        graduations=tuple(graduations_by(session, names, since=start)),
    )


def due(session: Session, *, today: str, within_days: int) -> list[GaugeDue]:
    """Return the gauges that are to be compared within so many days, soonest first."""
    last = last_day(today, within_days)
    found = []
    for gauge in gauges(session):
        rows = calibrations_of(session, gauge.gauge)
        newest = rows[-1] if rows else None
        why = _due_words(newest, today, last)
        if why is not None:
            until = newest.until if newest else None
            found.append(GaugeDue(gauge=gauge, until=until, why=why))
    return sorted(found, key=lambda each: (each.until or "", each.gauge.gauge))


def _due_words(newest: Calibration | None, today: str, last: str) -> str | None:
    """Say why a gauge is due, or None where it is not."""
    if newest is None:
        return "never compared with a better one"
    if newest.outcome == FAILED:
        return f"failed on {newest.day}"
    if newest.until is None or newest.until > last:
        return None
    return f"{'ended' if newest.until < today else 'ends'} on {newest.until}"


def _weighed_on(
    session: Session, names: Sequence[str], since: str
) -> tuple[Weighing, ...]:
    """Return the weighings on a scale: which one it was stands in the entry alone."""
    query = (
        select(Weighing, StoredEntry.record)
        .join(StoredEntry, col(StoredEntry.idx) == col(Weighing.idx))
        .where(col(Weighing.struck_idx).is_(None), col(Weighing.moment) >= since)
    )
    said = [canonical({"scale": name})[1:-1] for name in names]
    rows = session.exec(query.order_by(col(Weighing.idx), col(Weighing.board))).all()
    return tuple(row for row, data in rows if any(each in data for each in said))
