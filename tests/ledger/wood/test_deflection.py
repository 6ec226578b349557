"""Tests of stiffness by bending under load."""

from collections.abc import Sequence

import numpy as np
import pytest
from uncertainties import ufloat

from ledger.errors import RefusedError
from ledger.wood.deflection import Flexed, Load, compliance_of, flexed
from ledger.wood.uncertainty import Estimate

# A spruce strip of 500 x 200 x 4 mm with E of 11 GPa sinks 0.2219 mm under a newton.
COMPLIANCE = 0.5**3 / (48 * 11e9 * 0.2 * 0.004**3 / 12)
SIZES = {
    "span": Estimate(value=0.5, u=0.0005),
    "width": Estimate(value=0.2, u=0.0005),
    "thickness": Estimate(value=0.004, u=0.00005),
}
NEWTONS = (2.0, 4.0, 6.0, 8.0, 10.0)


def loads(
    sunk: Sequence[float], newtons: Sequence[float] = NEWTONS, u: float = 2e-5
) -> list[Load]:
    """Return readings [m] under loads [N]."""
    return [
        Load(force=Estimate(value=p, u=0), sunk=Estimate(value=d, u=u))
        for p, d in zip(newtons, sunk, strict=True)
    ]


def bent(sunk: Sequence[float], newtons: Sequence[float] = NEWTONS) -> Flexed:
    """Return what the strip comes to."""
    return flexed(**SIZES, loads=loads(sunk, newtons))


def test_a_beam_sinks_as_the_handbook_says() -> None:
    """A steel ruler, 200 GPa, 400 x 25 x 1 mm under 1 N: P L^3 / 48 E I = 3.2 mm."""
    found = flexed(
        span=Estimate(value=0.4, u=0),
        width=Estimate(value=0.025, u=0),
        thickness=Estimate(value=0.001, u=0),
        loads=loads([0.0032], [1.0]),
    )

    assert found.youngs_modulus.value == pytest.approx(200e9)
    assert found.stiffness.value == pytest.approx(312.5)
    assert found.method == "three-point bending, slender/1"


def test_five_loads_give_back_the_modulus() -> None:
    """11 GPa from readings without fault, and nothing to warn of."""
    found = bent([COMPLIANCE * p for p in NEWTONS])

    assert found.youngs_modulus.value == pytest.approx(11e9)
    assert found.warnings == ()


def test_the_uncertainty_agrees_with_an_independent_library() -> None:
    """Thickness thrice, span thrice, width and slope once."""
    found = bent([COMPLIANCE * p for p in NEWTONS])
    span, width, thickness = (ufloat(each.value, each.u) for each in SIZES.values())
    slope = ufloat(COMPLIANCE, 2e-5 / float(np.sqrt(40)))
    slender = SIZES["thickness"].value / SIZES["span"].value
    left_out = ufloat(1, 15 * slender**2)  # shear that nobody told
    modulus = left_out * span**3 / (48 * width * thickness**3 / 12 * slope)

    assert found.youngs_modulus.u == pytest.approx(modulus.std_dev, rel=1e-4)


def test_twice_the_uncertainty_of_the_slope_holds_the_truth() -> None:
    """1,000 series of five readings with errors of 0.05 mm, of which 0.02 are told."""
    chance = np.random.default_rng(9)
    inside = 0
    for _ in range(1000):
        readings = [COMPLIANCE * p + chance.normal(0, 5e-5) for p in NEWTONS]
        found = compliance_of(loads(readings))
        inside += abs(found.value - COMPLIANCE) < 2 * found.u

    assert 930 <= inside <= 980


def test_a_thick_piece_needs_its_shear() -> None:
    """A brace of 15 mm on 280 mm seems 5.5 % softer, and says what to tell."""
    span, depth, shear = 0.28, 0.015, 16.0
    modulus, inertia = 11e9, 0.008 * 0.015**3 / 12
    bend = span**3 / (48 * modulus * inertia)
    slip = span / (4 * 5 / 6 * modulus / shear * 0.008 * depth)
    sizes = {
        "span": Estimate(value=span, u=0),
        "width": Estimate(value=0.008, u=0),
        "thickness": Estimate(value=depth, u=0),
    }
    readings = [
        Load(force=Estimate(value=p, u=0), sunk=Estimate(value=(bend + slip) * p, u=0))
        for p in NEWTONS
    ]
    plain = flexed(**sizes, loads=readings)
    told = flexed(**sizes, loads=readings, shear_ratio=Estimate(value=shear, u=4))

    assert told.youngs_modulus.value == pytest.approx(modulus)
    assert told.method == "three-point bending with shear/1"
    assert 0 < told.youngs_modulus.u < plain.youngs_modulus.u
    assert modulus - plain.youngs_modulus.value < 2 * plain.youngs_modulus.u
    assert plain.youngs_modulus.value == pytest.approx(modulus / 1.0551, rel=1e-3)
    assert "shears: give E/G" in plain.warnings[0]


def test_supports_that_settle_are_noticed() -> None:
    """Readings that miss zero, and a compliance that falls with each load."""
    missed = bent([0.0004 + COMPLIANCE * p for p in NEWTONS])
    falling = bent([0.0004 * p**0.6 for p in NEWTONS])
    rising = bent([COMPLIANCE * p * (1 + 0.02 * p) for p in NEWTONS])

    assert missed.youngs_modulus.value == pytest.approx(11e9)
    assert "without load the line shows 0.40 mm" in missed.warnings[0]
    assert any("gives way less with each load" in text for text in falling.warnings)
    assert any("gives way more with each load" in text for text in rising.warnings)


def test_few_loads_and_deep_bends_are_pointed_out() -> None:
    """One reading shows no settling; 20 mm on half a metre is no small bend."""
    one = bent([COMPLIANCE * 2], [2.0])
    deep = bent([0.005, 0.010, 0.015, 0.020, 0.025])

    assert one.warnings[0].startswith("1 of at least 4 loads")
    assert "more than a thirtieth of the span" in deep.warnings[0]


def test_a_wide_piece_bends_as_a_plate() -> None:
    """Across the grain a half is wider than the span is long."""
    found = flexed(
        span=Estimate(value=0.18, u=0),
        width=Estimate(value=0.55, u=0),
        thickness=Estimate(value=0.004, u=0),
        loads=loads([1e-4 * p for p in NEWTONS]),
    )

    assert found.warnings[-1].startswith("the piece is 3.1 times as wide as the span")


@pytest.mark.parametrize(
    ("sunk", "newtons", "why"),
    [
        ([], [], "no load is told"),
        ([0.0], [5.0], "the middle sank by 0 mm, and wood gives way"),
        ([-0.001], [5.0], "the middle sank by -1 mm"),
        ([0.002, 0.001], [4.0, 8.0], "rises by 250 µm with each newton"),
        ([0.001, 0.001], [4.0, 8.0], "which may be nothing"),
        ([0.001, 0.0011], [5.0, 5.0], "all loads are about 5 N"),
        ([0.001, 0.002], [0.0, 5.0], "not above zero"),
    ],
)
def test_readings_that_tell_no_stiffness_are_refused(
    sunk: list[float], newtons: list[float], why: str
) -> None:
    """Each with a sentence that says what to look at."""
    with pytest.raises(RefusedError, match=why):
        compliance_of(loads(sunk, newtons))


@pytest.mark.parametrize("name", sorted(SIZES))
def test_a_piece_without_one_size_is_refused(name: str) -> None:
    """Nothing has no span, no width, no thickness."""
    with pytest.raises(RefusedError, match="not above zero"):
        flexed(**{**SIZES, name: Estimate(value=0, u=0)}, loads=loads([0.001], [4.0]))
