"""Grades: the best one that is kept, every reason against a better, nothing unseen."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.grading import Defect, Findings, Graded, grade_of
from ledger.craft.grading_policy import (
    first_grading_policies,
    first_grading_policy,
    grading_policy,
)
from ledger.craft.rings import RingCount
from ledger.errors import RefusedError

OLD, FIRST = map(grading_policy, first_grading_policies())
INCH = 25_400


def inch(*rings: int) -> tuple[RingCount, ...]:
    """Return so many rings counted over an inch, at each place."""
    return tuple(RingCount(rings=number, span_um=INCH) for number in rings)


FINE = Findings(
    part="top",
    species="Picea abies",
    rings=inch(20, 18, 19),
    ring_angles_millidegree=(3_000, -5_000, 2_000),
    runout_millidegree=1_000,
    skew_millidegree=-1_500,
    colour="even",
    defects=(),
)


def graded(**changes: Any) -> Graded:
    """Grade the fine top with something changed in it."""
    return grade_of(replace(FINE, **changes), FIRST)


def ruled(**limits: Any) -> Any:
    """Return a policy of one grade for tops of any wood, with these limits."""
    text = first_grading_policy()
    rule = {"grade": "first", "parts": ["top"], "species": []}
    return grading_policy(text | {"grades": [rule | limits]})


def test_a_top_that_keeps_every_limit_is_first() -> None:
    """Nothing stands against it and nothing is open."""
    assert graded() == Graded(grade="first", open=(), reasons=(), policy="first 2")


@pytest.mark.parametrize(
    ("change", "grade", "reason"),
    [
        (
            {"runout_millidegree": 3_000},
            "second",
            "not first: runout 3° is above 2°",
        ),
        (
            {"runout_millidegree": -3_200},
            "third",
            "not second: runout 3.2° is above 3°",
        ),
        (
            {"ring_angles_millidegree": (2_000, 3_000, -10_001)},
            "second",
            "not first: ring angle 10.001° is above 10°",
        ),
        (
            {"rings": inch(12, 12, 12)},
            "second",
            "not first: ring width 2.117 mm is above 1.7 mm",
        ),
        (
            {"colour": "uneven"},
            "third",
            "not second: colour is uneven, and slightly uneven is asked",
        ),
        (
            {"defects": (Defect(kind="pitch"),)},
            "second",
            "not first: defect pitch: 1 inside the outline, none allowed",
        ),
        (
            {"defects": (Defect(kind="pitch"),) * 2},
            "third",
            "not second: defect pitch: 2 inside the outline, 1 allowed",
        ),
        (
            {"defects": (Defect(kind="check"),)},
            "set aside",
            "not third: defect check: 1 inside the outline, none allowed",
        ),
    ],
)
def test_what_kept_a_board_from_better_is_told(
    change: dict[str, Any], grade: str, reason: str
) -> None:
    """The reason has the thing and both numbers, as a builder would say it."""
    verdict = graded(**change)
    plain = [each.replace("\u2009", " ") for each in verdict.reasons]

    assert verdict.grade == grade
    assert reason in plain
    assert verdict.open == ()


def test_every_broken_limit_is_named_not_only_the_first() -> None:
    """A board that fails in three ways is told all three, for each grade."""
    verdict = graded(
        runout_millidegree=2_500, skew_millidegree=2_600, colour="slightly uneven"
    )

    assert verdict.grade == "second"
    assert [reason.split()[2] for reason in verdict.reasons] == [
        "runout",
        "skew",
        "colour",
    ]


def test_a_defect_outside_the_outline_is_cut_away() -> None:
    """What the template leaves out keeps nothing from its grade."""
    assert graded(defects=(Defect(kind="check", is_outside=True),)).grade == "first"


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        ({"runout_millidegree": None}, "nobody measured the runout"),
        ({"skew_millidegree": None}, "nobody measured the skew"),
        ({"ring_angles_millidegree": ()}, "nobody measured the ring angle"),
        ({"rings": ()}, "nobody measured the ring width"),
        ({"rings": FINE.rings[:1]}, "rings were counted at 1 place of 3"),
        ({"defects": None}, "nobody looked for defects"),
    ],
)
def test_what_nobody_looked_at_never_passes(
    missing: dict[str, Any], words: str
) -> None:
    """The grade is not known, and the reason says who did not look at what."""
    verdict = graded(**missing)

    assert verdict.grade is None
    assert verdict.open == ("first", "second", "third")
    assert f"first is not known: {words}" in verdict.reasons


def test_a_grade_below_that_is_kept_leaves_the_better_one_open() -> None:
    """Nobody looked at the colour, which a third top does not ask about."""
    verdict = graded(colour=None)

    assert (verdict.grade, verdict.open) == ("third", ("first", "second"))
    assert verdict.reasons[0] == "first is not known: nobody looked at the colour"


def test_a_limit_that_is_broken_outweighs_one_that_is_unknown() -> None:
    """What is too steep is not first, whatever its colour may be."""
    verdict = graded(colour=None, runout_millidegree=2_500)

    assert (verdict.grade, verdict.open) == ("third", ("second",))


def test_wood_that_the_policy_does_not_know_has_no_grade() -> None:
    """No rule is no grade, and never a bad one."""
    verdict = graded(part="fingerboard")

    assert verdict.grade is None
    assert verdict.reasons == ("no grade for fingerboard of Picea abies in first 2",)


@pytest.mark.parametrize(
    ("limits", "change", "reason"),
    [
        (
            {"least_radiation_ratio_milli": 12_000},
            {"radiation_ratio_milli": 11_400},
            "radiation ratio 11.4 is below 12",
        ),
        (
            {"most_density_gram_per_m3": 430_000},
            {"density_gram_per_m3": 450_000},
            "density 450 kg/m³ is above 430 kg/m³",
        ),
        ({"least_q_milli": 90_000}, {"q_milli": 80_500}, "apparent Q 80.5 is below 90"),
        (
            {"least_figure": "clear"},
            {"figure": "slight"},
            "figure is slight, and at least clear is asked",
        ),
        (
            {"most_figure": "none"},
            {"figure": "strong"},
            "figure is strong, and at most none is allowed",
        ),
        (
            {"least_silk": "strong"},
            {"silk": "none"},
            "silk is none, and at least strong is asked",
        ),
        (
            {"least_ring_width_um": 2_000},
            {},
            "ring width 1.337 mm is below 2 mm",
        ),
    ],
)
def test_each_measured_limit_is_judged(
    limits: dict[str, Any], change: dict[str, Any], reason: str
) -> None:
    """Density, radiation ratio, Q, figure, silk and fine rings are asked if wanted."""
    verdict = grade_of(replace(FINE, **change), ruled(**limits))
    unseen = grade_of(Findings(part="top", species="Picea abies"), ruled(**limits))

    assert verdict.grade == "set aside"
    assert verdict.reasons[0].replace("\u2009", " ") == f"not first: {reason}"
    assert unseen.grade is None


@pytest.mark.parametrize(
    ("limits", "change"),
    [
        ({"least_radiation_ratio_milli": 12_000}, {"radiation_ratio_milli": 12_000}),
        ({"most_density_gram_per_m3": 430_000}, {"density_gram_per_m3": 430_000}),
        ({"least_figure": "clear"}, {"figure": "strong"}),
        ({"most_figure": "slight"}, {"figure": "slight"}),
        ({"most_runout_millidegree": 1_000}, {}),
    ],
)
def test_what_lies_on_a_limit_keeps_it(
    limits: dict[str, Any], change: dict[str, Any]
) -> None:
    """A limit is the last value that is still good."""
    assert grade_of(replace(FINE, **change), ruled(**limits)).grade == "first"


def test_one_lack_is_told_once() -> None:
    """A least and a most of the same thing are not two things to measure."""
    policy = ruled(least_density_gram_per_m3=380_000, most_density_gram_per_m3=430_000)

    assert grade_of(FINE, policy).reasons == (
        "first is not known: nobody measured the density",
    )


@given(
    st.integers(0, 9_000),
    st.integers(0, 9_000),
    st.sampled_from(["even", "slightly uneven", "uneven"]),
    st.integers(0, 9_000),
)
def test_better_wood_never_gets_a_worse_grade(
    runout: int, skew: int, colour: str, less: int
) -> None:
    """Less runout leaves the grade as it was, or betters it."""
    before = graded(runout_millidegree=runout, skew_millidegree=skew, colour=colour)
    after = graded(
        runout_millidegree=max(0, runout - less), skew_millidegree=skew, colour=colour
    )
    places = [FIRST.order.index(str(each.grade)) for each in (before, after)]

    assert places[1] <= places[0]


@pytest.mark.parametrize(
    ("change", "lacks"),
    [
        ({"rings": FINE.rings[:2]}, ["rings were counted at 2 places of 3"]),
        (
            {"ring_angles_millidegree": (3_000,)},
            ["the ring angle was measured at 1 place of 3"],
        ),
        (
            {"rings": FINE.rings[1:], "ring_angles_millidegree": (0, 0)},
            [
                "rings were counted at 2 places of 3",
                "the ring angle was measured at 2 places of 3",
            ],
        ),
    ],
)
def test_too_few_places_leave_the_better_grades_open(
    change: dict[str, Any], lacks: list[str]
) -> None:
    """A third top asks for no number of places, and the board is that meanwhile."""
    verdict = graded(**change)

    assert (verdict.grade, verdict.open) == ("third", ("first", "second"))
    assert verdict.reasons == tuple(
        f"{grade} is not known: {lack}" for grade in verdict.open for lack in lacks
    )


def test_a_text_that_names_no_places_means_what_it_meant() -> None:
    """By the older version two counts and one angle are enough, as they were."""
    change: dict[str, Any] = {
        "rings": FINE.rings[:2],
        "ring_angles_millidegree": (3_000,),
    }
    verdict = grade_of(replace(FINE, **change), OLD)
    one = grade_of(replace(FINE, rings=FINE.rings[:1]), OLD)

    assert verdict == Graded(grade="first", open=(), reasons=(), policy="first 1")
    assert (
        "first is not known: nobody measured the spread of the ring widths"
        in one.reasons
    )


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (
            {"ring_angles_millidegree": (10_001,)},
            "not first: ring angle 10.001° is above 10°",
        ),
        # Of the widest it is 61.9 %, whatever else is counted.
        (
            {"rings": inch(42, 16)},
            "not first: spread of the ring widths 89.6552 % is above 60 %",
        ),
    ],
)
def test_what_no_further_place_can_mend_is_against_a_grade_at_once(
    change: dict[str, Any], reason: str
) -> None:
    """Nobody need count on where the answer is no already."""
    verdict = graded(**change)
    said = [each.replace("\u2009", " ") for each in verdict.reasons]

    assert reason in said
    assert verdict.open == ("second",)


def test_a_spread_that_a_further_place_can_mend_is_not_known() -> None:
    """At two places 66.7 %, above 60; with one more as wide as the widest below."""
    two = graded(rings=inch(40, 20))
    three = graded(rings=inch(40, 20, 20))

    assert two.reasons[0] == "first is not known: rings were counted at 2 places of 3"
    assert three.grade == "first"


@given(
    st.lists(st.integers(16, 60), min_size=1, max_size=3),
    st.lists(st.integers(16, 60), min_size=1, max_size=4),
)
def test_what_was_refused_a_grade_is_never_given_it_by_looking_on(
    rings: list[int], more: list[int]
) -> None:
    """A grade that is neither given nor open cannot come of another place counted.

    Not so before the places that the policy asks for: until then it is open.
    """
    limits = {"most_ring_spread_ppm": 600_000, "least_ring_spread_places": 4}
    before = grade_of(replace(FINE, rings=inch(*rings)), ruled(**limits))
    after = grade_of(replace(FINE, rings=inch(*rings, *more)), ruled(**limits))

    assert before.grade is None or after.grade == "set aside"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"figure": "wild"}, "figure 'wild' is not one of none, slight"),
        ({"silk": "3"}, "silk '3' is not one of"),
        ({"colour": "AAA"}, "colour 'AAA' is not one of even"),
    ],
)
def test_a_word_of_no_scale_is_refused(change: dict[str, Any], said: str) -> None:
    """A finding is one of the words that limits are written in."""
    with pytest.raises(RefusedError, match=said):
        replace(FINE, **change)


def test_an_unknown_defect_is_refused() -> None:
    """A kind that no limit could name would pass unseen."""
    with pytest.raises(RefusedError, match="'scratch' is no kind of defect"):
        Defect(kind="scratch")
