"""Signing policies: their form, what they may name, and which rule decides."""

from typing import Any

import pytest

from ledger.log.policy import POLICY_FORMAT, policy_fault, policy_rules
from tests.ledger.log.workshop import rule

LEAD = [{"role": "lead"}]


def policy(*rules: Any, **members: Any) -> dict[str, Any]:
    """Return a signing policy of these rules, with some members as they are given."""
    named = {"format": POLICY_FORMAT, "id": "the-loft", "version": 1}
    return named | {"rules": list(rules)} | members


@pytest.mark.parametrize(
    "good",
    [
        policy(),
        policy(rule(["lot.*"], LEAD)),
        policy(rule(["lot.received", "board.*"], [{"qualification": "receive"}], 2)),
        policy(rule(["certificate.printed"], LEAD)),
        policy(rule(["gauge-block.checked-twice"], LEAD)),
        policy(id="loft-2", version=12),
        policy(id="0loft59-75x"),
    ],
)
def test_a_sound_policy_has_no_fault(good: dict[str, Any]) -> None:
    """Kinds of row 5, roles, qualifications and a count of approvals make a policy."""
    assert policy_fault(good) is None


FIXED = (
    *("shop.founded", "root.changed", "log.*", "role.granted", "person.*"),
    *("key.retired", "policy.adopted", "qualification.*", "override.*"),
    *("certificate.issued", "certificate.withdrawn", "certificate.*"),
    *("entry.affirmed", "entry.recovered", "entry.*", "clock.doubted", "clock.*"),
)


@pytest.mark.parametrize("kind", FIXED)
def test_a_policy_cannot_name_what_the_table_decides(kind: str) -> None:
    """No rule, however worded, reaches the kinds of rows 0 to 4."""
    assert policy_fault(policy(rule([kind], LEAD))) == f"a policy cannot name {kind!r}"


@pytest.mark.parametrize(
    "kind", [None, 7, "", "*", "lot", "lot.", ".*", "*.*", "lot.received/1", "Lot.*"]
)
def test_a_kind_is_a_noun_and_a_verb_without_version(kind: object) -> None:
    """What is no kind is no kind that a rule can name."""
    fault = policy_fault(policy(rule(["board.*", kind], LEAD)))

    assert fault == f"a policy cannot name {kind!r}"


@pytest.mark.parametrize(
    "ability",
    [
        *(None, "lead", 7, {}, ["lead"], {"role": 7}, {"role": ""}, {"role": "Lead"}),
        *({"skill": "receive"}, {"role": "lead", "qualification": "receive"}),
    ],
)
def test_a_rule_asks_for_a_role_or_a_qualification(ability: Any) -> None:
    """Anything else that might be asked for is refused."""
    fault = policy_fault(policy(rule(["lot.*"], [*LEAD, ability])))

    assert fault == f"{ability!r} is neither a role nor a qualification"


@pytest.mark.parametrize(
    ("bad", "fault"),
    [
        (None, "a policy is an object"),
        ("the loft's", "a policy is an object"),
        ({"format": 1}, "a policy is an object with a format"),
        (policy() | {"motto": ""}, "has format, id, version and rules"),
        ({"format": POLICY_FORMAT}, "has format, id, version and rules"),
        (policy(id="The Loft"), "is no name such as the-loft"),
        (policy(id="loft-"), "is no name such as the-loft"),
        (policy(id="-loft"), "is no name such as the-loft"),
        (policy(id=None), "is no name such as the-loft"),
        (policy(version=0), "version counts from 1"),
        (policy(version=True), "version counts from 1"),
        (policy(version="1"), "version counts from 1"),
        (policy(rules={}), "rules are a list"),
        (policy(rule(["lot.*"], LEAD), None), "a rule has kinds, any_of"),
        (policy(None), "a rule has kinds, any_of and approvals"),
        (policy({"kinds": ["lot.*"]}), "a rule has kinds, any_of and approvals"),
        (policy(rule(["lot.*"], LEAD, -1)), "approvals are a count from 0"),
        (policy(rule(["lot.*"], LEAD, True)), "approvals are a count from 0"),
        (policy(rule([], LEAD)), "a rule's kinds are a list that is not empty"),
        (policy(rule(["lot.*"], [])), "a rule's any_of are a list that is not empty"),
        (policy(rule(["lot.*"], LEAD) | {"kinds": "lot.*"}), "kinds are a list"),
    ],
)
def test_a_faulty_policy_says_what_is_wrong(bad: object, fault: str) -> None:
    """Members, names, counts and lists each have their form."""
    assert fault in str(policy_fault(bad))


def test_a_policy_about_other_things_has_no_signing_rules() -> None:
    """Only the signing format has rules here; another text has none, and no fault."""
    other = {"format": "flitchbook-seasoning/1", "rules": "as the shop likes"}

    assert policy_fault(other) is None
    assert policy_rules(other) is None
    assert policy_rules("the loft's") is None


def test_a_rule_names_its_kinds_and_their_whole_nouns() -> None:
    """A star stands for every verb of a noun, and for nothing else."""
    rules = policy_rules(
        policy(
            rule(["lot.*", "board.tapped"], [*LEAD, {"qualification": "receive"}], 1)
        )
    )

    assert rules is not None
    only = rules[0]
    named = ("lot.received", "lot.returned", "board.tapped", "board.sawn", "lots.lost")
    assert [name for name in named if only.names(name)] == list(named[:3])
    assert only.roles == {"lead"}
    assert only.qualifications == {"receive"}
    assert only.approvals == 1
