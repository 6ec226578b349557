"""What a wood usually weighs, as a band against wrong sizes and wrong names.

`species.csv` holds for each species the density at 12 % moisture that a printed figure
comes to, with the figure, its basis, its source and how the source is known: `read` in
it, `quoted` from a page that reproduces it, or from `memory`, unverified. A species
mean is no grade: within one species, density varies by about 10 % (one standard
deviation), and stiffness by far more.
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

# Source of the first: common practice, no source; some 2.5 standard deviations.
AROUND_MEAN = 0.25
AROUND_RANGE = 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """What is printed about one species.

    density_low, density_high  [kg/m3]  at 12 % moisture; alike where a mean is printed
    printed_low, printed_high  the figure as printed, whose meaning the basis tells
    volumetric_shrinkage       [%]  where the basis asks for it
    """

    name: str
    density_low: float
    density_high: float
    basis: str
    printed_low: float
    printed_high: float
    volumetric_shrinkage: float | None
    source: str
    confidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Densities [kg/m3] that are plausible at 12 %, and for which name they are."""

    name: str
    low: float
    high: float
    sources: tuple[str, ...]


def density_band(name: str) -> Band | None:
    """Return the densities that are plausible for a species or a genus, if known.

    name  scientific; of a species that is not in the table, its genus is taken, and
          the band says so. 25 % to each side of a mean, 10 % beyond a printed range.

    Source: species.csv, row by row; the width is common practice, no source.
    """
    words = name.split()[:2]
    of_genus = [row for row in species() if words and _is_of(row, words[:1])]
    if not of_genus:
        return None
    exact = [row for row in of_genus if len(words) == 2 and _is_of(row, words)]
    rows = exact or of_genus
    bounds = [_bounds(row) for row in rows]
    return Band(
        name=exact[0].name if exact else of_genus[0].name.split()[0],
        low=min(low for low, _ in bounds),
        high=max(high for _, high in bounds),
        sources=tuple(sorted({row.source for row in rows})),
    )


def _is_of(row: Species, words: list[str]) -> bool:
    """Tell whether a row is of a genus, or of a species."""
    named = row.name.casefold().split()[: len(words)]
    return named == [word.casefold() for word in words]


@cache
def species() -> tuple[Species, ...]:
    """Return all species of the table.

    Source: species.csv, row by row.
    """
    text = files("ledger.wood").joinpath("species.csv").read_text(encoding="utf-8")
    return tuple(_row(row) for row in csv.DictReader(text.splitlines()))


def _row(row: dict[str, str]) -> Species:
    shrinkage = row["volumetric_shrinkage"]
    return Species(
        name=row["name"],
        density_low=float(row["density_low"]),
        density_high=float(row["density_high"]),
        basis=row["basis"],
        printed_low=float(row["printed_low"]),
        printed_high=float(row["printed_high"]),
        volumetric_shrinkage=float(shrinkage) if shrinkage else None,
        source=row["source"],
        confidence=row["confidence"],
    )


def _bounds(row: Species) -> tuple[float, float]:
    mean = (row.density_low + row.density_high) / 2
    return (
        min((1 - AROUND_MEAN) * mean, (1 - AROUND_RANGE) * row.density_low),
        max((1 + AROUND_MEAN) * mean, (1 + AROUND_RANGE) * row.density_high),
    )
