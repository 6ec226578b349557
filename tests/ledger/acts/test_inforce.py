"""Every text that a shop lives by, adopted or to begin with."""

from ledger.acts import policies
from ledger.acts.inforce import texts_in_force
from ledger.craft.grading_policy import first_grading_policy
from ledger.craft.matching_policy import first_matching_policy
from tests.skerrymoor import WITHOUT_REST, Loft


def test_each_text_is_the_newest_or_the_first(loft: Loft) -> None:
    """What was never adopted is the one that the trade begins with."""
    before = texts_in_force(loft.shop)
    grades = first_grading_policy() | {"version": 3}
    points = first_matching_policy() | {"version": 2}
    for text in (grades, points):
        policies.adopt_policy(loft.shop, text, loft.hands())
    after = texts_in_force(loft.shop)

    assert before["grading"] == first_grading_policy()
    assert before["matching"] == first_matching_policy()
    assert before["house"] == after["house"] == WITHOUT_REST
    assert before["signing"] == after["signing"] == loft.shop.standing().policy
    assert (after["grading"], after["matching"]) == (grades, points)
