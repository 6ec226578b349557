"""How stiff a wood usually is: to expect modes, and to doubt what was named wrongly.

`elastic.csv` holds for each species the modulus of bending at 12 % moisture, in GPa,
E across and G (in the plane of a quartersawn plate) as shares of E along, and the
Poisson ratio nu_LR, as far as they are printed; with the source and how it is known, as
in `species.csv`. Within one species E along varies by a factor of two: nothing here is
a grade.
"""

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from ledger.errors import RefusedError
from ledger.wood.uncertainty import Estimate

# A printed modulus of bending contains some shear: E along is a tenth more.
# Source: Wood Handbook FPL-GTR-190, chapter 5; from memory.
SHEAR_IN_BENDING = 1.10
# What most woods have, where nothing is printed; common practice, no source.
ANY_ALONG, ANY_ACROSS, ANY_SHEAR = 11e9, 0.09, 0.075
# nu_LR of the twelve woods of table 5-2 goes from 0.30 to 0.50, its spread is 0.06.
GUESSED_POISSON = Estimate(value=0.35, u=0.06)
LARGEST_POISSON = 0.9
U_POISSON = 0.05  # of a printed one: another tree, another ring angle
# One standard deviation, in logarithms: of a species and of any wood.
SPREAD_OF_SPECIES, SPREAD_OF_ANY = (0.30, 0.40), (0.45, 0.55)


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """What to expect of a wood before it is measured.

    name          the species, the genus, or "any wood"
    e_along       [Pa]
    across_ratio, shear_ratio  E across and G over E along
    poisson       nu_LR
    spreads       one standard deviation of e_along and of the ratios, in logarithms
    """

    name: str
    e_along: float
    across_ratio: float
    shear_ratio: float
    poisson: Estimate
    spreads: tuple[float, float]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One row of the table; what is not printed is None."""

    name: str
    bending_gpa: float | None
    across_ratio: float | None
    shear_ratio: float | None
    poisson: float | None
    source: str
    confidence: str


def usual_stiffness(name: str = "") -> Usual:
    """Return what a species, else its genus, else any wood usually has.

    What is not printed for a species is taken from its genus, then from any wood.

    Source: elastic.csv, row by row; the widths are common practice, no source.
    """
    words = name.casefold().split()[:2]
    of_genus = [row for row in printed() if words and _words(row)[:1] == words[:1]]
    exact = [row for row in of_genus if len(words) == 2 and _words(row) == words]
    rows = exact or of_genus
    if not rows:
        known, spreads = "any wood", SPREAD_OF_ANY
    else:
        known = exact[0].name if exact else of_genus[0].name.split()[0]
        spreads = SPREAD_OF_SPECIES
    bending = _mean([row.bending_gpa for row in rows])
    poisson = _first([row.poisson for row in rows], [r.poisson for r in of_genus])
    across, shear = (
        _first([getattr(r, each) for r in rows], [getattr(r, each) for r in of_genus])
        for each in ("across_ratio", "shear_ratio")
    )
    return Usual(
        name=known,
        e_along=bending * 1e9 * SHEAR_IN_BENDING if bending else ANY_ALONG,
        across_ratio=across or ANY_ACROSS,
        shear_ratio=shear or ANY_SHEAR,
        poisson=Estimate(value=poisson, u=U_POISSON) if poisson else GUESSED_POISSON,
        spreads=spreads,
        sources=tuple(sorted({row.source for row in rows})),
    )


def require_poisson(ratio: float) -> None:
    """Refuse a Poisson ratio nu_LC that no wood has.

    Source: Wood Handbook FPL-GTR-190, table 5-2, in which none of the ratios along the
    grain lies outside 0.2 to 0.7; the limits here are wider.
    """
    if not 0 < ratio < LARGEST_POISSON:
        raise RefusedError(
            f"a Poisson ratio of {ratio:g} is none of wood's, which lie above 0 and "
            f"below {LARGEST_POISSON:g}: 0.35 is a fair guess"
        )


@cache
def printed() -> tuple[Printed, ...]:
    """Return all rows of the table.

    Source: elastic.csv, row by row.
    """
    text = files("ledger.wood").joinpath("elastic.csv").read_text(encoding="utf-8")
    return tuple(_row(row) for row in csv.DictReader(text.splitlines()))


def _row(row: dict[str, str]) -> Printed:
    return Printed(
        name=row["name"],
        bending_gpa=_number(row["bending_gpa"]),
        across_ratio=_number(row["across_ratio"]),
        shear_ratio=_number(row["shear_ratio"]),
        poisson=_number(row["poisson"]),
        source=row["source"],
        confidence=row["confidence"],
    )


def _number(text: str) -> float | None:
    return float(text) if text else None


def _words(row: Printed) -> list[str]:
    return row.name.casefold().split()[:2]


def _first(*groups: Sequence[float | None]) -> float | None:
    """Return the mean of the first group in which anything is printed."""
    return next((mean for group in groups if (mean := _mean(group))), None)


def _mean(values: Sequence[float | None]) -> float | None:
    """Return the geometric mean of what is printed."""
    known = [math.log(value) for value in values if value]
    return math.exp(sum(known) / len(known)) if known else None
