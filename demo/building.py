"""The guitar of the story: begun, built, certified, sold and sent abroad."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from demo import cast, judging, tops
from demo.bench import Bench
from demo.wood import Woods
from ledger import quantities
from ledger.acts import (
    allotting,
    builds,
    certificates,
    models,
    overrides,
    owners,
    shipments,
    signoffs,
)
from ledger.acts.asked import SignOff
from ledger.acts.matching import Assigned
from ledger.errors import RefusedError
from ledger.events.build import PartWeighed, Run
from ledger.events.route import PlannedPart

REASON = "kiln-dried by the sawyer, and steady on our scale for five weeks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """The instrument, and what was refused on the way."""

    serial: str
    next_serial: str
    matched: Assigned
    mishaps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """What left with it."""

    certificate: str
    shipment: str


def build(bench: Bench, woods: Woods) -> Built:
    """Build one guitar, step by step; what goes wrong is refused and told."""
    shop, lead, jakub = bench.shop, bench.hands["01"], bench.hands["03"]
    models.define_model(
        shop,
        name=cast.MODEL,
        instrument=cast.INSTRUMENT,
        parts=[PlannedPart(part=part) for part in cast.PARTS],
        steps=cast.STEPS,
        hands=lead,
    )
    bench.clock.morning_of("2026-07-16")
    serial, other, *others = (
        builds.begin(
            shop,
            model=cast.MODEL,
            run=Run(name="Harbour Lights", number=number, pieces=12),
            hands=lead,
        )
        for number in (3, 4, 5, 6)
    )
    matched = judging.match(bench, woods.tops, (serial, other, *others))
    allot = partial(allotting.allot, shop, hands=jakub)
    for part, code in woods.parts.items():
        allot(serial=serial, part=part, code=code)
    young = _refused(partial(allot, serial=serial, part="binding", code=woods.binding))
    overrides.override(
        shop, code=woods.binding, serial=serial, reason=REASON, hands=lead
    )
    allot(serial=serial, part="binding", code=woods.binding)
    allot(serial=other, part="top", code=woods.following)
    top = woods.parts["top"]
    taken = _refused(partial(allot, serial=other, part="top", code=top))
    bench.clock.morning_of("2026-07-17")
    judging.plane(bench, woods.parts["top"])
    slip = _work(bench, serial)
    bench.clock.morning_of(cast.BEGUN.day)
    _sign(bench, other, cast.BEGUN, cast.BEGUN.badge)
    return Built(
        serial=serial,
        next_serial=other,
        matched=matched,
        mishaps=(young, taken, slip),
    )


def sell(bench: Bench, serial: str) -> Sold:
    """Issue the certificate, register the owner, and plan the way abroad."""
    shop = bench.shop
    bench.clock.morning_of("2026-11-21")
    judging.read_out(bench, "crib-autumn.csv")
    number = certificates.issue(shop, serial=serial, hands=bench.hands["01"])
    owners.register(
        shop,
        serial=serial,
        name=cast.OWNER,
        registered_on="2026-11-21",
        hands=bench.hands["12"],
    )
    journey = shipments.Journey(
        legs=("GB", "FR"), moves_on="2026-11-23", purpose="sale"
    )
    planned = shipments.plan(
        shop, serials=[serial], boards=[], journey=journey, hands=bench.hands["09"]
    )
    return Sold(certificate=number, shipment=str(planned.number))


def _work(bench: Bench, serial: str) -> str:
    """Sign every step; an apprentice who signs one alone is refused."""
    told = ""
    for work in cast.WORK:
        bench.clock.morning_of(work.day)
        if work.step == "fretted":
            told = _refused(partial(_sign, bench, serial, work, "08"))
        _sign(bench, serial, work, work.badge)
        if work.step in tops.VOICES and work.meaning == "did":
            judging.voice(bench, serial, tops.VOICES[work.step], work.badge)
    return told


def _sign(bench: Bench, serial: str, work: cast.Work, badge: str) -> None:
    said = SignOff(
        serial=serial,
        step=work.step,
        meaning=work.meaning,
        measures=work.measured,
        weighed=tuple(
            PartWeighed(part=part, mass_mg=quantities.mass_mg(mass))
            for part, mass in work.weighed
        ),
    )
    signoffs.sign(bench.shop, said, bench.hands[badge])


def _refused(act: Callable[[], object]) -> str:
    """Let something go wrong, and return what was said."""
    try:
        act()
    except RefusedError as refusal:
        return str(refusal)
    raise RefusedError("the story went on where it should have been stopped")
