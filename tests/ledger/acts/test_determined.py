"""What a shipment was found to need, as its entry says it, and what changed since."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import shipments
from ledger.acts.determined import all_determined, changes
from ledger.acts.freight import Goods
from ledger.acts.shipments import Journey
from ledger.events import ShipmentPlanned, codec
from ledger.events.shipment import Determined, NeededPaper, Share
from ledger.log.entry import parse_record
from ledger.quantities import grams
from ledger.trade.shipment import added
from ledger.views.shipments import Shipment
from tests.skerrymoor import NECK, Loft

ABROAD = Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale")


@pytest.fixture
def mixed(certified: Loft) -> shipments.Plan:
    """Boards of rosewood from two lots and one of spruce, sold across the sea."""
    first, second = (
        certified.receive(species="Dalbergia latifolia", harvested_in="IN", boards=1)
        for _ in range(2)
    )
    spruce = certified.receive(boards=1)
    boards = [certified.number(lot, NECK)[0] for lot in (first, second, spruce)]
    return shipments.plan(
        certified.shop,
        goods=Goods(boards=tuple(boards)),
        journey=ABROAD,
        hands=certified.hands("12"),
    )


def event_of(loft: Loft) -> ShipmentPlanned:
    """Return what the entry of the first shipment says."""
    with loft.shop.store.reading() as session:
        index = session.get_one(Shipment, "X26-0001").idx
    event = codec.parse(parse_record(loft.shop.store.record(index)).entry.event)
    assert isinstance(event, ShipmentPlanned)
    return event


def test_every_gram_leads_to_a_lot(certified: Loft, mixed: shipments.Plan) -> None:
    """One species of two lots is one answer, with what each of them gave."""
    said = {one.species: one for one in event_of(certified).determined if one.species}
    rosewood = said["Dalbergia latifolia"]

    assert rosewood.answer == "needed" and rosewood.law == "CITES"
    assert [share.mass_mg for share in rosewood.shares] == [NECK.masses_mg[0]] * 2
    assert len({share.lot for share in rosewood.shares}) == 2
    assert {share.origin for share in rosewood.shares} == {"IN"}
    assert {share.acquired for share in rosewood.shares} == {"2026-01-05"}
    for one in said.values():
        assert added(share.mass_mg for share in one.shares) == one.mass_mg


def test_other_laws_are_recorded_with_the_wood_they_mean(
    certified: Loft, mixed: shipments.Plan
) -> None:
    """They are of no one species; the protected plant permit is for the rosewood."""
    said = event_of(certified).determined
    beside = {one.rule: one for one in said if one.species is None}
    lots = {one.species: one.shares for one in said if one.species is not None}

    assert {one.law for one in beside.values()} == {"US"}
    assert beside["us-ports"].shares == lots["Dalbergia latifolia"]
    assert len(beside["lacey-wood"].shares) == 3
    for one in beside.values():
        assert (one.form, one.mass_mg) == (None, None)
    assert beside["us-ports"].documents == (
        NeededPaper(name="protected plant permit", from_="USDA-APHIS"),
    )


def test_what_has_no_row_says_none(certified: Loft) -> None:
    """The member is left out; no word stands for it."""
    lot = certified.receive(form="half carved", boards=1)
    made = shipments.foresee(
        certified.shop,
        goods=Goods(boards=tuple(certified.number(lot, NECK))),
        journey=ABROAD,
    )
    said = all_determined(made.found)[0]

    assert (said.answer, said.row) == ("ask", None)


def test_nothing_changed_as_long_as_nothing_changed(
    certified: Loft, mixed: shipments.Plan
) -> None:
    """The same tables give the same answers."""
    assert tuple(changes(event_of(certified), mixed.found, mixed.law)) == ()


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            {"answer": "not needed", "documents": ()},
            "Dalbergia latifolia, sawn wood of L26-003, L26-004: not needed then, "
            "needed now",
        ),
        ({"documents": ()}, "other documents needed now: re-export certificate"),
        (
            {"shares": (Share(lot="L26-009", mass_mg=7000),), "mass_mg": 7000},
            "Dalbergia latifolia, sawn wood of L26-009: no longer in it",
        ),
        (
            {"form": "veneer_sheets"},
            "veneer sheets of L26-003, L26-004: no longer in it",
        ),
        (
            {"species": "Dalbergia nigra"},
            "Dalbergia nigra, sawn wood of L26-003, L26-004: no longer in it",
        ),
    ],
)
def test_what_is_answered_otherwise_since_is_told(
    certified: Loft, mixed: shipments.Plan, told: dict[str, Any], words: str
) -> None:
    """Answer, documents and grams, each beside what stood in the entry."""
    then = event_of(certified)
    older = tuple(
        replace(one, **told) if one.species == "Dalbergia latifolia" else one
        for one in then.determined
    )
    told_now = list(changes(replace(then, determined=older), mixed.found, mixed.law))

    assert any(words in change for change in told_now)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"mass_mg": 7000}, f"{grams(7000)} then, {grams(NECK.masses_mg[0])} now"),
        ({"origin": None}, "of no known origin then, from IN now"),
        ({"origin": "LK"}, "from LK then, from IN now"),
        ({"acquired": None}, "of no proven day then, acquired 2026-01-05 now"),
    ],
)
def test_what_is_told_otherwise_of_a_lot_is_told_of_that_lot(
    certified: Loft, mixed: shipments.Plan, told: dict[str, Any], words: str
) -> None:
    """Mass, origin and day, though the answer is the same; of the other lot nothing."""
    then = event_of(certified)
    (rosewood,) = (o for o in then.determined if o.species == "Dalbergia latifolia")
    first, second = rosewood.shares
    lots = (replace(first, **told), second)
    total_mg = added(share.mass_mg for share in lots)
    older = replace(rosewood, shares=lots, mass_mg=total_mg)
    determined = tuple(older if one is rosewood else one for one in then.determined)

    assert list(
        changes(replace(then, determined=determined), mixed.found, mixed.law)
    ) == [f"Dalbergia latifolia, sawn wood of {first.lot}: {words}"]


def test_an_unknown_origin_is_never_said_as_known(certified: Loft) -> None:
    """Of two lots of a species one says where it grew; the other says nothing."""
    told = {"species": "Dalbergia latifolia", "boards": 1}
    lots = [certified.receive(**told, harvested_in=origin) for origin in ("IN", None)]
    boards = [certified.number(lot, NECK)[0] for lot in lots]
    made = shipments.foresee(
        certified.shop, goods=Goods(boards=tuple(boards)), journey=ABROAD
    )
    said = [one for one in all_determined(made.found) if one.species]
    origins = {share.lot: share.origin for one in said for share in one.shares}

    assert origins == {str(lots[0]): "IN", str(lots[1]): None}


def test_old_and_new_wood_are_answered_apart(certified: Loft) -> None:
    """Each with its own lot and day; of what nothing proves, no day is said."""
    told = {"species": "Dalbergia latifolia", "harvested_in": "IN", "boards": 1}
    old = {"received_on": "2010-08-07", "is_opening": True, "supplier": None}
    lots = [
        certified.receive(**told, **old, evidence="invoice"),
        certified.receive(**told),
        certified.receive(**told, **old, evidence="none", documents=()),
    ]
    boards = [certified.number(lot, NECK)[0] for lot in lots]
    made = shipments.foresee(
        certified.shop, goods=Goods(boards=tuple(boards)), journey=ABROAD
    )
    said = {
        share.lot: (share.acquired, next(paper.name for paper in one.documents))
        for one in all_determined(made.found)
        if one.species
        for share in one.shares
    }
    whys = {line.lots[0].lot: line.why for line in made.found.lines}

    assert len(made.found.lines) == 3
    assert said == {
        str(lots[0]): ("2010-08-07", "pre-Convention certificate"),
        str(lots[1]): ("2026-01-05", "re-export certificate"),
        str(lots[2]): (None, "re-export certificate"),
    }
    assert "acquired before the first listing of" in whys[str(lots[0])]
    assert "acquired not before the first listing of" in whys[str(lots[1])]
    assert "acquired" not in whys[str(lots[2])]


def test_another_law_that_answers_otherwise_is_told(
    certified: Loft, mixed: shipments.Plan
) -> None:
    """By its rule, whether it came or went."""
    then = event_of(certified)
    mine = tuple(one for one in then.determined if one.rule != "us-ports")
    gone = replace(then, determined=(*then.determined, strange()))
    came = replace(then, determined=mine)

    assert list(changes(gone, mixed.found, mixed.law)) == [
        "EU, eudr: ask then, and no longer"
    ]
    assert list(changes(came, mixed.found, mixed.law)) == [
        "US, us-ports: needed now, and not then"
    ]


def strange() -> Determined:
    """Return what a law says that has nothing to do with the way over the sea."""
    return Determined(
        law="EU",
        answer="ask",
        rule="eudr",
        documents=(),
        shares=(Share(lot="L26-001", mass_mg=7000),),
        evidence=(),
        table_date="2026-11-24",
    )


def test_other_tables_are_told_though_they_answer_the_same(
    certified: Loft, mixed: shipments.Plan
) -> None:
    """In one sentence, and only then."""
    then = replace(event_of(certified), tables_sha256="00" * 32)

    assert list(changes(then, mixed.found, mixed.law)) == [
        "the tables are of another edition than when it was planned"
    ]
