"""How a build goes on: what can be done, by whom, what blocks it, what stands still."""

from collections.abc import Sequence
from datetime import timedelta

import pytest

from ledger.acts import (
    holds,
    models,
    orders,
    progress,
    rework,
    service,
    stuck,
    training,
    voiding,
)
from ledger.acts.holds import InDoubt
from ledger.acts.orders import Terms
from ledger.acts.progress import Next, Open
from ledger.acts.stuck import Still
from ledger.errors import NotFoundError, RefusedError
from ledger.events.route import PlannedPart, PlannedStep
from tests.aftersale import top_off
from tests.skerrymoor import NECK, TOP, Loft

PARTS = (PlannedPart(part="top"), PlannedPart(part="neck"))
STEPS = (
    PlannedStep(
        step="join the top", qualification="plates", uses_up=("top",), rest_days=2
    ),
    PlannedStep(
        step="brace", qualification="brace", after=("join the top",), gate="inspected"
    ),
    PlannedStep(step="carve", qualification="necks", uses_up=("neck",)),
    PlannedStep(
        step="marry", qualification="necks", after=("brace", "carve"), gate="approved"
    ),
)
SERIAL = "26-0001-8"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a top, two necks, a model with a road and a build begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK)
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=PARTS,
        steps=STEPS,
        hands=loft.hands(),
    )
    loft.begin()
    return loft


def asked(loft: Loft, serial: str = SERIAL) -> Next:
    """Return what comes next of a build."""
    with loft.shop.store.reading() as session:
        found = progress.next_of(loft.shop, session, serial)
        session.expunge_all()
    return found


def still(loft: Loft, days: int = 14) -> list[Still]:
    """Return the builds that stand still."""
    with loft.shop.store.reading() as session:
        return stuck.stuck(loft.shop, session, days=days)


def named(steps: Sequence[Open]) -> list[str]:
    """Return the names of steps."""
    return [step.step for step in steps]


def later(loft: Loft, days: int) -> None:
    """Let days pass."""
    loft.clock.moment += timedelta(days=days)
    object.__setattr__(loft.shop, "pause_confirmed", True)


def test_a_step_without_its_wood_waits_for_it(bench: Loft) -> None:
    """And with it can be done by whoever may do it alone."""
    before = asked(bench)
    bench.allot(SERIAL, "top", "L26-001-01")
    after = asked(bench)

    assert named(before.ready) == []
    assert before.blocked[0].near == ("no wood is allotted to the top",)
    assert named(after.ready) == ["join the top"]
    assert [who.badge for who in after.ready[0].who] == ["03", "10"]
    assert after.blocked[-1].near == ("brace is not done yet", "carve is not done yet")
    assert "join the top is not done yet" in after.blocked[-1].reasons


def test_a_step_that_rests_says_until_when(bench: Loft) -> None:
    """The next one can be done on that day and not before."""
    bench.allot(SERIAL, "top", "L26-001-01")
    index = bench.sign(SERIAL, "join the top")
    resting = asked(bench)
    later(bench, 2)

    assert resting.entries == (index,)
    assert resting.blocked[0].near == ("join the top rests until 2026-01-07",)
    assert named(asked(bench).ready) == ["brace"]


def test_a_gate_waits_for_another_pair_of_eyes(bench: Loft) -> None:
    """Never those of whoever did it; what comes behind it waits."""
    bench.allot(SERIAL, "top", "L26-001-01")
    bench.allot(SERIAL, "neck", "L26-001-02")
    bench.sign(SERIAL, "join the top", "10")
    later(bench, 3)
    bench.sign(SERIAL, "brace")
    found = asked(bench)

    assert [(step.step, step.state) for step in found.checks] == [
        ("brace", "gate shut")
    ]
    assert [who.badge for who in found.checks[0].who] == ["10"]
    assert found.checks[0].gate == "inspected"
    assert "brace is not inspected yet" in found.blocked[-1].near
    bench.sign(SERIAL, "brace", "10", meaning="inspected")
    assert asked(bench).checks == ()


def test_work_on_wood_that_is_not_there_waits_for_it(loft: Loft) -> None:
    """As its name says, where a later step uses it up."""
    steps = (
        PlannedStep(step="thickness the sides", qualification="plates"),
        PlannedStep(step="mix the stain", qualification="plates"),
        PlannedStep(
            step="bend",
            qualification="plates",
            after=("thickness the sides",),
            uses_up=("sides",),
        ),
    )
    models.define_model(
        loft.shop,
        name="Slipway",
        instrument="flat-top guitar",
        parts=(PlannedPart(part="sides"),),
        steps=steps,
        hands=loft.hands(),
    )
    found = asked(loft, loft.begin("Slipway"))

    assert named(found.ready) == ["mix the stain"]
    assert found.blocked[0].near == ("no wood is allotted to the sides",)


def test_where_nobody_else_may_a_lead_is_named(bench: Loft) -> None:
    """Whoever learns it is not told: that is for the lead and the learner."""
    bench.allot(SERIAL, "neck", "L26-001-02")
    alone = asked(bench).ready[0]
    teresa = bench.enrol()
    training.begin(
        bench.shop, bench.person("03"), "necks", trainer=teresa, hands=bench.hands()
    )
    taught = asked(bench).ready[0]

    assert [who.badge for who in alone.who] == ["01"]
    assert [who.badge for who in taught.who] == ["04"]


def test_a_doubt_in_its_wood_blocks_all_of_it(bench: Loft) -> None:
    """It is named with its hold."""
    bench.allot(SERIAL, "top", "L26-001-01")
    doubted = InDoubt(on="lot", code="L26-001")
    hold = holds.place(bench.shop, doubted, reason="no paper", hands=bench.hands())
    found = asked(bench)
    (doubt,) = found.doubts

    assert hold in doubt
    assert found.ready == ()
    assert all(doubt in step.reasons and not step.who for step in found.blocked)
    assert found.blocked[0].near == (doubt,)
    later(bench, 20)
    assert hold in still(bench)[0].waits


def test_a_build_that_is_void_or_was_never_begun_has_no_next_step(bench: Loft) -> None:
    """Either is said."""
    voiding.void(bench.shop, serial=SERIAL, reason="cancelled", hands=bench.hands())
    with pytest.raises(RefusedError, match="is void"):
        asked(bench)
    with pytest.raises(NotFoundError, match="no instrument"):
        asked(bench, "26-0099-9")


def test_a_build_stands_still_from_its_newest_entry_on(bench: Loft) -> None:
    """Whatever that said: a board allotted counts as a step does."""
    later(bench, 13)
    assert still(bench) == []
    bench.allot(SERIAL, "top", "L26-001-01")
    index = bench.shop.store.head().size - 1
    later(bench, 14)
    (found,) = still(bench)

    assert (found.serial, found.days, found.idx) == (SERIAL, 14, index)
    assert found.waits == "next step: join the top"
    assert still(bench, days=15) == []


def test_what_ends_something_and_a_way_out_are_said_of_it_too(bench: Loft) -> None:
    """Work to be done again, wood let go, an instrument that is lent."""
    bench.allot(SERIAL, "neck", "L26-001-02")
    bench.sign(SERIAL, "carve", "01")
    later(bench, 14)
    ordered = rework.order(
        bench.shop, serial=SERIAL, step="carve", reason="thick", hands=bench.hands()
    )
    assert [found.idx for found in still(bench, days=0)] == [ordered.entry.index]
    sent = service.send(
        bench.shop, serial=SERIAL, to="a fair", errand="show", hands=bench.hands()
    )

    assert [found.idx for found in still(bench, days=0)] == [sent.index]
    assert still(bench) == []


def test_the_late_come_first_and_the_closed_not_at_all(bench: Loft) -> None:
    """The later the sooner; a void build is late for nobody."""
    for due in ("2026-01-20", "2026-01-10", "2026-01-15"):
        orders.begin(
            bench.shop,
            model="Tidewarden",
            run=None,
            order=None,
            terms=Terms(due=due),
            hands=bench.hands(),
        )
    voiding.void(
        bench.shop, serial="26-0003-4", reason="cancelled", hands=bench.hands()
    )
    later(bench, 12)

    assert [(s.serial, s.late_days) for s in still(bench)] == [("26-0004-2", 2)]
    later(bench, 8)
    assert [s.serial for s in still(bench)] == ["26-0004-2", "26-0002-6", SERIAL]


def test_a_certified_instrument_waits_for_nothing(certified: Loft) -> None:
    """Its road is at its end, and nobody calls it late."""
    later(certified, 100)
    found = asked(certified)

    assert (found.done, found.steps) == (2, 2)
    assert found.certificate is not None
    assert still(certified) == []


def test_an_instrument_that_a_part_was_taken_off_can_stand_still(
    certified: Loft,
) -> None:
    """From that day on, until its next certificate."""
    later(certified, 100)
    index = top_off(certified).index
    later(certified, 14)
    (found,) = still(certified)

    assert (found.days, found.idx, found.late_days) == (14, index, 0)
    assert found.waits == "no wood is allotted to the top"


def test_what_was_done_and_waits_for_a_gate_is_why_it_stands_still(bench: Loft) -> None:
    """And where all that is open lacks wood, the wood is."""
    later(bench, 14)
    lacking = still(bench)[0].waits
    bench.allot(SERIAL, "top", "L26-001-01")
    bench.sign(SERIAL, "join the top")
    later(bench, 2)
    bench.sign(SERIAL, "brace")
    later(bench, 14)

    assert lacking == "join the top: no wood is allotted to the top"
    assert still(bench)[0].waits == "brace is not inspected yet"
