"""Tests of reckoning with water in wood: masses, meters, sizes, densities."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from cli import calc
from ledger.errors import RefusedError

Told = Callable[..., Any]


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Told:
    """Give a way to run a command and return its JSON."""

    def tell(*words: str) -> Any:
        calc.app([*words, "--json"], standalone_mode=False)
        return json.loads(capsys.readouterr().out)

    return tell


def test_two_masses_tell_the_moisture(told: Told) -> None:
    """176 g of which 163 g are wood: 7.975 %, and at 6 % it would weigh 172.8 g."""
    found = told(
        *("moisture", "--mass", "176g", "--oven-dry", "163g"), *("--at", "6 %")
    )

    assert found["moisture_percent"]["value"] == pytest.approx(7.975, abs=1e-3)
    assert found["oven_dry_g"]["value"] == 163
    assert found["mass_at_g"]["value"] == pytest.approx(172.78)
    assert found["method"] == "oven-dry mass, ASTM D4442"


def test_a_meter_is_corrected_unless_it_was_set(told: Told) -> None:
    """The rule's name says which of the two it was; dry readings are doubted."""
    cold = told("moisture", "--reading", "8.5 %", "--wood", "10C")
    was_set = told("moisture", "--reading", "8.5 %", "--wood", "10C", "--set")
    dry = told("moisture", "--reading", "5 %", "--mass", "176g")

    assert cold["moisture_percent"]["value"] == pytest.approx(9.459, abs=1e-3)
    assert cold["method"] == "resistance-temperature/1"
    assert was_set["moisture_percent"]["value"] == 8.5
    assert was_set["method"] == "as-read/1"
    assert "little below 7 %" in dry["warnings"][0]
    assert dry["oven_dry_g"]["u"] > 3


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("--mass", "176g"),
        ("--mass", "176g", "--oven-dry", "163g", "--reading", "8 %"),
    ],
)
def test_moisture_is_told_in_one_way(words: tuple[str, ...]) -> None:
    """Neither none of the two ways nor both."""
    with pytest.raises(RefusedError, match="one of the two ways"):
        calc.app(["moisture", *words], standalone_mode=False)


def test_a_size_moves_as_its_species_is_printed(told: Told) -> None:
    """A quartersawn spruce top of 203 mm from 9 to 6 % loses 0.9 mm."""
    words = ("shrink", "--size", "203mm", "--from", "9 %", "--to", "6 %")
    spruce = told(*words, "--species", "Picea sitchensis")
    flat = told(*words, "--species", "Picea sitchensis", "--ring-angle", "90 deg")
    same = told(*words, "--radial", "4.3 %", "--tangential", "7.5 %")

    assert spruce["change_mm"]["value"] == pytest.approx(-203 * 0.0014758 * 3, rel=1e-3)
    assert flat["change_mm"]["value"] == pytest.approx(-203 * 0.0026316 * 3, rel=1e-3)
    assert same["change_mm"] == spruce["change_mm"]
    assert "Picea sitchensis from memory" in spruce["method"]


def test_an_unknown_species_needs_its_shrinkage() -> None:
    """The sentence says how to give it."""
    words = ["shrink", "--size", "203mm", "--from", "9 %", "--to", "6 %"]
    with pytest.raises(RefusedError, match="nothing is printed here of Fantasia"):
        calc.app([*words, "--species", "Fantasia fictilis"], standalone_mode=False)


def test_a_density_is_brought_to_another_moisture(told: Told) -> None:
    """With the moisture of the day, and a specific gravity whose basis is told."""
    found = told(
        *("density", "--length", "550mm", "--width", "200mm", "--thickness", "4mm"),
        *("--mass", "176g", "--moisture", "8 %", "--species", "Picea abies"),
    )

    assert found["density_at_kg_m3"]["value"] == pytest.approx(407.1, abs=0.1)
    assert found["at_percent"] == 12
    assert found["specific_gravity"]["value"] == pytest.approx(0.3704, abs=1e-4)
    assert found["specific_gravity"]["basis"] == "oven-dry mass, volume at 8 %"
