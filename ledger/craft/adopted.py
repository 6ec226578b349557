"""The texts that a house lives by: its limits, its grades, its points for pairs."""

from collections.abc import Callable
from typing import Any, Protocol

from ledger.craft.grading_policy import GRADING_FORMAT, grading_policy
from ledger.craft.matching_policy import MATCHING_FORMAT, matching_policy
from ledger.craft.policy import HOUSE_FORMAT, house_policy


class Named(Protocol):
    """A text that was read: it has a name, and a version that is counted up."""

    @property
    def name(self) -> str:
        """Its name and version."""

    @property
    def version(self) -> int:
        """Which version of it."""


READERS: dict[str, Callable[[object], Named]] = {
    HOUSE_FORMAT: house_policy,
    GRADING_FORMAT: grading_policy,
    MATCHING_FORMAT: matching_policy,
}


def is_of_the_house(policy: object) -> bool:
    """Tell whether a policy is one of the house's own, and not of who signs what.

    Source: the shop's policy; nature sets none.
    """
    kind = policy.get("format") if isinstance(policy, dict) else None
    return isinstance(kind, str) and kind in READERS


def read_policy(policy: dict[str, Any]) -> Named:
    """Read a text of the house by its format.

    Raises RefusedError that names what does not fit.

    Source: the shop's policy; nature sets none.
    """
    return READERS[policy["format"]](policy)
