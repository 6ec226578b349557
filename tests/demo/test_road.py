"""Three instruments on their whole roads, and true answers to what is asked of them."""

from collections import Counter
from collections.abc import Iterable

import pytest
from sqlmodel import Session

from demo import archtop, flattop, solidbody, tops
from demo.road import Road, Work
from demo.scenario import Story
from ledger.acts import gauges, materials, orders
from ledger.acts.certificates import certificate_paper
from ledger.acts.claims import claims
from ledger.acts.hands import hands_on, uncovered
from ledger.acts.progress import next_of
from ledger.acts.signing import find_person
from ledger.acts.training import may_alone
from ledger.acts.voicing import voice
from ledger.craft.measured import read_measure
from ledger.errors import RefusedError
from ledger.log.entry import parse_record
from ledger.quantities import mass_mg
from ledger.views.boards import boards_in, set_of
from ledger.views.builds import Build, BuildMeasure, signed_steps
from ledger.views.models import plan_of
from ledger.views.trace import trace

FLAT, ARCH, SOLID = "26-0147-3", "26-0151-2", "26-0152-9"
ROADS: dict[str, Road] = {
    FLAT: flattop.ROAD,
    ARCH: archtop.ROAD,
    SOLID: solidbody.ROAD,
}
# What each was to come to, within a tenth.
ABOUT = {FLAT: 240, ARCH: 245, SOLID: 120}
WRONG = {
    FLAT: (
        "only a lead swaps the wood of 26-0147-3",
        "bend the sides is done again by entry",
        "needs the qualification frets, which badge 08 does not hold",
    ),
    ARCH: (
        "(hide glue, grains) was good until 2026-08-10, and this is of 2026-08-13",
        "neck N26-0150 is of 26-0150-4, and this body is B26-0151",
        "L24-002-02.C5 is in its place",
    ),
    SOLID: (
        "the check digit of 26-0125-9 is 6, not 9",
        "(straight edge and feelers) held until 2026-07-31",
        "was begun 2026-07-16T09:33:00Z, and this is of 2026-07-14T15:10:00Z",
    ),
}


def works(serial: str) -> list[Work]:
    """Return the signatures of an instrument's table."""
    return [line for line in ROADS[serial].lines if isinstance(line, Work)]


def entries_of(story: Story, session: Session, serial: str) -> Counter[str]:
    """Count the entries that concern an instrument, by their kind.

    They are those that name it, its certificate, or a board of its wood or of what
    that was sawn from; those that received the lots and filed their papers; and those
    by which the batches that went into it and the gauges that measured it came in and
    were calibrated. An entry counts once, and the room's air not at all.
    """
    lines = trace(session, serial)
    found = {line.entry for line in lines}
    named = [line.code for line in lines if line.code[:1] == "L" and "-" in line.code]
    boards = {code for code in named if code.count("-") == 2}
    for code in (serial, story.certificates[serial], *boards):
        found |= {claim.entry for claim in claims(story.shop, session, code)}
    found |= _shelf_of(story, session, serial)
    kinds = (parse_record(story.shop.store.record(index)).entry.kind for index in found)
    return Counter(kinds)


def _shelf_of(story: Story, session: Session, serial: str) -> set[int]:
    """Return the entries by which batches and gauges came to be used for it."""
    events = (
        parse_record(story.shop.store.record(row.idx)).entry.event
        for row in signed_steps(session, serial)
    )
    codes = {
        code for event in events for code in (*event["materials"], *event["gauges"])
    }
    told = (claim for c in codes for claim in claims(story.shop, session, c))
    return {t.entry for t in told if t.kind.startswith(("material.", "gauge."))}


@pytest.mark.parametrize("serial", ROADS)
def test_an_instrument_is_of_so_many_entries(story: Story, serial: str) -> None:
    """About 240, 245 and 120, each of an act that somebody did."""
    with story.shop.store.reading() as session:
        found = entries_of(story, session, serial)

    assert found.total() == pytest.approx(ABOUT[serial], rel=0.1), found


@pytest.mark.parametrize("serial", ROADS)
def test_every_step_of_its_road_is_signed(story: Story, serial: str) -> None:
    """Nothing is left to be done, inspected or approved, and nobody was unqualified."""
    with story.shop.store.reading() as session:
        build = session.get_one(Build, serial)
        plan = plan_of(session, build.model, build.version)
        done = {
            row.step for row in signed_steps(session, serial) if row.meaning == "did"
        }
        left = next_of(story.shop, session, serial)

    assert done == {step.step for step in plan.steps}
    assert (left.ready, left.checks, left.blocked, left.doubts) == ((), (), (), ())
    assert (left.done, left.certificate) == (left.steps, story.certificates[serial])
    assert uncovered(story.shop) == []


def test_the_roads_are_as_long_as_their_families(story: Story) -> None:
    """Forty-two steps, fifty, and thirty-three."""
    with story.shop.store.reading() as session:
        lengths = [next_of(story.shop, session, serial).steps for serial in ROADS]

    assert lengths == [42, 50, 33]


@pytest.mark.parametrize("serial", ROADS)
def test_three_things_went_wrong_on_its_way(story: Story, serial: str) -> None:
    """Each was refused or recorded, and is told in the record's own sentence."""
    told = [each.replace("\u2009", " ") for each in story.mishaps[serial]]

    assert len(told) == 3
    for said, expected in zip(told, WRONG[serial], strict=True):
        assert expected in said


def test_nine_people_signed_the_flat_top(story: Story) -> None:
    """The lead, the bench, the apprentice and the inspector."""
    badges = {work.badge for work in works(FLAT)}
    with story.shop.store.reading() as session:
        keys = {row.key for row in signed_steps(session, FLAT)}

    assert keys == {story.keys[badge].id for badge in badges} and len(keys) == 9


@pytest.mark.parametrize("serial", ROADS)
def test_what_is_in_it_is_what_was_weighed(story: Story, serial: str) -> None:
    """Every part with its board and its mass, on the certificate as in the table."""
    weighed = {
        part: mass_mg(mass)
        for work in works(serial)
        for part, mass in work.weighed.items()
    }
    with story.shop.store.reading() as session:
        boards = {str(b.part): set_of(b.code) for b in boards_in(session, serial)}
    event = certificate_paper(story.shop, story.certificates[serial]).event

    assert {m.part: m.mass_mg for m in event.materials} == weighed
    assert {m.part: m.board for m in event.materials} == boards
    read = {what: said for work in works(serial) for what, said in work.read.items()}
    assert event.mass_mg == mass_mg(read["mass"])


def test_the_tailpiece_is_of_the_other_wood(story: Story) -> None:
    """What was spoiled is in the trace, and not in the instrument."""
    with story.shop.store.reading() as session:
        held = {str(b.part): b.code for b in boards_in(session, ARCH)}
        (gone,) = [x for x in trace(session, ARCH) if x.code == "L24-002-02.C4"]

    assert held["tailpiece"] == "L24-002-02.C5"
    assert gone.said.startswith("was its tailpiece")
    assert gone.said.endswith("until it was spoiled")


@pytest.mark.parametrize("serial", ROADS)
def test_who_carved_the_neck_was_qualified(story: Story, serial: str) -> None:
    """Teresa, by what she held on that day."""
    (carved,) = hands_on(story.shop, serial, "carve the neck")
    work = next(w for w in works(serial) if w.step == "carve the neck")

    assert (carved.name, carved.day) == ("Teresa Quispe", work.day)
    assert (carved.needs, carved.ability.how) == ("necks", "qualified")


def test_the_frets_were_pressed_under_eyes(story: Story) -> None:
    """Benji did it while he learned from Teresa, who put her key beside his."""
    pressed, witnessed = hands_on(story.shop, FLAT, "press the frets")

    assert (pressed.name, pressed.ability.how) == (
        "Benji Takahashi-Cole",
        "supervised",
    )
    assert (witnessed.meaning, pressed.covered_by) == ("witnessed", witnessed.idx)
    benji, lead = find_person(story.shop, "08"), story.keys["01"]
    assert may_alone(story.shop, lead, benji, "frets").countersigned == (pressed.idx,)
    with pytest.raises(RefusedError, match="is for Benji"):
        may_alone(story.shop, story.keys["03"], benji, "frets")


@pytest.mark.parametrize("name", ["old hide glue", "hide glue", "wood glue", "lacquer"])
def test_which_glue_touched_what(story: Story, name: str) -> None:
    """A batch leads to each step of each table that used it, and to no other."""
    table = Counter(
        (serial, work.step, work.day)
        for serial in ROADS
        for work in works(serial)
        if name in work.used
    )
    if name == "hide glue":
        table[(story.next_serial, flattop.BEGUN.step, flattop.BEGUN.day)] += 1
    batch = story.shelf.batches[name]
    with story.shop.store.reading() as session:
        uses = materials.uses_of(session, batch)

    assert Counter((use.serial, use.step, use.day) for use in uses) == table


def test_a_gauge_leads_to_what_it_measured(story: Story) -> None:
    """The feelers that were overdue measured the solid-body, and it alone."""
    code = story.shelf.tools["other feelers"]
    with story.shop.store.reading() as session:
        told = gauges.tell(session, code)

    assert [(use.serial, use.step) for use in told.steps] == [
        (SOLID, "level the frets"),
        (SOLID, "fit the neck"),
    ]
    assert [c.until for c in told.calibrations] == ["2026-07-31", "2027-08-10"]


@pytest.mark.parametrize("serial", ROADS)
def test_what_was_measured_is_what_the_table_says(story: Story, serial: str) -> None:
    """The newest value of each thing, to the letter."""
    read = {what: said for work in works(serial) for what, said in work.read.items()}
    with story.shop.store.reading() as session:
        told = orders.promised(story.shop, session, serial)

    assert _values(told.measures) == {
        what: read_measure(said) for what, said in read.items()
    }


def test_what_was_promised_stands_beside_what_was_built(story: Story) -> None:
    """A nut as it was asked for later, strings a tenth lower than promised."""
    with story.shop.store.reading() as session:
        told = orders.promised(story.shop, session, FLAT)
    newest = {line.what: line for line in told.newest()}
    nut, action = newest["width at the nut"], newest["action, 6th string, settled"]

    assert [line.promised for line in told.before(nut)] == ["43 mm"]
    assert orders.off_by(nut, told.measured(nut.what)) == 0
    assert orders.off_by(action, told.measured(action.what)) == -100
    assert [row.what for row in told.concessions] == ["crack in the treble side"]


def test_how_the_voice_of_the_arch_top_moved(story: Story) -> None:
    """Barred, closed and strung, each tone where the table has it."""
    with story.shop.store.reading() as session:
        rails = [rail for rail in voice(session, ARCH) if rail.board is None]
    stages = (tops.BARRED, tops.ARCHED, tops.SOUNDING)

    assert [rail.stage for rail in rails] == [stage.stage for stage in stages]
    for rail, stage in zip(rails, stages, strict=True):
        heard = {r.mode: r.frequency_millihertz for r in rail.readings}
        rung = zip(stage.ring.modes, stage.ring.tones, strict=True)
        assert heard == pytest.approx({m: t.millihertz for m, t in rung}, rel=0.001)


def test_the_late_entry_tells_both_days(story: Story) -> None:
    """Done before the lights went out, entered the day after."""
    (strung,) = hands_on(story.shop, SOLID, "string and set up")

    assert (strung.day, strung.happened_at) == ("2026-09-15", "2026-09-14T15:10:00Z")


def _values(measures: Iterable[BuildMeasure]) -> dict[str, tuple[str, int]]:
    return {measure.what: (measure.unit, measure.value) for measure in measures}
