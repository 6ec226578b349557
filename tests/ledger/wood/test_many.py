"""Tests of many plates side by side: each comes to what it comes to alone."""

import math
import random
from typing import Any

import numpy as np
import pytest

from ledger.wood.elastic import usual_stiffness
from ledger.wood.many import Bare, Plate, many_plates
from ledger.wood.plate import RungPlate, rung_plate
from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    METHOD,
    ODD_BOTH,
    TWIST,
    Moduli,
    hertz,
    solved,
)
from tests.ledger.wood.boards import exact

POISSON = usual_stiffness().poisson.value
HALF, TOP = (0.55, 0.2), (0.55, 0.4)


def plate(
    sides: tuple[float, float] = HALF,
    *,
    along: float = 11e9,
    across: float = 0.85e9,
    shear: float = 0.75e9,
    density: float = 420.0,
) -> Plate:
    """Listen to a plate of 3.5 mm."""
    moduli = Moduli(along=along, across=across, shear=shear, poisson=POISSON)
    sizes = dict(zip(("length", "width"), sides, strict=True))
    bent = solved(moduli, **sizes, parity=EVEN_BOTH)
    twisted = solved(moduli, **sizes, parity=ODD_BOTH)
    tones = {
        word: hertz(
            float(modes.stiffness[int(np.argmax(modes.shares(name)))]),
            thickness=0.0035,
            density=density,
        )
        for word, modes, name in (
            ("along", bent, ALONG),
            ("across", bent, ACROSS),
            ("twist", twisted, TWIST),
        )
    }
    mass = density * math.prod(sides) * 0.0035
    return Plate(**sizes, thickness=0.0035, mass=mass, poisson=POISSON, **tones)


def alone(tapped: Plate) -> RungPlate:
    """Work one plate out by itself."""
    sizes: dict[str, Any] = {name: exact(v) for name, v in tapped._asdict().items()}
    return rung_plate(**sizes)


def rack(number: int, spread: float) -> list[Plate]:
    """Return plates whose stiffness and density differ as they do in one wood."""
    chance = random.Random(7)  # noqa: S311

    def about(value: float) -> float:
        return value * math.exp(chance.gauss(0, spread))

    return [
        plate(
            (about(0.55) if spread < 0.03 else 0.55, 0.2 + 0.005 * (n % 3)),
            along=about(11e9),
            across=about(0.85e9),
            shear=about(0.75e9),
            density=about(420),
        )
        for n in range(number)
    ]


@pytest.mark.parametrize(("spread", "least"), [(0.01, 40), (0.1, 38), (0.2, 20)])
def test_each_comes_to_what_it_comes_to_alone(spread: float, least: int) -> None:
    """Within 1e-9; the more a rack is of one kind, the fewer are left."""
    plates = rack(40, spread)
    found = many_plates(plates)
    known = [(p, bare) for p, bare in zip(plates, found, strict=True) if bare]

    assert len(known) >= least
    for tapped, bare in known:
        told = alone(tapped)
        figures = (told.e_along, told.e_across, told.g, told.radiation_ratio)
        assert told.method == METHOD
        assert bare == pytest.approx([each.value for each in figures if each], rel=1e-9)


def test_two_kinds_of_wood_do_not_disturb_each_other() -> None:
    """Half sets of spruce and of rosewood, one after the other and mixed."""
    spruce = rack(6, 0.02)
    other = [plate(along=12e9 + n * 1e8, across=2.2e9, density=850) for n in range(6)]
    mixed = [each for pair in zip(spruce, other, strict=True) for each in pair]

    assert bares(many_plates(mixed)[::2]) == pytest.approx(bares(many_plates(spruce)))
    assert bares(many_plates(mixed)[1::2]) == pytest.approx(bares(many_plates(other)))


def bares(found: list[Bare | None]) -> list[float]:
    """Return the figures in a row, of plates that were all found."""
    assert None not in found
    return [value for bare in found if bare for value in bare]


def test_modes_that_mix_are_left_to_be_worked_out_alone() -> None:
    """A joined top of rosewood near its critical ratio, beside half sets."""
    halves = rack(5, 0.02)
    mixing = [plate(TOP, along=12e9, across=3.4e9, shear=1.8e9)] * 5
    found = many_plates([*halves, *mixing])

    assert all(found[:5])
    assert found[5:] == [None] * 5


@pytest.mark.parametrize(
    "odd",
    [
        pytest.param({"mass": 2.0}, id="heavier than a cell wall"),
        pytest.param({"thickness": 0.15}, id="no plate"),
        pytest.param({"along": 7000.0}, id="stiffer than any wood"),
        pytest.param({"length": 0.19}, id="wider than long"),
        pytest.param({"along": 30.0, "across": 400.0}, id="stiff across the grain"),
    ],
)
def test_what_is_odd_is_left_and_the_others_are_found(odd: dict[str, float]) -> None:
    """Whatever has to be said of a plate is said when it is worked out alone."""
    plates = rack(6, 0.02)
    found = many_plates([*plates, plates[0]._replace(**odd)])

    assert all(found[:6])
    assert found[6] is None


def test_a_few_of_a_kind_are_left_and_none_are_none() -> None:
    """Three plates are sooner worked out each by itself."""
    assert many_plates([]) == []
    assert many_plates(rack(3, 0.02)) == [None] * 3
