"""Places of a plate, for whatever makes sentences of all kinds."""

from dataclasses import replace
from typing import Any

from ledger.log.encoding import LARGEST


def on_a_plate(told: dict[str, Any]) -> dict[str, Any]:
    """Return the places of a plate: each once, and none beyond its end."""
    if "places" not in told:
        return {}
    each = (replace(place, y_um=n) for n, place in enumerate(told["places"]))
    return {"places": tuple(each), "length_um": LARGEST}
