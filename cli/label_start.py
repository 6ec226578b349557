"""Where on a sheet labels begin, as it is typed, and where the next ones can."""

import re
from typing import Any

from ledger.errors import RefusedError


def started(text: str, on: str) -> Any:
    """Return the place on a sheet at which labels begin; without a text the first."""
    from labels.label_sheet import FIRST, Place

    if not text:
        return FIRST
    if on not in ("A4", "Letter"):
        raise RefusedError(
            "a roll has no places to begin at: leave out --start-at, or print on a "
            "sheet with --on sheet"
        )
    found = re.fullmatch(r"\s*([0-9]{1,3})\s*,\s*([0-9]{1,3})\s*", text)
    if not found:
        raise RefusedError(
            f"{text!r} is no place on a sheet: give the row and the label in it, "
            f"such as --start-at 7,2"
        )
    return Place(int(found[1]), int(found[2]))


def free_words(place: Any) -> str:
    """Say where the next labels can begin on the last sheet."""
    if place is None:
        return "The last sheet is full."
    return f"The last sheet is free from --start-at {place.row},{place.column} on."
