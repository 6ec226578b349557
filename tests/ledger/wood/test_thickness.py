"""Tests of the thickness rule: its constants, a full solution, its uncertainty."""

import math

import numpy as np
import pytest
from numpy.polynomial import Polynomial
from uncertainties import ufloat, umath

from ledger.errors import RefusedError
from ledger.wood.thickness import FRONT, SHEAR_SHARE, thickness_for
from ledger.wood.uncertainty import Estimate

SPRUCE = {"density": 400.0, "e_along": 11e9, "e_across": 0.85e9, "g": 0.75e9}
CEDAR = {"density": 370.0, "e_along": 8.5e9, "e_across": 0.80e9, "g": 0.75e9}
ROSEWOOD = {"density": 820.0, "e_along": 12.5e9, "e_across": 2.2e9, "g": 1.5e9}


def thickness(wood: dict[str, float], frequency: float = 75.0) -> float:
    """Return the thickness for a body of 500 by 380 mm."""
    inputs = {**wood, "frequency": frequency, "length": 0.50, "width": 0.38}
    exact = {name: Estimate(value=value, u=0.0) for name, value in inputs.items()}
    return thickness_for(**exact).thickness.value


def clamped(
    wood: dict[str, float], h: float, *, terms: int, nu_product: float, nu_cross: float
) -> float:
    """Return the first frequency of a clamped plate by Ritz, term by term.

    Shapes (1 - x^2)^2 x^(2i) and likewise in y; integrals of polynomials are exact.
    """
    a, b = 0.50, 0.38
    clamp = Polynomial([1, 0, -1]) ** 2
    shapes = [clamp * Polynomial([0] * (2 * n) + [1]) for n in range(terms)]

    def over(
        order: int, other: int
    ) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        table = [
            [(p.deriv(order) * q.deriv(other)).integ() for q in shapes] for p in shapes
        ]
        return np.array([[each(1) - each(-1) for each in row] for row in table])

    plain, bent, slope, mixed = over(0, 0), over(2, 2), over(1, 1), over(0, 2)
    rigid = h**3 / 12
    along = rigid * wood["e_along"] / (1 - nu_product) * 16 / a**4
    across = rigid * wood["e_across"] / (1 - nu_product) * 16 / b**4
    poisson = rigid * nu_cross * wood["e_along"] / (1 - nu_product) * 16 / (a * b) ** 2
    twist = 4 * rigid * wood["g"] * 16 / (a * b) ** 2
    stiffness = (
        along * np.kron(bent, plain)
        + across * np.kron(plain, bent)
        + poisson * (np.kron(mixed, mixed.T) + np.kron(mixed.T, mixed))
        + twist * np.kron(slope, slope)
    )
    root = np.linalg.inv(np.linalg.cholesky(np.kron(plain, plain)))
    least = np.linalg.eigvalsh(root @ stiffness @ root.T)[0]
    return float(math.sqrt(least / (wood["density"] * h)) / (2 * math.pi))


def test_the_worked_example_is_met() -> None:
    """2.887 mm for spruce at 75 Hz; reckoned separately."""
    assert thickness(SPRUCE) == pytest.approx(2.887e-3, abs=5e-7)
    assert abs(FRONT - 0.95977) < 1e-5
    assert abs(SHEAR_SHARE - 1.12) < 1e-12


@pytest.mark.parametrize("wood", [SPRUCE, CEDAR, ROSEWOOD])
def test_one_term_of_rayleigh_is_the_rule(wood: dict[str, float]) -> None:
    """With Poisson's ratios of the rule, one shape gives the stated frequency back."""
    h = thickness(wood)
    found = clamped(wood, h, terms=1, nu_product=0.02, nu_cross=0.05)

    assert found == pytest.approx(75.0, rel=1e-9)


def test_the_full_solution_knows_the_isotropic_square() -> None:
    """Omega of a clamped square is 35.985 (Leissa 1973, from memory: 35.99)."""
    wood = {"density": 1.0, "e_along": 1.0, "e_across": 1.0, "g": 0.5 / 1.3}
    square = {**wood, "e_across": 1.0 * (0.38 / 0.50) ** 4}
    square["g"] *= (0.38 / 0.50) ** 2
    # A rectangle whose stiffness across is scaled so rings as a square of 0.5 m does.
    found = clamped(
        square, 1.0, terms=7, nu_product=0.09, nu_cross=0.3 * (0.38 / 0.50) ** 2
    )
    omega = 2 * math.pi * found * 0.25 * math.sqrt(12 * 0.91)

    assert omega == pytest.approx(35.985, abs=0.002)


@pytest.mark.parametrize(
    ("wood", "off"), [(SPRUCE, -0.013), (CEDAR, -0.009), (ROSEWOOD, 0.004)]
)
def test_the_full_solution_lies_within_what_is_stated(
    wood: dict[str, float], off: float
) -> None:
    """At the rule's thickness a clamped plate rings 1.3 % low to 0.4 % high.

    Poisson's ratio along to across is 0.37, from memory for spruce.
    """
    across = 0.37 * wood["e_across"] / wood["e_along"]
    found = clamped(
        wood, thickness(wood), terms=6, nu_product=0.37 * across, nu_cross=across
    )

    assert found / 75.0 - 1 == pytest.approx(off, abs=0.004)
    assert abs(found / 75.0 - 1) < 0.015


def test_the_thickness_of_the_test_counts_once() -> None:
    """From raw readings, by another library: 1.25 % of 4 mm is 1.25 % of the answer."""
    a, b = ufloat(0.55, 5e-4), ufloat(0.20, 5e-4)
    h, m = ufloat(4e-3, 5e-5), ufloat(0.176, 1e-4)
    rho = m / (a * b * h)
    along, across, shear = (
        share * rho * ufloat(hertz, 0.2) ** 2 * size / h**2
        for share, hertz, size in (
            (0.94642, 71.29, a**4),
            (0.94642, 150.51, b**4),
            (0.905, 52.32, (a * b) ** 2),
        )
    )
    r = 0.50 / 0.38
    stiff = along + r**4 * across + r**2 * (0.2 / 7 * along + 1.12 * shear)
    judged = FRONT * 75 * 0.25 * umath.sqrt(rho / stiff)
    found = thickness_for(
        frequency=Estimate(value=75, u=0),
        length=Estimate(value=0.50, u=0),
        width=Estimate(value=0.38, u=0),
        measured_at=Estimate(value=4e-3, u=5e-5),
        **{
            name: Estimate(value=each.nominal_value, u=each.std_dev)
            for name, each in (
                *(("density", rho), ("e_along", along)),
                *(("e_across", across), ("g", shear)),
            )
        },
    )

    assert found.thickness.value == pytest.approx(judged.nominal_value)
    assert found.thickness.u == pytest.approx(judged.std_dev, rel=0.05)


def test_unrelated_inputs_agree_with_another_library() -> None:
    """Each input with its own uncertainty, by the law of propagation."""
    numbers = {**SPRUCE, "frequency": 75.0, "length": 0.50, "width": 0.38}
    shares = (0.013, 0.04, 0.05, 0.06, 0.01, 0.002, 0.003)
    unsure = {
        name: ufloat(value, share * value)
        for (name, value), share in zip(numbers.items(), shares, strict=True)
    }
    r = unsure["length"] / unsure["width"]
    stiff = unsure["e_along"] + r**4 * unsure["e_across"]
    stiff += r**2 * (0.2 / 7 * unsure["e_along"] + 1.12 * unsure["g"])
    judged = FRONT * unsure["frequency"] * unsure["length"] ** 2
    judged *= umath.sqrt(unsure["density"] / stiff)
    found = thickness_for(
        **{
            name: Estimate(value=each.nominal_value, u=each.std_dev)
            for name, each in unsure.items()
        }
    )

    assert found.thickness.u == pytest.approx(judged.std_dev, rel=1e-6)


def test_there_is_no_usual_frequency() -> None:
    """The shop states its own number: the rule has none to fall back on."""
    with pytest.raises(TypeError, match="frequency"):
        thickness_for(
            length=Estimate(value=0.5, u=0.0),
            width=Estimate(value=0.38, u=0.0),
            **{name: Estimate(value=value, u=0.0) for name, value in SPRUCE.items()},
        )


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"density": 0.4}, "density of 0.4 kg/m³"),
        ({"e_across": 12e9}, "see which is which"),
    ],
)
def test_figures_that_no_wood_has_are_refused(
    wrong: dict[str, float], why: str
) -> None:
    """A density in g/cm3, or E across given as E along, gives no thickness."""
    with pytest.raises(RefusedError, match=why):
        thickness(SPRUCE | wrong)


def test_an_unusual_thickness_is_doubted_and_a_wrong_outline_refused() -> None:
    """20 Hz would need a veneer; a body as wide as a table is none."""
    inputs = {**SPRUCE, "frequency": 20.0, "length": 0.50, "width": 0.38}
    exact = {name: Estimate(value=value, u=0.0) for name, value in inputs.items()}

    assert "no usual thickness" in thickness_for(**exact).warnings[0]
    with pytest.raises(RefusedError, match="1900 mm wide"):
        thickness_for(**{**exact, "width": Estimate(value=1.9, u=0.0)})
    with pytest.raises(RefusedError, match="not above zero"):
        thickness_for(**{**exact, "g": Estimate(value=0.0, u=0.0)})
