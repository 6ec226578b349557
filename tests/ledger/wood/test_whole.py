"""Tests of the full solution: a second solver, an independent library, and chance."""

import math
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat
from uncertainties.core import AffineScalarFunc

from ledger.wood.plate import rung_plate
from ledger.wood.ritz import Moduli
from ledger.wood.sizes import Sizes
from ledger.wood.tapped import Tapped
from ledger.wood.uncertainty import Estimate
from ledger.wood.whole import by_full_solution
from tests.ledger.wood import morley
from tests.ledger.wood.boards import (
    CEDAR,
    HALF,
    MAHOGANY,
    ROSEWOOD,
    SIDE,
    SPRUCE,
    TOP,
    exact,
    measured,
)
from tests.ledger.wood.morley import Wood

FIGURES = ("e_along", "e_across", "g", "sound_speed", "radiation_ratio")


@pytest.mark.parametrize(
    ("wood", "sizes", "poisson", "bounds"),
    [
        pytest.param(SPRUCE, HALF, 0.37, (0.003, 0.01), id="spruce half"),
        pytest.param(CEDAR, HALF, 0.38, (0.003, 0.01), id="cedar half"),
        pytest.param(MAHOGANY, HALF, 0.31, (0.003, 0.01), id="mahogany half"),
        pytest.param(SPRUCE, SIDE, 0.37, (0.003, 0.01), id="spruce side"),
        pytest.param(CEDAR, SIDE, 0.38, (0.003, 0.01), id="cedar side"),
        pytest.param(MAHOGANY, SIDE, 0.31, (0.003, 0.01), id="mahogany side"),
        pytest.param(ROSEWOOD, TOP, 0.33, (0.025, 0.025), id="rosewood, critical"),
    ],
)
def test_a_second_solver_agrees(
    wood: dict[str, float],
    sizes: dict[str, float],
    poisson: float,
    bounds: tuple[float, float],
) -> None:
    """Finite elements ring a plate, and nobody tells us its Poisson ratio."""
    tones = morley.tones(Wood(**wood, **sizes, poisson=poisson))
    sides: dict[str, Any] = {name: exact(value) for name, value in sizes.items()}
    found = rung_plate(
        **sides,
        mass=exact(wood["density"] * math.prod(sizes.values())),
        along=exact(tones["along"]),
        across=exact(tones["across"]),
        twist=exact(tones["twist"]),
    )

    assert found.e_along
    assert found.e_across
    assert found.g
    assert found.e_along.value == pytest.approx(wood["along"], rel=bounds[0])
    assert found.e_across.value == pytest.approx(wood["across"], rel=bounds[1])
    assert found.g.value == pytest.approx(wood["shear"], rel=0.003)


def known(value: float, inputs: list[ufloat], parts: list[float]) -> AffineScalarFunc:
    """Return a value that follows each input by so many percent per percent."""
    powers = zip(inputs, parts, strict=True)
    return value * math.prod((x / x.nominal_value) ** part for x, part in powers)


@pytest.mark.parametrize("sizes", [HALF, SIDE], ids=["half", "side"])
def test_every_uncertainty_agrees_with_an_independent_library(
    sizes: dict[str, float],
) -> None:
    """Small steps of each input give the slopes; the library puts them together."""
    moduli = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.35)
    inputs: dict[str, Any] = measured(moduli, 400, sizes)
    inputs["poisson"] = Estimate(value=0.35, u=0.05)
    found = rung_plate(**inputs)
    sources = [ufloat(each.value, each.u) for each in inputs.values()]

    for name in FIGURES:
        estimate = getattr(found, name)
        parts = [slope(inputs, moved, name) for moved in inputs]
        other = known(estimate.value, sources, parts)
        assert estimate.u == pytest.approx(other.std_dev, rel=1e-5)


def slope(inputs: dict[str, Any], moved: str, name: str) -> float:
    """Return by how many percent a figure follows one input."""
    step = 1e-4
    ahead, behind = (
        getattr(
            rung_plate(**inputs | {moved: exact(inputs[moved].value * (1 + way))}), name
        ).value
        for way in (step, -step)
    )
    return math.log(ahead / behind) / (2 * step)


def covered(kind: str, times: int) -> dict[str, float]:
    """Return how often the true value lies within twice its uncertainty."""
    chance = np.random.default_rng(20260302)
    within = dict.fromkeys(FIGURES, 0)
    sizes, density = (TOP, 850) if kind == "critical" else (HALF, 400)
    for _ in range(times):
        poisson = float(np.clip(chance.normal(0.35, 0.06), 0.1, 0.7))
        across = 1e9 * chance.uniform(2.4, 4.4) if kind == "critical" else 0.85e9
        rosewood = Moduli(along=12e9, across=across, shear=1.8e9, poisson=poisson)
        spruce = Moduli(along=11e9, across=across, shear=0.75e9, poisson=poisson)
        wood = rosewood if kind == "critical" else spruce
        board: dict[str, Any] = measured(wood, density, sizes, chance)
        found = rung_plate(**board)
        true = {
            "e_along": wood.along,
            "e_across": wood.across,
            "g": wood.shear,
            "sound_speed": math.sqrt(wood.along / density),
            "radiation_ratio": math.sqrt(wood.along / density**3),
        }
        for name, value in true.items():
            estimate = getattr(found, name)
            within[name] += abs(estimate.value - value) <= 2 * estimate.u
    return {name: count / times for name, count in within.items()}


def test_the_true_value_lies_within_what_is_told() -> None:
    """Of 1,000 spruce halves measured and tapped, 93 to 98 % within U (k = 2)."""
    for share in covered("half", 1000).values():
        assert 0.93 <= share <= 0.98


def test_near_the_critical_ratio_too_what_is_told_is_honest() -> None:
    """Of 500 joined tops whose modes mix, 93 % or more within U (k = 2)."""
    for share in covered("critical", 500).values():
        assert share >= 0.93


def test_two_modes_of_one_frequency_have_no_plate() -> None:
    """Where long and cross mode mix they lie apart, whatever the wood."""
    sizes = Sizes(
        **{name: exact(value) for name, value in TOP.items()}, mass=exact(0.5)
    )
    tones = {"along": 36.0, "across": 35.99, "twist": 20.8}
    tapped = Tapped(
        sizes=sizes,
        tones={name: Estimate(value=tone, u=0.001) for name, tone in tones.items()},
        poisson=Estimate(value=0.35, u=0.001),
    )

    assert tapped.is_complete
    assert by_full_solution(tapped) is None
