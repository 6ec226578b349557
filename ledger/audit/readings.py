"""Recordings heard again, and compared with what was read of them.

A difference is no damage. The bytes are judged by their digest; here the ear of today
listens to them, and where it hears something else somebody should know.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path

from sqlmodel import Session, select

from ledger.acts.shop import Shop
from ledger.audit.findings import Finding
from ledger.errors import LedgerError
from ledger.log import attachments
from ledger.views.readings import Tapping, TapReading, VoiceTapping, readings_of

# What two readings of the same bytes may differ by and still be called the same.
SAME_MILLIHERTZ = 50
SAME_Q_PERCENT = 5


def reading_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Read every recording again in the same band, and tell what differs.

    A recording that is missing or changed is found by its digest, and not here.
    """
    for what, tapping in _recorded(session):
        try:
            attachments.verify(shop.attachments, tapping.digest)
        except (LedgerError, OSError):
            continue
        path = attachments.get(shop.attachments, tapping.digest)
        for detail in _differences(path, tapping, readings_of(session, tapping.idx)):
            yield Finding(tapping.idx, "reading", f"{what}: {detail}")


def _recorded(session: Session) -> list[tuple[str, Tapping | VoiceTapping]]:
    """Return every tap with what it is of, in the order of the entries."""
    taps: list[tuple[str, Tapping | VoiceTapping]] = [
        (tap.board, tap) for tap in session.exec(select(Tapping)).all()
    ]
    taps += [(tap.serial, tap) for tap in session.exec(select(VoiceTapping)).all()]
    return sorted(taps, key=lambda each: each[1].idx)


def _differences(
    path: Path, tapping: Tapping | VoiceTapping, readings: Sequence[TapReading]
) -> Iterator[str]:
    # Only where there is a recording: hearing brings the numeric libraries with it.
    from ledger.acts.hearing import listen

    band = tapping.low_millihertz, tapping.high_millihertz
    try:
        heard = listen(path, band)
    except LedgerError as fault:
        yield f"the recording is not heard any more ({_without_path(fault, path)})"
        return
    modes = [(round(m.frequency * 1000), round(m.q * 1000)) for m in heard.modes]
    for reading in readings:
        difference = _difference(reading, modes)
        if difference:
            yield f"{difference}; read with {tapping.method}, now {heard.method}"


def _difference(reading: TapReading, modes: Sequence[tuple[int, int]]) -> str | None:
    """Compare one reading with the mode that is nearest to it today."""
    read = f"{reading.mode} was read at {reading.frequency_millihertz / 1000:.2f} Hz"
    nearest = min(modes, key=lambda mode: abs(mode[0] - reading.frequency_millihertz))
    if abs(nearest[0] - reading.frequency_millihertz) > SAME_MILLIHERTZ:
        return f"{read}, and the nearest mode is now {nearest[0] / 1000:.2f} Hz"
    if abs(nearest[1] - reading.q_milli) * 100 > SAME_Q_PERCENT * reading.q_milli:
        return (
            f"{read} with Q {reading.q_milli / 1000:.1f}, and is now read with Q "
            f"{nearest[1] / 1000:.1f}"
        )
    return None


def _without_path(fault: LedgerError, path: Path) -> str:
    return str(fault).replace(str(path), "it")
