"""The text of a shop's own rows of the law: its format, and one to begin with."""

from typing import Any

LAW_FORMAT = "flitchbook-law/1"


def first_overlay() -> dict[str, Any]:
    """Return the text that a shop begins with: no row of its own.

    Source: the compiled tables stand alone.
    """
    return {"format": LAW_FORMAT, "id": "own", "version": 1, "rows": []}
