"""Tests of the way back from tones to moduli: it leads to where it came from."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.wood.inversion import Heard, Inverted, inverted, settled
from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    ODD_BOTH,
    TWIST,
    Moduli,
    Numbers,
    solved,
)

HALF = {"length": 0.55, "width": 0.2}
TOP = {"length": 0.55, "width": 0.4}
SPRUCE = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37)
# Near the critical ratio of the joined top, from below and from above.
ROSEWOOD = Moduli(along=12e9, across=3.0e9, shear=1.8e9, poisson=0.33)
BEYOND = Moduli(along=12e9, across=3.8e9, shear=1.8e9, poisson=0.33)
NOISE = 0.005 * np.eye(3)


def heard(moduli: Moduli, sizes: dict[str, float], poisson: float = 0) -> Heard:
    """Listen to a plate."""
    bent = solved(moduli, **sizes, parity=EVEN_BOTH)
    twisted = solved(moduli, **sizes, parity=ODD_BOTH)
    along, across = (int(np.argmax(bent.shares(each))) for each in (ALONG, ACROSS))
    twist = int(np.argmax(twisted.shares(TWIST)))
    return Heard(
        along=float(bent.stiffness[along]),
        across=float(bent.stiffness[across]),
        twist=float(twisted.stiffness[twist]),
        **sizes,
        poisson=poisson or moduli.poisson,
    )


def begun(tones: Heard) -> Moduli:
    """Return moduli that are off by a few percent, as closed formulas are."""
    bar = 4.730040744862704**4
    area = tones.length * tones.width
    return Moduli(
        along=tones.along * tones.length**4 / bar,
        across=tones.across * tones.width**4 / bar,
        shear=0.9 * tones.twist * area**2 / (48 * math.pi**2),
        poisson=tones.poisson,
    )


def logs(moduli: Moduli) -> list[float]:
    """Return the three moduli in logarithms."""
    return [math.log(each) for each in (moduli.along, moduli.across, moduli.shear)]


def back(tones: Heard) -> Inverted:
    """Return what tones lead to."""
    return inverted(tones, begun(tones))


@settings(max_examples=30)
@given(
    st.floats(5e9, 20e9),
    st.floats(0.04, 0.17),
    st.floats(0.05, 0.15),
    st.floats(0.25, 0.5),
)
def test_the_way_back_leads_to_the_moduli_of_the_plate(
    along: float, across: float, shear: float, poisson: float
) -> None:
    """Any half set whose modes do not mix is found again, to nine digits."""
    moduli = Moduli(
        along=along, across=across * along, shear=shear * along, poisson=poisson
    )
    found = back(heard(moduli, HALF))

    assert found.is_solved
    assert not found.is_mixed
    assert logs(found.moduli) == pytest.approx(logs(moduli), abs=1e-9)


@pytest.mark.parametrize("sizes", [HALF, TOP], ids=["half", "top"])
def test_the_slopes_are_those_of_the_plate_itself(sizes: dict[str, float]) -> None:
    """Each slope agrees with a small step of its modulus, size or ratio."""
    tones = heard(SPRUCE, sizes)
    found = back(tones)
    step = 1e-4

    def moved(**changes: float) -> Numbers:
        parts = {
            **{"along": SPRUCE.along, "across": SPRUCE.across},
            **{"shear": SPRUCE.shear, "poisson": SPRUCE.poisson, **sizes},
        }
        parts |= {name: parts[name] * value for name, value in changes.items()}
        sides = {side: parts.pop(side) for side in ("length", "width")}
        return heard(Moduli(**parts), sides).logs

    def slope(name: str) -> Numbers:
        ahead, behind = moved(**{name: 1 + step}), moved(**{name: 1 - step})
        return np.asarray((ahead - behind) / (2 * step))

    for column, name in enumerate(("along", "across", "shear")):
        assert found.by_moduli[:, column] == pytest.approx(slope(name), abs=1e-6)
    for column, name in enumerate(("length", "width")):
        assert found.by_sizes[:, column] == pytest.approx(slope(name), abs=1e-6)
    assert found.by_sizes[:, 2] * SPRUCE.poisson == pytest.approx(
        slope("poisson"), abs=1e-6
    )
    assert found.by_moduli.sum(axis=1) == pytest.approx([1, 1, 1])


def test_a_plain_plate_is_settled_as_it_was_solved() -> None:
    """Away from the critical ratio nothing is weighed; the gains are the inverse."""
    tones = heard(SPRUCE, HALF)
    found = back(tones)
    done = settled(tones, found, NOISE)

    assert done is not None
    assert done[0] is found
    assert done[1] @ found.by_moduli == pytest.approx(np.eye(3), abs=1e-12)


@pytest.mark.parametrize("wood", [ROSEWOOD, BEYOND], ids=["below", "beyond"])
@pytest.mark.parametrize("poisson", [0.28, 0.33, 0.38])
def test_mixed_modes_are_fitted_and_known_less_well(
    wood: Moduli, poisson: float
) -> None:
    """Whatever Poisson ratio is guessed, E along stays within twice what is told."""
    tones = heard(wood, TOP, poisson)
    found = back(tones)
    unsure = np.column_stack([NOISE, -0.05 * found.by_sizes[:, 2]])
    done = settled(tones, found, unsure)
    plain = np.linalg.norm(NOISE[0])

    assert found.is_mixed
    assert done is not None
    best, gains = done
    u = np.linalg.norm(gains @ unsure, axis=1)
    off = np.abs(np.subtract(logs(best.moduli), logs(wood)))
    assert u[0] > 2 * plain
    assert off[0] < 2 * u[0]
    assert off[1] < 2 * u[1]
    assert off[2] < 0.005


def test_tones_that_no_plate_has_are_not_settled() -> None:
    """Two mixed modes of one frequency: whatever the plate, they lie apart."""
    tones = heard(ROSEWOOD, TOP)
    same = Heard(
        along=tones.across * 1.0001,
        across=tones.across,
        twist=tones.twist,
        **TOP,
        poisson=0.33,
    )
    found = back(same)

    assert not found.is_solved
    assert settled(same, found, 0.001 * np.eye(3)) is None


def test_a_poisson_ratio_known_exactly_is_no_trouble() -> None:
    """Where nothing at all is unsure, the fit is the solution."""
    tones = heard(BEYOND, TOP)
    found = back(tones)
    done = settled(tones, found, 0 * NOISE)

    assert done is not None
    assert logs(done[0].moduli) == pytest.approx(logs(BEYOND), abs=2e-3)
