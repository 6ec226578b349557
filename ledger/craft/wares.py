"""What stands on the shelf beside the wood, and with what the shop measures."""

from typing import Literal

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
