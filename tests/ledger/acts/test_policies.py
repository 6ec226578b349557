"""The rules of a house are adopted by a lead, whole, and counted up."""

from typing import Any

import pytest
from sqlmodel import Session, create_engine

from ledger.acts.policies import adopt_policy, house_rules, house_text
from ledger.audit import audit
from ledger.craft.policy import first_house_policy
from ledger.errors import LedgerError, RefusedError
from ledger.views import fold
from tests.skerrymoor import WITHOUT_REST, Loft


def rules_of(loft: Loft) -> str:
    """Return the name of the limits in force."""
    with loft.shop.store.reading() as session:
        return house_rules(session).name


def test_before_any_were_adopted_the_first_limits_hold() -> None:
    """As in a record that is older than they are."""
    engine = create_engine("sqlite://")
    fold.make(engine)
    with Session(engine) as session:
        name, text = house_rules(session).name, house_text(session)
    engine.dispose()

    assert (name, text) == ("first 1", first_house_policy())


def test_the_newest_limits_count(loft_on_each: Loft) -> None:
    """Also where another set comes after a higher version of the first."""
    names = [rules_of(loft_on_each)]
    for version in (1, 7):
        loft_on_each.adopt(version=version)
        names.append(rules_of(loft_on_each))
    adopt_policy(loft_on_each.shop, WITHOUT_REST | {"version": 2}, loft_on_each.hands())

    assert [*names, rules_of(loft_on_each)] == [
        "bench 1",
        "loft 1",
        "loft 7",
        "bench 2",
    ]
    assert audit(loft_on_each.shop).findings == ()


@pytest.mark.parametrize("version", [1, 2, 3])
def test_a_version_goes_up_even_if_others_came_between(
    loft: Loft, version: int
) -> None:
    """A name and a version in an override are one text for ever."""
    loft.adopt(version=3)
    loft.adopt(id="other")
    with pytest.raises(RefusedError, match=f"version {version} .* not after version 3"):
        loft.adopt(version=version)

    assert rules_of(loft) == "other 1"
    loft.adopt(version=4)
    assert rules_of(loft) == "loft 4"


@pytest.mark.parametrize(
    ("policy", "said"),
    [
        ({}, "None is no format of a policy"),
        (
            {"format": "flitchbook-keys/1"},
            "is no format of a policy: write flitchbook-",
        ),
        ({"format": ["flitchbook-house/1"]}, "is no format of a policy"),
        ({"format": "flitchbook-house/1"}, "a policy of the house has format, id"),
        (first_house_policy() | {"version": True}, "version is a whole number"),
        (first_house_policy() | {"more": 1}, "look at 'more'"),
        (
            first_house_policy()
            | {
                "rest": [
                    {
                        "species": [
                            f"Picea {'a' * 30}{chr(97 + n % 26)}{'b' * (n // 26)}"
                            for n in range(1500)
                        ],
                        "least_days": 1,
                        "preferred_days": 1,
                    }
                ]
            },
            "an entry may have",
        ),
    ],
    ids=["empty", "keys", "list", "bare", "yes", "more", "endless"],
)
def test_what_is_no_policy_of_ours_is_refused(
    loft: Loft, policy: dict[str, Any], said: str
) -> None:
    """Nothing of it is recorded, and the limits stay."""
    size = loft.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        adopt_policy(loft.shop, policy, loft.hands())

    assert loft.shop.store.head().size == size
    assert rules_of(loft) == "bench 1"


def test_only_a_lead_sets_the_limits(loft: Loft) -> None:
    """Nobody else shortens the rest of the wood."""
    for badge in ("02", "03", "10", "12"):
        with pytest.raises(RefusedError, match=r"adopting a policy is for a lead"):
            adopt_policy(loft.shop, first_house_policy(), loft.hands(badge))


def test_a_policy_of_signing_leaves_the_limits_alone(loft: Loft) -> None:
    """And the other way round: each kind has its own newest text."""
    signing = loft.shop.standing().policy
    assert signing is not None
    adopt_policy(loft.shop, signing | {"version": 2}, loft.hands())
    loft.adopt()

    assert rules_of(loft) == "loft 1"
    assert loft.shop.standing().policy == signing | {"version": 2}
    assert audit(loft.shop).findings == ()
