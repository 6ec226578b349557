"""An instrument in hand: wood allotted, ways out of a wrong scan, steps signed."""

import pytest
from sqlmodel import select

from ledger.views.builds import (
    StepGauge,
    measures_of,
    signed_steps,
    weighed_parts,
)
from tests import roadside
from tests.cli.bench import Bench
from tests.cli.rounds import SERIAL, Walk
from tests.roadside import GLUE


def signed(walk: Walk) -> list[tuple[str, str]]:
    """Return what was signed of the instrument."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = [(row.step, row.meaning) for row in signed_steps(session, SERIAL)]
    shop.close()
    return found


@pytest.mark.parametrize("step", ["1", "join the top", "JOIN", "j"])
def test_a_step_is_named_by_number_or_name(walk: Walk, step: str) -> None:
    """The sentence is shown before it is signed."""
    said = walk.answers(SERIAL, step, "did", options="--by 03")

    assert said[1].startswith(
        'Jakub Wolański signs "I did: join the top of 26-0001-8" or "I inspected:'
    )
    assert "join the top: did, signed by Jakub Wolański, entry" in said[2]
    assert said[2].endswith("next step: 2 brace")
    assert signed(walk) == [("join the top", "did")]


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (("3",), "'3' is no step of 26-0001-8; to be done are 1 join the top, 2 brace"),
        (("did",), "name the step of 26-0001-8 before 'did'"),
        (("1", "yes"), "'yes' signs nothing"),
        (("1", "inspected"), "needs the qualification inspect"),
        (("1", "approved"), "needs the qualification lead"),
        (("1", "did", "1", "did"), "was signed (did) by badge 03 in entry"),
    ],
)
def test_what_nobody_may_sign_is_not_signed(
    walk: Walk, lines: tuple[str, ...], why: str
) -> None:
    """One sentence says why, and that nothing was recorded."""
    said = walk.says([SERIAL, *lines], options="--by 03")

    assert "nothing was recorded: " in said.out and why in said.out
    assert len(signed(walk)) == lines.count("1") - 1 or signed(walk) == []


def test_another_inspects_what_one_did(walk: Walk) -> None:
    """Two people on one round of the same scanner."""
    walk.answers(
        SERIAL, "1", "did", "lock", "10", SERIAL, "1", "inspected", options="--by 03"
    )

    assert signed(walk) == [("join the top", "did"), ("join the top", "inspected")]


def scales(walk: Walk) -> tuple[dict[str, int], list[tuple[str, str, int]]]:
    """Return the masses of the instrument's parts, and what else was measured."""
    shop = walk.shop()
    with shop.store.reading() as session:
        weighed = weighed_parts(session, SERIAL)
        measured = [(m.what, m.unit, m.value) for m in measures_of(session, SERIAL)]
    shop.close()
    return weighed, measured


@pytest.mark.parametrize(
    "typed",
    [
        "did top=190 g, relief=0.18 mm",
        "did, top=190 g, relief=0,18 mm",
        "DID Top = 190; relief=180 µm",
        "did relief=0,18 mm , top=0.19 kg",
    ],
)
def test_a_step_takes_what_was_weighed_and_measured(walk: Walk, typed: str) -> None:
    """Behind the signature, in one line; a part's bare number is in grams."""
    said = walk.answers(SERIAL, "1", typed, "2", options="--by 03")

    assert "did top=190 g, relief=0.18 mm; not weighed yet: top, neck" in said[1]
    assert "join the top: did, " in said[2] and ", top 190 g" in said[2]
    assert "signed by Jakub Wolański, entry" in said[2]
    assert said[3].endswith("not weighed yet: neck")
    assert scales(walk) == ({"top": 190_000}, [("relief", "length_um", 180)])


def test_a_part_weighed_is_no_longer_asked_for(walk: Walk) -> None:
    """Struck, it is asked for again."""
    said = walk.answers(
        *(SERIAL, "1", "did top=190, neck=300 g", "2", "undo", "the wrong one", "1"),
        options="--by 03",
    )

    assert said[3].endswith("What was measured may follow: did relief=0.18 mm")
    assert said[-1].endswith("not weighed yet: top, neck")
    assert scales(walk) == ({}, [])


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("did relief=0.18", "write it with its unit"),
        ("did top", "'top' needs a name and a value, such as 'top=190 g'"),
        ("did top=", "needs a name and a value"),
        ("did top=190 g, top=191 g", "'top' is weighed twice"),
        ("did top=0", "0 mg is no mass: weigh it again"),
        ("did 190 g", "'190 g' needs a name and a value"),
        ("did top=190 gramms", "is no measure: write it with its unit"),
    ],
)
def test_what_cannot_be_weighed_is_not_signed(walk: Walk, typed: str, why: str) -> None:
    """The step stays unsigned, and nothing of the line is kept."""
    before = walk.size()
    said = walk.says([SERIAL, "1", typed], options="--by 03")

    assert "nothing was recorded: " in said.out and why in said.out
    assert (signed(walk), walk.size()) == ([], before)


@pytest.fixture
def on_road(roadway: Bench) -> Walk:
    """Give somebody on a round where the model's steps ask for something."""
    return Walk(bench=roadway)


def test_a_step_asks_for_what_nobody_said_yet(on_road: Walk) -> None:
    """One thing after the other, and then it is signed."""
    said = on_road.answers(
        SERIAL, "1", "did", "by foot", "by hand", GLUE, options="--by 03", refused=1
    )

    assert "It asks for by hand or by machine, the batch of glue. " in said[1]
    assert said[2] == "how was it done, by hand or by machine?"
    assert said[3].startswith("nothing was recorded: 'by foot' is no accepted way of")
    assert said[5] == "scan the batch of glue that went in"
    assert said[6].startswith(f"{SERIAL} join the top: did, by hand, {GLUE}, signed by")
    assert said[6].endswith("next step: 3 carve the neck")


def test_all_that_a_step_asks_for_may_stand_in_one_line(on_road: Walk) -> None:
    """The way, the batch and the gauge, in any order after it."""
    said = on_road.answers(
        SERIAL, "1", f"did by machine, {GLUE}, G26-001", options="--by 03"
    )

    assert f"did, {GLUE}, G26-001, by machine, signed by Jakub" in said[2]
    shop = on_road.shop()
    with shop.store.reading() as session:
        (row,) = signed_steps(session, SERIAL)
        gauges = [g.gauge for g in session.exec(select(StepGauge)).all()]
    shop.close()
    assert (row.way, gauges) == ("by machine", ["G26-001"])


def test_batches_and_gauges_are_scanned_before_it_is_said(on_road: Walk) -> None:
    """Each goes with it; the same again goes once."""
    said = on_road.answers(
        SERIAL, "1", GLUE, "G26-001", "did by hand", options="--by 03"
    )

    assert said[2].startswith(f"{GLUE} goes with it: ")
    assert said[4].startswith("G26-001 goes with it: ")
    assert "join the top: did, by hand, signed by Jakub" in said[6]


@pytest.mark.parametrize(
    ("scanned", "why"),
    [
        ("M26-077", "there is no batch M26-077: it was never"),
        ("G26-077", "there is no gauge G26-077"),
        ("M26-003", "M26-003 is strings, and join the top asks for glue: scan that"),
        ("N26-0002", "neck N26-0002 is of 26-0002-6"),
    ],
)
def test_what_cannot_go_with_a_step_is_refused_as_it_is_scanned(
    on_road: Walk, scanned: str, why: str
) -> None:
    """The same is asked again, and nothing that was answered before is lost."""
    on_road.bench.does("material receive strings --as strings --by 01")
    said = on_road.answers(
        *(SERIAL, "1", "did by hand", scanned, "G26-001", GLUE),
        options="--by 03",
        refused=1,
    )

    question = "scan the batch of glue that went in"
    assert why in said[3] and said[2] == said[4] == said[6] == question
    assert said[5].startswith("G26-001 goes with it: ")
    assert said[7].startswith(
        f"{SERIAL} join the top: did, by hand, G26-001, {GLUE}, signed"
    )


def test_body_and_neck_are_scanned_where_they_are_joined(on_road: Walk) -> None:
    """What does not belong together is refused with both sides named."""
    on_road.answers(SERIAL, "1", f"did by hand {GLUE}", options="--by 03")
    on_road.bench.at = on_road.bench.at.replace(day=7)
    inside = roadside.draw(on_road.bench.folder / "inside.png")
    said = on_road.answers(
        *(SERIAL, "2", "did", "45 %RH", "nowhere.png", str(inside)),
        options="--by 03",
        refused=1,
    )
    assert said[2] == "room of 26-0001-8 40 %RH to 50 %RH: what is read?"
    assert said[-1] == "L26-001-01.A, L26-001-01.B: in the instrument for good"
    on_road.answers(SERIAL, "2", "inspected", options="--by 06")
    on_road.answers(SERIAL, "3", "did", options="--by 04")
    wrong = on_road.says(
        [SERIAL, "marry", "did", "B26-0001", "N26-0002"], options="--by 04"
    )
    assert "neck N26-0002 is of 26-0002-6, and this body is B26-0001" in wrong.out
    joined = on_road.answers(
        SERIAL, "marry", "did", "B26-0001", "N26-0001", options="--by 04"
    )

    asked = [f"scan the body of {SERIAL}", f"scan the neck of {SERIAL}"]
    assert wrong.out.splitlines()[-2] == asked[1], "the neck is asked for again"
    assert joined[2:4] == asked
    assert "marry: did, B26-0001, N26-0001, signed by Teresa Quispe" in joined[4]


def test_supervised_work_is_witnessed_on_the_same_round(on_road: Walk) -> None:
    """What it waits for is told at once."""
    on_road.bench.does("person train 08 necks --trainer 04 --by 01")
    said = on_road.answers(
        *(SERIAL, "3", "did", "lock", "04", SERIAL, "3", "witnessed"),
        options="--by 08",
    )

    assert "carve the neck was done under supervision and needs a countersign by a" in (
        "".join(said)
    )
    assert signed(on_road)[-1] == ("carve the neck", "witnessed")


def test_an_undone_step_gives_its_wood_back(on_road: Walk) -> None:
    """Struck with the signature that used it up."""
    said = on_road.answers(
        SERIAL, "3", "did", "undo", "the wrong neck", "3", "did", options="--by 04"
    )

    assert "L26-001-02: in the instrument for good" in said[3]
    assert "carve the neck: did: struck by entry" in said[5]
    assert "L26-001-02: in the instrument for good" in said[8]


def test_body_and_neck_may_come_while_something_else_is_asked(on_road: Walk) -> None:
    """Whatever is scanned goes with the step, and what was asked is asked again."""
    said = on_road.answers(
        SERIAL, "1", "did", GLUE, "B26-0001", "G26-001", "by hand", options="--by 03"
    )

    assert said[2:9:2] == ["how was it done, by hand or by machine?"] * 4
    goes = [line.partition(" goes with it")[0] for line in said[3:9:2]]
    assert goes == [GLUE, "B26-0001", "G26-001"]
    assert f"did, {GLUE}, B26-0001, G26-001, by hand, signed by" in said[9]


def test_what_is_signed_already_is_said_first(on_road: Walk) -> None:
    """Nobody looks for a batch in vain; nor for a step that waits, or another's."""
    on_road.answers(SERIAL, "1", f"did by hand {GLUE}", options="--by 03")
    for step, badge, why in (
        ("1", "03", "was signed (did) by badge 03 in entry"),
        ("2", "03", "close the box of 26-0001-8 waits: join the top rests until"),
        ("3", "03", "needs the qualification necks, which badge 03 does not hold"),
    ):
        said = on_road.says([SERIAL, step, "did"], options=f"--by {badge}")

        assert why in said.out.splitlines()[2]


def test_a_photograph_on_file_is_asked_about(on_road: Walk) -> None:
    """It may be of another instrument, and bear what is not filed with it."""
    picture = roadside.draw(on_road.bench.folder / "inside.png")
    on_road.answers("L26-001-03", f"photograph {picture}")
    on_road.answers(SERIAL, "1", f"did by hand {GLUE}", options="--by 03")
    on_road.bench.at = on_road.bench.at.replace(day=7)
    picture.write_bytes(picture.read_bytes() + b"where it was taken")
    said = on_road.answers(
        *(SERIAL, "2", "did room=45 %RH", str(picture), "no"),
        *("2", "did room=45 %RH", str(picture), "yes"),
        options="--by 03",
    )

    assert "is on file already, photograph of L26-001-03, entry" in said[3]
    assert said[4] == "close the box of 26-0001-8: not signed"
    assert "close the box: did" in said[8]
    assert said[-1].endswith("such as where it was, is not filed")


def test_a_measure_with_a_comma_in_its_name_is_given(roadway: Bench) -> None:
    """In the line of the signature, or as an answer with its name or without."""
    model = roadway.file("comma.txt", COMMA)
    roadway.does(f"model define Comma --from {model} --by 01")
    serial = roadway.data("build begin Comma --by 01")["serial"]
    walk = Walk(bench=roadway)
    for step, typed in (
        ("one", ("did room, closed=45 %RH, 6th, action=2,4 mm",)),
        ("two", ("did", "45 %RH", "6th, action = 2.4 mm")),
    ):
        said = walk.answers(serial, step, *typed, options="--by 03")

        assert "signed by Jakub" in said[-1]
    shop = walk.shop()
    with shop.store.reading() as session:
        read = [(m.what, m.value) for m in measures_of(session, serial)]
    shop.close()
    assert read == [("room, closed", 450_000), ("6th, action", 2_400)]


COMMA = """
[model]
instrument = "flat-top guitar"

[[part]]
name = "top"

[[step]]
name = "one"
needs = "plates"

    [[step.measure]]
    what = "room, closed"
    unit = "%RH"

    [[step.measure]]
    what = "6th, action"
    unit = "mm"

[[step]]
name = "two"
needs = "plates"

    [[step.measure]]
    what = "room, closed"
    unit = "%RH"

    [[step.measure]]
    what = "6th, action"
    unit = "mm"

[[step]]
name = "three"
needs = "plates"
uses_up = ["top"]
"""


def test_a_measure_that_can_hardly_be_is_asked_about(walk: Walk) -> None:
    """It is taken as it was read, and as nothing else."""
    said = walk.answers(
        SERIAL, "1", "did relief=5000 m", "5 m", "as read", options="--by 03", refused=2
    )

    assert "what is read of an instrument lies between" in said[2]
    assert (
        said[3] == "say 'as read' if it is so, or 'cancel' and name join the top again"
    )
    assert "'5 m' is not 'as read'" in said[4]
    assert "join the top: did, relief 5000 m, signed by" in said[6]


def test_a_step_is_found_by_a_word_of_its_name(walk: Walk) -> None:
    """Several that fit are named, and no others."""
    said = walk.answers(SERIAL, "top", "did", options="--by 03")

    assert "I did: join the top of" in said[1]
