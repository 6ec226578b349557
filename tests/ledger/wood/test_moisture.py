"""Tests of moisture: the handbook's table and its limits, masses wet and dry."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from ledger.errors import RefusedError
from ledger.wood.moisture import (
    equilibrium_moisture,
    mass_at,
    moisture_content,
    oven_dry_mass,
)
from ledger.wood.uncertainty import Estimate

TABLE = Path(__file__).parents[2] / "vectors" / "wood" / "emc_table_4_2.csv"


def test_every_cell_of_the_handbook_table_is_met() -> None:
    """Wood Handbook FPL-GTR-190 table 4-2, 228 cells printed to 0.1 %, read there."""
    with TABLE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    differences = {
        (row["temperature_f"], row["humidity_percent"]): abs(
            equilibrium_moisture(
                temperature=(float(row["temperature_f"]) - 32) / 1.8,
                humidity=float(row["humidity_percent"]) / 100,
            )
            - float(row["moisture_percent"])
        )
        for row in rows
    }

    assert len(differences) == 228
    assert max(differences.values()) < 0.06, max(
        differences.items(), key=lambda d: d[1]
    )


@pytest.mark.parametrize(
    ("temperature", "humidity", "percent"),
    [(20, 0.65, 11.996), (20, 0.45, 8.485), (20, 0.50, 9.271), (22, 0.50, 9.218)],
)
def test_values_reckoned_by_another_hand_are_met(
    temperature: float, humidity: float, percent: float
) -> None:
    """Equation 4-5 with metric coefficients, reckoned separately; computed."""
    found = equilibrium_moisture(temperature=temperature, humidity=humidity)

    assert found == pytest.approx(percent, abs=0.0006)


def test_bone_dry_air_leaves_no_water() -> None:
    """At no humidity at all wood holds no water."""
    assert equilibrium_moisture(temperature=20, humidity=0) == 0


@given(st.floats(-1.2, 60), st.floats(0, 0.94))
def test_damper_air_makes_damper_wood(temperature: float, humidity: float) -> None:
    """Moisture rises with humidity at every temperature."""
    dry = equilibrium_moisture(temperature=temperature, humidity=humidity)
    damp = equilibrium_moisture(temperature=temperature, humidity=humidity + 0.01)

    assert dry < damp < 35


@pytest.mark.parametrize(
    ("temperature", "humidity"), [(-2, 0.5), (60.1, 0.5), (20, -0.01), (20, 0.96)]
)
def test_air_beyond_the_table_is_refused(temperature: float, humidity: float) -> None:
    """Outside the handbook's table the equation is nobody's promise."""
    with pytest.raises(RefusedError, match="lies outside"):
        equilibrium_moisture(temperature=temperature, humidity=humidity)


def test_two_masses_give_the_water_and_agree_with_another_library() -> None:
    """ASTM D4442: 176 g of which 163 g are wood hold 7.975 %, to 0.09 %."""
    mass, dry = Estimate(value=0.176, u=1e-4), Estimate(value=0.163, u=1e-4)
    found = moisture_content(mass=mass, oven_dry=dry)
    judged = 100 * (ufloat(0.176, 1e-4) / ufloat(0.163, 1e-4) - 1)

    assert found.value == pytest.approx(7.975, abs=5e-4)
    assert found.value == pytest.approx(judged.nominal_value)
    assert found.u == pytest.approx(judged.std_dev)


def test_a_meter_gives_the_oven_dry_mass_to_its_own_uncertainty() -> None:
    """One percent of moisture at 8 % is 0.93 % of the oven-dry mass."""
    found = oven_dry_mass(
        mass=Estimate(value=1.08, u=0.0), moisture=Estimate(value=8.0, u=1.0)
    )

    assert found.value == pytest.approx(1.0)
    assert found.u == pytest.approx(0.00926, abs=1e-5)


@given(st.floats(0, 60), st.floats(0, 60), st.floats(0.01, 50))
def test_bringing_a_mass_there_and_back_changes_nothing(
    moisture: float, at: float, mass: float
) -> None:
    """The oven-dry mass stays the same whatever water is in it."""
    weighed = Estimate(value=mass, u=0.0)
    there = mass_at(mass=weighed, moisture=Estimate(value=moisture, u=0.0), at=at)
    back = mass_at(mass=there, moisture=Estimate(value=at, u=0.0), at=moisture)

    assert back.value == pytest.approx(mass)


def test_wood_is_not_lighter_than_without_water() -> None:
    """Masses that were swapped are noticed; a difference of the scale is not one."""
    heavy, light = Estimate(value=0.176, u=1e-4), Estimate(value=0.163, u=1e-4)
    nearly = Estimate(value=0.1631, u=1e-4)

    with pytest.raises(RefusedError, match=r"oven-dry it weighs 176 g .* 163 g"):
        moisture_content(mass=light, oven_dry=heavy)
    assert moisture_content(mass=light, oven_dry=nearly).value < 0


@pytest.mark.parametrize("moisture", [-1.0, 301.0])
def test_moisture_that_no_wood_has_is_refused(moisture: float) -> None:
    """Below nothing, or far above green wood."""
    with pytest.raises(RefusedError, match="no moisture content of wood"):
        mass_at(
            mass=Estimate(value=1.0, u=0.0),
            moisture=Estimate(value=moisture, u=0.0),
            at=8.0,
        )
