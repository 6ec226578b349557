"""The house's grades: read whole, or refused in one sentence that says why."""

import json
from copy import deepcopy
from typing import Any

import pytest

from ledger.craft.grading_policy import (
    first_grading_policies,
    first_grading_policy,
    grading_policy,
    is_grading_policy,
)
from ledger.craft.policy import first_house_policy
from ledger.errors import RefusedError
from ledger.log.encoding import canonical

RULE = {"grade": "first", "parts": ["top"], "species": [], "most_skew_millidegree": 1}


def allowed(defect: str, most: int) -> dict[str, Any]:
    """Return how a kind of defect is allowed."""
    return {"defect": defect, "most": most}


def changed(*path: str | int, to: object) -> dict[str, Any]:
    """Return the first policy with one value in it changed."""
    text = deepcopy(first_grading_policy())
    inner: Any = text
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = to
    return text


def test_the_first_grades_are_the_houses_own_words() -> None:
    """Plain words, the best first, and what is left over is only set aside."""
    policy = grading_policy(first_grading_policy())

    assert policy.order == ("first", "second", "third", "set aside")
    assert policy.name == "first 2"
    assert is_grading_policy(first_grading_policy())
    assert not is_grading_policy(first_house_policy())
    assert not is_grading_policy([])


def test_the_text_survives_the_log() -> None:
    """Its member names and numbers are such as an entry may hold, and read the same."""
    text = first_grading_policy()

    assert grading_policy(json.loads(canonical(text))) == grading_policy(text)


@pytest.mark.parametrize(
    ("part", "species", "grades", "skew"),
    [
        ("top", "Picea abies", ["first", "second", "third"], 2_000),
        ("Top", "picea abies (L.) H.Karst.", ["first", "second", "third"], 2_000),
        ("top", "Picea sitchensis", ["second"], 5),
        ("back", "Dalbergia latifolia", ["first", "second", "third"], None),
        ("top", "Acer saccharum", [], None),
        ("fingerboard", "Picea abies", [], None),
    ],
)
def test_a_species_is_judged_by_its_own_rules_else_its_genus(
    part: str, species: str, grades: list[str], skew: int | None
) -> None:
    """The nearest name rules alone; what is named nowhere has no rules."""
    text = first_grading_policy()
    own = {"grade": "second", "parts": ["top"], "species": ["Picea sitchensis"]}
    text["grades"].insert(0, own | {"most_skew_millidegree": 5})
    rules = grading_policy(text).rules_for(part, species)

    assert [rule.grade for rule in rules] == grades
    assert not rules or rules[0].numbers.get("most_skew_millidegree") == skew


def test_rules_are_judged_best_first_however_they_stand() -> None:
    """The order of the words counts, not that of the entries."""
    text = first_grading_policy()
    text["grades"].reverse()
    rules = grading_policy(text).rules_for("top", "Picea abies")

    assert [rule.grade for rule in rules] == ["first", "second", "third"]


@pytest.mark.parametrize(
    ("path", "to", "said"),
    [
        (("format",), "flitchbook-house/1", "has the format flitchbook-grading/1"),
        (("id",), "No Name", "no name such as first"),
        (("version",), 0, "version is a whole number from 1"),
        (("extra",), 1, "has no 'extra'"),
        (("words",), [], "at least 1"),
        (("words",), ["first", "first"], "stands twice"),
        (("otherwise",), "second", "is a grade already"),
        (("otherwise",), None, "no plain word"),
        (("grades",), {}, "a list with at least 1"),
        (("grades", 0), "first", "no such thing"),
        (("grades", 0, "grade"), "AAA", "none of the house's words"),
        (("grades", 0, "grade"), ["first"], "none of the house's words"),
        (("grades", 0, "parts"), [], "at least 1"),
        (("grades", 0, "species"), ["spruce"], "no genus or species"),
        (("grades", 0, "least_sweetness"), 3, "has no 'least_sweetness'"),
        (("grades", 0, "most_runout_millidegree"), 90_001, "from 0 to 90000"),
        (("grades", 0, "most_runout_millidegree"), "2°", "not '2°'"),
        (("grades", 0, "least_ring_width_um"), 1_701, "no board keeps both"),
        (("grades", 0, "least_ring_spread_places"), 1, "from 2 to 24, not 1"),
        (("grades", 0, "least_ring_angle_places"), 0, "from 1 to 24, not 0"),
        (("grades", 0, "least_ring_angle_places"), 25, "from 1 to 24, not 25"),
        (("grades", 0, "least_ring_width_places"), 3, "has no 'least_ring_width_pl"),
        (("grades", 3, "least_ring_spread_places"), 3, "places 3 is of no limit: wri"),
        (("grades", 0, "worst_colour"), "pale", "one of even, slightly uneven"),
        (("grades", 0, "defects"), [allowed("scratch", 1)], "'scratch' is no kind"),
        (("grades", 0, "defects"), [allowed("knot", 1)] * 2, "or stands twice"),
        (("grades", 0, "defects"), [allowed("knot", 0)], "the number of knot"),
        (("grades", 0, "defects"), [{"defect": "knot"}], "lacks most"),
        (("grades", 0, "defects"), [["knot"]], "is no such thing"),
        (("grades", 0, "defects"), {}, "defects are a list of kinds"),
        (("grades", 1, "grade"), "first", "written twice for top of Abies"),
    ],
)
def test_a_text_that_does_not_fit_is_refused(
    path: tuple[str | int, ...], to: object, said: str
) -> None:
    """Each refusal names the member that is wrong, and what would be right."""
    with pytest.raises(RefusedError, match=said):
        grading_policy(changed(*path, to=to))


def test_each_version_of_the_first_grades_is_kept() -> None:
    """An entry may quote an older one, whose text stands in no entry of its own."""
    old, new = first_grading_policies()
    places = {"least_ring_spread_places": 3, "least_ring_angle_places": 3}
    without = [
        {name: value for name, value in each.items() if name not in places}
        for each in new["grades"]
    ]

    assert new == first_grading_policy()
    assert (old["version"], new["version"]) == (1, 2)
    assert old == new | {"version": 1, "grades": without}
    assert [each.items() >= places.items() for each in new["grades"]] == (
        [True, True, False, False, False, False]
    )


def test_places_alone_are_no_limit() -> None:
    """How often somebody looks keeps no wood from a grade."""
    rule: dict[str, Any] = {"grade": "third", "parts": ["top"], "species": []}
    rule |= {"least_ring_angle_places": 3}

    with pytest.raises(RefusedError, match="sets no limit"):
        grading_policy(changed("grades", to=[rule]))


def test_steps_that_leave_no_room_are_refused() -> None:
    """At least strong and at most slight is nothing that wood can be."""
    rule = RULE | {"least_figure": "strong", "most_figure": "slight"}

    with pytest.raises(RefusedError, match="no board keeps both"):
        grading_policy(changed("grades", to=[rule]))


def test_a_grade_without_a_limit_is_refused() -> None:
    """Wood that nobody looked at must not have a grade for nothing."""
    bare = {"grade": "third", "parts": ["top"], "species": []}

    with pytest.raises(RefusedError, match="sets no limit"):
        grading_policy(changed("grades", to=[bare]))


def test_a_limit_on_no_defect_is_a_limit() -> None:
    """An empty list of defects allowed says that none is."""
    rule = {"grade": "first", "parts": ["top"], "species": [], "defects": []}

    assert grading_policy(changed("grades", to=[rule])).rules[0].defects == {}
