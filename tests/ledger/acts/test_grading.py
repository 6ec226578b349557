"""Wood is graded by a rule that says why, and by eyes that may see it otherwise."""

from dataclasses import replace
from typing import Any, get_args

import pytest

from ledger.acts import grading, policies, tapping
from ledger.acts.grading import Judged, Seen
from ledger.craft.grading import Defect, grade_of
from ledger.craft.grading_policy import (
    COLOURS,
    DEFECTS,
    STRENGTHS,
    first_grading_policy,
    grading_policy,
)
from ledger.craft.rings import RingCount
from ledger.errors import NotFoundError, RefusedError
from ledger.events.grading import Colour, DefectKind, Strength
from ledger.views.grading import found_in, gradings_of
from tests import ringing
from tests.skerrymoor import Loft

SET, HALF = "L26-001-01", "L26-001-01.A"
FINE = Seen(
    rings=tuple(RingCount(rings=number, span_um=50_000) for number in (32, 30, 31)),
    angles_millidegree=(4_000, 2_000, 3_000),
    runout_millidegree=1_500,
    skew_millidegree=1_000,
    figure="none",
    figure_as_seen="plain",
    silk="clear",
    colour="even",
    lab_milli=(82_100, -1_400, 21_000),
    defects=(Defect(kind="knot", is_outside=True),),
)


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with a set of spruce, L26-001-01."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def grade(loft: Loft, seen: Seen = FINE, **said: Any) -> list[Judged]:
    """Grade the set, as the crib keeper."""
    told: dict[str, Any] = {"hands": loft.hands("02")}
    return grading.grade(loft.shop, SET, seen, **(told | said))


def test_the_entry_holds_all_that_the_rule_looked_at(
    racked: Loft, tmp_path: Any
) -> None:
    """So that anybody comes to the same grade from it alone, also in thirty years."""
    path = ringing.plate(tmp_path / "half.wav", taps=2)
    tapping.tap(
        racked.shop,
        HALF,
        path,
        held_as="plate",
        expected={"along": 71_000},
        hands=racked.hands("03"),
    )
    (half, other) = grade(racked)
    with racked.shop.store.reading() as session:
        (row,) = gradings_of(session, HALF)
        event = found_in(row)
        (newest,) = gradings_of(session, f"{SET}.B")

    assert (half.board, half.grade, row.grade, row.part) == (
        HALF,
        "first",
        "first",
        "top",
    )
    assert (row.policy, row.version, row.suggested) == ("first", 2, "first")
    assert event.radiation_ratio_milli and event.q_milli and event.density_gram_per_m3
    again = grade_of(grading.findings_of(event), grading_policy(first_grading_policy()))
    assert again == half.graded
    assert newest.idx == other.entry.index
    assert found_in(newest).radiation_ratio_milli is None


def test_what_was_seen_comes_back_as_it_was_said(racked: Loft) -> None:
    """Every member of it, word for word."""
    grade(racked)
    with racked.shop.store.reading() as session:
        event = found_in(gradings_of(session, HALF)[0])

    found = grading.findings_of(event)
    for name in ("rings", "runout_millidegree", "skew_millidegree", "figure", "silk"):
        assert getattr(found, name) == getattr(FINE, name)
    assert (found.colour, found.defects) == (FINE.colour, FINE.defects)
    assert found.ring_angles_millidegree == FINE.angles_millidegree
    assert (event.figure_as_seen, event.lab_milli) == ("plain", FINE.lab_milli)
    assert found.species == "Picea abies"


def test_eyes_and_rule_may_differ(racked: Loft) -> None:
    """Both stand in the entry; the newest of any hand is the house's."""
    grade(racked)
    (half, _) = grade(racked, word="third", reason="dull", hands=racked.hands("03"))

    assert (half.grade, half.graded.grade) == ("third", "first")
    with racked.shop.store.reading() as session:
        rows = gradings_of(session, HALF)
        assert [row.grade for row in rows] == ["first", "third"]
        assert len({row.key for row in rows}) == 2


def test_without_a_grade_by_the_rule_somebody_says_one(racked: Loft) -> None:
    """What nobody looked at is named; nothing is recorded of either half."""
    size = racked.shop.store.head().size
    with pytest.raises(RefusedError, match="nobody measured the runout"):
        grade(racked, replace(FINE, runout_millidegree=None))
    with pytest.raises(RefusedError, match="no grade for horn of Picea abies"):
        grade(racked, part="horn")
    assert racked.shop.store.head().size == size
    (half, _) = grade(racked, replace(FINE, runout_millidegree=None), word="second")

    assert (half.grade, half.graded.grade, half.graded.open) == (
        "second",
        None,
        ("first", "second", "third"),
    )


def test_two_places_of_three_leave_the_better_grade_open(racked: Loft) -> None:
    """The entry says so, and whoever grades may still say what they think."""
    few = replace(FINE, rings=FINE.rings[:2])
    (half, _) = grade(racked, few)
    (bold, _) = grade(racked, few, word="first")

    assert (half.grade, half.graded.open) == ("third", ("first", "second"))
    assert half.graded.reasons[0] == (
        "first is not known: rings were counted at 2 places of 3"
    )
    assert half.entry.event["why"] == list(half.graded.reasons)
    assert (bold.grade, bold.graded.grade) == ("first", "third")


def test_the_rule_in_force_is_the_one_that_was_adopted(racked: Loft) -> None:
    """With its name, its version and its words."""
    text = first_grading_policy() | {
        "id": "loft",
        "version": 1,
        "words": ["fine", "plain"],
        "grades": [
            {
                "grade": "fine",
                "parts": ["top"],
                "species": [],
                "most_runout_millidegree": 1_000,
            },
            {"grade": "plain", "parts": ["top"], "species": [], "defects": []},
        ],
    }
    policies.adopt_policy(racked.shop, text, racked.hands())
    (half, _) = grade(racked)

    assert half.grade == "plain" and half.graded.policy == "loft 1"
    assert half.graded.reasons == ("not fine: runout 1.5° is above 1°",)
    with pytest.raises(RefusedError, match="none of the house's grades fine, plain"):
        grade(racked, word="first")


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"runout_millidegree": 90_001}, "an angle of 90.001° is none"),
        ({"angles_millidegree": (0, -1)}, "an angle of -0.001° is none"),
        ({"angles_millidegree": (0,) * 25}, "in at most 24 places"),
        ({"figure_as_seen": "x" * 201}, "figure as seen"),
    ],
)
def test_what_cannot_be_is_refused(
    racked: Loft, change: dict[str, Any], fault: str
) -> None:
    """No board leans more than a right angle."""
    with pytest.raises(RefusedError, match=fault):
        grade(racked, replace(FINE, **change))


def test_a_board_that_is_not_there_is_not_graded(racked: Loft) -> None:
    """Nor one whose halves were joined."""
    with pytest.raises(NotFoundError, match="there is no board"):
        grading.grade(racked.shop, "L26-001-09", FINE, hands=racked.hands("02"))


def test_the_words_of_entries_are_those_of_the_rule() -> None:
    """A kind that one of them does not know could not be said, or not be judged."""
    assert get_args(DefectKind) == DEFECTS
    assert get_args(Strength) == STRENGTHS
    assert get_args(Colour) == COLOURS
