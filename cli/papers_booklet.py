"""The facts of the record brought to an owner's booklet, as of its certificate."""

import json

from sqlmodel import Session, col, select

from cli.papers import value_and_unit
from labels.booklet_facts import Air, Moves, OwnerBooklet, Room
from labels.facts import Measure, OwnerCertificate
from labels.tongue import Tongue, tongue
from ledger import quantities
from ledger.acts.shop import Shop
from ledger.craft.policy import HOUSE_FORMAT, house_policy
from ledger.events import CertificateIssued
from ledger.views.certificates import certificates_after
from ledger.views.house import AdoptedPolicy
from ledger.views.readings import RoomReading
from ledger.wood.handbook import Printed, printed_of
from ledger.wood.moisture import equilibrium_moisture
from ledger.wood.shrinkage import movement
from ledger.wood.uncertainty import Estimate

WARMTH = 20.0  # deg C
DRY, USUAL, DAMP = 0.30, 0.45, 0.60  # relative humidity
ACROSS = 0.1  # m
MOISTURES = "Wood Handbook, equation 4-5"
ON_RECORD = 24  # measures; no page shows more


def owner_booklet(
    shop: Shop, shown: OwnerCertificate, event: CertificateIssued
) -> OwnerBooklet:
    """Return what a booklet shows: only what was on record with the certificate."""
    with shop.store.reading() as session:
        newer = certificates_after(session, event.serial, shown.entry)
        return OwnerBooklet(
            certificate=shown,
            set_up=_set_up(event),
            room=_room(session, shown.entry),
            air=_air(session, shown.entry),
            moves=_moves(event, tongue(shown.language)),
            superseded_by=newer[-1].number if newer else "",
        )


def _set_up(event: CertificateIssued) -> tuple[Measure, ...]:
    """Return the measures, the last ones first: a set-up is the end of the road."""
    newest = reversed(event.measures)
    return tuple(Measure(measure.what, *value_and_unit(measure)) for measure in newest)[
        :ON_RECORD
    ]


def _room(session: Session, as_of: int) -> Room | None:
    """Return the house's limits of then; those that allow any air say nothing."""
    query = select(AdoptedPolicy).where(
        col(AdoptedPolicy.format) == HOUSE_FORMAT, col(AdoptedPolicy.idx) <= as_of
    )
    row = session.exec(query.order_by(col(AdoptedPolicy.idx).desc())).first()
    if row is None:
        return None
    limits = house_policy(json.loads(row.text))
    least, most = limits.least_humidity_ppm, limits.most_humidity_ppm
    if not 0 < least < most:
        return None
    low, _, _ = quantities.percent(least).partition(quantities.THIN_SPACE)
    return Room(low, quantities.percent(most), row.idx)


def _air(session: Session, as_of: int) -> Air | None:
    """Return the air of a room that was read last before the certificate."""
    query = select(RoomReading).where(
        col(RoomReading.struck_idx).is_(None), col(RoomReading.idx) <= as_of
    )
    newest = query.order_by(col(RoomReading.moment).desc(), col(RoomReading.idx).desc())
    row = session.exec(newest.limit(1)).first()
    if row is None:
        return None
    return Air(
        room=row.room,
        humidity=quantities.humidity(row.humidity_ppm, places=0),
        warmth=quantities.celsius(row.temperature_millikelvin, places=0),
        day=row.day,
        entry=row.idx,
    )


def _moves(event: CertificateIssued, say: Tongue) -> Moves | None:
    """Return how the top's wood moves; of another instrument, its heaviest wood's."""
    wood = next((m for m in event.materials if m.part == "top"), None)
    wood = wood or max(event.materials, key=lambda m: m.mass_mg, default=None)
    printed = printed_of(wood.species) if wood else None
    if wood is None or printed is None:
        return None
    dry, usual, damp = (
        equilibrium_moisture(temperature=WARMTH, humidity=air)
        for air in (DRY, USUAL, DAMP)
    )
    return Moves(
        species=wood.species,
        dry=_percent(dry),
        usual=_percent(usual),
        damp=_percent(damp),
        shrinks=_millimetres(printed.radial, usual, dry),
        swells=_millimetres(printed.radial, usual, damp),
        source=f"{MOISTURES}; {_source(printed, say)}",
    )


def _source(printed: Printed, say: Tongue) -> str:
    """Return where a shrinkage is printed, and whether anybody looked there."""
    if printed.confidence != "memory":
        return printed.source
    return say("{source}, from memory").format(source=printed.source)


def _percent(moisture: float) -> str:
    return f"{moisture:.0f}{quantities.THIN_SPACE}%"


def _millimetres(radial: float, before: float, after: float) -> str:
    """Return how much a piece of a handbook's shrinkage changes, to a tenth."""
    moved = movement(
        size=Estimate(value=ACROSS, u=0),
        shrinkage=radial,
        before=Estimate(value=before, u=0),
        after=Estimate(value=after, u=0),
    )
    return f"{abs(moved.change.value) * 1000:.1f}{quantities.THIN_SPACE}mm"
