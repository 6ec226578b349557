"""Tests of tapped plates, against computed modes of free orthotropic plates."""

import csv
import math
from pathlib import Path

import pytest
from uncertainties import ufloat
from uncertainties.umath import sqrt

from ledger.errors import RefusedError
from ledger.wood.bar import FREE_FREE_FIRST_MODE
from ledger.wood.plate import RungPlate, critical_ratio, rung_plate
from ledger.wood.uncertainty import Estimate

PLATES = Path(__file__).parents[2] / "vectors" / "wood" / "plates.csv"
SIZES = {
    "length": Estimate(value=0.550, u=0.0005),
    "width": Estimate(value=0.200, u=0.0005),
    "thickness": Estimate(value=0.004, u=0.00005),
    "mass": Estimate(value=0.1760, u=0.0001),
}
MODES = {
    "along": Estimate(value=71.29, u=0.2),
    "across": Estimate(value=150.51, u=0.2),
    "twist": Estimate(value=52.32, u=0.2),
}


def exact(text: str, scale: float = 1) -> Estimate:
    """Return a number of the table, without uncertainty."""
    return Estimate(value=float(text) / scale, u=0)


def plates() -> list[dict[str, str]]:
    """Return the rows of the table of computed plates."""
    with PLATES.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def rung(row: dict[str, str]) -> RungPlate:
    """Tap a plate of the table."""
    volume = math.prod(
        float(row[f"{name}_mm"]) / 1000 for name in ("length", "width", "thickness")
    )
    return rung_plate(
        length=exact(row["length_mm"], 1000),
        width=exact(row["width_mm"], 1000),
        thickness=exact(row["thickness_mm"], 1000),
        mass=Estimate(value=float(row["density_kg_m3"]) * volume, u=0),
        along=exact(row["along_hz"]),
        across=exact(row["across_hz"]),
        twist=exact(row["twist_hz"]),
    )


@pytest.mark.parametrize("row", plates(), ids=lambda r: f"{r['shape']}-{r['wood']}")
def test_closed_formulas_read_computed_plates_as_well_as_is_known(
    row: dict[str, str],
) -> None:
    """Own Rayleigh-Ritz solution, computed: E along to 0.3 % but on joined plates."""
    found = rung(row)
    assert found.e_along is not None
    assert found.e_across is not None
    assert found.g is not None
    along = found.e_along.value / 1e9 / float(row["e_along_gpa"])
    across = found.e_across.value / 1e9 / float(row["e_across_gpa"])
    g = found.g.value / 1e9 / float(row["g_gpa"])
    is_critical = any("mode mix" in warning for warning in found.warnings)

    assert found.density.value == pytest.approx(float(row["density_kg_m3"]))
    assert g == pytest.approx(1, abs=0.0135)
    if row["shape"] != "joined":
        assert along == pytest.approx(1, abs=0.0031)
        assert across == pytest.approx(1, abs=0.03)
        assert not is_critical
    elif not is_critical:
        assert along == pytest.approx(1, abs=0.035)
        assert across == pytest.approx(1, abs=0.008)
    else:
        assert along == pytest.approx(1, abs=0.089)
        assert across == pytest.approx(1, abs=0.058)


def test_the_plates_near_the_critical_ratio_are_warned_of() -> None:
    """Joined plates of rosewood lie near it, and every one of them says so."""
    warned = {
        (row["shape"], row["wood"])
        for row in plates()
        if any("mode mix" in warning for warning in rung(row).warnings)
    }

    assert warned == {("joined", "rosewood_EI"), ("joined", "rosewood_isoish")}
    assert critical_ratio(e_along=12e9, e_across=3e9) == pytest.approx(math.sqrt(2))


def test_a_spruce_half_set_has_the_numbers_of_the_worked_example() -> None:
    """E along 11.00 GPa to 3.8 %, c 5245 m/s to 1.3 %, R 13.11 to 0.47 %; computed."""
    found = rung_plate(**SIZES, **MODES)
    told = {
        "e_along": (11.00e9, 0.038),
        "e_across": (0.858e9, 0.0384),
        "sound_speed": (5245, 0.0129),
        "radiation_ratio": (13.11, 0.0047),
    }

    for name, (value, share) in told.items():
        estimate = getattr(found, name)
        assert estimate.value == pytest.approx(value, rel=0.0005)
        assert estimate.u / estimate.value == pytest.approx(share, rel=0.02)
    assert found.g is not None
    assert found.g.value == pytest.approx(0.75e9, rel=0.01)
    assert found.method == "closed plate formulas"
    assert found.warnings == ()


def test_every_uncertainty_agrees_with_an_independent_library() -> None:
    """Each number is differentiated by the library and has the same uncertainty."""
    coefficient = Estimate(value=0.9, u=0.009)
    found = rung_plate(**SIZES, **MODES, coefficient=coefficient)
    a, b, h, m = (ufloat(each.value, each.u) for each in SIZES.values())
    along, across, twist = (ufloat(each.value, each.u) for each in MODES.values())
    density = m / (a * b * h)
    e_along = FREE_FREE_FIRST_MODE * density * along**2 * a**4 / h**2
    others = {
        "density": density,
        "e_along": e_along,
        "e_across": FREE_FREE_FIRST_MODE * density * across**2 * b**4 / h**2,
        "g": ufloat(0.9, 0.009) * density * twist**2 * a**2 * b**2 / h**2,
        "sound_speed": sqrt(e_along / density),
        "radiation_ratio": sqrt(e_along / density**3),
    }

    for name, other in others.items():
        assert getattr(found, name).value == pytest.approx(other.nominal_value)
        assert getattr(found, name).u == pytest.approx(other.std_dev, rel=1e-6)


def test_thickness_has_no_part_in_the_radiation_ratio() -> None:
    """However badly the thickness is known, R is known as well as before."""
    unsure = {**SIZES, "thickness": Estimate(value=0.0043, u=0.001)}

    assert (
        rung_plate(**unsure, **MODES).radiation_ratio
        == rung_plate(**SIZES, **MODES).radiation_ratio
    )


def test_what_was_not_heard_is_not_told() -> None:
    """Each number needs its own mode; the shear modulus needs all three."""
    silent = rung_plate(**SIZES)
    twisted = rung_plate(**SIZES, twist=MODES["twist"])
    bent = rung_plate(**SIZES, along=MODES["along"])
    both = rung_plate(**SIZES, twist=MODES["twist"], along=MODES["along"])

    assert silent.density.value == pytest.approx(400)
    assert (silent.e_along, silent.sound_speed, silent.warnings) == (None, None, ())
    assert twisted.g is None
    assert "needs the long mode" in twisted.warnings[0]
    assert "needs the cross mode" in both.warnings[0]
    assert bent.e_along is not None
    assert bent.radiation_ratio is not None
    assert (bent.e_across, bent.g) == (None, None)


def test_modes_that_are_easily_mistaken_are_pointed_out() -> None:
    """On maple half sets the twist and the long mode lie 5 % apart."""
    rows = [row for row in plates() if (row["shape"], row["wood"]) == ("half", "maple")]
    warnings = [rung(row).warnings for row in rows]

    assert any(
        "the twist and along modes lie 5.3% apart" in w[0] for w in warnings if w
    )


def test_a_thick_board_is_no_plate() -> None:
    """A neck blank tapped as a plate is told that it is none."""
    thick = {**SIZES, "thickness": Estimate(value=0.03, u=0.0001)}

    assert "no thin plate" in rung_plate(**thick).warnings[0]


def test_modes_named_the_wrong_way_round_give_no_shear_modulus() -> None:
    """A twist mode of 700 Hz on this board is none, and the answer says so."""
    wrong = {**MODES, "twist": Estimate(value=700, u=0.2)}
    found = rung_plate(**SIZES, **wrong)

    assert found.g is None
    assert "which mode is which" in found.warnings[-1]


@pytest.mark.parametrize("name", sorted(SIZES))
def test_a_plate_without_one_measure_is_refused(name: str) -> None:
    """Nothing can be reckoned from a size or a mass of zero."""
    with pytest.raises(RefusedError, match="not above zero"):
        rung_plate(**{**SIZES, name: Estimate(value=0, u=0.1)})
