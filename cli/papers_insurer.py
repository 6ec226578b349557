"""The facts of the record brought to a statement for an insurer, as of today."""

from collections.abc import Iterator, Sequence

from sqlmodel import Session, select

from cli.papers_disputed import remarks as dispute_remarks
from cli.papers_letterhead import letterhead_of
from cli.papers_remarks import remarks_of
from labels.facts import OwnerCertificate, Remark
from labels.insurer_facts import Counts, Gone, InsurerStatement, Photograph, Weighed
from labels.tongue import Tongue, tongue
from ledger.acts.certificates import whole_grams
from ledger.acts.closing import part_at
from ledger.acts.completing import MASS
from ledger.acts.disputes import disputed_behind
from ledger.acts.photographs import pictures_at, showable
from ledger.acts.service import services_said
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.events import CertificateIssued
from ledger.log import attachments
from ledger.views.certificates import certificates_after, owners_of
from ledger.views.corrections import Correction
from ledger.views.doubt import doubts_in
from ledger.views.orders import concessions_of
from ledger.views.ownership import open_reports
from ledger.views.said import entry_said
from ledger.views.service import (
    RemovedPart,
    removed_parts,
    services_of,
    trip_out,
    trips_of,
)

# What changed nothing when it was struck.
READINGS = ("board.measured", "board.weighed", "board.tapped")


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
    """Return what a statement shows: the certificate's facts, and all of today."""
    as_of, serial = shop.store.head().size - 1, event.serial
    say = tongue(shown.language)
    with shop.store.reading() as session:
        off = _off(session, serial, as_of)
        told = remarks_of(session, event, as_of, say)
        standing, own = shop.standing(), shown.entry
        disputed = disputed_behind(session, standing, serial, as_of, own)
        photographs = _photographs(session, serial, as_of)
        kept = set(attachments.digests(shop.attachments))
        shows = tuple(each for each in photographs if each.digest in kept)
        return InsurerStatement(
            certificate=shown,
            weighed=_weighed(shop, session, shown, event),
            counts=_counts(session, serial, off),
            today=(
                *_reports(session, serial, say),
                *_doubts(session, serial, say),
                *dispute_remarks(session, disputed, own, say),
                *(row for row in told if row.entry in off),
                *_out(session, serial, say),
            ),
            told=_by_weight(session, serial, [r for r in told if r.entry not in off]),
            gone=_gone(session, serial, shown.entry, off),
            photographs=shows,
            lost=len(photographs) - len(shows),
            day=shop.today(),
            as_of_entry=as_of,
            reach=letterhead_of(shop).reach,
        )


def _newest_off(session: Session, serial: str) -> dict[str, RemovedPart]:
    """Return of each part that ever came off when it did so last."""
    return {row.part: row for row in removed_parts(session, serial)}


def _off(session: Session, serial: str, as_of: int) -> set[int]:
    """Return the entries by which parts came off that nothing took the place of."""
    newest = _newest_off(session, serial).values()
    return {
        row.idx for row in newest if part_at(session, serial, row.part, as_of) is None
    }


def _gone(session: Session, serial: str, since: int, off: set[int]) -> tuple[Gone, ...]:
    """Return which of a certificate's parts are no more what it says of them."""
    return tuple(
        Gone(part, entry_said(session, row.idx).happened_at[:10], row.idx not in off)
        for part, row in _newest_off(session, serial).items()
        if row.idx > since
    )


def _by_weight(
    session: Session, serial: str, told: Sequence[Remark]
) -> tuple[Remark, ...]:
    """Return remarks, the newest first: what changed it, the rest, struck readings."""
    changes = {row.idx for row in concessions_of(session, serial)}
    changes |= {row.idx for row in removed_parts(session, serial)}
    struck = {
        row.idx
        for row in session.exec(select(Correction))
        if entry_said(session, row.struck).kind.partition("/")[0] in READINGS
    }
    newest = sorted(told, reverse=True)
    return tuple(
        sorted(newest, key=lambda row: (row.entry in struck, row.entry not in changes))
    )


def _reports(session: Session, serial: str, say: Tongue) -> Iterator[Remark]:
    """Yield each report that stands; whose word it is stays in the shop."""
    for row in open_reports(session, serial):
        text = say("reported: contact the maker before you buy or hand it over")
        yield Remark(row.entered_on, row.idx, text)


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


def _counts(session: Session, serial: str, off: set[int]) -> Counts:
    """Count what changes an instrument, each part that came off once a time."""
    parts = {row.idx for row in removed_parts(session, serial)}
    trips = [trip for trip in trips_of(session, serial) if trip.errand != "sale"]
    return Counts(
        services=len(services_of(session, serial)),
        parts=len(parts - off),
        off=len(off),
        concessions=len(concessions_of(session, serial)),
        trips=len(trips),
        owners=len(owners_of(session, serial)),
    )


def _photographs(session: Session, serial: str, as_of: int) -> tuple[Photograph, ...]:
    """Return the photographs of an instrument, each once, the newest first.

    They are those of which a certificate names some, as far as they may be shown.
    """
    pictures = showable(session, pictures_at(session, serial, as_of))
    newest = sorted(pictures, key=lambda each: (-each.entry, each.digest))
    return tuple(
        Photograph(
            entry_said(session, each.entry).happened_at[:10], each.entry, each.digest
        )
        for each in newest
    )
