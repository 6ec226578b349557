"""How far a row of the tables was checked, and what may rest on it.

The column `confidence` holds one of three words. What was put down from memory may ask
for papers or send somebody to an office; it never spares anybody anything.
"""

from typing import Protocol

MEMORY = "from memory, unverified"
# From the least to the most: part of a row, such as a first day, may be from memory.
CONFIDENCE = {
    MEMORY: "from memory, no source read",
    "partly verified": "checked in part against its sources",
    "verified": "checked against its sources",
}
ORDER = tuple(CONFIDENCE)


class Checked(Protocol):
    """A row that says how far it was checked."""

    @property
    def confidence(self) -> str:
        """The word of the column."""


def is_from_memory(row: Checked) -> bool:
    """Tell whether no source was read for a row.

    Source: the confidence column of the tables.
    """
    return row.confidence == MEMORY


def least(*rows: Checked) -> str:
    """Return the confidence of an answer: that of the row that was checked least.

    Source: the confidence column of the tables.
    """
    return min((row.confidence for row in rows), key=ORDER.index)


def confidence_words(word: str) -> str:
    """Return how far the row that decides was checked, for a reader.

    Source: the confidence column of the tables.
    """
    return CONFIDENCE[word]
