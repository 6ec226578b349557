"""Steps: each by the right hands, in its turn, with all that it asks for."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import people, signoffs, training
from ledger.acts.asked import SignOff
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import (
    BuildVoided,
    HoldLifted,
    HoldPlaced,
)
from ledger.events.build import Measure, PartWeighed
from ledger.events.codec import Beside
from ledger.views.boards import Board
from ledger.views.builds import measures_of, signed_steps, weighed_parts
from tests import roadside
from tests.roadside import (
    CARVE,
    CLOSE,
    FIRST,
    JOIN,
    MARRY,
    SECOND,
    SET_UP,
)
from tests.skerrymoor import NECK, TOP, Loft


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a lot of four boards, a model and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, TOP)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


@pytest.mark.parametrize(
    ("badge", "step", "said"),
    [
        ("10", "brace", "needs the qualification brace, which badge 10 does not hold"),
        ("02", "brace", "needs the qualification brace"),
        ("12", "join the top", "needs the qualification plates"),
        ("03", "polish", "no step 'polish': it has join the top, brace"),
    ],
)
def test_a_step_is_signed_by_whoever_is_qualified_for_it(
    bench: Loft, badge: str, step: str, said: str
) -> None:
    """A lead may sign any; the others are told what they lack."""
    with pytest.raises(LedgerError, match=said):
        bench.sign(FIRST, step, badge)

    bench.sign(FIRST, "brace", "01")
    assert audit(bench.shop).findings == ()


def test_a_second_scan_of_a_signed_step_records_nothing(bench: Loft) -> None:
    """It says who signed it, and where."""
    index = bench.sign(FIRST, "brace")
    size = bench.shop.store.head().size
    for badge in ("03", "01"):
        with pytest.raises(RefusedError, match=f"by badge 03 in entry {index} already"):
            bench.sign(FIRST, "brace", badge)

    assert bench.shop.store.head().size == size


def test_whoever_did_it_does_not_inspect_it(bench: Loft) -> None:
    """Not even where the doer is an inspector, or the lead."""
    bench.sign(FIRST, "join the top", "10")
    for badge, said in (
        ("10", "does not inspect it: ask another"),
        ("03", "needs the qualification inspect"),
    ):
        with pytest.raises(RefusedError, match=said):
            bench.sign(FIRST, "join the top", badge, meaning="inspected")
    with pytest.raises(RefusedError, match="nobody has signed step brace"):
        bench.sign(FIRST, "brace", "10", meaning="inspected")
    bench.sign(FIRST, "brace")
    bench.sign(FIRST, "brace", "10", meaning="inspected")
    with pytest.raises(RefusedError, match=r"\(inspected\) by badge 10"):
        bench.sign(FIRST, "brace", "01", meaning="inspected")


def test_only_a_lead_approves(bench: Loft) -> None:
    """Whatever else a builder may sign."""
    bench.sign(FIRST, "brace")
    with pytest.raises(RefusedError, match="needs the qualification lead"):
        bench.sign(FIRST, "brace", "03", meaning="approved")
    bench.sign(FIRST, "brace", "01", meaning="approved")

    with bench.shop.store.reading() as session:
        meanings = [row.meaning for row in signed_steps(session, FIRST)]
    assert meanings == ["did", "approved"]


@pytest.mark.parametrize(
    "said",
    [
        {"weighed": [PartWeighed(part="bridge", mass_mg=20_000)]},
        {"weighed": [PartWeighed(part="top", mass_mg=0)]},
        {"measures": [Measure(what="mass", mass_mg=0)]},
        {"measures": [Measure(what="\x00", mass_mg=1)]},
    ],
)
def test_what_cannot_be_weighed_is_not_signed(
    bench: Loft, said: dict[str, Any]
) -> None:
    """No part that is not there, and nothing that weighs nothing."""
    size = bench.shop.store.head().size
    with pytest.raises(LedgerError):
        bench.sign(FIRST, "brace", **said)

    assert bench.shop.store.head().size == size


def test_a_part_weighs_no_more_than_its_wood(bench: Loft) -> None:
    """Both masses are named, and a slip of a digit is not signed."""
    bench.allot(FIRST, "top", "L26-001-01")
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=r"weigh 1900.g, .* weighs 412.g: weigh"):
        bench.sign(FIRST, "brace", weighed=[PartWeighed(part="top", mass_mg=1_900_000)])

    assert bench.shop.store.head().size == size
    bench.sign(FIRST, "brace", weighed=[PartWeighed(part="top", mass_mg=412_000)])


def test_the_newest_measure_counts(bench: Loft) -> None:
    """What was measured before stays in the log."""
    first, second = (Measure(what="relief", length_um=n) for n in (200, -180))
    weighed = [PartWeighed(part="top", mass_mg=n) for n in (191_000, 190_500)]
    bench.sign(FIRST, "brace", measures=[first], weighed=weighed[:1])
    bench.sign(FIRST, "join the top", measures=[second], weighed=weighed[1:])

    with bench.shop.store.reading() as session:
        assert [row.value for row in measures_of(session, FIRST)] == [-180]
        assert weighed_parts(session, FIRST) == {"top": 190_500}
    assert audit(bench.shop).findings == ()


@pytest.mark.parametrize("step", [CLOSE, MARRY, SET_UP])
def test_a_step_waits_for_what_comes_before_it(road: Loft, step: str) -> None:
    """It says for what, and nothing is recorded."""
    road.allot(FIRST, "binding", "L26-001-03")
    size = road.shop.store.head().size
    with pytest.raises(RefusedError, match=rf"{step} of .* waits: .*is not done yet"):
        roadside.done(road, FIRST, step)

    assert road.shop.store.head().size == size


def test_glue_rests_before_the_next_step(road: Loft) -> None:
    """Two days, as the model says."""
    roadside.done(road, FIRST, JOIN)
    with pytest.raises(RefusedError, match="join the top rests until 2026-01-07"):
        roadside.done(road, FIRST, CLOSE)
    roadside.later(road, 2)

    roadside.done(road, FIRST, CLOSE)


def test_a_gate_stays_shut_until_the_inspector_was_there(road: Loft) -> None:
    """Whoever stands before it is told for whom it waits."""
    roadside.walk(road, FIRST, before=CLOSE)
    roadside.done(road, FIRST, CLOSE)
    with pytest.raises(RefusedError, match="close the box is not inspected yet"):
        roadside.done(road, FIRST, CARVE)
    road.sign(FIRST, CLOSE, "06", meaning="inspected")

    roadside.done(road, FIRST, CARVE)


def test_wood_goes_in_with_the_step_that_uses_it_up(road: Loft) -> None:
    """In the same turn, both halves; an optional part without wood stops nothing."""
    roadside.walk(road, FIRST, before=CLOSE)
    said = SignOff(
        serial=FIRST,
        step=CLOSE,
        measures=(roadside.GOOD_ROOM,),
        photographs=(roadside.picture(road),),
    )
    done = signoffs.sign(road.shop, said, road.hands("03"))

    assert done.consumed == ("L26-001-01.A", "L26-001-01.B")
    assert done.entries == (done.index + 1, done.index + 2, done.index)
    with road.shop.store.reading() as session:
        board = session.get_one(Board, "L26-001-01.A")
        assert board.consumed_idx == done.index + 1
    assert audit(road.shop).findings == ()


def test_a_step_without_its_wood_is_not_signed(road: Loft) -> None:
    """It names the part, and the command that allots."""
    with pytest.raises(RefusedError, match="uses up the neck, for which no wood is"):
        roadside.done(road, SECOND, CARVE)


def test_supervised_work_counts_once_it_is_countersigned(road: Loft) -> None:
    """By another who may do it; until then nothing goes on, and nobody inspects it."""
    roadside.walk(road, FIRST, before=CARVE)
    with pytest.raises(RefusedError, match="needs the qualification necks, which"):
        roadside.done(road, FIRST, CARVE, "08")
    roadside.learns(road)
    said = SignOff(serial=FIRST, step=CARVE)
    done = signoffs.sign(road.shop, said, road.hands("08"))

    assert done.countersign == "needs a countersign by a necks-qualified builder"
    with pytest.raises(RefusedError, match="carve the neck needs a countersign by a"):
        roadside.done(road, FIRST, MARRY)
    for meaning, badge in (("inspected", "06"), ("approved", "01")):
        with pytest.raises(RefusedError, match="was done under supervision and needs"):
            road.sign(FIRST, CARVE, badge, meaning=meaning)
    for badge, why in (("08", "still learns"), ("03", "does not hold")):
        with pytest.raises(RefusedError, match=why):
            road.sign(FIRST, CARVE, badge, meaning="witnessed")
    road.sign(FIRST, CARVE, "04", meaning="witnessed")
    roadside.done(road, FIRST, MARRY)
    assert audit(road.shop).findings == ()


def test_nobody_witnesses_the_own_work(road: Loft) -> None:
    """However qualified by now."""
    roadside.learns(road)
    roadside.done(road, FIRST, CARVE, "08")
    people.qualify(road.shop, road.person("08"), ["necks"], road.hands())
    with pytest.raises(RefusedError, match="does not witness it: ask another"):
        road.sign(FIRST, CARVE, "08", meaning="witnessed")


def test_whoever_helped_is_counted_and_does_not_inspect(road: Loft) -> None:
    """Several may help, each once; the doer is no helper."""
    road.enrol("Hallvard Ness", "05", qualifications=("inspect", "finish"))
    road.sign(FIRST, CARVE, "08", meaning="assisted")
    road.sign(FIRST, CARVE, "05", meaning="assisted")
    with pytest.raises(RefusedError, match=r"\(assisted\) by badge 08 in entry"):
        road.sign(FIRST, CARVE, "08", meaning="assisted")
    roadside.done(road, FIRST, CARVE)

    with pytest.raises(RefusedError, match="has not helped with it as well"):
        road.sign(FIRST, CARVE, "04", meaning="assisted")
    with pytest.raises(RefusedError, match=r"helped with .* does not inspect it"):
        road.sign(FIRST, CARVE, "05", meaning="inspected")
    with pytest.raises(RefusedError, match="any bench work, which badge 02"):
        road.sign(FIRST, CARVE, "02", meaning="assisted")
    road.sign(FIRST, CARVE, "06", meaning="inspected")


def test_a_qualification_that_was_not_looked_at_again_signs_nothing(road: Loft) -> None:
    """It says since when; what was signed before stays; looked at, it signs again."""
    teresa, lead = road.person("04"), road.hands()
    training.look_at(road.shop, teresa, "necks", until="2026-01-06", hands=lead)
    roadside.done(road, FIRST, CARVE)
    road.allot(SECOND, "neck", "L26-001-03")
    roadside.later(road, 2)
    with pytest.raises(RefusedError, match="badge 04 counted until 2026-01-06"):
        roadside.done(road, SECOND, CARVE)
    training.look_at(road.shop, teresa, "necks", until="2026-12-31", hands=lead)

    roadside.done(road, SECOND, CARVE)


def test_late_work_is_judged_by_the_day_it_was_done(road: Loft) -> None:
    """A qualification that came after it does not count, one that went does."""
    road.clock.moment = road.clock.moment.replace(hour=15)
    people.disqualify(road.shop, road.person("04"), ["necks"], road.hands())
    people.qualify(road.shop, road.person("03"), ["necks"], road.hands())
    late = replace(road.shop, beside=Beside(happened_at="2026-01-05T14:30:00Z"))
    said = SignOff(serial=FIRST, step=CARVE)
    with pytest.raises(RefusedError, match="which badge 03 does not hold"):
        signoffs.sign(late, said, road.hands("03"))

    assert signoffs.sign(late, said, road.hands("04")).countersign is None


def test_a_void_instrument_is_signed_no_more(road: Loft) -> None:
    """Its number stays void."""
    road.say(BuildVoided(serial=SECOND))
    with pytest.raises(RefusedError, match="is void, by entry"):
        roadside.done(road, SECOND, JOIN)


def test_work_in_doubt_is_not_signed(road: Loft) -> None:
    """As long as a hold is on its wood; lifted, it goes on."""
    road.say(HoldPlaced(hold="H26-001", on="lot", code="L26-001"))
    with pytest.raises(RefusedError, match="in doubt by hold H26-001"):
        roadside.done(road, FIRST, CARVE)
    road.say(HoldLifted(hold="H26-001"))

    roadside.done(road, FIRST, CARVE)
