"""The facts of the record brought to an owner's booklet, as of its certificate."""

import json
from collections.abc import Iterable, Iterator

from sqlmodel import Session, col, select

from cli.papers import value_and_unit, year_made
from labels.booklet_facts import Air, Moves, NotWood, OwnerBooklet, Room
from labels.facts import Measure, OwnerCertificate
from labels.tongue import Tongue, term, tongue
from ledger import quantities
from ledger.acts.builds import find_build
from ledger.acts.roads import route_of
from ledger.acts.shop import Shop
from ledger.craft.policy import HOUSE_FORMAT, house_policy
from ledger.craft.route import behind
from ledger.events import CertificateIssued
from ledger.events.build import Measure as Taken
from ledger.events.route import unit_of
from ledger.views.builds import BuildMeasure, SignedStep, StepMaterial
from ledger.views.certificates import certificates_after
from ledger.views.house import AdoptedPolicy
from ledger.views.materials import Material
from ledger.views.measures import stands
from ledger.views.models import plan_of
from ledger.views.readings import newest_air
from ledger.views.service import ServiceMaterial
from ledger.wood.handbook import Printed, printed_of
from ledger.wood.moisture import equilibrium_moisture
from ledger.wood.shrinkage import movement
from ledger.wood.uncertainty import Estimate

WARMTH = 20.0  # deg C
DRY, USUAL, DAMP = 0.30, 0.45, 0.60  # relative humidity
ACROSS = 0.1  # m
MOISTURES = term("Wood Handbook, equation 4-5")
ON_RECORD = 24  # measures; no page shows more
STRINGS = "strings"  # the use of a batch
SETTLED = ", settled"  # behind the name of a measure that is taken once more
AIR = ("humidity_ppm", "temperature_millikelvin")


def owner_booklet(
    shop: Shop, shown: OwnerCertificate, event: CertificateIssued
) -> OwnerBooklet:
    """Return what a booklet shows: only what was on record with the certificate."""
    with shop.store.reading() as session:
        newer = certificates_after(session, event.serial, shown.entry)
        return OwnerBooklet(
            certificate=shown,
            year=year_made(session, event.serial),
            set_up=_set_up(session, event, shown.entry),
            room=_room(session, shown.entry),
            air=_air(session, shown.entry),
            moves=_moves(event, tongue(shown.language)),
            not_wood=_not_wood(session, event.serial, shown.entry),
            superseded_by=newer[-1].number if newer else "",
        )


def _set_up(
    session: Session, event: CertificateIssued, as_of: int
) -> tuple[Measure, ...]:
    """Return what its owner can measure again, the last ones first.

    That is what was measured from the stringing on, or at a service; of the airs only
    the last, in which the others were read, and of what was taken once more when it had
    settled only that. Without a stringing it is everything.
    """
    earlier = _before_strings(session, event, as_of)
    newest = [m for m in _as_it_left(reversed(event.measures)) if m.what not in earlier]
    airs = [m for m in newest if unit_of(m) in AIR]
    chosen = [m for m in newest if m not in airs[1:]]
    return tuple(Measure(m.what, *value_and_unit(m)) for m in chosen[:ON_RECORD])


def _as_it_left(newest: Iterable[Taken]) -> Iterator[Taken]:
    """Return measures, the last first, without those that had not settled yet."""
    settled: set[str] = set()
    for measure in newest:
        if measure.what not in settled:
            yield measure
        if measure.what.endswith(SETTLED):
            settled.add(measure.what.removesuffix(SETTLED))


def _before_strings(session: Session, event: CertificateIssued, as_of: int) -> set[str]:
    """Return what was measured last at a step before the strings were on."""
    build = find_build(session, event.serial)
    steps = route_of(plan_of(session, build.model, build.version))
    strung = [step.name for step in steps if STRINGS in step.materials]
    if not strung:
        return set()
    late = set(strung).union(*(behind(steps, name) for name in strung))
    query = (
        select(BuildMeasure.what, SignedStep.step)
        .join(SignedStep, col(SignedStep.idx) == col(BuildMeasure.idx))
        .where(col(BuildMeasure.serial) == event.serial, stands(BuildMeasure, as_of))
        .order_by(col(BuildMeasure.idx), col(BuildMeasure.position))
    )
    newest = dict(session.exec(query).all())
    return {what for what, step in newest.items() if step not in late}


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
    row = newest_air(session, at=as_of)
    if row is None:
        return None
    return Air(
        room=row.room,
        humidity=quantities.humidity(row.humidity_ppm, places=0),
        warmth=quantities.celsius(row.temperature_millikelvin, places=0),
        day=row.day,
        entry=row.idx,
    )


def _not_wood(session: Session, serial: str, as_of: int) -> tuple[NotWood, ...]:
    """Return the shell and bone that had gone in, each species once a use."""
    gone_in: list[str] = []
    for view in (StepMaterial, ServiceMaterial):
        query = select(view.batch).where(
            col(view.serial) == serial, stands(view, as_of)
        )
        gone_in += session.exec(query).all()
    of_species = select(Material).where(
        col(Material.batch).in_(gone_in), col(Material.species).is_not(None)
    )
    rows = session.exec(of_species.order_by(col(Material.batch)))
    found = (NotWood(row.species or "", row.use) for row in rows)
    return tuple(dict.fromkeys(found))


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
        source=say("; ").join((say(MOISTURES), _source(printed, say))),
    )


def _source(printed: Printed, say: Tongue) -> str:
    """Return where a shrinkage is printed, and whether anybody looked there."""
    if printed.confidence != "memory":
        return say(printed.source)
    return say("{source}, not re-checked in print").format(source=say(printed.source))


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
