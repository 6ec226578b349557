"""What is printed of how a wood shrinks, and of its stiffness green and dry.

`handbook.csv` holds for each species its shrinkage from green to oven-dry in percent of
the green size, its static modulus green and at 12 %, and the moisture below which
stiffness begins to rise, with the source and how the source is known: `read` in it,
`quoted` from a page that reproduces it, or from `memory`, unverified.
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """What is printed of one species; what nobody printed is None.

    radial, tangential, volumetric  [%]    of the green size, from green to oven-dry
    moe_green, moe_12               [Pa]   static bending, along the grain
    meeting                         [%]    the moisture where green strength begins
    """

    name: str
    radial: float
    tangential: float
    volumetric: float | None
    moe_green: float | None
    moe_12: float | None
    meeting: float | None
    source: str
    confidence: str


def printed_of(name: str) -> Printed | None:
    """Return what is printed of a species, or of its whole genus where that is printed.

    name  scientific; a near relative is never taken for the species itself.

    Source: handbook.csv, row by row.
    """
    words = name.casefold().split()[:2]
    if not words:
        return None
    return _table().get(" ".join(words)) or _table().get(f"{words[0]} spp.")


@cache
def _table() -> dict[str, Printed]:
    text = files("ledger.wood").joinpath("handbook.csv").read_text(encoding="utf-8")
    rows = (_row(row) for row in csv.DictReader(text.splitlines()))
    return {row.name.casefold(): row for row in rows}


def _row(row: dict[str, str]) -> Printed:
    return Printed(
        name=row["name"],
        radial=float(row["radial"]),
        tangential=float(row["tangential"]),
        volumetric=_number(row["volumetric"], 1.0),
        moe_green=_number(row["moe_green_gpa"], 1e9),
        moe_12=_number(row["moe_12_gpa"], 1e9),
        meeting=_number(row["meeting"], 1.0),
        source=row["source"],
        confidence=row["confidence"],
    )


def _number(text: str, scale: float) -> float | None:
    return float(text) * scale if text else None
