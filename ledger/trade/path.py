"""The way to an answer: what the judging code looked at, in the order it did so.

The rules write each step down as they judge; nothing here works it out again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, Protocol

# What a step looked at.
At = Literal[
    "name",
    "form",
    "movement",
    "origin",
    "listing",
    "population",
    "annotation",
    "covered",
    "mass",
    "purpose",
    "confidence",
    "staleness",
    "species",
    "rows",
    "acquired",
    "papers",
    "parts",
    "law",
    "left out",
    "not understood",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: what was looked at, what it said, and what was decided by it.

    decided  needed, not needed or ask; empty where the way goes on
    own      of a row of the shop's own: who adopted it and when
    """

    at: At
    says: str
    decided: str = ""
    row: str = ""
    valid_from: date | None = None
    valid_until: date | None = None
    own: str = ""


class Dated(Protocol):
    """A row with an id and the days on which it stands."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def valid_from(self) -> date | None:
        """Its first day; None where it always stood."""

    @property
    def valid_until(self) -> date | None:
        """Its last day; None where it still stands."""

    @property
    def own(self) -> str:
        """Who adopted it, where it is of the shop's own."""


def step_on(row: Dated, at: At, says: str, decided: str = "") -> Step:
    """Return a step that rests on a row with dates.

    Source: the row.
    """
    return Step(
        at=at,
        says=says,
        decided=decided,
        row=row.id,
        valid_from=row.valid_from,
        valid_until=row.valid_until,
        own=row.own,
    )


def path_data(path: Iterable[Step]) -> list[dict[str, Any]]:
    """Return a way as plain values for a program.

    Source: the determination.
    """
    return [
        {
            "step": step.at,
            "says": step.says,
            "decided": step.decided,
            "row": step.row,
            "valid_from": step.valid_from and step.valid_from.isoformat(),
            "valid_until": step.valid_until and step.valid_until.isoformat(),
            "own": step.own,
        }
        for step in path
    ]
