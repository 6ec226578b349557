"""What a certificate says of an instrument's life: parts, service, trips, numbers.

Whither it went, and why something was done, stays with the shop.
"""

from collections.abc import Iterator
from itertools import takewhile

from sqlmodel import Session

from labels.certificate import Remark
from labels.terms import in_a_row
from labels.tongue import Tongue
from ledger.acts.closing import part_at
from ledger.acts.voiding import misstamps_to
from ledger.events import CertificateIssued
from ledger.views.boards import set_of
from ledger.views.certificates import certificates_of
from ledger.views.orders import concessions_of
from ledger.views.said import entry_said
from ledger.views.service import removed_parts, services_of, trips_of


def life_remarks(
    session: Session, event: CertificateIssued, as_of: int, say: Tongue
) -> Iterator[Remark]:
    """Return what happened to an instrument up to a certificate, in no order."""
    yield from _replaced(session, event, say)
    for told in (_renewed, _serviced, _conceded, _travelled, _misstamped):
        for remark in told(session, event.serial, as_of, say):
            if remark.entry <= as_of:
                yield remark


def _replaced(
    session: Session, event: CertificateIssued, say: Tongue
) -> Iterator[Remark]:
    """Say which certificate this one takes the place of."""
    rows = certificates_of(session, event.serial)
    before = list(takewhile(lambda row: row.number != event.number, rows))
    if before:
        old = before[-1]
        text = say("replaces {number}, which stays true as of {day}").format(
            number=old.number, day=old.issued_on
        )
        yield Remark(old.issued_on, old.idx, text)


def _renewed(
    session: Session, serial: str, as_of: int, say: Tongue
) -> Iterator[Remark]:
    """Say which part is of other wood since, or off, and what became of the old."""
    off: dict[tuple[int, str, str], list[str]] = {}
    for row in removed_parts(session, serial):
        code = set_of(row.board)
        codes = off.setdefault((row.idx, row.part, row.fate), [])
        if code not in codes:
            codes.append(code)
    for (index, part, fate), codes in off.items():
        day = _day(session, index)
        now = part_at(session, serial, part, as_of)
        text = say("{part} taken off {year}: {boards} ({fate})")
        if now:
            text = say(
                "{part} replaced {year}: {boards} taken off ({fate}), {now} in its "
                "place"
            )
        text = text.format(
            part=say(part),
            year=day[:4],
            boards=in_a_row(codes, say),
            fate=say(fate),
            now=now,
        )
        yield Remark(day, index, text)


def _serviced(
    session: Session, serial: str, as_of: int, say: Tongue
) -> Iterator[Remark]:
    for row in services_of(session, serial, as_of):
        text = (
            say("service for {fault}: {work}") if row.fault else say("service: {work}")
        )
        text = text.format(fault=row.fault, work=row.work)
        if row.by_others:
            text = say("{text}, by others").format(text=text)
        yield Remark(row.day, row.idx, text)


def _conceded(
    session: Session, serial: str, as_of: int, say: Tongue
) -> Iterator[Remark]:
    """Say what was let pass; whether it was left as it was is not on record."""
    for row in concessions_of(session, serial, as_of):
        text = say("{step}: {what}, let pass by a lead").format(
            step=say(row.step), what=say(row.what)
        )
        yield Remark(_day(session, row.idx), row.idx, text)


def _travelled(
    session: Session, serial: str, as_of: int, say: Tongue
) -> Iterator[Remark]:
    """Tell of trips that led home; a sale is none of them."""
    for trip in trips_of(session, serial, as_of):
        if trip.returned_idx is not None and trip.returned_idx <= as_of:
            text = say("out for a {errand}, home {day}").format(
                errand=say(trip.errand), day=trip.returned_on
            )
            yield Remark(trip.sent_on, trip.idx, text)


def _misstamped(
    session: Session, serial: str, as_of: int, say: Tongue
) -> Iterator[Remark]:
    for row in misstamps_to(session, serial):
        text = say("{serial} was stamped by mistake and is void").format(
            serial=row.stamped
        )
        yield Remark(_day(session, row.idx), row.idx, text)


def _day(session: Session, index: int) -> str:
    """Return the day on which what an entry says happened."""
    return entry_said(session, index).happened_at[:10]
