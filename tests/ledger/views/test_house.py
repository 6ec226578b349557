"""Adopted policies: the whole text, of each format the newest."""

from typing import Any

import pytest

from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import PolicyAdopted
from ledger.views.house import adopted_policies, newest_policy
from tests.ledger.views.forests import grown
from tests.skerrymoor import WITHOUT_REST, Loft

FORMAT = "flitchbook-house/1"
OTHER = "flitchbook-something/1"
REST = {"species": ["Picea"], "least_days": 1, "preferred_days": 2}


def test_the_newest_of_a_format_counts(loft_on_each: Loft) -> None:
    """On each database; a policy of signing is another format."""
    text = WITHOUT_REST | {"version": 2, "rest": [REST]}
    loft_on_each.say(PolicyAdopted(policy=text))
    signing = loft_on_each.shop.standing().policy
    for _ in range(2):
        with loft_on_each.shop.store.reading() as session:
            assert newest_policy(session, FORMAT) == text
            assert adopted_policies(session, FORMAT) == [WITHOUT_REST, text]
            assert newest_policy(session, "flitchbook-policy/1") == signing
        rebuild(loft_on_each.shop)


def test_where_none_was_adopted_there_is_none() -> None:
    """Whoever asks says what holds then."""
    with grown([]) as session:
        assert newest_policy(session, FORMAT) is None
        assert adopted_policies(session, FORMAT) == []


@pytest.mark.parametrize(
    "text", [{"format": OTHER}, {"format": OTHER, "deep": [[], {"z": None, "a": ""}]}]
)
def test_a_text_comes_back_as_it_was_adopted(text: dict[str, Any]) -> None:
    """Whatever it says, where its format is none of the house's."""
    with grown([PolicyAdopted(policy=text)]) as session:
        assert newest_policy(session, OTHER) == text


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ([{"format": FORMAT}], "a policy of the house"),
        ([WITHOUT_REST | {"rest": [{"species": ["Picea"]}]}], "species"),
        ([WITHOUT_REST | {"version": 2}, WITHOUT_REST], "not come after version 2"),
        ([WITHOUT_REST, WITHOUT_REST | {"rest": [REST]}], "not come after version 1"),
    ],
    ids=["nothing in it", "a rest without days", "an older version", "the same name"],
)
def test_limits_that_no_house_can_live_by_are_damage(
    texts: list[dict[str, Any]], said: str
) -> None:
    """An override quotes limits by name and version, so these are one text only."""
    with pytest.raises(TamperError, match=said):
        grown(PolicyAdopted(policy=text) for text in texts).__enter__()
