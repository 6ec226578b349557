"""A permit turns out bad: all that rests on it is found and held, and cleared in part.

A shop in which one export permit covers three lots, sawn and glued at several depths,
in builds under way and in instruments that left.
"""

import pytest

from ledger.acts import holds, letters, sawing, shipments
from ledger.acts.freight import Goods
from ledger.acts.holds import HeldError, InDoubt
from ledger.acts.sawing import PieceDraft
from ledger.acts.shipments import Journey
from ledger.acts.touched import Report, report
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.views.boards import boards_of
from ledger.views.holds import Hold
from tests.skerrymoor import NECK, TOP, Loft

PERMIT = "D26-0001"
SOLD, KEPT, SAWN, GLUED, CLEAN = (
    "26-0001-8",
    "26-0002-6",
    "26-0003-4",
    "26-0004-2",
    "26-0005-9",
)
HOLD = "H26-001"
ABROAD = Journey(legs=("GB", "FR"), moves_on="2026-11-23", purpose="sale")


def stocked(loft: Loft) -> Loft:
    """Fill a shop: three lots on one permit, five instruments, four of them of it."""
    loft.supplier()
    permit = loft.document(
        "export permit", paper="export permit", number="P 77", expires_on="2026-06-30"
    )
    for name in ("latifolia", "sissoo", "stevensonii"):
        lot = loft.receive(
            species=f"Dalbergia {name}",
            documents=(permit,),
            harvested_in="IN",
        )
        loft.number(lot, *[NECK] * 4)
    others = loft.receive()
    loft.number(others, *[TOP] * 5, NECK)
    loft.model()
    for number in range(1, 6):
        serial = loft.begin()
        loft.allot(serial, "top", f"{others}-{number:02d}")
    pieces = saw(loft, "L26-002-01", 3)
    deeper = saw(loft, pieces[0], 2)
    joint = glue(loft, [deeper[1], f"{others}-06"])
    necks = ["L26-001-01", "L26-003-01", pieces[1], joint]
    for serial, neck in zip((SOLD, KEPT, SAWN, GLUED), necks, strict=True):
        loft.allot(serial, "neck", neck)
    for serial in (SOLD, KEPT):
        loft.finish(serial)
        loft.issue(serial)
    loft.sell(SOLD)
    return loft


def saw(loft: Loft, code: str, count: int) -> list[str]:
    """Saw a board into so many pieces of alike mass."""
    with loft.shop.store.reading() as session:
        (mass,) = [
            b.mass_mg or 0 for b in boards_of(session, code[:7]) if b.code == code
        ]
    each = mass // count
    return sawing.split(
        loft.shop,
        codes=[code],
        pieces=[PieceDraft(meant_for="neck", mass_mg=each)] * count,
        waste_mg=mass - count * each,
        hands=loft.hands("03"),
    )


def glue(loft: Loft, codes: list[str]) -> str:
    """Glue boards into a neck blank."""
    return sawing.join(
        loft.shop,
        codes=codes,
        draft=PieceDraft(meant_for="neck", mass_mg=1_200_000),
        hands=loft.hands("03"),
    )


def placed(loft: Loft) -> str:
    """Enter the paper in doubt, as somebody of the papers does."""
    return holds.place(
        loft.shop,
        InDoubt(on="document", code=PERMIT),
        reason="a letter says that the permit was withdrawn",
        since="2026-01-04",
        hands=loft.hands("12"),
    )


def told(loft: Loft) -> Report:
    """Return what the hold touches now."""
    with loft.shop.store.reading() as session:
        found = report(session, session.get_one(Hold, HOLD))
        session.expunge_all()
    return found


@pytest.fixture
def shop(loft_on_each: Loft) -> Loft:
    """Give the shop with its permit."""
    return stocked(loft_on_each)


def test_one_screen_tells_all_at_any_depth_and_nothing_is_deleted(shop: Loft) -> None:
    """Lots, boards in the rack, builds, instruments that left, amounts, papers then."""
    size = shop.shop.store.head().size
    assert placed(shop) == HOLD
    found = told(shop)

    assert [each.lot.code for each in found.lots] == ["L26-001", "L26-002", "L26-003"]
    assert len(found.rack) == 3 + 3 + 3 + 1 + 1
    assert [b.serial for b in found.building] == [SAWN, GLUED]
    assert [b.serial for b in found.finished] == [KEPT]
    assert [(b.serial, b.where) for b in found.left] == [
        (SOLD, "with its registered owner")
    ]
    papers = [then for each in found.lots for then in each.papers]
    assert [then.was_in_force for then in papers] == [True] * 3
    assert {then.document.expires_on for then in papers} == {"2026-06-30"}
    weighed = {(a.species, a.where): a for a in found.amounts}
    latifolia = weighed["Dalbergia latifolia", "rack"]
    assert (latifolia.mass_mg, latifolia.pieces) == (3 * 1_040_000, 3)
    assert latifolia.volume_mm3 == 3 * 810 * 95 * 24
    # Of the joint only what is of the permit: 173.333 g went in beside 1040 g.
    sissoo = weighed["Dalbergia sissoo", "instruments"]
    assert sissoo.mass_mg == 346_666 + round(1_200_000 * 173_333 / 1_213_333)
    assert shop.shop.store.head().size == size + 1


def test_all_that_rests_on_it_is_blocked_and_the_rest_goes_on(shop: Loft) -> None:
    """Allotting, signing, certifying and shipping name the hold; sawing goes on."""
    placed(shop)
    size = shop.shop.store.head().size
    said = rf"hold {HOLD} on document {PERMIT}, export permit P 77, since 2026-01-04"
    with pytest.raises(HeldError, match=f"board L26-001-02 is in doubt by {said}"):
        shop.allot(CLEAN, "neck", "L26-001-02")
    for serial in (SAWN, GLUED):
        with pytest.raises(HeldError, match=f"{serial} is in doubt by {said}"):
            shop.sign(serial, "join the top")
    with pytest.raises(HeldError, match=said):
        shipments.plan(
            shop.shop,
            goods=Goods(serials=(KEPT,)),
            journey=ABROAD,
            hands=shop.hands("12"),
        )
    assert shop.shop.store.head().size == size
    pieces = saw(shop, "L26-001-02", 2)
    with pytest.raises(HeldError, match=f"board {pieces[0]} is in doubt"):
        shop.allot(CLEAN, "neck", pieces[0])
    shop.sign(CLEAN, "join the top")


def test_a_finished_instrument_on_hold_gets_no_certificate(loft: Loft) -> None:
    """Not before a lead lifts the hold."""
    loft.supplier()
    lot = loft.receive(documents=(loft.document(),))
    loft.number(lot, TOP, NECK)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", f"{lot}-01")
    loft.allot(serial, "neck", f"{lot}-02")
    loft.finish(serial)
    placed(loft)
    with pytest.raises(HeldError, match=f"{serial} is in doubt by hold {HOLD}"):
        loft.issue(serial)
    holds.lift(loft.shop, HOLD, reason="the office wrote", hands=loft.hands())

    assert loft.issue(serial) == "C-2026-00001"


def test_a_cleared_lot_goes_on_and_the_rest_stays(shop: Loft) -> None:
    """By a new entry of a lead; another hold that covers it still does."""
    placed(shop)
    with pytest.raises(RefusedError, match=r"lifting a hold needs the role lead"):
        holds.lift(
            shop.shop, HOLD, only="L26-002", reason="so it is", hands=shop.hands("12")
        )
    holds.lift(
        shop.shop,
        HOLD,
        only="L26-002",
        reason="the authority wrote that lot 2 was never of it",
        hands=shop.hands(),
    )
    found = told(shop)
    shop.sign(SAWN, "join the top")

    assert [each.lot.code for each in found.lots] == ["L26-001", "L26-003"]
    assert found.building == ()
    assert [row.code for row in found.cleared] == ["L26-002"]
    holds.place(
        shop.shop,
        InDoubt(on="board", code="L26-002-01"),
        reason="another letter",
        hands=shop.hands("03"),
    )
    with pytest.raises(HeldError, match="hold H26-002 on board L26-002-01"):
        shop.sign(SAWN, "brace")
    assert audit(shop.shop).findings == ()


def test_letters_are_drafted_for_those_who_may_know_the_owners(shop: Loft) -> None:
    """To each registered owner, with facts and entries, and no conclusion in law."""
    placed(shop)
    drafts = letters.draft_letters(shop.shop, HOLD, shop.keys["01"])
    (letter,) = drafts.letters
    text = " ".join([letter.opening, *letter.facts, *letter.asked, letter.caveat])

    assert (letter.to, letter.serial) == ("Amélie Rousset", SOLD)
    assert drafts.without_owner == (KEPT,)
    assert "board L26-001-01 (entry" in text and "Dalbergia latifolia" in text
    for word in ("illegal", "unlawful", "liable", "sorry", "fault", "recall"):
        assert word not in text
    with pytest.raises(RefusedError, match="does not open the office"):
        letters.draft_letters(shop.shop, HOLD, shop.keys["03"])
