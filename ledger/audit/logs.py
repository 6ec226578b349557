"""Meters and room logs worked out again from what was read, and compared.

As with recordings a difference is no damage: the bytes are judged by their digest, and
the rule may be read otherwise by a later version. Then somebody should know.
"""

from collections.abc import Iterator

from sqlmodel import Session, col, select

from ledger.acts.metering import corrected
from ledger.acts.shop import Shop
from ledger.audit.findings import Finding
from ledger.errors import LedgerError
from ledger.log import attachments
from ledger.quantities import celsius, humidity, percent
from ledger.views.measures import Metering
from ledger.views.readings import RoomLog, RoomReading
from ledger.wood.meter import AS_READ, RULE

# What two machines may differ by in the last digit of an exponential.
SAME_PPM = 1


def meter_findings(session: Session) -> Iterator[Finding]:
    """Correct every meter's reading again, and tell what comes out otherwise."""
    for row in session.exec(select(Metering).order_by(col(Metering.idx))).all():
        if row.rule not in (RULE, AS_READ):
            detail = f"{row.board} was metered by {row.rule}, a rule not known here"
            yield Finding(row.idx, "reading", detail)
            continue
        try:
            found, _, _ = corrected(
                row.reading_ppm, row.temperature_millikelvin, row.rule
            )
        except LedgerError as fault:
            detail = f"{row.board}: the reading is not corrected any more ({fault})"
            yield Finding(row.idx, "reading", detail)
            continue
        if abs(found - row.moisture_ppm) > SAME_PPM:
            detail = (
                f"{row.board}: {percent(row.reading_ppm)} on {row.meter} was said to "
                f"be {percent(row.moisture_ppm)} by {row.rule}, and now comes to "
                f"{percent(found)}"
            )
            yield Finding(row.idx, "reading", detail)


def log_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Read every logger's file again, and tell which days come out otherwise.

    A file that is missing or changed is found by its digest, and not here.
    """
    for log in session.exec(select(RoomLog).order_by(col(RoomLog.idx))).all():
        try:
            data = attachments.read(shop.attachments, log.digest)
        except (LedgerError, OSError):
            continue
        for detail in _differences(session, log, data):
            yield Finding(log.idx, "reading", f"log of room {log.room}: {detail}")


def _differences(session: Session, log: RoomLog, data: bytes) -> Iterator[str]:
    # Only where there is a log: reading brings the numeric libraries with it.
    from ledger.acts.airlog import read_airlog
    from ledger.acts.roomlogs import facts_of, facts_told, how_read

    how = how_read(log.method)
    if how is None:
        yield f"it was read by {log.method}, which is not known here"
        return
    try:
        found = read_airlog(data, columns=how.columns, units=how.units, dates=how.dates)
    except LedgerError as fault:
        yield f"the file is not read any more ({fault})"
        return
    days = {day.day: day for day in found.days}
    for row in _days_of(session, log.idx):
        again = days.get(row.day)
        if again is None:
            yield f"{row.day} is not in the file"
        elif not _are_same(facts_told(row), facts_of(again)):
            yield (
                f"{row.day} was read as {_told(facts_told(row))}, and is now read as "
                f"{_told(facts_of(again))}"
            )


def _days_of(session: Session, index: int) -> list[RoomReading]:
    query = select(RoomReading).where(col(RoomReading.idx) == index)
    return list(session.exec(query.order_by(col(RoomReading.position))).all())


def _are_same(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
    """Tell whether two tellings of a day are one: means may differ in a last digit."""
    number, warm, damp, *rest = zip(one, other, strict=True)
    is_close = all(abs(a - b) <= SAME_PPM for a, b in (warm, damp))
    return is_close and all(a == b for a, b in (number, *rest))


def _told(facts: tuple[int, ...]) -> str:
    """Say a day in words, exactly: 24 readings, 20.1 °C, 45.2 %RH, …."""
    number, warm, damp, least, most, gap = facts
    return (
        f"{number} readings, {celsius(warm)}, {humidity(damp)} ({humidity(least)} to "
        f"{humidity(most)}), {gap} s without one"
    )
