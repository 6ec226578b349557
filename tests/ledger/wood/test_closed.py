"""Tests of the closed formulas, and of why they do not have the last word."""

import csv
import math
from pathlib import Path

import pytest

from ledger.wood.closed import (
    ClosedPlate,
    by_closed_formulas,
    closed_plate,
    critical_ratio,
    near_critical,
)
from ledger.wood.elastic import usual_stiffness
from ledger.wood.sizes import Sizes
from ledger.wood.tapped import Tapped
from tests.ledger.wood.boards import exact

PLATES = Path(__file__).parents[2] / "vectors" / "wood" / "plates.csv"
MODULI = ("e_along_gpa", "e_across_gpa", "g_gpa")


def plates() -> list[dict[str, str]]:
    """Return the rows of the table of computed plates."""
    with PLATES.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def tapped(row: dict[str, str]) -> Tapped:
    """Tap a plate of the table."""
    sides = {n: float(row[f"{n}_mm"]) / 1000 for n in ("length", "width", "thickness")}
    mass = float(row["density_kg_m3"]) * math.prod(sides.values())
    return Tapped(
        sizes=Sizes(**{n: exact(side) for n, side in sides.items()}, mass=exact(mass)),
        tones={n: exact(float(row[f"{n}_hz"])) for n in ("along", "across", "twist")},
        poisson=exact(0.35),
    )


def percent_off(row: dict[str, str]) -> tuple[float, float, float]:
    """Return by how many percent each of the three formulas is off."""
    board = tapped(row)
    closed: ClosedPlate = closed_plate(board.sizes, **board.tones)
    found = (closed.e_along, closed.e_across, closed.g)
    along, across, shear = (
        100 * (each.value / 1e9 / float(row[name]) - 1)
        for name, each in zip(MODULI, found, strict=True)
        if each is not None
    )
    return along, across, shear


@pytest.mark.parametrize("row", plates(), ids=lambda r: f"{r['shape']}-{r['wood']}")
def test_the_shear_modulus_by_a_pure_twist_reads_9_to_16_percent_low(
    row: dict[str, str],
) -> None:
    """Why it is not used: the bias is more than its uncertainty; 17 % on strips."""
    low = -percent_off(row)[2]

    assert 8.6 <= low <= (17.5 if row["shape"] == "strip" else 16)


# From plate_inversion_error.csv, computed by a Rayleigh-Ritz solution of its own.
@pytest.mark.parametrize(
    ("wood", "length", "off"),
    [
        ("spruce_mid", "550", (0.034, 0.893, -9.195)),
        ("cedar_WRC", "550", (0.090, 1.113, -10.196)),
        ("maple", "550", (0.284, 2.229, -10.913)),
        ("rosewood_isoish", "550", (0.300, 1.884, -11.545)),
    ],
)
def test_half_sets_read_as_far_off_as_is_known(
    wood: str, length: str, off: tuple[float, float, float]
) -> None:
    """E along 0.3 % off, E across 0.9 to 2.2 % high, G about 10 % low."""
    row = next(r for r in plates() if (r["wood"], r["length_mm"]) == (wood, length))

    assert percent_off(row) == pytest.approx(off, abs=0.01)


def test_near_the_critical_ratio_e_along_reads_9_percent_high() -> None:
    """The joined rosewood top: +8.77 % along, -5.74 % across, -9.24 % in G."""
    row = next(
        r for r in plates() if (r["wood"], r["shape"]) == ("rosewood_isoish", "joined")
    )
    board = tapped(row)
    closed = closed_plate(board.sizes, **board.tones)

    assert percent_off(row) == pytest.approx((8.769, -5.740, -9.244), abs=0.01)
    assert near_critical(board.sizes, closed.e_along, closed.e_across)
    assert not near_critical(board.sizes, closed.e_along, None)
    assert critical_ratio(e_along=12e9, e_across=3e9) == pytest.approx(math.sqrt(2))


@pytest.mark.parametrize("row", plates(), ids=lambda r: f"{r['shape']}-{r['wood']}")
def test_standing_alone_they_tell_what_they_leave_out(row: dict[str, str]) -> None:
    """With exact sizes and tones, the error lies within twice the uncertainty."""
    found = by_closed_formulas(tapped(row), usual_stiffness())

    for name, each in zip(
        MODULI, (found.e_along, found.e_across, found.g), strict=True
    ):
        assert each is not None
        assert abs(each.value - 1e9 * float(row[name])) <= 2 * each.u
