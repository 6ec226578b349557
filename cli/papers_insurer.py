"""The facts of the record brought to a statement for an insurer, as of today."""

from collections.abc import Iterator

from sqlmodel import Session, col, select

from cli.papers_remarks import remarks_of
from labels.facts import OwnerCertificate, Remark
from labels.insurer_facts import Counts, InsurerStatement, Photograph, Weighed
from labels.tongue import Tongue, tongue
from ledger.acts.certificates import whole_grams
from ledger.acts.completing import MASS
from ledger.acts.service import services_said
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.events import CertificateIssued, PartRemoved, codec
from ledger.views.builds import StepPhotograph
from ledger.views.certificates import certificates_after, owners_of
from ledger.views.doubt import doubts_in
from ledger.views.orders import concessions_of
from ledger.views.said import entry_said
from ledger.views.service import removed_parts, services_of, trip_out, trips_of


def require_newest(shop: Shop, shown: OwnerCertificate) -> None:
    """Refuse a certificate whose instrument may be no more as it says."""
    with shop.store.reading() as session:
        newer = certificates_after(session, shown.serial, shown.entry)
    if newer:
        raise RefusedError(
            f"{shown.number} is superseded by {newer[-1].number}, and a statement is "
            f"of today: draw it of {newer[-1].number}"
        )


def insurer_statement(
    shop: Shop, shown: OwnerCertificate, event: CertificateIssued
) -> InsurerStatement:
    """Return what a statement shows: the certificate's facts, and all that is since."""
    as_of, serial = shop.store.head().size - 1, event.serial
    say = tongue(shown.language)
    with shop.store.reading() as session:
        told = remarks_of(session, event, as_of, say)
        later = [row for row in told if row.entry > shown.entry]
        return InsurerStatement(
            certificate=shown,
            weighed=_weighed(shop, session, shown, event),
            counts=_counts(session, serial),
            since=(*later, *_doubts(session, serial, say), *_out(session, serial, say)),
            photographs=_photographs(shop, session, serial),
            day=shop.today(),
            as_of_entry=as_of,
        )


def _doubts(session: Session, serial: str, say: Tongue) -> Iterator[Remark]:
    """Yield each open doubt in an instrument; why, the shop tells."""
    for hold, _ in doubts_in(session, serial=serial):
        text = say("in doubt today: ask the maker before you rely on this page")
        yield Remark(hold.at[:10], hold.idx, text)


def _out(session: Session, serial: str, say: Tongue) -> Iterator[Remark]:
    """Yield the trip that an instrument is on today; one that was sold is on none."""
    trip = trip_out(session, serial)
    if trip is not None and trip.errand != "sale":
        text = say("out of the shop today, for a {errand}")
        yield Remark(trip.sent_on, trip.idx, text.format(errand=say(trip.errand)))


def _weighed(
    shop: Shop, session: Session, shown: OwnerCertificate, event: CertificateIssued
) -> Weighed:
    """Return what it weighed last: with the certificate, or at a service since."""
    newest = Weighed(whole_grams(event.mass_mg), event.issued_on, shown.entry)
    for entry, done in services_said(shop, session, event.serial):
        for measure in done.measures if entry > shown.entry else ():
            if measure.what == MASS and measure.mass_mg is not None:
                newest = Weighed(whole_grams(measure.mass_mg), done.on, entry)
    return newest


def _counts(session: Session, serial: str) -> Counts:
    """Count what changes an instrument, each part that came off once a time."""
    parts = {(row.idx, row.part) for row in removed_parts(session, serial)}
    trips = [trip for trip in trips_of(session, serial) if trip.errand != "sale"]
    return Counts(
        services=len(services_of(session, serial)),
        parts=len(parts),
        concessions=len(concessions_of(session, serial)),
        trips=len(trips),
        owners=len(owners_of(session, serial)),
    )


def _photographs(shop: Shop, session: Session, serial: str) -> tuple[Photograph, ...]:
    """Return the photographs of an instrument, each once, the newest first."""
    query = select(StepPhotograph).where(
        col(StepPhotograph.serial) == serial, col(StepPhotograph.struck_idx).is_(None)
    )
    named = [(row.idx, row.digest) for row in session.exec(query)]
    for entry, done in services_said(shop, session, serial):
        named += [(entry, digest) for digest in done.photographs]
    for entry in {row.idx for row in removed_parts(session, serial)}:
        event = codec.parse(entry_said(session, entry).event)
        seen = event.photographs if isinstance(event, PartRemoved) else ()
        named += [(entry, digest) for digest in seen]
    first: dict[str, int] = {}
    for entry, digest in sorted(named):
        first.setdefault(digest, entry)
    newest = sorted(first.items(), key=lambda row: (-row[1], row[0]))
    return tuple(
        Photograph(entry_said(session, entry).happened_at[:10], entry, digest)
        for digest, entry in newest
    )
