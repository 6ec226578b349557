"""Whether what a packing list says can be so: sizes, density, volume, its total.

The limits only catch slips of the pen; what wood is like is judged when it is measured.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ledger.quantities import (
    cubic_decimetres,
    grams,
    kilograms_per_cubic_metre,
    millimetres,
    percent,
)
from ledger.scales import INCH, half_up

# From the lightest balsa to well above the heaviest ebony: common practice, no source.
LIGHTEST, HEAVIEST = 80, 1500  # kg/m3
# Nothing in an instrument is sawn shorter or longer: common practice, no source.
SHORTEST_UM, LONGEST_UM = 50_000, 6_000_000
# A scale reads to the gram, and thicknesses are nominal: common practice, no source.
VOLUME_SLACK = Fraction(1, 10)
DRIEST_PPM, WETTEST_PPM = 20_000, 2_000_000
METRIC = frozenset(("mm", "cm", "m", "µm", "um"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """The sizes of one piece, and the column and unit they were written in."""

    length_um: int
    width_um: int
    thickness_um: int
    column: str
    unit: str

    @property
    def mm3(self) -> Fraction:
        """The volume of one piece."""
        return Fraction(self.length_um * self.width_um * self.thickness_um, 10**9)

    @property
    def is_metric(self) -> bool:
        """Whether the sizes were written in a metric unit."""
        return self.unit in METRIC

    def __str__(self) -> str:
        return " × ".join(
            millimetres(size)
            for size in (self.length_um, self.width_um, self.thickness_um)
        )


def proportion_fault(solid: Solid) -> str | None:
    """Say that a thickness is more than another size, or return None."""
    if solid.thickness_um > min(solid.width_um, solid.length_um):
        return (
            f"{solid}: the thickness is more than the width or the length; look "
            f"whether two columns are swapped"
        )
    return None


def length_fault(solid: Solid) -> str | None:
    """Say that a length is that of another unit, or return None."""
    length = solid.length_um
    if length < SHORTEST_UM and solid.is_metric and length * INCH >= 2 * SHORTEST_UM:
        return f"{solid}: {_mistaken(solid)}"
    if length > LONGEST_UM and not solid.is_metric:
        return f"{solid}: {_mistaken(solid)}"
    if length > LONGEST_UM:
        return (
            f"{solid}: longer than {millimetres(LONGEST_UM)}; look at the length and "
            f"its unit again"
        )
    return None


def _mistaken(solid: Solid, so: str = "") -> str:
    """Say which unit was meant, and how to say so."""
    meant, typed, unit = ("inches", "millimetres", "in")
    if not solid.is_metric:
        meant, typed, unit = ("millimetres", "inches", "mm")
    others = "" if solid.column == "sizes" else ", and so for width and thickness"
    return (
        f"the sizes look like {meant} typed as {typed}{so}; if they are, write the "
        f"unit in the cells, or for the whole list give "
        f"--unit {solid.column}={unit}{others}"
    )


def density_fault(solid: Solid, mass_mg: int, *, pieces: int) -> str | None:
    """Say why a mass cannot be that of so many pieces of this size, or return None.

    Sizes of a set may be those of one half or of both side by side.
    """
    # 1 mg/mm3 is 1000 kg/m3.
    densities = [mass_mg * 1000 / (solid.mm3 * count) for count in {pieces, 1}]
    if any(LIGHTEST <= density <= HEAVIEST for density in densities):
        return None
    density = mass_mg * 1000 / (solid.mm3 * pieces)
    factor = 1 / INCH**3 if solid.is_metric else INCH**3
    other = density * factor
    said = f"{grams(mass_mg)} in {solid} is {_density(density)}"
    if LIGHTEST <= other <= HEAVIEST:
        return f"{said}: {_mistaken(solid, f', which would be {_density(other)}')}"
    return (
        f"{said}, and wood has {LIGHTEST} to {HEAVIEST} kg/m³: look at the sizes, the "
        f"mass and their units again"
    )


def _density(kg_per_m3: Fraction) -> str:
    return kilograms_per_cubic_metre(half_up(kg_per_m3 * 1000), places=0)


def volume_fault(
    solid: Solid, mm3: int, *, counts: Sequence[int], slack_mm3: Fraction
) -> str | None:
    """Say that a volume is not that of any of these counts of pieces, or return None.

    slack_mm3 is what rounding the written volume may have hidden.
    """
    volumes = [solid.mm3 * count for count in counts]
    if any(abs(mm3 - v) <= v * VOLUME_SLACK + slack_mm3 for v in volumes):
        return None
    nearest = min(volumes, key=lambda volume: abs(mm3 - volume))
    return (
        f"the volume is {cubic_decimetres(mm3, places=3)}, and {solid} makes "
        f"{cubic_decimetres(half_up(nearest), places=3)}: correct one of them, or "
        f"leave the column out with --column volume="
    )


def moisture_fault(ppm: int) -> str | None:
    """Say why a moisture content can hardly be so, or return None."""
    if DRIEST_PPM <= ppm <= WETTEST_PPM:
        return None
    return (
        f"{percent(ppm)} is outside {percent(DRIEST_PPM)} to {percent(WETTEST_PPM)}: "
        f"look whether a share was typed for a percentage"
    )
