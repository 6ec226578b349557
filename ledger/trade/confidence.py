"""How far a row of the tables was checked, and what may rest on it.

The column `confidence` holds one of three words. What was put down from memory may ask
for papers or send somebody to an office; it never spares anybody anything.
"""

from collections.abc import Iterable
from typing import Protocol

MEMORY = "from memory, unverified"
# From the least to the most: part of a row, such as a first day, may be from memory.
CONFIDENCE = {
    MEMORY: "from memory, no source read",
    "partly verified": "checked in part against its sources",
    "verified": "checked against its sources",
}
ORDER = tuple(CONFIDENCE)
# Between the word of an answer and the shop's own rows that it rests on.
AND = "; "


class Checked(Protocol):
    """What says how far it was checked: a row, or an answer that rests on rows."""

    @property
    def confidence(self) -> str:
        """The word of the column."""


class CheckedRow(Checked, Protocol):
    """A row that says how far it was checked, and whether it is of the shop's own."""

    @property
    def own(self) -> str:
        """Who adopted it and when; empty for a compiled row."""


def is_from_memory(row: Checked) -> bool:
    """Tell whether no source was read for a row, or for that of an answer.

    Source: the confidence column of the tables.
    """
    return row.confidence.partition(AND)[0] == MEMORY


def least(*rows: CheckedRow, beside: Iterable[CheckedRow] = ()) -> str:
    """Return the confidence of an answer: that of the row that was checked least.

    Rows of the shop's own are told after it, also those that only stand `beside`:
    "verified; the shop's own row, adopted in entry 41 on 2026-12-01".

    Source: the confidence column of the tables.
    """
    word = min((row.confidence for row in rows), key=ORDER.index)
    own = [row.own for row in (*rows, *beside) if row.own]
    return AND.join((word, *dict.fromkeys(own)))


def confidence_words(word: str) -> str:
    """Return how far the row that decides was checked, for a reader.

    Source: the confidence column of the tables.
    """
    first, *own = word.split(AND)
    return AND.join((CONFIDENCE[first], *own))
