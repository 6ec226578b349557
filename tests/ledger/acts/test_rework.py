"""Steps done again, parts spoiled, and what a lead lets pass."""

from typing import Any

import pytest
from sqlmodel import select

from ledger.acts import orders, progress, rework
from ledger.acts.builds import find_build
from ledger.acts.conceding import conceded
from ledger.acts.corrections import correct, reasons_of
from ledger.acts.progress import Next
from ledger.acts.roads import road_of
from ledger.acts.rounds import look_at_build
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events.build import Measure
from ledger.views.boards import Board
from ledger.views.builds import signed_steps
from ledger.views.orders import Scrap, concessions_of
from tests import roadside
from tests.roadside import CARVE, CLOSE, FIRST, JOIN, MARRY, SECOND, SET_UP
from tests.skerrymoor import Loft


def order(road: Loft, **changes: Any) -> rework.Redone:
    """Order the neck to be carved again."""
    told: dict[str, Any] = {
        "serial": FIRST,
        "step": CARVE,
        "reason": "the heel is off by 2 mm",
        "hands": road.hands(),
    }
    return rework.order(road.shop, **(told | changes))


def concede(road: Loft, **changes: Any) -> int:
    """Let the relief pass."""
    told: dict[str, Any] = {
        "serial": FIRST,
        "step": SET_UP,
        "what": "relief",
        "measure": Measure(what="relief", length_um=350),
        "reason": "he bends hard",
        "hands": road.hands(),
    }
    return rework.concede(road.shop, **(told | changes)).index


def scrap(road: Loft, **changes: Any) -> rework.Scrapped:
    """Spoil the neck."""
    told: dict[str, Any] = {
        "serial": FIRST,
        "part": "neck",
        "reason": "the band saw wandered",
        "hands": road.hands(),
    }
    return rework.scrap(road.shop, **(told | changes))


def test_a_step_done_again_is_open_and_its_signatures_count_no_more(road: Loft) -> None:
    """What came after it stands and is named; the reason is kept in the vault."""
    roadside.walk(road, FIRST, before=SET_UP)
    done = order(road)

    assert done.after == (MARRY, "press the frets")
    assert len(done.gone) == 1
    with road.shop.store.reading() as session:
        assert CARVE not in {row.step for row in signed_steps(session, FIRST)}
        reasons = reasons_of(road.shop, session, [done.entry.index])
    assert reasons == {done.entry.index: "the heel is off by 2 mm"}
    with pytest.raises(RefusedError, match=r"set up of .*: carve the neck is not"):
        roadside.done(road, FIRST, SET_UP)
    roadside.done(road, FIRST, CARVE)
    roadside.done(road, FIRST, SET_UP)
    assert audit(road.shop).findings == ()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"step": JOIN}, "nobody has signed step join the top"),
        ({"step": "varnish"}, "has no step 'varnish'"),
        ({"serial": "26-0009-1"}, "no instrument 26-0009-1"),
        ({"reason": " "}, "the reason has 1 to"),
        ({"badge": "04"}, "ordering a step to be done again needs the role lead"),
    ],
)
def test_what_is_not_to_be_done_again(
    road: Loft, changes: dict[str, Any], said: str
) -> None:
    """Is refused, and nothing recorded: neither here nor in the vault."""
    roadside.done(road, FIRST, CARVE)
    size = road.shop.store.head().size
    badge = changes.pop("badge", "01")
    with pytest.raises(LedgerError, match=said):
        order(road, **changes, hands=road.hands(badge))

    assert road.shop.store.head().size == size


def test_a_part_that_is_spoiled_waits_for_other_wood(road: Loft) -> None:
    """Its board is gone for good; what used it up is named, and done again goes on."""
    roadside.done(road, FIRST, CARVE)
    done = scrap(road)

    assert (done.boards, done.steps) == (("L26-001-02",), (CARVE,))
    with road.shop.store.reading() as session:
        assert session.exec(select(Scrap.board)).all() == ["L26-001-02"]
        board = session.get_one(Board, "L26-001-02")
        assert (board.serial, board.off_idx) == (None, done.entry.index)
    with pytest.raises(RefusedError, match="L26-001-02"):
        road.allot(SECOND, "neck", "L26-001-02")
    with pytest.raises(RefusedError, match=r"the neck of .* has no wood that could"):
        scrap(road)
    road.allot(FIRST, "neck", "L26-001-03")
    order(road)
    roadside.done(road, FIRST, CARVE)
    with road.shop.store.reading() as session:
        assert session.get_one(Board, "L26-001-03").consumed_idx is not None
    assert audit(road.shop).findings == ()


def told(road: Loft) -> Next:
    """Return what comes next of the first instrument."""
    with road.shop.store.reading() as session:
        found = progress.next_of(road.shop, session, FIRST)
        session.expunge_all()
    return found


def test_new_wood_opens_the_step_that_takes_it(road: Loft) -> None:
    """Told while the part waits and when it has its wood; signed once, it is done."""
    first = roadside.done(road, FIRST, CARVE)
    gone = scrap(road).entry.index
    (bare,) = [step for step in told(road).blocked if step.step == CARVE]
    road.allot(FIRST, "neck", "L26-001-03")
    allotted = road.shop.store.head().size - 1
    (open_,) = [step for step in told(road).ready if step.step == CARVE]

    why = f"and entry {first} counts no more"
    assert bare.again == f"the neck came off by entry {gone}, {why}"
    assert bare.reasons == ("no wood is allotted to the neck",)
    assert open_.again == f"the neck is other wood since entry {allotted}, {why}"
    assert CARVE not in {
        held.step for held in look_at_build(road.shop, FIRST).steps if held.signed
    }
    again = roadside.done(road, FIRST, CARVE)
    with road.shop.store.reading() as session:
        rows = road_of(session, find_build(session, FIRST)).rows
        assert session.get_one(Board, "L26-001-03").consumed_idx == again + 1
    assert [row.idx for row in rows if row.step == CARVE] == [again]
    assert audit(road.shop).findings == ()


def test_other_wood_that_was_spoiled_as_well_is_there_no_more(road: Loft) -> None:
    """The step waits for wood because that came off, which is told."""
    roadside.done(road, FIRST, CARVE)
    scrap(road)
    road.allot(FIRST, "neck", "L26-001-03")
    gone = scrap(road).entry.index
    (bare,) = [step for step in told(road).blocked if step.step == CARVE]

    assert str(bare.again).startswith(f"the neck came off by entry {gone}, and entry")


def test_what_was_read_of_spoiled_wood_and_of_work_done_again_is_not_told(
    road: Loft,
) -> None:
    """What stands is: the reading of the work that counts."""
    heel = roadside.done(
        road, FIRST, CARVE, measures=[Measure(what="heel", length_um=96_000)]
    )
    assert read(road) == [("heel", heel)]
    scrap(road)
    assert read(road) == []
    road.allot(FIRST, "neck", "L26-001-03")
    again = roadside.done(
        road, FIRST, CARVE, measures=[Measure(what="heel", length_um=97_000)]
    )
    assert read(road) == [("heel", again)]
    order(road)
    assert read(road) == []


def read(road: Loft) -> list[tuple[str, int]]:
    """Return what was read of the first instrument beside what was promised."""
    with road.shop.store.reading() as session:
        told = orders.promised(road.shop, session, FIRST)
    return [(row.what, row.idx) for row in told.measures]


def test_wood_of_an_optional_part_opens_a_step_that_went_on_without(road: Loft) -> None:
    """Taken back before it went in it opens nothing."""
    roadside.walk(road, FIRST, before=MARRY)
    assert CLOSE not in {step.step for step in told(road).ready}
    road.allot(FIRST, "binding", "L26-001-03")
    allotted = road.shop.store.head().size - 1
    (found,) = [step for step in told(road).ready if step.step == CLOSE]
    assert str(found.again).startswith(
        f"the binding is other wood since entry {allotted}"
    )

    correct(road.shop, allotted, reason="another's", hands=road.hands())
    assert CLOSE not in {step.step for step in told(road).ready}


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"part": "bridge"}, "has no part 'bridge'"),
        ({"part": "binding"}, "the binding of 26-0001-8 has no wood"),
        ({"reason": ""}, "the reason has 1 to"),
        ({"badge": "04"}, "scrapping a part needs the role lead"),
    ],
)
def test_what_is_not_spoiled(road: Loft, changes: dict[str, Any], said: str) -> None:
    """A part that is none, one without wood, and without a lead."""
    badge = changes.pop("badge", "01")
    with pytest.raises(LedgerError, match=said):
        scrap(road, **changes, hands=road.hands(badge))


def test_a_concession_is_given_once(road: Loft) -> None:
    """For one thing of one step, in its own words where it is no measure."""
    index = concede(road)
    with pytest.raises(RefusedError, match=f"was let pass by entry {index} already"):
        concede(road)
    concede(road, what="a mended side", measure=None, step=CLOSE)

    with road.shop.store.reading() as session:
        found = [(row.step, row.what) for row in concessions_of(session, FIRST)]
    assert found == [(SET_UP, "relief"), (CLOSE, "a mended side")]


def test_a_concession_ends_with_the_wood_that_it_was_given_for(road: Loft) -> None:
    """Given before the step was signed or after; for other wood it is given anew."""
    dent: dict[str, Any] = {"what": "a filled dent", "measure": None, "step": CARVE}
    roadside.done(road, FIRST, CARVE)
    index = concede(road, **dent)
    assert let_pass(road) == [index]
    scrap(road)
    road.allot(FIRST, "neck", "L26-001-03")
    assert let_pass(road) == []
    again = concede(road, **dent)
    roadside.done(road, FIRST, CARVE)

    assert let_pass(road) == [again]


def let_pass(road: Loft) -> list[int]:
    """Return the concessions that hold for the neck."""
    with road.shop.store.reading() as session:
        return [row.idx for row in conceded(session, FIRST, CARVE)]


def test_a_look_at_wood_that_is_gone_holds_no_later_signature(road: Loft) -> None:
    """The step that was done again on other wood is struck; one looked at is not."""
    first = roadside.done(road, FIRST, CARVE)
    road.sign(FIRST, CARVE, "06", meaning="inspected")
    with pytest.raises(RefusedError, match=f"rests on entry {first}: strike that fir"):
        correct(road.shop, first, reason="another's", hands=road.hands("04"))
    scrap(road)
    road.allot(FIRST, "neck", "L26-001-03")
    again = roadside.done(road, FIRST, CARVE)
    correct(road.shop, again, reason="another's", hands=road.hands("04"))

    assert audit(road.shop).findings == ()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"step": "varnish"}, "has no step 'varnish'"),
        ({"what": ""}, "what is let pass has 1 to"),
        ({"what": "releif"}, "measures no 'releif': of its measures relief and mass"),
        ({"what": "releif", "measure": None}, "of its measures relief and mass can be"),
        (
            {"what": "a dent", "step": CARVE},
            "measures no 'a dent': of its measures none",
        ),
        (
            {"measure": Measure(what="relief", mass_mg=350)},
            "the relief of 26-0001-8 is given as 0.35.g, which is in another unit",
        ),
        ({"reason": ""}, "the reason has 1 to"),
        ({"badge": "06"}, "letting something pass needs the role lead"),
    ],
)
def test_what_nobody_lets_pass(road: Loft, changes: dict[str, Any], said: str) -> None:
    """A step that is none, nothing, no reason, and without a lead."""
    badge = changes.pop("badge", "01")
    with pytest.raises(LedgerError, match=said):
        concede(road, **changes, hands=road.hands(badge))


def test_a_closed_build_is_not_reworked(certified: Loft) -> None:
    """What comes after its certificate is service."""
    with pytest.raises(RefusedError, match="its build is closed"):
        order(certified, serial="26-0001-8", step="brace")


@pytest.mark.parametrize(
    ("um", "why"), [(-9_000, "nothing beyond 0.3.mm"), (4_000_000, "lies between")]
)
def test_what_can_hardly_be_read_is_let_pass_as_read_only(
    road: Loft, um: int, why: str
) -> None:
    """Whoever concedes is asked as whoever signs."""
    told = {"measure": Measure(what="relief", length_um=um)}
    size = road.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        concede(road, **told)

    assert road.shop.store.head().size == size
    assert concede(road, **told, as_read=True) == size
