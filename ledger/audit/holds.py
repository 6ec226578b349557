"""What was said under an open hold that covered it, past the act that refuses it.

An act refuses it inside the lock, so that whoever said it went past the act.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.audit.findings import Finding
from ledger.views.allotting import Stay
from ledger.views.builds import SignedStep
from ledger.views.certificates import certificates_of
from ledger.views.doubt import (
    AT_ONCE,
    Source,
    entries_by,
    reached,
    regrouped,
    source_of,
)
from ledger.views.family import Member
from ledger.views.holds import Hold, all_holds, clearings_of
from ledger.views.service import trips_of
from ledger.views.shipments import Shipment, ShippedThing, shipments_of


@dataclass(frozen=True, slots=True, kw_only=True)
class _Time:
    """After which entry and before which one a hold covered the same."""

    after: int
    before: int | None
    source: Source

    def holds(self, index: int) -> bool:
        """Tell whether an entry was said in this stretch."""
        return self.after < index and (self.before is None or index < self.before)


def hold_findings(session: Session) -> Iterator[Finding]:
    """Tell what was allotted, signed, certified or sent while a hold covered it."""
    for hold in all_holds(session):
        for time in _times(session, hold):
            yield from _said_in(session, hold, time)


def _times(session: Session, hold: Hold) -> Iterator[_Time]:
    """Yield the stretches of a hold: each clearing begins the next one.

    So does a paper in doubt that is joined to more wood, or is no paper of it any more.
    """
    cleared = clearings_of(session, hold.hold)
    starts = sorted({hold.idx, *(row.idx for row in cleared), *_joined(session, hold)})
    ends: list[int | None] = [*starts[1:], hold.lifted_idx]
    for after, before in zip(starts, ends, strict=True):
        cleared_at = {row.code: row.idx for row in cleared if row.idx <= after}
        source = source_of(session, hold, cleared_at=cleared_at, as_of=after)
        yield _Time(after=after, before=before, source=source)


def _joined(session: Session, hold: Hold) -> Iterator[int]:
    """Yield by which entries a hold came to cover other wood while it stood."""
    for index in regrouped(session, hold):
        if hold.idx < index and (hold.lifted_idx is None or index < hold.lifted_idx):
            yield index


def _said_in(session: Session, hold: Hold, time: _Time) -> Iterator[Finding]:
    wood = reached(session, time.source)
    stays = _stays(session, wood)
    for stay in stays:
        if time.holds(stay.idx):
            what = f"the allotment of {stay.board} to {stay.serial}"
            yield _finding(stay.idx, what, hold)
    for index, number, code in _shipped(session, wood):
        if time.holds(index):
            yield _finding(index, f"shipment {number} of {code}", hold)
    entries = entries_by(session, time.source)
    covered = {stay.serial for stay in stays} | entries.keys()
    for serial in sorted(covered):
        mine = [
            stay
            for stay in stays
            if stay.serial == serial and time.source.is_after(serial, stay.idx)
        ]
        # The step that used a batch in doubt rests on it as well. Whoever is in doubt
        # may sign: that is no work on what was in doubt before.
        later = int(hold.on == "person")
        before = {entry + later for entry in entries.get(serial, ())}
        for index, what in _rests_on(session, serial):
            if time.holds(index) and _is_covered(index, mine, before):
                yield _finding(index, f"{what} of {serial}", hold)


def _stays(session: Session, wood: Mapping[str, Member]) -> list[Stay]:
    """Return when wood in doubt was in an instrument, and not where it was struck."""
    codes = list(wood)
    found: list[Stay] = []
    for start in range(0, len(codes), AT_ONCE):
        some = codes[start : start + AT_ONCE]
        found += session.exec(select(Stay).where(col(Stay.board).in_(some))).all()
    standing = (stay for stay in found if stay.how != "struck")
    return sorted(standing, key=lambda stay: (stay.idx, stay.board))


def _shipped(
    session: Session, wood: Mapping[str, Member]
) -> Iterator[tuple[int, str, str]]:
    """Yield the shipments that boards in doubt went with, by entry."""
    query = select(Shipment.idx, Shipment.number, ShippedThing.code).join(
        ShippedThing, col(ShippedThing.shipment) == col(Shipment.number)
    )
    for index, number, code in session.exec(query.order_by(col(Shipment.idx))).all():
        if code in wood:
            yield index, number, code


def _rests_on(session: Session, serial: str) -> Iterator[tuple[int, str]]:
    """Yield the signatures, certificates, shipments and trips of an instrument."""
    signed = select(SignedStep).where(
        col(SignedStep.serial) == serial, col(SignedStep.struck_idx).is_(None)
    )
    for step in session.exec(signed.order_by(col(SignedStep.idx))).all():
        yield step.idx, f"step {step.step} ({step.meaning})"
    for issued in certificates_of(session, serial):
        yield issued.idx, f"certificate {issued.number}"
    for shipment in shipments_of(session, serial):
        yield shipment.idx, f"shipment {shipment.number}"
    for trip in trips_of(session, serial):
        # What is mended elsewhere may leave, for a doubt is looked into there too.
        if trip.errand != "service":
            yield trip.idx, f"a way out ({trip.errand})"


def _is_covered(index: int, stays: list[Stay], entries: set[int]) -> bool:
    """Tell whether an instrument had wood or work in doubt before an entry."""
    had_wood = any(
        stay.idx < index and (stay.ended_idx is None or stay.ended_idx > index)
        for stay in stays
    )
    return had_wood or any(entry <= index for entry in entries)


def _finding(index: int, what: str, hold: Hold) -> Finding:
    detail = f"{what} was said under hold {hold.hold} of entry {hold.idx}"
    return Finding(index, "held", detail)
