"""What planing and cutting do to the tones of a plate whose wood stays as it is."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.plate import rung_plate
from ledger.wood.reworked import CUT, CUT_CLOSED, THINNED, reworked
from ledger.wood.ritz import Moduli
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate

MODES = ("along", "across", "twist")
SPRUCE = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.35)


def sizes(length: float, width: float, thickness: float, mass: float) -> Sizes:
    """Return a board [m, kg] as rule, calliper and scale tell it."""
    return Sizes(
        length=Estimate(value=length, u=0.0005),
        width=Estimate(value=width, u=0.0005),
        thickness=Estimate(value=thickness, u=0.00005),
        mass=Estimate(value=mass, u=0.0001),
    )


HALF = sizes(0.55, 0.2, 0.004, 0.176)


@pytest.mark.parametrize("thin", [0.0035, 0.003, 0.0021])
def test_tones_go_with_thickness_where_density_stays(thin: float) -> None:
    """A thin plate of one material rings in proportion to its thickness.

    From memory: A. W. Leissa, Vibration of Plates, NASA SP-160 (1969), in which every
    frequency of a thin plate is a number times h sqrt(E / rho) over a length squared.
    """
    planed = sizes(0.55, 0.2, thin, 0.176 * thin / 0.004)
    found = reworked(HALF, planed, MODES, moduli=SPRUCE)

    assert found.method == THINNED
    for mode in MODES:
        assert found.factors[mode].value == pytest.approx(thin / 0.004, rel=1e-12)


def test_drying_raises_tones_by_the_root_of_the_mass() -> None:
    """Two percent of the mass gone, and nothing else, is one percent of the tone."""
    found = reworked(HALF, sizes(0.55, 0.2, 0.004, 0.176 / 1.0201), MODES)

    assert found.factors["twist"].value == pytest.approx(1.01, rel=1e-9)


@pytest.mark.parametrize(
    ("length", "width"), [(0.5, 0.2), (0.55, 0.17), (0.48, 0.185), (0.56, 0.21)]
)
def test_a_plate_that_was_cut_still_has_its_moduli(length: float, width: float) -> None:
    """The tones foretold for other sizes, inverted, give back the wood they are of."""
    tones = {"along": 71.29, "across": 150.51, "twist": 52.32}
    before = inverted(HALF, tones)
    cut = sizes(length, width, 0.004, 0.176 * length * width / 0.11)
    change = reworked(HALF, cut, MODES, moduli=before)
    after = inverted(cut, {m: tones[m] * change.factors[m].value for m in MODES})

    assert change.method == CUT
    for name in ("along", "across", "shear"):
        assert getattr(after, name) == pytest.approx(getattr(before, name), rel=1e-6)


def inverted(of: Sizes, tones: dict[str, float]) -> Moduli:
    """Return the moduli of a plate by its tones."""
    heard = {mode: Estimate(value=hertz, u=0.01) for mode, hertz in tones.items()}
    plate = rung_plate(
        length=of.length,
        width=of.width,
        thickness=of.thickness,
        mass=of.mass,
        along=heard["along"],
        across=heard["across"],
        twist=heard["twist"],
    )
    assert plate.e_along and plate.e_across and plate.g
    return Moduli(
        along=plate.e_along.value,
        across=plate.e_across.value,
        shear=plate.g.value,
        poisson=0.35,
    )


def test_without_moduli_the_closed_formulas_answer() -> None:
    """Cut by a tenth in length, the long mode rises by 1 / 0.9^2, and a bar too.

    The full solution is near, and not the same.
    """
    cut = sizes(0.495, 0.2, 0.004, 0.1584)
    closed = reworked(HALF, cut, (*MODES, "bar"))
    full = reworked(HALF, cut, MODES, moduli=SPRUCE)

    assert closed.method == CUT_CLOSED
    assert closed.factors["along"].value == pytest.approx(1 / 0.81, rel=1e-9)
    assert closed.factors["bar"].value == closed.factors["along"].value
    assert closed.factors["across"].value == pytest.approx(1, rel=1e-9)
    for mode in MODES:
        near = pytest.approx(closed.factors[mode].value, rel=0.01)
        assert full.factors[mode].value == near
        assert full.factors[mode].value != closed.factors[mode].value


def test_the_uncertainty_is_that_of_many_trials() -> None:
    """Thickness and mass measured twice, each time with its own error."""
    planed = sizes(0.55, 0.2, 0.003, 0.132)
    chance = np.random.default_rng(5)
    old, new = (
        chance.normal(h, 5e-5, 100_000) ** 1.5 / chance.normal(m, 1e-4, 100_000) ** 0.5
        for h, m in ((0.004, 0.176), (0.003, 0.132))
    )
    told = reworked(HALF, planed, MODES).factors["along"].u

    assert told == pytest.approx(float(np.std(new / old)), rel=0.02)


@given(st.floats(0.5, 2), st.floats(0.5, 2))
def test_there_and_back_is_no_change(thicker: float, heavier: float) -> None:
    """The factors of a change and of its undoing multiply to one."""
    other = sizes(0.55, 0.2, 0.004 * thicker, 0.176 * heavier)
    there, back = reworked(HALF, other, MODES), reworked(other, HALF, MODES)

    for mode in MODES:
        product = there.factors[mode].value * back.factors[mode].value
        assert math.isclose(product, 1, rel_tol=1e-12)


def test_what_was_not_measured_again_adds_no_doubt() -> None:
    """The same plate tapped twice should ring alike."""
    found = reworked(HALF, HALF, MODES).factors["along"]

    assert (found.value, found.u) == (1, 0)


def test_a_mode_or_a_size_of_no_plate_is_refused() -> None:
    """The air of a box has no rule here, and nothing is zero thick."""
    with pytest.raises(RefusedError, match="how the mode air changes"):
        reworked(HALF, HALF, ("air",))
    with pytest.raises(RefusedError, match="not above zero"):
        reworked(HALF, sizes(0.55, 0.2, 0, 0.1), MODES)
