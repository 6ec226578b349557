"""Shipments: what is in them, what they ask for, and what is recorded of that."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import shipments
from ledger.acts.determined import all_determined
from ledger.acts.freight import Goods
from ledger.acts.heads import sign_head
from ledger.acts.shipments import Journey
from ledger.audit import audit
from ledger.errors import LedgerError
from ledger.events import ShipmentPlanned, codec
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note, sign_note
from ledger.log.entry import parse_record
from ledger.log.keys import SecretKey
from ledger.trade.edition import tables_sha256
from ledger.views.shipments import Shipment, shipments_of
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"
ABROAD = Journey(legs=("GB", "FR"), moves_on="2026-11-23", purpose="sale")


def board_of(loft: Loft, species: str = "Dalbergia latifolia", **facts: Any) -> str:
    """Give one board of a species its code."""
    lot = loft.receive(species=species, harvested_in="IN", boards=1, **facts)
    (code,) = loft.number(lot, NECK)
    return code


def planned(loft: Loft, journey: Journey = ABROAD, **things: Any) -> shipments.Plan:
    """Plan a shipment of the certified instrument, or of other things."""
    goods = Goods(**(things or {"serials": (SERIAL,)}))
    hands = loft.hands("12")
    return shipments.plan(loft.shop, goods=goods, journey=journey, hands=hands)


def printed(loft: Loft, note: str) -> int:
    """Record that the list of the first shipment was drawn under a head."""
    return shipments.paper_printed(
        loft.shop,
        number="X26-0001",
        paper="materials list",
        note=note,
        sha256_hex="5a" * 32,
        hands=loft.hands("12"),
    )


def test_a_shipment_gets_a_number_and_its_answer_is_recorded(certified: Loft) -> None:
    """What the tables said that day stands in the entry, row by row."""
    made = planned(certified)
    with certified.shop.store.reading() as session:
        row = session.get_one(Shipment, "X26-0001")
        event = codec.parse(
            parse_record(certified.shop.store.record(row.idx)).entry.event
        )
        kept = [each.number for each in shipments_of(session, SERIAL)]

    assert (made.number, row.to, kept) == ("X26-0001", "FR", ["X26-0001"])
    assert isinstance(event, ShipmentPlanned)
    assert event.determined == all_determined(made.found)
    assert {said.mass_mg for said in event.determined[:1]} == {801_500}
    assert (event.owner_changes, event.purpose) == (True, "sale")
    assert event.tables_sha256 == tables_sha256()
    assert audit(certified.shop).findings == ()
    assert planned(certified).number == "X26-0002"


def test_looking_ahead_records_nothing(certified: Loft) -> None:
    """And answers as planning would."""
    size = certified.shop.store.head().size
    seen = shipments.foresee(
        certified.shop, goods=Goods(serials=(SERIAL,)), journey=ABROAD
    )

    assert certified.shop.store.head().size == size
    assert seen.number is None
    assert seen.found == planned(certified).found


def test_a_planned_shipment_is_looked_up_again(certified: Loft) -> None:
    """With the journey that was said, whatever the tables say since."""
    made = planned(certified)
    again = shipments.planned(certified.shop, "X26-0001")

    assert (again.journey.legs, again.goods.serials) == (("GB", "FR"), (SERIAL,))
    assert again.found == made.found


def test_a_raw_board_of_a_listed_wood_needs_documents(certified: Loft) -> None:
    """The same wood is left out of the listing once it is a finished instrument."""
    code = board_of(certified)
    made = planned(certified, boards=(code,))

    assert made.found.answer == "needed"
    assert [line.form for line in made.found.lines] == ["sawn_wood"]
    assert made.found.totals.listed_wood_mg == NECK.masses_mg[0]


def test_a_number_of_the_tariff_is_kept_without_its_points(certified: Loft) -> None:
    """As digits, which is how it is looked up again."""
    journey = replace(ABROAD, legs=("GB", "US"), hts_number="9202.90.40")
    planned(certified, journey)
    again = shipments.planned(certified.shop, "X26-0001")

    assert again.journey.hts_number == "92029040"
    assert again.changes == ()
    with pytest.raises(LedgerError, match="is no number of the US tariff"):
        shipments.foresee(
            certified.shop,
            goods=Goods(serials=(SERIAL,)),
            journey=replace(journey, hts_number="9202,90"),
        )


def test_thin_wood_is_veneer_to_the_tariff(certified: Loft) -> None:
    """Up to six millimetres: backs and sides fall under it."""
    lot = certified.receive(species="Swietenia macrophylla", boards=1)
    codes = certified.number(lot)
    made = planned(certified, boards=tuple(codes))

    assert [line.form for line in made.found.lines] == ["veneer_sheets"]


def test_papers_are_counted(certified: Loft) -> None:
    """Each print is an entry with the checkpoint that stands on the paper."""
    planned(certified)
    note = sign_head(certified.shop)
    counts = [printed(certified, note) for _ in range(2)]
    head = parse_checkpoint(parse_note(note))
    event = parse_record(certified.shop.store.record(head.size)).entry.event

    assert counts == [1, 2]
    assert (event["size"], event["root"]) == (head.size, head.root.hex())
    assert audit(certified.shop).findings == ()


def test_a_root_of_another_log_is_found_in_the_audit(certified: Loft) -> None:
    """A paper that went out under a head which was never this log's is told."""
    planned(certified)
    head = parse_checkpoint(parse_note(sign_head(certified.shop)))
    strange = Checkpoint(origin=head.origin, size=head.size, root=bytes(32))
    secret = SecretKey(bytes(range(32)))
    printed(certified, sign_note(strange.text, name=head.origin, secret=secret))
    found = [finding.detail for finding in audit(certified.shop).findings]

    assert found == [f"the paper carries another root of {head.size} entries"]


@pytest.mark.parametrize(
    ("things", "journey", "why"),
    [
        ({"serials": []}, {}, "a shipment holds something"),
        ({"serials": [SERIAL, SERIAL]}, {}, "named twice"),
        ({"serials": ["26-0999-1"]}, {}, "there is no instrument"),
        ({"serials": [], "boards": ["L26-009-01"]}, {}, "there is no board"),
        ({"serials": [], "boards": ["L26-001-01.A"]}, {}, "send the instrument"),
        ({}, {"legs": ("GB",)}, "from one country to another"),
        ({}, {"legs": ("GB", "Atlantis")}, "'Atlantis' is no country"),
        ({}, {"legs": ("GB", "日本")}, "'日本' is no country"),
        ({}, {"purpose": "fun"}, "'fun' is no purpose"),
        ({}, {"moves_on": "2026-13-01"}, "is no day"),
        ({}, {"moves_on": "20261123"}, "is no day"),
        ({}, {"hts_number": "abc"}, "'abc' is no number of the US tariff"),
        ({}, {"hts_number": "92029"}, "4, 6, 8 or 10 digits"),
    ],
)
def test_what_makes_no_shipment_is_refused(
    certified: Loft, things: dict[str, Any], journey: dict[str, Any], why: str
) -> None:
    """In one sentence, and nothing is recorded."""
    size = certified.shop.store.head().size
    told = {"legs": ("GB", "FR"), "moves_on": "2026-11-23", "purpose": "sale"}
    with pytest.raises(LedgerError, match=why):
        planned(certified, Journey(**(told | journey)), **things)

    assert certified.shop.store.head().size == size


def test_an_instrument_without_its_certificate_is_not_sent(certified: Loft) -> None:
    """What is in it is not settled; looking ahead is for that."""
    serial = certified.another()
    with pytest.raises(LedgerError, match="has no certificate yet"):
        planned(certified, serials=(serial,))

    seen = shipments.foresee(
        certified.shop, goods=Goods(serials=(serial,)), journey=ABROAD
    )
    assert seen.found.totals.species == 1


def test_an_instrument_that_nobody_weighed_cannot_be_put_on_paper(
    certified: Loft,
) -> None:
    """A paper needs the mass of each part."""
    serial = certified.begin()
    with pytest.raises(LedgerError, match="top, neck without wood or not weighed"):
        shipments.foresee(
            certified.shop, goods=Goods(serials=(serial,)), journey=ABROAD
        )


def test_only_the_office_plans_a_shipment(certified: Loft) -> None:
    """The signing policy names who keeps the papers."""
    with pytest.raises(LedgerError, match="papers"):
        shipments.plan(
            certified.shop,
            goods=Goods(serials=(SERIAL,)),
            journey=ABROAD,
            hands=certified.hands("03"),
        )


def test_a_shipment_nobody_planned_has_no_papers(certified: Loft) -> None:
    """Neither drawn nor counted."""
    with pytest.raises(LedgerError, match="there is no shipment X26-0001"):
        shipments.planned(certified.shop, "X26-0001")
    with pytest.raises(LedgerError, match="there is no shipment X26-0001"):
        printed(certified, sign_head(certified.shop))


def test_wood_in_a_form_nobody_knows_is_asked_about(certified: Loft) -> None:
    """It is not taken for sawn wood, which one annotation leaves out."""
    codes = [
        board_of(certified, species="Pterocarpus santalinus", form=form)
        for form in ("half carved", "sawn", "billet")
    ]
    answers = [planned(certified, boards=(code,)).found.lines[0] for code in codes]

    assert [(line.form, line.answer) for line in answers] == [
        ("half carved", "ask"),
        ("sawn_wood", "ask"),
        ("logs", "needed"),
    ]
    assert "is no form in the table" in answers[0].why


def test_who_owns_it_afterwards_is_said_before_it_is_planned(certified: Loft) -> None:
    """A purpose that leaves it open; the record holds no guess."""
    journey = replace(ABROAD, purpose="no sale")
    with pytest.raises(LedgerError, match="leaves open whether the owner changes"):
        planned(certified, journey)

    kept = planned(certified, replace(journey, owner_changes=False))
    assert kept.number == "X26-0001"


@pytest.mark.parametrize(
    ("evidence", "paper"),
    [("invoice", "pre-Convention certificate"), ("none", "re-export certificate")],
)
def test_old_stock_that_nobody_can_prove_is_not_pre_convention(
    certified: Loft, evidence: str, paper: str
) -> None:
    """The day it is said to have come in counts only where something shows it."""
    code = board_of(
        certified,
        received_on="2015-04-01",
        is_opening=True,
        evidence=evidence,
        supplier=None,
        documents=(),
    )
    (line,) = planned(certified, boards=(code,)).found.lines

    assert line.documents[0].name == paper


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2026-01-04", "2026-01-04 is over, and today is 2026-01-05"),
        ("2016-12-01", "2016-12-01 is over"),
        ("3020-01-01", "more than 3 years off"),
    ],
)
def test_nothing_is_planned_for_a_day_of_another_law(
    certified: Loft, day: str, said: str
) -> None:
    """One mistyped year would free a rosewood guitar; to look there is free."""
    journey = replace(ABROAD, moves_on=day)
    with pytest.raises(LedgerError, match=said):
        planned(certified, journey)

    goods = Goods(serials=(SERIAL,))
    assert shipments.foresee(certified.shop, goods=goods, journey=journey).materials
