"""Tests of the free beam that bends and shears, against published values and elements.

The oracle is a chain of straight two-node elements with their own sections' turning,
written here with numpy; it shares no code and no formula with the module.
"""

import math

import numpy as np
import numpy.typing as npt
import pytest

from ledger.errors import RefusedError
from ledger.wood.beam import (
    SLENDER_NUMBERS,
    frequency_number,
    node,
    require_bar,
    root,
    torsion_constant,
)

Matrix = npt.NDArray[np.float64]


def elements(slenderness: float, shear_ratio: float, count: int = 240) -> Matrix:
    """Return the two lowest b of a free beam of unit length, E I and mass."""
    turn = slenderness**2 / 12
    stiff_in_shear = 1 / (turn * max(shear_ratio, 1e-3) / (5 / 6))
    step = 1 / count
    stiff, heavy = np.zeros((2, 2 * count + 2, 2 * count + 2))
    bend = np.array([[1, -1], [-1, 1]]) / step
    mass = step / 6 * np.array([[2, 1], [1, 2]])
    # One point in the middle for shear, else thin elements lock.
    slip = np.array([-1 / step, -0.5, 1 / step, -0.5])
    for first in range(count):
        place = [2 * first + k for k in range(4)]
        sunk, turned = place[::2], place[1::2]
        stiff[np.ix_(turned, turned)] += bend
        stiff[np.ix_(place, place)] += stiff_in_shear * step * np.outer(slip, slip)
        heavy[np.ix_(sunk, sunk)] += mass
        heavy[np.ix_(turned, turned)] += turn * mass
    lower = np.linalg.inv(np.linalg.cholesky(heavy))
    squares = np.linalg.eigvalsh(lower @ stiff @ lower.T)
    # The first two are the bar moving and turning as a whole.
    return np.asarray(np.sqrt(squares[2:4]), dtype=np.float64)


def test_a_slender_bar_has_the_numbers_of_the_textbook() -> None:
    """22.3733 and 61.6728, the squares of the roots of cos x cosh x = 1."""
    found = [
        frequency_number(slenderness=1e-4, shear_ratio=16, mode=mode) for mode in (1, 2)
    ]

    assert found == pytest.approx([22.3733, 61.6728], rel=1e-5)
    for number in SLENDER_NUMBERS:
        root = math.sqrt(number)
        assert math.cos(root) * math.cosh(root) == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize(
    ("poisson", "slenderness", "factor"),
    [(0.3, 0.05, 1.017966), (0.2, 0.10, 1.068010), (0.0, 0.10, 1.064979)],
)
def test_an_isotropic_bar_has_the_factor_of_the_standard(
    poisson: float, slenderness: float, factor: float
) -> None:
    """ASTM E1876, T1 at three thicknesses; formula from memory, computed.

    The standard's shear coefficient follows Poisson's ratio a little, ours does not.
    """
    number = frequency_number(
        slenderness=slenderness, shear_ratio=2 * (1 + poisson), mode=1
    )

    assert (SLENDER_NUMBERS[0] / number) ** 2 == pytest.approx(factor, abs=0.002)


@pytest.mark.parametrize(
    ("slenderness", "shear_ratio"),
    [
        *((4 / 550, 16), (15 / 300, 16), (25 / 700, 16), (0.1, 16), (0.1, 0)),
        *((0.1, 40), (0.2, 16), (0.25, 25), (0.25, 100)),
    ],
)
def test_both_modes_are_those_of_an_independent_chain_of_elements(
    slenderness: float, shear_ratio: float
) -> None:
    """From a half set to a block, 240 elements: within 0.04 %."""
    found = [
        frequency_number(slenderness=slenderness, shear_ratio=shear_ratio, mode=mode)
        for mode in (1, 2)
    ]

    assert found == pytest.approx(list(elements(slenderness, shear_ratio)), rel=4e-4)


def test_the_node_is_where_the_textbook_has_it_and_moves_in_with_shear() -> None:
    """0.2242 of the length from each end; a neck on edge is held further in."""
    assert node(slenderness=1e-4, shear_ratio=0) == pytest.approx(0.2242, abs=5e-5)
    assert node(slenderness=0.1, shear_ratio=16) == pytest.approx(0.2277, abs=5e-5)


def test_a_rectangle_twists_as_the_handbook_says() -> None:
    """A square has 0.1406, 10 to 1 has 0.312, a strip a third; from memory."""
    assert torsion_constant(width=1, thickness=1) == pytest.approx(0.1406, abs=5e-5)
    assert torsion_constant(width=10, thickness=1) == pytest.approx(3.12, abs=0.005)
    assert torsion_constant(width=1, thickness=10) == pytest.approx(3.12, abs=0.005)
    assert torsion_constant(width=1000, thickness=1) == pytest.approx(333, rel=0.002)


@pytest.mark.parametrize(
    ("slenderness", "shear_ratio", "why"),
    [
        (0.3, 16, "only 3.3 times as long as thick, and at least 4"),
        (0.05, 120, "E/G of 120 does not lie between 0 and 100"),
    ],
)
def test_what_is_no_bar_is_refused(
    slenderness: float, shear_ratio: float, why: str
) -> None:
    """A block, and a shear that no wood has."""
    with pytest.raises(RefusedError, match=why):
        require_bar(slenderness=slenderness, shear_ratio=shear_ratio)
    with pytest.raises(RefusedError, match=why):
        frequency_number(slenderness=slenderness, shear_ratio=shear_ratio, mode=1)


@pytest.mark.parametrize("place", [1e-3, 0.2, 0.999])
def test_a_root_is_found_to_twelve_digits(place: float) -> None:
    """Of a curve that is bent, wherever it crosses."""
    found = root(lambda x: place**3 - x**3 + 0.1 * (place - x), 0.0, 1.0)

    assert found == pytest.approx(place, rel=1e-10)
