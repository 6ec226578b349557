"""What goes in a shipment beside our own boards: shell in it, and what others made."""

from dataclasses import replace

import pytest

from ledger.acts import shipments
from ledger.acts.completing import MASS
from ledger.acts.described import read_described
from ledger.acts.freight import Goods, materials_of, require_room
from ledger.acts.materials import BatchDraft, receive_batch
from ledger.acts.shipments import Journey
from ledger.errors import LedgerError
from ledger.events.build import Measure, PartWeighed
from ledger.quantities import grams
from ledger.trade.law import compiled
from ledger.trade.shipment import Material
from ledger.views.builds import measures_of, weighed_parts
from tests.ledger.acts.test_described import FILE, TODAY
from tests.skerrymoor import NECK, TOP, Loft

SERIAL = "26-0001-8"
ABROAD = Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale")


def shell(loft: Loft) -> str:
    """Receive a batch of shell; return its code."""
    draft = BatchDraft(
        what="abalone dots",
        use="shell",
        received_on="2026-01-05",
        species="Haliotis spp.",
    )
    return receive_batch(loft.shop, draft, loft.hands("02"))


def inlaid(loft: Loft, batch: str) -> str:
    """Build a certified instrument with shell of a batch in its top."""
    serial, lot = loft.begin(), loft.receive()
    loft.number(lot, TOP, NECK)
    for part, board in (("top", "01"), ("neck", "02")):
        loft.allot(serial, part, f"{lot}-{board}")
    top = PartWeighed(part="top", mass_mg=190_500)
    neck = PartWeighed(part="neck", mass_mg=611_000)
    whole = Measure(what="mass", mass_mg=1_986_000)
    relief = Measure(what="relief", length_um=180)
    loft.sign(serial, "join the top", weighed=[top], materials=[batch])
    loft.sign(serial, "brace", measures=[whole, relief], weighed=[neck])
    loft.issue(serial)
    return serial


def in_it(loft: Loft, goods: Goods) -> list[Material]:
    """Return what is in a shipment."""
    with loft.shop.store.reading() as session:
        return materials_of(session, goods, compiled())


def test_wood_has_the_volume_that_its_mass_tells(certified: Loft) -> None:
    """A top of 190.5 g of a board of 412 g has as much of its volume, to the mm³."""
    for each in in_it(certified, Goods(serials=(SERIAL,))):
        assert each.mass_mg is not None and each.volume_mm3 is not None
        density = each.mass_mg / each.volume_mm3
        assert 0.2 < density < 1.3, f"{each.part}: {density} mg/mm³"


def test_a_board_has_the_volume_of_its_sizes(certified: Loft) -> None:
    """Length times width times thickness."""
    (code,) = certified.number(certified.receive(boards=1), NECK)
    (each,) = in_it(certified, Goods(boards=(code,)))

    sizes = (NECK.length_um or 0) * (NECK.width_um or 0) * (NECK.thickness_um or 0)
    assert each.volume_mm3 == round(sizes / 10**9)
    assert (each.thing, each.boards) == (code, (code,))


def test_what_others_made_is_asked_about_beside_ours(certified: Loft) -> None:
    """Each piece with its place, in a shipment of both."""
    certified.document()
    goods = Goods(serials=(SERIAL,), described=read_described(FILE, TODAY))
    plan = shipments.plan(
        certified.shop, goods=goods, journey=ABROAD, hands=certified.hands("12")
    )
    again = shipments.planned(certified.shop, str(plan.number))

    assert again.goods.described == goods.described
    assert again.changes == ()
    assert [m.lot for m in again.materials][-2:] == ["piece 1", "piece 2"]
    stick = next(
        line for line in again.found.lines if line.taxon == "Paubrasilia echinata"
    )
    assert stick.answer == "needed"
    assert [lot.lot for lot in stick.lots] == ["piece 1"]


def test_what_others_made_may_go_alone(certified: Loft) -> None:
    """A bow on its way to a customer, and nothing of ours."""
    certified.document()
    goods = Goods(described=read_described(FILE, TODAY))
    plan = shipments.plan(
        certified.shop, goods=goods, journey=ABROAD, hands=certified.hands("12")
    )

    assert plan.number == "X26-0001"
    assert len(plan.materials) == 2


def test_a_paper_that_is_not_on_file_is_no_evidence(certified: Loft) -> None:
    """It is refused, and nothing is planned."""
    lost = [
        replace(p, documents=("D26-0099",)) for p in read_described(FILE, TODAY)[:1]
    ]
    size = certified.shop.store.head().size
    with pytest.raises(LedgerError, match="no document D26-0099: file it"):
        shipments.plan(
            certified.shop,
            goods=Goods(described=tuple(lost)),
            journey=ABROAD,
            hands=certified.hands("12"),
        )

    assert certified.shop.store.head().size == size


def test_a_shipment_of_nothing_is_refused(certified: Loft) -> None:
    """And says what may be in one."""
    with pytest.raises(LedgerError, match="name serials or boards, or describe with"):
        shipments.foresee(certified.shop, goods=Goods(), journey=ABROAD)


def test_shell_that_went_in_is_in_the_shipment(certified: Loft) -> None:
    """Under its own name, as inlay, and not weighed until somebody says how much."""
    serial = inlaid(certified, batch := shell(certified))
    journey, hands = ABROAD, certified.hands("12")
    goods = Goods(serials=(serial,))
    seen = shipments.foresee(certified.shop, goods=goods, journey=journey)
    (line,) = (row for row in seen.found.lines if row.taxon == "Haliotis spp.")

    assert (line.form, line.parts, line.mass_mg) == ("inlay", ("abalone dots",), None)
    assert "not weighed, or in part only: abalone dots (Haliotis spp.)" in (
        seen.found.notes
    )
    assert ("us-wildlife", "needed") in {(o.rule, o.answer) for o in seen.found.also}

    weighed = replace(goods, masses_mg={batch: 2_100})
    plan = shipments.plan(certified.shop, goods=weighed, journey=journey, hands=hands)
    again = shipments.planned(certified.shop, str(plan.number))
    (line,) = (row for row in again.found.lines if row.taxon == "Haliotis spp.")
    assert [(lot.lot, lot.mass_mg) for lot in line.lots] == [(batch, 2_100)]
    assert again.changes == ()


def test_a_batch_in_two_instruments_is_shared_to_the_milligram(
    certified: Loft,
) -> None:
    """Alike, and nothing is lost by rounding."""
    batch = shell(certified)
    serials = (inlaid(certified, batch), inlaid(certified, batch))
    found = in_it(certified, Goods(serials=serials, masses_mg={batch: 2_101}))
    dots = [each for each in found if each.lot == batch]

    assert [each.thing for each in dots] == list(serials)
    assert sum(each.mass_mg or 0 for each in dots) == 2_101
    assert {each.mass_mg for each in dots} == {1_050, 1_051}


def test_no_more_shell_is_in_it_than_it_weighs(certified: Loft) -> None:
    """Kilograms typed for grams are told before they are on paper."""
    serial = inlaid(certified, batch := shell(certified))
    with certified.shop.store.reading() as session:
        parts_mg = sum(weighed_parts(session, serial).values())
        (whole_mg,) = [
            row.value for row in measures_of(session, serial) if row.what == MASS
        ]
    room_mg = whole_mg - parts_mg
    goods = Goods(serials=(serial,), masses_mg={batch: room_mg})
    shipments.foresee(certified.shop, goods=goods, journey=ABROAD)

    for mass_mg, said in (
        (room_mg + 1, f"is more than the {grams(room_mg)} that {serial} can hold"),
        (0, f"of {batch} is none: leave its --mass out"),
    ):
        goods = Goods(serials=(serial,), masses_mg={batch: mass_mg})
        with pytest.raises(LedgerError, match=said):
            shipments.foresee(certified.shop, goods=goods, journey=ABROAD)
        with pytest.raises(LedgerError, match=said):
            hands = certified.hands("12")
            shipments.plan(certified.shop, goods=goods, journey=ABROAD, hands=hands)


def test_of_what_was_never_weighed_as_a_whole_the_parts_are_the_bound(
    supplied: Loft,
) -> None:
    """No shell weighs more than all the wood that it is in."""
    supplied.model()
    serial, batch = supplied.begin(), shell(supplied)
    lot = supplied.receive()
    supplied.number(lot, TOP)
    supplied.allot(serial, "top", f"{lot}-01")
    top = PartWeighed(part="top", mass_mg=190_500)
    supplied.sign(serial, "join the top", weighed=[top], materials=[batch])
    most = Goods(serials=(serial,), masses_mg={batch: 190_500})
    more = replace(most, masses_mg={batch: 190_501})
    with supplied.shop.store.reading() as session:
        require_room(supplied.shop, session, most)
        with pytest.raises(LedgerError, match="is more than the 190"):
            require_room(supplied.shop, session, more)


@pytest.mark.parametrize("strange", ["M26-009", "M26-001"])
def test_only_what_is_in_it_is_weighed_with_it(certified: Loft, strange: str) -> None:
    """A batch that nobody has, or that went into something else."""
    shell(certified)
    goods = Goods(serials=(SERIAL,), masses_mg={strange: 1_000})
    with pytest.raises(LedgerError, match=f"{strange} is no batch of a plant or an an"):
        in_it(certified, goods)
