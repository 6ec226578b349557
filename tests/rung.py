"""Taps of boards as they are said, without a recording that anybody would have to hear.

loft.say(rung.said("L26-001-01.A", along=71.29, across=150.51, twist=52.32), "03")
"""

from typing import Any

from ledger.events import BoardTapped
from ledger.events.board import Mode, Reading

# A spruce half of 550 x 200 x 4.00 mm and 176.0 g.
TONES: dict[Mode, float] = {"along": 71.29, "across": 150.51, "twist": 52.32}
SIZES = {"length_um": 550_000, "width_um": 200_000, "thickness_um": 4_000}


def said(board: str, *, at: int = 0, **told: Any) -> BoardTapped:
    """Return a tap of the half, or of one with other tones [Hz], sizes and mass.

    at  a number that makes the recording another one
    """
    tones: dict[Mode, float] = told.pop("tones", TONES)
    known: dict[str, Any] = {
        "held_as": "plate",
        "mass_mg": 176_000,
        "low_millihertz": 20_000,
        "high_millihertz": 400_000,
        "method": "as it was told",
        "recording_sha256": f"{at:064x}",
        "readings": tuple(
            Reading(
                mode=mode,
                frequency_millihertz=round(hertz * 1000),
                uncertainty_millihertz=10,
                q_milli=100_000,
                taps=3,
            )
            for mode, hertz in tones.items()
        ),
    }
    return BoardTapped(board=board, **(SIZES | known | told))


def scaled(factor: float) -> dict[Mode, float]:
    """Return the tones of the half, all multiplied by a factor."""
    return {mode: hertz * factor for mode, hertz in TONES.items()}
