"""Tests of what to expect of a blank before it is tapped."""

import pytest

from ledger.errors import RefusedError
from ledger.wood.elastic import usual_stiffness
from ledger.wood.modes import Expected, expected_modes, usual_moduli
from ledger.wood.ritz import Moduli
from ledger.wood.sizes import Sizes
from tests.ledger.wood.boards import HALF, SIDE, TOP, exact

SPRUCE = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37)
MAPLE = Moduli(along=12e9, across=1.7e9, shear=1.4e9, poisson=0.45)
ROSEWOOD = Moduli(along=12e9, across=3e9, shear=1.8e9, poisson=0.33)


def expected(shape: dict[str, float], moduli: Moduli, density: float) -> Expected:
    """Ask for the modes of a blank of known shape and wood."""
    volume = shape["length"] * shape["width"] * shape["thickness"]
    sides = {name: exact(value) for name, value in shape.items()}
    return expected_modes(Sizes(**sides, mass=exact(density * volume)), moduli)


def test_a_spruce_half_has_its_modes_in_the_computed_order() -> None:
    """Twist, long, another that is none of the three, cross: check_values.csv."""
    found = expected(HALF, SPRUCE, 400)

    assert [(mode.name, mode.lines) for mode in found.modes] == [
        ("twist", (1, 1)),
        ("long", (2, 0)),
        (None, (2, 1)),
        ("cross", (0, 2)),
    ]
    assert [mode.frequency for mode in found.modes] == pytest.approx(
        [52.319, 71.291, 127.827, 150.511], abs=0.001
    )
    assert found.warnings == ()


def test_each_of_the_three_is_held_on_its_nodal_lines() -> None:
    """At 0.2242 of 550 and of 200 mm; the twist on its centre lines."""
    twist, long, other, cross = expected(HALF, SPRUCE, 400).modes

    assert (long.hold, long.tap) == ("123 mm from both ends", "the middle or an end")
    assert (cross.hold, cross.tap) == (
        "45 mm from both edges",
        "the middle of an edge",
    )
    assert (twist.hold, twist.tap) == ("on both centre lines", "a corner")
    assert (other.hold, other.tap) == (None, None)


def test_the_order_is_that_of_the_blank() -> None:
    """A joined top has its cross mode below the long one, a side far above."""
    top = [mode.name for mode in expected(TOP, SPRUCE, 400).modes if mode.name]
    side = [mode.name for mode in expected(SIDE, SPRUCE, 400).modes if mode.name]

    assert top == ["twist", "cross", "long"]
    assert side == ["long", "twist", "cross"]
    assert len(expected(SIDE, SPRUCE, 400).modes) > 8


def test_modes_too_close_to_tell_apart_are_told() -> None:
    """On a maple half the twist and the long mode lie 5.3 % apart."""
    found = expected(HALF, MAPLE, 640)

    assert found.warnings[0].startswith(
        "the twist mode and the long mode lie 5.3% apart"
    )


def test_the_critical_ratio_is_told() -> None:
    """A joined top of stiff rosewood lies near it."""
    found = expected(TOP, ROSEWOOD, 850)

    assert "near the 1.41 at which long and cross mode mix" in found.warnings[0]


def test_a_usual_wood_rings_as_it_usually_does() -> None:
    """Moduli follow from the species, and no blank of nothing has a mode."""
    moduli = usual_moduli(usual_stiffness("Picea sitchensis"))

    assert moduli.across / moduli.along == pytest.approx(0.078)
    with pytest.raises(RefusedError, match="not above zero"):
        expected({**HALF, "length": 0.0}, moduli, 400)
