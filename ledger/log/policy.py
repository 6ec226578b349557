"""Signing policies: which role or qualification a kind asks for.

    {"format":"flitchbook-policy/1","id":"the-loft","version":1,"rules":[
      {"kinds":["lot.*"],"any_of":[{"role":"lead"},{"qualification":"receive"}],
       "approvals":0}]}

The first rule that names an entry's kind decides: its signer must fit one of `any_of`,
and as many second approvers as `approvals` must have said yes. A kind that no rule
names is for the lead. A policy cannot name what the format's own table decides.
"""

import re
from dataclasses import dataclass
from typing import Any

from ledger.log.encoding import is_count

POLICY_FORMAT = "flitchbook-policy/1"
NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")
PATTERN = re.compile(r"[a-z]+(?:-[a-z]+)*\.(?:\*|[a-z]+(?:-[a-z]+)*)\Z")
# What the authority table decides, whatever a policy says.
FIXED_NOUNS = frozenset(
    {
        "shop",
        "root",
        "log",
        "role",
        "person",
        "key",
        "policy",
        "qualification",
        "override",
    }
)
FIXED_NAMES = frozenset(
    {
        "certificate.issued",
        "certificate.withdrawn",
        "certificate.*",
        "entry.affirmed",
        "entry.recovered",
        "entry.*",
        "clock.doubted",
        "clock.*",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What one group of kinds asks of its signer."""

    kinds: tuple[str, ...]
    roles: frozenset[str]
    qualifications: frozenset[str]
    approvals: int

    def names(self, name: str) -> bool:
        """Tell whether the rule is for this kind, given without its version."""
        noun = name.partition(".")[0]
        return name in self.kinds or f"{noun}.*" in self.kinds


def policy_rules(policy: object) -> tuple[Rule, ...] | None:
    """Return the rules of a signing policy; None for a policy about other things."""
    if not isinstance(policy, dict) or policy.get("format") != POLICY_FORMAT:
        return None
    return tuple(_rule(rule) for rule in policy["rules"])


def policy_fault(policy: object) -> str | None:
    """Say why a policy cannot be adopted, or return None."""
    if not isinstance(policy, dict) or not isinstance(policy.get("format"), str):
        return "a policy is an object with a format"
    if policy["format"] != POLICY_FORMAT:
        return None
    if set(policy) != {"format", "id", "version", "rules"}:
        return "a signing policy has format, id, version and rules"
    if not _is_name(policy["id"]):
        return f"the policy's id {policy['id']!r} is no name such as the-loft"
    if not is_count(policy["version"], least=1):
        return "the policy's version counts from 1"
    if not isinstance(policy["rules"], list):
        return "the policy's rules are a list"
    return next((f for f in map(_rule_fault, policy["rules"]) if f), None)


def _rule_fault(rule: object) -> str | None:
    if not isinstance(rule, dict) or set(rule) != {"kinds", "any_of", "approvals"}:
        return "a rule has kinds, any_of and approvals"
    if not is_count(rule["approvals"], least=0):
        return "a rule's approvals are a count from 0"
    for name in ("kinds", "any_of"):
        if not isinstance(rule[name], list) or not rule[name]:
            return f"a rule's {name} are a list that is not empty"
    for kind in rule["kinds"]:
        if not _is_open_kind(kind):
            return f"a policy cannot name {kind!r}"
    for ability in rule["any_of"]:
        if not _is_ability(ability):
            return f"{ability!r} is neither a role nor a qualification"
    return None


def _rule(rule: dict[str, Any]) -> Rule:
    any_of = rule["any_of"]
    return Rule(
        kinds=tuple(rule["kinds"]),
        roles=frozenset(a["role"] for a in any_of if "role" in a),
        qualifications=frozenset(
            a["qualification"] for a in any_of if "qualification" in a
        ),
        approvals=rule["approvals"],
    )


def _is_open_kind(kind: object) -> bool:
    if not isinstance(kind, str) or PATTERN.match(kind) is None:
        return False
    return kind.partition(".")[0] not in FIXED_NOUNS and kind not in FIXED_NAMES


def _is_ability(ability: object) -> bool:
    if not isinstance(ability, dict) or len(ability) != 1:
        return False
    ((what, name),) = ability.items()
    return what in ("role", "qualification") and _is_name(name)


def _is_name(text: object) -> bool:
    return isinstance(text, str) and NAME.match(text) is not None
