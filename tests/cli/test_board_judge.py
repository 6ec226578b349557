"""flitchbook board grade, reject: the house's rule, the grader's word, and why."""

import pytest

from tests.cli.bench import Bench

SET, HALF = "L26-001-02", "L26-001-02.A"
GRADE = f"board grade {SET} --by 02"
FINE = (
    f"{GRADE} --rings '32 in 50 mm' --rings '30 in 50 mm' --rings '31 in 50 mm' "
    "--angle 4° --angle 2deg --angle 3° "
    "--runout 1.5° --skew 1° --colour even --silk clear --no-defects"
)


@pytest.fixture
def racked(bench: Bench) -> Bench:
    """Give a bench with a second set of spruce that is in no instrument."""
    bench.does(
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g' --mass '207 g'"
    )
    return bench


def test_a_set_is_graded_by_the_rule_and_says_why(racked: Bench) -> None:
    """Each half has its entry; what kept it from a better grade is told."""
    said = racked.does(FINE)
    worse = racked.data(f"{FINE.replace('--runout 1.5°', '--runout 2.5°')}")

    assert said.startswith(f"{HALF}: first, entry ")
    (a, b) = worse["boards"]
    assert (a["board"], b["board"]) == (HALF, f"{SET}.B")
    assert (a["grade"], a["suggested"], a["policy"]) == ("second", "second", "first 2")
    assert [r.replace("\u2009", " ") for r in a["reasons"]] == [
        "not first: runout 2.5° is above 2°"
    ]
    shown = racked.does(f"board show {HALF}")
    assert "second" in shown


def test_too_few_places_are_told_in_one_line(racked: Bench) -> None:
    """Both grades that are open, with how many places were counted and are asked."""
    few = FINE.replace(" --rings '31 in 50 mm'", "").replace(" --angle 2deg", "")
    said = racked.does(few)

    assert f"{HALF}: third, entry " in said
    assert (
        "first and second are not known: rings were counted at 2 places of 3; the ring "
        "angle was measured at 2 places of 3\n"
    ) in said


def test_a_second_pair_of_eyes_may_see_it_otherwise(racked: Bench) -> None:
    """The grader's word stands beside the rule's."""
    racked.does(FINE)
    said = racked.does(f"{FINE} --grade third --why 'dull, for a first'")
    told = racked.data(f"{FINE} --grade third")["boards"][0]

    assert "third, by the rule first, entry" in said
    assert (told["grade"], told["suggested"]) == ("third", "first")


def test_what_nobody_looked_at_is_not_taken_for_granted(racked: Bench) -> None:
    """Without a word of the grader's own there is no grade then."""
    racked.refuses(f"{GRADE} --colour even", "nobody measured the ring width")
    said = racked.does(f"{GRADE} --colour even --grade second")

    assert "second, by the rule no grade yet" in said
    assert "first, second and third are not known: nobody measured the ring" in said
    assert said.count("nobody looked for defects") == 1


@pytest.mark.parametrize(
    ("options", "fault"),
    [
        ("--rings 32", "is no count of rings: write '32 in 50 mm'"),
        ("--rings '-3 in 50 mm'", "is no count of rings"),
        ("--rings '32 in 50 g'", "50 g"),
        ("--rings '900 in 1 mm'", "count and measure again"),
        ("--angle 91°", "an angle of 91° is none"),
        ("--runout 4", "4"),
        ("--lab '82 1'", "is no colour"),
        ("--lab 'x y z'", "is no colour"),
        ("--lab '120 1 1'", "L* goes from 0 to 100"),
        ("--defect hole", "is no kind of defect"),
        ("--defect knot --no-defects", "say one of them"),
        ("--grade AAA", "is none of the house's grades first, second, third"),
        ("--as-seen ''", "figure as seen has 1 to"),
        ("--for ''", "part has 1 to"),
    ],
)
def test_what_cannot_be_is_refused(racked: Bench, options: str, fault: str) -> None:
    """In one sentence, and nothing is recorded."""
    racked.refuses(f"{GRADE} {options}", fault)


def test_a_board_of_another_lot_or_of_none_is_told(racked: Bench) -> None:
    """A code that was never given is no board."""
    racked.refuses("board grade L26-001-77 --by 02 --no-defects", "there is no board")
    assert racked.run(f"{GRADE} --figure loud").code == 2


def test_a_reject_says_what_is_wrong_and_where_it_went(racked: Bench) -> None:
    """Afterwards it goes into nothing; sent back, it is gone."""
    said = racked.does(f"board reject {SET} --by 02 --fault knot --fault stain")
    assert said == (f"{HALF} and {SET}.B: knot, stain; goes into no instrument.\n")
    assert "rejected for knot, stain" in racked.does(f"board show {HALF}")
    assert "REJECTED" in racked.does(f"board ready {SET}")
    racked.refuses(
        f"board reject {SET} --by 02 --fault knot", "already: nothing more was recorded"
    )
    told = racked.data(f"board reject {SET} --by 02 --fault knot --returned")

    assert told["returned"] is True and len(told["entries"]) == 2
    assert "went back to the sawyer" in racked.does(f"board show {HALF}")
    assert racked.run(f"board reject {SET} --by 02").code == 2
