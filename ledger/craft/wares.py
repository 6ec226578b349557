"""What stands on the shelf beside the wood, and with what the shop measures."""

from typing import Literal

from ledger.craft.measured import Unit

Use = Literal[
    "glue",
    "finish",
    "abrasive",
    "binding",
    "shell",
    "bone",
    "strings",
    "frets",
    "hardware",
    "electronics",
    "other",
]
Measures = Literal[
    "length",
    "mass",
    "moisture",
    "humidity",
    "temperature",
    "sound",
    "angle",
    "electrical",
    "other",
]
Outcome = Literal["good", "adjusted", "failed"]
Errand = Literal["show", "loan", "service", "sale"]

# In which units a gauge reads; one of any other kind may read anything.
READS: dict[str, tuple[Unit, ...]] = {
    "length": ("length_um",),
    "mass": ("mass_mg",),
    "moisture": ("humidity_ppm",),
    "humidity": ("humidity_ppm", "temperature_millikelvin"),
    "temperature": ("temperature_millikelvin", "humidity_ppm"),
    "sound": ("frequency_millihertz", "pitch_ppm", "time_seconds"),
    "angle": ("angle_millidegree", "length_um"),
}


def reads(measures: str, unit: str) -> bool:
    """Tell whether a gauge of a kind can have read a value in a unit.

    An air gauge often shows the temperature beside the humidity, and a gauge of angles
    may be read by a rise over a length.

    Source: common practice, no source.
    """
    return unit in READS.get(measures, (unit,))
