"""The texts a house lives by: limits, grades, points for pairs, rows of the law."""

from collections.abc import Callable
from typing import Any, Protocol

from ledger.craft.grading_policy import GRADING_FORMAT, grading_policy
from ledger.craft.matching_policy import MATCHING_FORMAT, matching_policy
from ledger.craft.policy import HOUSE_FORMAT, house_policy
from ledger.trade.overlay import LAW_FORMAT


class Named(Protocol):
    """A text that was read: it has a name, and a version that is counted up."""

    @property
    def name(self) -> str:
        """Its name and version."""

    @property
    def version(self) -> int:
        """Which version of it."""


def _rows_of_the_law(policy: object) -> Named:
    """Read rows of the law; the tables are loaded for this alone."""
    from ledger.trade.amendment import read_overlay

    return read_overlay(policy)


READERS: dict[str, Callable[[object], Named]] = {
    HOUSE_FORMAT: house_policy,
    GRADING_FORMAT: grading_policy,
    MATCHING_FORMAT: matching_policy,
    LAW_FORMAT: _rows_of_the_law,
}


def is_of_the_house(policy: object) -> bool:
    """Tell whether a policy is one of the house's own, and not of who signs what."""
    kind = policy.get("format") if isinstance(policy, dict) else None
    return isinstance(kind, str) and kind in READERS


def read_policy(policy: dict[str, Any]) -> Named:
    """Read a text of the house by its format.

    Raises RefusedError that names what does not fit.
    """
    return READERS[policy["format"]](policy)
