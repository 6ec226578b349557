"""Tests of moisture: the handbook's table and its limits."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.moisture import equilibrium_moisture

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
