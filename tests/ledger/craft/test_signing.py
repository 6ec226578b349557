"""The first policy allows the bench its work, and nobody the lead's."""

import pytest

from ledger.craft.signing import (
    BENCH,
    PAPERS,
    RECEIVE,
    first_policy,
    qualifications_in,
)
from ledger.events import EVENTS
from ledger.log.policy import policy_fault, policy_rules


def allowed(kind: str) -> tuple[frozenset[str], frozenset[str]]:
    """Return roles and qualifications that the first policy asks for a kind."""
    rules = policy_rules(first_policy()) or ()
    found = [rule for rule in rules if rule.names(kind)]
    return (found[0].roles, found[0].qualifications) if found else (frozenset(),) * 2


def test_the_first_policy_can_be_adopted() -> None:
    """It is of its form, and names no kind that the format's own table decides."""
    assert policy_fault(first_policy()) is None
    assert qualifications_in(first_policy()) == {RECEIVE, PAPERS, *BENCH}
    assert qualifications_in(None) == frozenset()


@pytest.mark.parametrize(
    ("kind", "qualifications"),
    [
        ("lot.received", {RECEIVE}),
        ("board.numbered", {RECEIVE}),
        ("label.printed", {RECEIVE}),
        ("supplier.recorded", {RECEIVE, PAPERS}),
        ("document.filed", {RECEIVE, PAPERS}),
        ("document.permit-read", {RECEIVE, PAPERS}),
        ("board.allotted", {RECEIVE, *BENCH}),
        ("material.received", {RECEIVE, *BENCH}),
        ("gauge.calibrated", {RECEIVE, *BENCH}),
        ("hold.placed", {RECEIVE, PAPERS, *BENCH}),
        ("hold.lifted", set()),
        ("build.step-signed", set(BENCH)),
        ("certificate.printed", {PAPERS}),
        ("owner.registered", {PAPERS}),
        ("model.defined", set()),
        ("build.begun", set()),
    ],
)
def test_each_kind_of_work_asks_for_its_qualification(
    kind: str, qualifications: set[str]
) -> None:
    """The lead may do it all; models and builds are the lead's alone."""
    roles, held = allowed(kind)

    assert held == qualifications
    assert roles == ({"lead"} if qualifications else set())


def test_every_rule_is_about_something_that_can_be_said() -> None:
    """A kind that is misspelt in a rule would be the lead's for ever."""
    names = {event.kind.partition("/")[0] for event in EVENTS}
    nouns = {f"{name.partition('.')[0]}.*" for name in names}
    for rule in policy_rules(first_policy()) or ():
        assert set(rule.kinds) <= names | nouns
