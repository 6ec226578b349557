"""A shipment made ready for its papers: every figure comes from the record."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.acts import holds, shipments
from ledger.acts.consignments import Addressed, consignment_of, recipient_of
from ledger.acts.described import read_described
from ledger.acts.freight import Goods
from ledger.acts.heads import head_now
from ledger.acts.shipments import Journey
from ledger.errors import LedgerError, RefusedError
from ledger.events.wood import Evidence
from ledger.trade.consignment import Consignment, Item
from ledger.trade.edition import tables_sha256
from ledger.views.boards import Board
from ledger.views.builds import weighed_parts
from tests.ledger.acts.test_described import FILE, TODAY
from tests.ledger.acts.test_freight import ABROAD, SERIAL, inlaid, shell
from tests.skerrymoor import NECK, Loft

TO = Addressed(sender="Harbour Road 1, Port Anslow", recipient="Kenji Arakawa, Sapporo")


def made(
    loft: Loft, goods: Goods, journey: Journey = ABROAD, addressed: Addressed = TO
) -> Consignment:
    """Plan a shipment, and make it ready for its papers."""
    hands = loft.hands("12")
    plan = shipments.plan(loft.shop, goods=goods, journey=journey, hands=hands)
    again = shipments.planned(loft.shop, str(plan.number))
    head = head_now(loft.shop)
    return consignment_of(loft.shop, again, head=head, addressed=addressed)


def test_an_instrument_stands_with_each_of_its_parts(certified: Loft) -> None:
    """Masses as weighed, volumes as the boards tell, lots and boards by their codes."""
    told = made(certified, Goods(serials=(SERIAL,)))
    (thing,) = told.things
    with certified.shop.store.reading() as session:
        weighed = weighed_parts(session, SERIAL)

    assert (thing.code, thing.certificate) == (SERIAL, "C-2026-00001")
    assert (thing.what, thing.mass_mg) == ("flat-top guitar", 1_986_000)
    assert SERIAL in thing.marks[0]
    by_part: dict[str, int] = {}
    for item in told.items:
        by_part[item.part] = by_part.get(item.part, 0) + (item.mass_mg or 0)
        assert item.thing == SERIAL
        assert all(board.startswith(item.lots[0]) for board in item.boards)
    assert by_part == weighed


def test_a_board_stands_with_its_sizes_and_its_papers(certified: Loft) -> None:
    """Appendix, Annex and annotation by the row that decided, and what is held."""
    paper = certified.document()
    lot = certified.receive(
        species="Dalbergia latifolia", harvested_in="IN", boards=1, documents=(paper,)
    )
    (code,) = certified.number(lot, NECK)
    (item,) = made(certified, Goods(boards=(code,))).items
    with certified.shop.store.reading() as session:
        board = session.get_one(Board, code)

    assert (item.taxon, item.form, item.kind) == (
        "Dalbergia latifolia",
        "sawn_wood",
        "plant",
    )
    assert (item.appendix, item.annex) == ("II", "B")
    assert "annotation #15" in item.annotation
    assert item.mass_mg == board.mass_mg
    assert (item.origin, item.acquired) == ("IN", date(2026, 1, 5))
    assert item.first_listed == date(2017, 1, 2)
    assert item.source == ""
    assert (item.shown, [held.document for held in item.held]) == ("document", [paper])
    assert item.answer == "needed" and item.documents


def test_a_paper_in_doubt_is_not_on_file_until_it_is_cleared(certified: Loft) -> None:
    """It stands apart with its hold; the wood is shown as if nobody had filed it."""
    paper = certified.document()
    lot = certified.receive(
        species="Dalbergia latifolia", harvested_in="IN", boards=1, documents=(paper,)
    )
    (code,) = certified.number(lot, NECK)
    shop, goods = certified.shop, Goods(boards=(code,))
    plan = shipments.plan(
        shop, goods=goods, journey=ABROAD, hands=certified.hands("12")
    )
    doubted = holds.find_doubted(shop, paper)
    hold = holds.place(shop, doubted, reason="it is odd", hands=certified.hands("03"))

    def item() -> Item:
        again = shipments.planned(shop, str(plan.number))
        told = consignment_of(shop, again, head=head_now(shop), addressed=TO)
        return told.items[0]

    during = item()
    assert (during.shown, during.held) == ("diary", ())
    (one,) = during.doubted
    assert (one.hold, one.paper.document) == (hold, paper)
    holds.lift(shop, hold, reason="they wrote", hands=certified.hands("01"))
    after = item()
    assert (after.shown, after.held, after.doubted) == ("document", (one.paper,), ())


@pytest.mark.parametrize(
    ("evidence", "shown", "source"),
    [("diary", "diary", "O"), ("witness", "witness", "O"), ("none", "none", "")],
)
def test_old_stock_is_shown_as_it_was_said(
    certified: Loft, evidence: Evidence, shown: str, source: str
) -> None:
    """Of what nothing shows, no day counts, and it is not called pre-Convention."""
    lot = certified.receive(
        species="Dalbergia nigra",
        harvested_in="BR",
        received_on="1985-04-01",
        boards=1,
        is_opening=True,
        supplier=None,
        evidence=evidence,
        documents=(),
    )
    (code,) = certified.number(lot, NECK)
    (item,) = made(certified, Goods(boards=(code,))).items

    assert (item.shown, item.source) == (shown, source)
    assert item.first_listed == date(1992, 6, 11)


def test_who_sends_and_receives_is_read_line_by_line(certified: Loft) -> None:
    """The shop by its own name; whoever is not told has none."""
    told = made(certified, Goods(serials=(SERIAL,)))

    assert told.sender.address == ("Harbour Road 1", "Port Anslow")
    assert told.sender.name == certified.shop.standing().name
    assert (told.recipient.name, told.recipient.address) == (
        "Kenji Arakawa",
        ("Sapporo",),
    )
    assert (told.sender.country, told.recipient.country) == ("GB", "US")

    nobody = made(certified, Goods(serials=(SERIAL,)), addressed=Addressed())
    assert nobody.recipient.name == ""


@pytest.mark.parametrize(
    ("legs", "typed", "country", "last"),
    [
        ("GB US", "Hall, New York", "US", "New York"),
        ("GB NL US", "Hall, New York", "US", "New York"),
        ("GB US GB", "Hall, New York", "US", "New York"),
        ("GB FR US GB", "Hall, New York", "", "New York"),
        ("GB FR US GB", "Hall, New York, United States", "US", "New York"),
        ("GB FR US GB", "Hall, New York, the USA.", "US", "New York"),
        ("GB FR US GB", "Hall, Lyon, france", "FR", "Lyon"),
        ("GB US GB", "Rousset, Bristol, UK", "GB", "Bristol"),
        # Two letters are a state's as well as a country's; and so is one long name.
        ("CA US FR CA", "Hall, Los Angeles, CA", "", "CA"),
        ("GE US", "Hall, Atlanta, Georgia", "US", "Georgia"),
        ("GB US", "Hall, Atlanta, Georgia", "US", "Georgia"),
        ("US EU", "Rousset, Lyon, France", "FR", "Lyon"),
        ("DE US FR", "Hall, New York", "", "New York"),
        ("GB US", "United States", "US", ""),
        ("GB FR US GB", "", "", ""),
    ],
)
def test_the_recipient_s_country_is_the_journey_s_or_asked(
    legs: str, typed: str, country: str, last: str
) -> None:
    """The end of the way, or abroad where it comes home; of several the one named."""
    journey = replace(ABROAD, legs=tuple(legs.split()))
    who = recipient_of(typed, journey)

    assert who.country == country
    assert "".join(who.address[-1:]) == last
    assert who.name == typed.partition(",")[0]


@pytest.mark.parametrize(
    ("legs", "typed", "words"),
    [
        ("GB CA", "A B, Lyon, France", "ends in France, and the shipment goes to Can"),
        ("GB US", "A B, Bristol, UK", "ends in United Kingdom, and the shipment goes"),
        ("GB CA", "A B, Tbilisi, Georgia", "ends in Georgia, and the shipment goes"),
        ("US EU", "A B, Bern, Switzerland", "goes to European Union: correct --rec"),
    ],
)
def test_an_address_in_another_country_is_refused(
    legs: str, typed: str, words: str
) -> None:
    """No paper says Lyon, France, Canada."""
    journey = replace(ABROAD, legs=tuple(legs.split()))

    with pytest.raises(RefusedError, match=words):
        recipient_of(typed, journey)


def test_a_tour_is_received_where_it_turns(certified: Loft) -> None:
    """And sent from home; both stand so in what the papers are drawn from."""
    tour = replace(ABROAD, legs=("GB", "US", "GB"), purpose="exhibition")
    told = made(certified, Goods(serials=(SERIAL,)), tour)

    assert (told.sender.country, told.recipient.country) == ("GB", "US")


def test_it_carries_its_head_its_edition_and_its_dates(certified: Loft) -> None:
    """As every species paper prints them."""
    told = made(certified, Goods(serials=(SERIAL,)))
    head = head_now(certified.shop)

    assert (told.size, told.root) == (head.size, head.root.hex())
    assert told.edition == tables_sha256()
    assert told.newest_source is not None
    assert told.newest_source <= told.table_date <= told.moves_on or told.moves_on
    assert (told.legs, told.purpose, told.owner_changes) == (("GB", "US"), "sale", True)


def test_what_must_be_asked_comes_first(certified: Loft) -> None:
    """Then what is needed; each with its law, its papers and whom to ask."""
    certified.document()
    goods = Goods(serials=(SERIAL,), described=read_described(FILE, TODAY))
    told = made(certified, goods)

    needed = [one.is_needed for one in told.ask_first]
    assert needed == sorted(needed) and {True, False} == set(needed)
    assert all(one.whom.startswith(("the ", "USDA")) for one in told.ask_first)
    assert all(one.papers for one in told.ask_first if one.is_needed)
    assert "Paubrasilia echinata" in {one.taxon for one in told.ask_first}


def test_shell_and_what_others_made_stand_beside_the_wood(certified: Loft) -> None:
    """The batch by its code, the piece by nothing of ours."""
    certified.document()
    serial = inlaid(certified, batch := shell(certified))
    goods = Goods(
        serials=(serial,),
        described=read_described(FILE, TODAY),
        masses_mg={batch: 2_100},
    )
    told = made(certified, goods)
    dots = next(item for item in told.items if item.taxon == "Haliotis spp.")
    stick = next(item for item in told.items if item.part == "stick")

    assert (dots.kind, dots.lots, dots.boards) == ("animal", (batch,), ())
    assert (dots.mass_mg, dots.thing) == (2_100, serial)
    assert (stick.lots, stick.boards, stick.thing) == ((), (), "violin bow")
    assert (stick.shown, stick.source) == ("document", "O")
    bow = next(thing for thing in told.things if thing.code == "violin bow")
    assert bow.marks == ("silver, stamped on the stick",)


def test_what_is_only_looked_at_has_no_papers(certified: Loft) -> None:
    """A number comes with the plan."""
    plan = shipments.foresee(
        certified.shop, goods=Goods(serials=(SERIAL,)), journey=ABROAD
    )
    head = head_now(certified.shop)
    with pytest.raises(LedgerError, match="only what was planned has papers"):
        consignment_of(certified.shop, plan, head=head, addressed=TO)


def test_the_same_shipment_is_the_same_on_paper(certified: Loft) -> None:
    """Looked up again under the same head, to the last figure."""
    plan = shipments.plan(
        certified.shop,
        goods=Goods(serials=(SERIAL,)),
        journey=ABROAD,
        hands=certified.hands("12"),
    )
    head = head_now(certified.shop)
    first, second = (
        consignment_of(
            certified.shop,
            shipments.planned(certified.shop, str(plan.number)),
            head=head,
            addressed=TO,
        )
        for _ in range(2)
    )

    assert replace(second, printed_on=first.printed_on) == first


def test_papers_of_one_name_are_told_by_who_gives_them(certified: Loft) -> None:
    """Britain and the Union each give a re-export certificate on the way."""
    lot = certified.receive(species="Dalbergia latifolia", boards=1)
    way = replace(ABROAD, legs=("GB", "NL", "US"))
    told = made(certified, Goods(boards=tuple(certified.number(lot, NECK))), way)
    (papers,) = (
        one.papers for one in told.ask_first if one.is_needed and one.law == "CITES"
    )

    assert len(papers) == len(set(papers))
    assert [paper for paper in papers if "re-export" in paper] == [
        "re-export certificate from the Management Authority of the United Kingdom",
        "re-export certificate from the Management Authority of the Netherlands",
    ]
    assert "EU import permit" in papers
