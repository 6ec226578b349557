"""The instruments of the story: begun, given their wood, built, certified, sold."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from demo import archtop, cast, flattop, judging, oldstock, road, shelf, solidbody
from demo.bench import Bench, refused
from demo.road import Going
from demo.wood import Woods
from ledger.acts import (
    allotting,
    builds,
    certificates,
    harvests,
    models,
    orders,
    overrides,
    owners,
    shipments,
)
from ledger.acts.freight import Goods
from ledger.acts.matching import Assigned
from ledger.acts.orders import Terms
from ledger.craft.families import family_text
from ledger.craft.modeltext import read_model
from ledger.events.build import Run

RUN = "Harbour Lights"
REASON = "kiln-dried by the sawyer, and steady on our scale for five weeks"
ORDERED = Terms(
    due="2026-11-30",
    destination="FR",
    promised=(
        ("top", "mountain spruce"),
        ("back", "East Indian rosewood"),
        ("sides", "East Indian rosewood"),
        ("width at the nut", "43 mm"),
        ("action, 6th string, settled", "2.4 mm"),
        ("relief, settled", "0.2 mm"),
    ),
)
FOR_STOCK = {
    cast.NIGHTFERRY.name: Terms(
        due="2026-11-30",
        promised=(("tailpiece", "ebony"), ("action, 6th string, settled", "1.8 mm")),
    ),
    cast.SLIPWAY.name: Terms(
        due="2026-10-30", promised=(("cap", "walnut"), ("mass", "3600 g"))
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """The instruments, and what went wrong on the way of each."""

    serial: str
    next_serial: str
    arch_top: str
    solid_body: str
    matched: Assigned
    shelf: shelf.Shelf
    at_the_rack: tuple[str, ...]
    on_the_way: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """The certificates by serial, and what left with the one that was sold."""

    certificates: Mapping[str, str]
    shipment: str


def build(bench: Bench, woods: Woods) -> Built:
    """Build three instruments, step by step; what goes wrong is refused and told."""
    bench.clock.morning_of("2026-07-16")
    stocked = shelf.fill(bench)
    for model in cast.MODELS:
        _define(bench, model)
    serial, other, *others = _begin_run(bench)
    arch_top, solid_body = (_begin_one(bench, model) for model in cast.MODELS[1:])
    matched = judging.match(bench, woods.tops, (serial, other, *others))
    told = _allot_flat_top(bench, woods, serial, other)
    _allot(bench, arch_top, woods.arch_top, "11")
    _allot(bench, solid_body, woods.solid_body, "03")
    parts = {
        serial: woods.flat_top,
        other: {"top": woods.following},
        arch_top: woods.arch_top,
        solid_body: woods.solid_body,
    }
    going = {
        each: Going(serial=each, shelf=stocked, parts=wood, spare=woods.spare)
        for each, wood in parts.items()
    }
    on_the_way = road.walk(
        bench,
        [
            (flattop.ROAD, going[serial]),
            (archtop.ROAD, going[arch_top]),
            (solidbody.ROAD, going[solid_body]),
        ],
    )
    bench.clock.morning_of(flattop.BEGUN.day)
    road.sign(bench, going[other], flattop.BEGUN)
    return Built(
        serial=serial,
        next_serial=other,
        arch_top=arch_top,
        solid_body=solid_body,
        matched=matched,
        shelf=stocked,
        at_the_rack=told,
        on_the_way=on_the_way,
    )


def sell(bench: Bench, built: Built) -> Sold:
    """Issue the certificates, register the owner of one, and plan its way abroad."""
    shop = bench.shop
    bench.clock.morning_of("2026-11-21")
    judging.read_out(bench, "crib-autumn.csv")
    told = harvests.Named(
        code=oldstock.OLD_PIER.code,
        countries=oldstock.OLD_PIER_COUNTRIES,
        why=oldstock.OLD_PIER_TOLD,
    )
    harvests.name_harvest(shop, told, bench.hands["01"])
    numbers = {
        serial: certificates.issue(shop, serial=serial, hands=bench.hands["01"])
        for serial in (built.serial, built.arch_top, built.solid_body)
    }
    owners.register(
        shop,
        serial=built.serial,
        name=cast.OWNER,
        registered_on="2026-11-21",
        hands=bench.hands["12"],
    )
    journey = shipments.Journey(
        legs=("GB", "FR"), moves_on="2026-11-23", purpose="sale"
    )
    planned = shipments.plan(
        shop,
        goods=Goods(serials=(built.serial,)),
        journey=journey,
        hands=bench.hands["09"],
    )
    return Sold(certificates=numbers, shipment=str(planned.number))


def _define(bench: Bench, model: cast.Model) -> None:
    """Set down a model: its family's road, under the shop's own name."""
    plan = models.planned(read_model(family_text(model.family)))
    plan["instrument"] = model.instrument
    models.define_model(bench.shop, name=model.name, hands=bench.hands["01"], **plan)


def _begin_run(bench: Bench) -> list[str]:
    """Begin four of the run, of which the first is ordered already."""
    lead = bench.hands["01"]
    runs = [Run(name=RUN, number=number, pieces=12) for number in (3, 4, 5, 6)]
    first = orders.begin(
        bench.shop,
        model=cast.TIDEWARDEN.name,
        run=runs[0],
        order="O-26-031",
        terms=ORDERED,
        hands=lead,
    )
    name = cast.TIDEWARDEN.name
    return [
        first,
        *(
            builds.begin(bench.shop, model=name, run=run, hands=lead)
            for run in runs[1:]
        ),
    ]


def _begin_one(bench: Bench, model: cast.Model) -> str:
    """Begin an instrument for the shop's own stock."""
    return orders.begin(
        bench.shop,
        model=model.name,
        run=None,
        order=None,
        terms=FOR_STOCK[model.name],
        hands=bench.hands["01"],
    )


def _allot_flat_top(
    bench: Bench, woods: Woods, serial: str, other: str
) -> tuple[str, ...]:
    """Allot the flat-top's wood; young wood and a wrong scan are refused first."""
    jakub = bench.hands["03"]
    _allot(bench, serial, woods.flat_top, "03")
    allot = partial(allotting.allot, bench.shop, hands=jakub)
    bind = partial(allot, serial=serial, part="binding", code=woods.binding)
    young = refused(bind)
    overrides.override(
        bench.shop,
        code=woods.binding,
        serial=serial,
        reason=REASON,
        hands=bench.hands["01"],
    )
    bind()
    allot(serial=other, part="top", code=woods.following)
    top = woods.flat_top["top"]
    taken = refused(partial(allot, serial=other, part="top", code=top))
    return (young, taken)


def _allot(bench: Bench, serial: str, parts: Mapping[str, str], badge: str) -> None:
    for part, code in parts.items():
        allotting.allot(
            bench.shop, serial=serial, part=part, code=code, hands=bench.hands[badge]
        )
