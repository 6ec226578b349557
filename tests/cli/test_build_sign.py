"""flitchbook build sign: each step once, by the right hands, with what it asks for."""

import pytest

from tests import roadside
from tests.cli.bench import Bench
from tests.roadside import CARVE, CLOSE, FIRST, GLUE, JOIN

NEXT = "26-0002-6"


@pytest.fixture
def begun(bench: Bench) -> Bench:
    """Give a bench where a second instrument was begun."""
    assert bench.data("build begin Tidewarden --by 01") == {"serial": NEXT}
    return bench


def test_a_step_is_signed_with_what_was_measured_and_weighed(begun: Bench) -> None:
    """The answer names the entry, and the instrument shows who did it."""
    told = begun.data(
        f"build sign {NEXT} brace --by 03 --measured 'relief=0.18 mm' "
        "--measured 'main air=98.4 Hz' --measured 'set up at=45 %RH' "
        "--measured 'mass=1986 g' --weighed 'top=190 g'"
    )

    assert told == {
        "entry": told["entry"],
        "entries": [told["entry"]],
        "step": "brace",
        "consumed": [],
        "needs_countersign": False,
    }
    assert "brace: did by Jakub Wolański, 2026-01-05" in begun.does(
        f"build show {NEXT}"
    )
    shown = begun.data(f"build show {NEXT}")
    assert shown["where"]["said"].startswith("last in the hands of Jakub Wolański")
    assert shown == {
        "serial": NEXT,
        "where": {"said": shown["where"]["said"], "entry": told["entry"]},
        "next": "next step: 1 join the top",
        "boards": {},
        "open_parts": ["top", "neck"],
        "graduated": {},
        "weighed_mg": {"top": 190_000},
        "not_weighed": ["neck"],
        "open_steps": ["join the top"],
    }


def test_what_can_hardly_be_is_taken_where_somebody_insists(begun: Bench) -> None:
    """A milligram for a top, unless it was read twice."""
    command = f"build sign {NEXT} brace --by 03 --weighed 'top=0.001 g'"
    begun.refuses(command, "or say that it is so with --as-read")

    assert begun.data(f"{command} --as-read")["step"] == "brace"


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("brace --by 02", "the qualification brace, which badge 02 does not hold"),
        ("close --by 03", "has no step 'close': it has join the top, brace"),
        ("brace --by 10 --meaning inspected", "nobody has signed step brace"),
        ("brace --by 03 --meaning approved", "ask somebody who does"),
        ("brace --by 03 --weighed top", "needs a name and a value, such as"),
        ("brace --by 03 --weighed top=190", "190 has no unit: write 190 g or 190 oz"),
        ("brace --by 03 --weighed 'top=0 g'", "weigh it again"),
        ("brace --by 03 --weighed 'lid=1 g'", "has no part 'lid'"),
        ("brace --by 03 --weighed 'top=1 g' --weighed 'top=2 g'", "is weighed twice"),
        ("brace --by 03 --measured 'a=1 g' --measured 'a=2 g'", "is measured twice"),
        ("brace --by 03 --measured 'a=1'", "write it with its unit"),
        ("brace --by 03 --measured '=1 g'", "needs a name and a value"),
    ],
)
def test_a_step_is_not_signed_wrongly(begun: Bench, rest: str, why: str) -> None:
    """Without the qualification, the step, the unit or the sense, nothing is signed."""
    begun.refuses(f"build sign {NEXT} {rest}", why)


def test_a_step_is_signed_once_and_inspected_by_another(begun: Bench) -> None:
    """A double scan changes nothing, and the doer is not the inspector."""
    begun.does(f"build sign {NEXT} 'join the top' --by 10")
    again = f"build sign {NEXT} 'join the top' --by 10"

    begun.refuses(again, "by badge 10 in entry")
    begun.refuses(f"{again} --meaning inspected", "does not inspect it: ask another")


def test_a_step_takes_its_way_its_batch_and_its_gauge(roadway: Bench) -> None:
    """Typed or scanned; the answer says what went in and for whom it waits."""
    told = roadway.data(
        f"build sign {FIRST} '{JOIN}' --way 'by hand' --used M/{GLUE}L "
        f"--gauge G26-001 --by 03"
    )

    assert (told["consumed"], told["needs_countersign"]) == ([], False)
    neck = roadway.does(f"build sign {FIRST} '{CARVE}' --by 04")
    assert "L26-001-02 went in for good." in neck


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        (f"'{JOIN}' --used {GLUE} --by 03", "by hand or by machine: say which with"),
        (f"'{JOIN}' --way 'by hand' --by 03", "no batch of it is named: give its code"),
        (f"'{JOIN}' --used G26-001 --by 03", "is not the code of a batch"),
        (f"'{JOIN}' --gauge M26-001 --by 03", "is not the code of a gauge"),
        (f"'{CARVE}' --by 04 --body N26-0001", "is not the code of a body"),
        (f"'{CARVE}' --by 04 --neck N26-0002", "neck N26-0002 is of 26-0002-6, and"),
        (f"'{CARVE}' --by 04 --photo nowhere.png", "there is no file nowhere.png"),
        (f"'{CLOSE}' --by 03 --measured 'room=45 %RH'", "join the top is not done yet"),
        (f"'{CARVE}' --by 08", "necks, which badge 08 does not hold"),
    ],
)
def test_what_a_step_asks_for_is_not_left_out(
    roadway: Bench, rest: str, why: str
) -> None:
    """One sentence says what it is, and nothing is written anywhere."""
    roadway.refuses(f"build sign {FIRST} {rest}", why)


def test_a_step_with_a_picture_files_it(roadway: Bench) -> None:
    """It cannot be seen again later; nothing but the picture goes in."""
    roadway.does(f"build sign {FIRST} '{JOIN}' --way 'by hand' --used {GLUE} --by 03")
    roadway.at = roadway.at.replace(day=7)
    inside = roadway.folder / "inside.png"
    roadside.draw(inside)
    inside.write_bytes(inside.read_bytes() + b"where it was taken")
    said = roadway.does(
        f"build sign {FIRST} '{CLOSE}' --by 03 --measured 'room=45 %RH' "
        f"--photo {inside}"
    )

    assert "L26-001-01.A and L26-001-01.B went in for good." in said
    assert said.endswith("such as where it was, is not filed\n")


def test_supervised_work_says_for_whom_it_waits(roadway: Bench) -> None:
    """And witnessed it counts."""
    roadway.does("person train 08 necks --trainer 04 --by 01")
    said = roadway.does(f"build sign {FIRST} '{CARVE}' --by 08")

    assert (
        "It was done under supervision and needs a countersign by a necks-qualified "
        "builder."
    ) in said
    roadway.does(f"build sign {FIRST} '{CARVE}' --by 04 --meaning witnessed")
    assert roadway.data("person unqualified") == {"signatures": []}
