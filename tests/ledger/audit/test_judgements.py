"""Every grade is worked out again; one that comes out otherwise is told."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import grading, policies
from ledger.audit import audit
from ledger.audit.findings import Finding
from ledger.craft.grading_policy import first_grading_policy
from ledger.views.grading import found_in, gradings_of
from tests.ledger.acts.test_grading import FINE, HALF, SET
from tests.skerrymoor import Loft


@pytest.fixture
def graded(loft: Loft) -> Loft:
    """Give a shop in which a set was graded, by the first rule and by a newer one."""
    loft.supplier()
    loft.number(loft.receive())
    grading.grade(loft.shop, SET, FINE, hands=loft.hands("02"))
    newer = first_grading_policy() | {"version": 3, "words": ["first", "second", "low"]}
    newer["grades"] = [
        each | {"grade": "low" if each["grade"] == "third" else each["grade"]}
        for each in newer["grades"]
    ]
    policies.adopt_policy(loft.shop, newer, loft.hands())
    grading.grade(loft.shop, SET, FINE, hands=loft.hands("03"))
    return loft


def found(loft: Loft) -> list[Finding]:
    """Return what an audit found, all of which is about readings."""
    findings = list(audit(loft.shop).findings)
    assert {finding.cause for finding in findings} <= {"reading"}
    assert all(finding.is_open for finding in findings)
    return findings


def test_a_grade_by_the_older_first_text_is_judged_by_that_text(graded: Loft) -> None:
    """Two counts and one angle were enough then; by the newer they would not be."""
    with graded.shop.store.reading() as session:
        said = found_in(gradings_of(session, HALF)[0])
    few: dict[str, Any] = {
        "rings": (said.rings or ())[:2],
        "angles_millidegree": (4_000,),
    }
    graded.say(replace(said, **(few | {"version": 1})))
    assert found(graded) == []
    graded.say(replace(said, **few))
    (finding,) = found(graded)

    assert "said first, and now says third" in finding.detail


def test_grades_that_come_out_the_same_are_no_finding(graded: Loft) -> None:
    """Each by the rule of its own day, the earlier version too."""
    assert found(graded) == []


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"runout_millidegree": 2_500}, "said first, and now says second"),
        ({"suggested": "second"}, "said second, and now says first"),
        ({"suggested": None}, "said no grade yet, and now says first"),
        ({"why": ("so it pleases",)}, "said first, and now says first"),
        ({"version": 9}, "by first 9, which no entry adopted"),
    ],
)
def test_a_grade_that_does_not_follow_is_told(
    graded: Loft, change: dict[str, Any], why: str
) -> None:
    """Whatever in the entry was written otherwise, past the act."""
    with graded.shop.store.reading() as session:
        said = found_in(gradings_of(session, HALF)[0])
    index = graded.say(replace(said, **change)).index
    (finding,) = found(graded)

    assert (finding.index, why in finding.detail) == (index, True)
    assert HALF in finding.detail
