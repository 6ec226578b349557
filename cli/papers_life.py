"""What a certificate says of an instrument's life: parts, service, trips, numbers.

Whither it went, and why something was done, stays with the shop.
"""

from collections.abc import Iterator

from sqlmodel import Session

from labels.certificate import Remark
from ledger.acts.closing import part_at
from ledger.acts.shop import Shop
from ledger.acts.voiding import misstamps_to
from ledger.events import CertificateIssued
from ledger.scales import in_a_row
from ledger.views.boards import set_of
from ledger.views.certificates import certificates_of
from ledger.views.orders import concessions_of
from ledger.views.said import entry_said
from ledger.views.service import removed_parts, services_of, trips_of


def life_remarks(
    shop: Shop, session: Session, event: CertificateIssued, as_of: int
) -> Iterator[Remark]:
    """Return what happened to an instrument up to a certificate, in no order."""
    for told in (_replaced, _renewed, _serviced, _conceded, _travelled, _misstamped):
        for remark in told(shop, session, event.serial, as_of):
            if remark.entry <= as_of:
                yield remark


def _replaced(
    shop: Shop, session: Session, serial: str, as_of: int
) -> Iterator[Remark]:
    """Say which certificate this one takes the place of."""
    before = [row for row in certificates_of(session, serial) if row.idx < as_of]
    if before:
        old = before[-1]
        text = f"replaces {old.number}, which stays true as of {old.issued_on}"
        yield Remark(old.issued_on, old.idx, text)


def _renewed(shop: Shop, session: Session, serial: str, as_of: int) -> Iterator[Remark]:
    """Say which part is of other wood since, and what became of the old."""
    off: dict[tuple[int, str, str], list[str]] = {}
    for row in removed_parts(session, serial):
        code = set_of(row.board)
        codes = off.setdefault((row.idx, row.part, row.fate), [])
        if code not in codes:
            codes.append(code)
    for (index, part, fate), codes in off.items():
        day = _day(session, index)
        now = part_at(session, serial, part, as_of)
        text = f"{part} replaced {day[:4]}: {in_a_row(codes)} taken off ({fate})"
        yield Remark(day, index, f"{text}, {now} in its place" if now else text)


def _serviced(
    shop: Shop, session: Session, serial: str, as_of: int
) -> Iterator[Remark]:
    for row in services_of(session, serial):
        by = ", by others" if row.by_others else ""
        fault = f" for {row.fault}" if row.fault else ""
        yield Remark(row.day, row.idx, f"service{fault}: {row.work}{by}")


def _conceded(
    shop: Shop, session: Session, serial: str, as_of: int
) -> Iterator[Remark]:
    for row in concessions_of(session, serial):
        text = f"{row.step}: goes on with its {row.what} as it is"
        yield Remark(_day(session, row.idx), row.idx, text)


def _travelled(
    shop: Shop, session: Session, serial: str, as_of: int
) -> Iterator[Remark]:
    """Tell of trips that led home; a sale is none of them."""
    for trip in trips_of(session, serial):
        if trip.returned_idx is not None and trip.returned_idx <= as_of:
            text = f"out for a {trip.errand}, home {trip.returned_on}"
            yield Remark(trip.sent_on, trip.idx, text)


def _misstamped(
    shop: Shop, session: Session, serial: str, as_of: int
) -> Iterator[Remark]:
    for row in misstamps_to(session, serial):
        text = f"{row.stamped} was stamped by mistake and is void"
        yield Remark(_day(session, row.idx), row.idx, text)


def _day(session: Session, index: int) -> str:
    """Return the day on which what an entry says happened."""
    return entry_said(session, index).happened_at[:10]
