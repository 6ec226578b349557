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
from ledger.views.doubt import AT_ONCE, Source, entries_by, reached, source_of
from ledger.views.family import Member
from ledger.views.holds import Hold, all_holds, clearings_of


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
    """Tell what was allotted, signed or certified while a hold covered it."""
    for hold in all_holds(session):
        for time in _times(session, hold):
            yield from _said_in(session, hold, time)


def _times(session: Session, hold: Hold) -> Iterator[_Time]:
    """Yield the stretches of a hold: each clearing begins the next one."""
    cleared = clearings_of(session, hold.hold)
    starts = [hold.idx, *dict.fromkeys(row.idx for row in cleared)]
    ends: list[int | None] = [*starts[1:], hold.lifted_idx]
    for after, before in zip(starts, ends, strict=True):
        codes = {row.code for row in cleared if row.idx <= after}
        yield _Time(
            after=after, before=before, source=source_of(session, hold, cleared=codes)
        )


def _said_in(session: Session, hold: Hold, time: _Time) -> Iterator[Finding]:
    wood = reached(session, time.source)
    stays = _stays(session, wood)
    for stay in stays:
        if time.holds(stay.idx):
            what = f"the allotment of {stay.board} to {stay.serial}"
            yield _finding(stay.idx, what, hold)
    entries = entries_by(session, time.source)
    covered = {stay.serial for stay in stays} | entries.keys()
    for serial in sorted(covered - time.source.cleared):
        mine = [stay for stay in stays if stay.serial == serial]
        before = entries.get(serial, set())
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


def _rests_on(session: Session, serial: str) -> Iterator[tuple[int, str]]:
    """Yield the signatures and certificates of an instrument, by entry."""
    signed = select(SignedStep).where(
        col(SignedStep.serial) == serial, col(SignedStep.struck_idx).is_(None)
    )
    for step in session.exec(signed.order_by(col(SignedStep.idx))).all():
        yield step.idx, f"step {step.step} ({step.meaning})"
    for issued in certificates_of(session, serial):
        yield issued.idx, f"certificate {issued.number}"


def _is_covered(index: int, stays: list[Stay], entries: set[int]) -> bool:
    """Tell whether an instrument had wood or work in doubt before an entry."""
    had_wood = any(
        stay.idx < index and (stay.ended_idx is None or stay.ended_idx > index)
        for stay in stays
    )
    # The step that used a batch in doubt rests on it as well.
    return had_wood or any(entry <= index for entry in entries)


def _finding(index: int, what: str, hold: Hold) -> Finding:
    detail = f"{what} was said under hold {hold.hold} of entry {hold.idx}"
    return Finding(index, "held", detail)
