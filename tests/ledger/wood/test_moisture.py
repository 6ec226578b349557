"""Tests of moisture: the handbook's table, and mass with and without water."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.moisture import (
    equilibrium_moisture,
    mass_at,
    moisture_content,
    oven_dry_mass,
)

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


@given(st.floats(0.001, 100), st.floats(0, 200), st.floats(0, 200))
def test_water_taken_up_can_be_given_off_again(
    mass: float, moisture: float, other: float
) -> None:
    """From one moisture to another and back, mass is what it was."""
    there = mass_at(mass=mass, moisture=moisture, new_moisture=other)
    dry = oven_dry_mass(mass=mass, moisture=moisture)

    assert mass_at(mass=there, moisture=other, new_moisture=moisture) == pytest.approx(
        mass
    )
    assert moisture_content(mass=mass, oven_dry_mass=dry) == pytest.approx(
        moisture, abs=1e-9
    )


def test_what_no_scale_can_have_shown_is_refused() -> None:
    """Wood weighs no less than its dry self, and more than nothing."""
    with pytest.raises(RefusedError, match="weigh both again"):
        moisture_content(mass=0.9, oven_dry_mass=1.0)
    with pytest.raises(RefusedError, match="weigh again"):
        oven_dry_mass(mass=0, moisture=8)
    with pytest.raises(RefusedError, match="-1 %"):
        mass_at(mass=1, moisture=8, new_moisture=-1)
