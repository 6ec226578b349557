"""Ways round a rule that somebody might find, each of which is shut."""

from dataclasses import replace

import pytest

from ledger.acts import (
    corrections,
    holds,
    orders,
    reserving,
    rework,
    sawing,
    service,
    swapping,
    voiding,
)
from ledger.acts.builds import find_build
from ledger.acts.holds import find_hold
from ledger.acts.roads import road_of
from ledger.acts.touched import report
from ledger.craft.route import GATE_SHUT, stands
from ledger.craft.wares import Errand
from ledger.errors import RefusedError, TamperError
from ledger.events import (
    BoardAllotted,
    BoardConsumed,
    BuildBegun,
    HoldPlaced,
    MaterialReceived,
    SerialMisstamped,
    StepSigned,
)
from ledger.events.hold import On
from ledger.log.entry import parse_record
from ledger.views.wood import Lot, newest_code
from tests.aftersale import SERIAL, serviced
from tests.roadside import CARVE, CLOSE, FIRST, GLUE, JOIN, MARRY, SECOND, done, later
from tests.skerrymoor import NECK, Loft


def consumed(loft: Loft) -> int:
    """Return the newest entry by which wood went in."""
    entries = (
        parse_record(data).entry for _, data in reversed([*loft.shop.store.records()])
    )
    return next(entry.index for entry in entries if entry.kind == BoardConsumed.kind)


def held(loft: Loft, code: str) -> str:
    """Put something in doubt."""
    doubted = holds.find_doubted(loft.shop, code)
    return holds.place(loft.shop, doubted, reason="a letter", hands=loft.hands())


def strike(loft: Loft, index: int, badge: str = "01") -> None:
    """Strike an entry."""
    corrections.correct(loft.shop, index, reason="a mistake", hands=loft.hands(badge))


def claiming(loft: Loft, moment: str) -> Loft:
    """Return the shop as somebody has it who says that it happened then."""
    beside = replace(loft.shop.beside, happened_at=moment)
    return replace(loft, shop=replace(loft.shop, beside=beside))


def test_wood_stays_in_for_as_long_as_the_step_counts_that_took_it(road: Loft) -> None:
    """Else the neck of one would be carved into another; struck too, it is free."""
    step = done(road, FIRST, CARVE)
    index = consumed(road)
    with pytest.raises(RefusedError, match=f"with {CARVE}, entry {step}: strike that"):
        strike(road, index)
    with pytest.raises(TamperError, match=f"for entry {step} rests on it"):
        road.say(road.strike(index))
    strike(road, step)
    strike(road, index)
    reserving.release(
        road.shop, code="L26-001-02", reason="it is free", hands=road.hands()
    )

    assert road.allot(SECOND, "neck", "L26-001-02") == ["L26-001-02"]


def test_no_part_is_certified_that_was_never_built_in(road: Loft) -> None:
    """A neck that took the place of a spoiled one waits for the step that takes it."""
    done(road, FIRST, CARVE)
    rework.scrap(
        road.shop, serial=FIRST, part="neck", reason="split", hands=road.hands()
    )
    road.allot(FIRST, "neck", "L26-001-03")
    waiting = f"{CARVE} is not signed again: the neck is other wood since entry"
    with pytest.raises(RefusedError, match=waiting):
        road.issue(FIRST)


def test_nothing_was_done_before_the_instrument_was_begun(road: Loft) -> None:
    """A claim about the past goes back to the beginning, and no further."""
    early = claiming(road, "2026-01-04T08:00:00Z")
    with pytest.raises(RefusedError, match=r"was begun .*: look at the time again"):
        done(early, FIRST, CARVE)


def test_nothing_was_done_before_what_comes_before_it(road: Loft) -> None:
    """Nor was it looked at before it was done."""
    begun_at = road.clock.moment
    later(road, 1)
    done(road, FIRST, JOIN)
    later(road, 3)
    claimed = begun_at.strftime("%Y-%m-%dT%H:%M:%SZ")
    early = claiming(road, claimed)
    for badge, step, meaning in (("03", CLOSE, "did"), ("03", JOIN, "witnessed")):
        with pytest.raises(RefusedError, match=f"{JOIN} of {FIRST} was done"):
            done(early, FIRST, step, badge, meaning=meaning)


def test_no_gate_is_opened_by_the_own_hand_or_by_nobody_s(road: Loft) -> None:
    """However the sentence came into the log: past the act it opens nothing either."""
    done(road, FIRST, JOIN)
    later(road, 3)
    done(road, FIRST, CLOSE)
    for badge in ("03", "08"):
        road.say(StepSigned(serial=FIRST, step=CLOSE, meaning="inspected"), badge)
        with road.shop.store.reading() as session:
            walked = road_of(session, find_build(session, FIRST))
        assert stands(walked.steps, walked.signed)[CLOSE] == GATE_SHUT
    with pytest.raises(RefusedError, match=f"{CLOSE} is not inspected yet"):
        done(road, FIRST, MARRY)


def test_whoever_inspected_has_not_helped(road: Loft) -> None:
    """Else the order of two signatures would make an inspector of a helper."""
    done(road, FIRST, JOIN)
    later(road, 3)
    done(road, FIRST, CLOSE)
    road.sign(FIRST, CLOSE, "06", meaning="inspected")
    with pytest.raises(RefusedError, match=r"whoever inspected .* has not helped"):
        road.sign(FIRST, CLOSE, "06", meaning="assisted")


def test_a_hold_is_not_ended_by_striking_what_it_covers(road: Loft) -> None:
    """A lead strikes it, who could lift the hold as well."""
    step = done(road, FIRST, JOIN)
    held(road, GLUE)
    with pytest.raises(RefusedError, match="is in doubt by hold H26-001"):
        strike(road, step, "03")
    strike(road, step, "01")


def test_a_batch_in_doubt_goes_into_no_service(certified: Loft) -> None:
    """Nor does an instrument that is in doubt leave, but to be mended."""
    number = held(certified, "L26-001")
    errands: tuple[Errand, ...] = ("sale", "show", "loan")
    for errand in errands:
        with pytest.raises(RefusedError, match=f"in doubt by hold {number}"):
            service.send(
                certified.shop,
                serial=SERIAL,
                to="the harbour fair",
                errand=errand,
                hands=certified.hands(),
            )
    service.send(
        certified.shop,
        serial=SERIAL,
        to="the repairer",
        errand="service",
        hands=certified.hands(),
    )

    assert serviced(certified).event["work"] == "set up anew"


def test_a_void_instrument_takes_no_wood_and_no_signature(road: Loft) -> None:
    """Neither by a swap nor by a sentence that no act looked at."""
    orders.set_down(
        road.shop,
        serial=SECOND,
        order="A-17",
        terms=orders.Terms(),
        hands=road.hands(),
    )
    reserving.reserve(
        road.shop, code="L26-001-03", wanted="A-17", part="neck", hands=road.hands()
    )
    voiding.void(road.shop, serial=SECOND, reason="given up", hands=road.hands())
    with pytest.raises(RefusedError, match=f"{SECOND} is void"):
        swapping.swap(
            road.shop,
            serial=SECOND,
            out="L26-001-03",
            into="L26-001-02",
            reason="better",
            hands=road.hands(),
        )
    for event in (
        StepSigned(serial=SECOND, step=CARVE, meaning="did"),
        BoardAllotted(board="L26-001-03", serial=SECOND, part="neck"),
    ):
        with pytest.raises(TamperError, match=f"{SECOND} was void before this entry"):
            road.say(event)


def test_a_number_that_was_stamped_by_mistake_is_begun_by_nobody(road: Loft) -> None:
    """It is void for ever, whoever says that it begins."""
    road.say(SerialMisstamped(stamped="26-0193-9", serial=FIRST))
    begun = BuildBegun(
        serial="26-0193-9",
        model="Nightferry",
        version=1,
        body="B26-0193",
        neck="N26-0193",
    )
    with pytest.raises(TamperError, match="was taken by an entry before this one"):
        road.say(begun)


def test_what_went_on_is_struck_with_a_sentence_and_no_alarm(certified: Loft) -> None:
    """Wood that was let go, and an instrument that came home, say so themselves."""
    serial = certified.begin()
    certified.number(certified.receive(), NECK)
    code = f"{newest_lot(certified)}-01"
    certified.allot(serial, "neck", code)
    allotted = certified.shop.store.head().size - 1
    reserving.release(certified.shop, code=code, reason="no", hands=certified.hands())
    hands = certified.hands()
    sent = service.send(
        certified.shop, serial=SERIAL, to="the fair", errand="show", hands=hands
    )
    service.come_home(certified.shop, serial=SERIAL, hands=hands)
    for index, said in (
        (allotted, f"was let go since entry {allotted}"),
        (sent.index, f"{SERIAL} came home by entry {sent.index + 1}"),
    ):
        with pytest.raises(RefusedError, match=said):
            strike(certified, index)


def test_wood_that_is_kept_is_let_go_by_whoever_kept_it(road: Loft) -> None:
    """Another neither renews it, so as to have kept it, nor saws it."""
    told = {"code": "L26-001-03", "wanted": SECOND, "part": "neck"}
    reserving.reserve(road.shop, **told, hands=road.hands("04"))
    with pytest.raises(RefusedError, match="that person releases it, or a lead"):
        reserving.reserve(road.shop, **told, hands=road.hands("03"))
    with pytest.raises(RefusedError, match="that person releases it, or a lead"):
        sawing.split(
            road.shop,
            codes=["L26-001-03"],
            pieces=[sawing.PieceDraft(meant_for="neck", mass_mg=1_000_000)],
            hands=road.hands("03"),
        )

    assert reserving.reserve(road.shop, **told, hands=road.hands("04"))


def test_wood_was_not_used_up_before_it_was_allotted(road: Loft) -> None:
    """Whatever time is claimed for the step that took it."""
    late = road.begin("Nightferry")
    claimed = road.clock.moment.strftime("%Y-%m-%dT%H:%M:%SZ")
    later(road, 1)
    road.allot(late, "neck", "L26-001-03")
    with pytest.raises(RefusedError, match="board L26-001-03 was allotted"):
        done(claiming(road, claimed), late, CARVE)


def test_a_hold_reaches_what_a_batch_went_into_after_the_sale(
    certified: Loft,
) -> None:
    """A service with it is found as a step with it is."""
    certified.say(
        MaterialReceived(
            batch=GLUE, what="hide glue", use="glue", received_on="2026-01-05"
        )
    )
    entry = serviced(certified, materials=[GLUE])
    number = held(certified, GLUE)
    with certified.shop.store.reading() as session:
        found = report(session, find_hold(session, number))

    told = {build.serial: build for build in (*found.left, *found.finished)}
    assert list(told) == [SERIAL]
    assert entry.index in told[SERIAL].by.entries


def test_nobody_doubts_what_is_not_there(road: Loft) -> None:
    """Also not past the act: a hold on a paper that was never filed holds nothing."""
    missing: tuple[tuple[On, str], ...] = (
        ("document", "D26-0099"),
        ("board", "L26-001-99"),
    )
    for on, code in missing:
        with pytest.raises(TamperError, match=f"there is no {on} {code}"):
            road.say(HoldPlaced(hold="H26-001", on=on, code=code))


def newest_lot(loft: Loft) -> str:
    """Return the code of the lot that came in last."""
    with loft.shop.store.reading() as session:
        return str(newest_code(session, Lot, "L26-"))
