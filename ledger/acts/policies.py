"""The rules a shop adopts: who signs what, and the house's own limits."""

from datetime import date
from typing import Any

from sqlmodel import Session

from ledger.acts.shop import Hands, Shop
from ledger.craft.grading_policy import (
    GRADING_FORMAT,
    GradingPolicy,
    first_grading_policy,
    grading_policy,
)
from ledger.craft.matching_policy import (
    MATCHING_FORMAT,
    MatchingPolicy,
    first_matching_policy,
    matching_policy,
)
from ledger.craft.policy import (
    HOUSE_FORMAT,
    HousePolicy,
    first_house_policy,
    house_policy,
)
from ledger.errors import RefusedError
from ledger.events import PolicyAdopted
from ledger.log.entry import Entry
from ledger.log.policy import POLICY_FORMAT
from ledger.trade.overlay import LAW_FORMAT
from ledger.views.adopted import READERS, is_of_the_house, read_policy
from ledger.views.house import newest_policy, newest_version


def adopt_policy(shop: Shop, policy: dict[str, Any], hands: Hands) -> Entry:
    """Adopt a policy, whose whole text goes into the entry.

    Raises RefusedError for a format that is none of ours, for limits that do not fit,
    for rows of the law that do not fit the tables, and for a text of the house that is
    not the next version.
    """
    if is_of_the_house(policy):
        read_policy(policy)
        if policy["format"] == LAW_FORMAT:
            _require_fit(policy, date.fromisoformat(shop.today()))
    elif policy.get("format") != POLICY_FORMAT:
        raise RefusedError(
            f"{policy.get('format')!r} is no format of a policy: write {POLICY_FORMAT} "
            f"or {' or '.join(READERS)}"
        )
    with shop.turn() as turn:
        if is_of_the_house(policy):
            _require_newer(turn.session, policy)
        return turn.say(PolicyAdopted(policy=policy), hands)


def _require_fit(policy: dict[str, Any], today: date) -> None:
    """See that rows of the law fit the tables, which are loaded for this alone."""
    from ledger.trade.amendment import read_overlay
    from ledger.trade.fitting import require_fit
    from ledger.trade.law import compiled

    require_fit(read_overlay(policy), compiled(), today=today)


def house_rules(session: Session) -> HousePolicy:
    """Return the house's limits in force; before any was adopted, the first ones."""
    return house_policy(house_text(session))


def house_text(session: Session) -> dict[str, Any]:
    """Return the text of the house's limits in force."""
    return newest_policy(session, HOUSE_FORMAT) or first_house_policy()


def grading_rules(session: Session) -> GradingPolicy:
    """Return the house's grades in force; before any was adopted, the first ones."""
    text = newest_policy(session, GRADING_FORMAT) or first_grading_policy()
    return grading_policy(text)


def matching_rules(session: Session) -> MatchingPolicy:
    """Return the house's points for pairs in force, or the first ones."""
    text = newest_policy(session, MATCHING_FORMAT) or first_matching_policy()
    return matching_policy(text)


def _require_newer(session: Session, policy: dict[str, Any]) -> None:
    """See that no other text goes, or ever went, by this name and version."""
    newest = newest_version(session, policy)
    if policy["version"] <= newest:
        raise RefusedError(
            f"version {policy['version']} of the house's rules {policy['id']!r} is not "
            f"after version {newest}, which was adopted before: count it up"
        )
