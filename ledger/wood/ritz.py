"""The modes of a free rectangular plate that is stiffer along the grain than across.

Each shape is a sum of products of the shapes of a free bar, one along and one across;
the shapes of the bar are themselves sums of Legendre polynomials. So the share of a
product in a mode is the square of its coefficient, and a mode (m, n) is known by its
shape: the one in which the bar's shape with m nodes along and n across has the largest
share. A plate is even or odd about each centre line, and so are its modes: four small
problems take the place of a large one. Bending along and across (2,0 and 0,2) are even
both ways, the twist (1,1) is odd both ways.

    stiffness = E along / p A + E across / p (B + nu C) + G T,  p = 1 - nu^2 E across
                over E along

A, B, C and T are numbers without unit, reckoned once.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from ledger.errors import RefusedError

Numbers = npt.NDArray[np.float64]
# Nodal lines along the grain and across it: even or odd.
Parity = tuple[int, int]
Name = tuple[int, int]

METHOD = "free orthotropic plate, Rayleigh-Ritz/1"
# Functions along a side; half of them are even. Few do across a board that is slender:
# its width is stretched by the fourth root of how much stiffer it is along the grain.
MANY, FEW = 14, 10
SLENDER = 0.85
EVEN_BOTH, ODD_BOTH = (0, 0), (1, 1)
ALL: tuple[Parity, ...] = (EVEN_BOTH, ODD_BOTH, (0, 1), (1, 0))
ALONG, ACROSS, TWIST = (2, 0), (0, 2), (1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moduli:
    """What a plate resists bending and twisting with.

    along, across, shear  [Pa]  E along, E across and G
    poisson               nu_LC: how much it narrows when stretched along the grain
    """

    along: float
    across: float
    shear: float
    poisson: float

    @property
    def coupled(self) -> float:
        """Product of the two Poisson ratios, nu_LC nu_CL; below 1 in any material."""
        return self.poisson**2 * self.across / self.along


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One mode: its name by nodal lines, how purely it is that, and what resists it.

    stiffness     [Pa/m4]  omega^2 12 rho / h^2
    share         of the shape it is named for, to 1
    bends, curls, couples, twists  shares of the stiffness: bending along, bending
                  across, what the Poisson ratio adds, and twisting; they add up to 1
    """

    name: Name
    stiffness: float
    share: float
    bends: float
    curls: float
    couples: float
    twists: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Class:
    """The modes of one symmetry: stiffness by rising order, shapes in columns."""

    names: tuple[Name, ...]
    stiffness: Numbers
    shapes: Numbers
    parts: tuple[Numbers, Numbers, Numbers, Numbers]

    def shares(self, name: Name) -> Numbers:
        """Return how much of one shape is in each of the modes."""
        return np.asarray(self.shapes[self.names.index(name)] ** 2)

    def named(self, most: int) -> tuple[Mode, ...]:
        """Return the lowest modes, each with a name of its own, the surest first."""
        shares = self.shapes.T**2
        names: dict[int, Name] = {}
        for place in np.argsort(-shares, axis=None):
            at, name = (int(n) for n in np.unravel_index(place, shares.shape))
            if at not in names and self.names[name] not in names.values():
                names[at] = self.names[name]
        return tuple(self.mode(at, names[at]) for at in range(most))

    def mode(self, at: int, name: Name | None = None) -> Mode:
        """Return one of the modes, named for the shape it has most of, or as told."""
        shape = self.shapes[:, at]
        most = int(np.argmax(shape**2)) if name is None else self.names.index(name)
        energies = [float(shape @ part @ shape) for part in self.parts]
        whole = sum(energies)
        bends, curls, couples, twists = (energy / whole for energy in energies)
        return Mode(
            name=self.names[most],
            stiffness=float(self.stiffness[at]),
            share=float(shape[most] ** 2),
            bends=bends,
            curls=curls,
            couples=couples,
            twists=twists,
        )


def solved(moduli: Moduli, *, length: float, width: float, parity: Parity) -> Class:
    """Return the modes of one symmetry of a thin free plate, rigid motions left out.

    length, width  [m]  along the grain and across
    parity         whether the number of nodal lines is even (0) or odd (1), each way

    Good for a thin flat plate of even thickness, about half as wide as long or wider:
    the functions are then exact to 0.001 % in the lowest modes.

    Source: W. Ritz, Annalen der Physik 333 (1909) 737-786, as A. W. Leissa applies it,
    J. Sound Vib. 31 (1973) 257-293; from memory; energies re-derived.
    """
    if not moduli.coupled < 1:
        raise RefusedError(
            f"with a Poisson ratio of {moduli.poisson:g} no plate is "
            f"{moduli.across / moduli.along:.3g} times as stiff across the grain as "
            f"along it: see that length and width were not exchanged"
        )
    stretched = 1 / (1 - moduli.coupled)
    along, across = moduli.along * stretched, moduli.across * stretched
    weights = (
        along * 16 / length**4,
        across * 16 / width**4,
        moduli.poisson * across * 16 / (length * width) ** 2,
        moduli.shear * 64 / (length * width) ** 2,
    )
    stretch = (moduli.along / moduli.across) ** 0.25
    is_slender = width * stretch <= SLENDER * length
    names, matrices = integrals(parity, across=FEW if is_slender else MANY)
    parts = tuple(weight * each for weight, each in zip(weights, matrices, strict=True))
    one, two, three, four = parts
    stiffness, shapes = np.linalg.eigh(one + two + three + four)
    return Class(
        names=names,
        stiffness=stiffness,
        shapes=shapes,
        parts=(one, two, three, four),
    )


def hertz(stiffness: float, *, thickness: float, density: float) -> float:
    """Return the frequency [Hz] of a mode of a plate.

    stiffness  [Pa/m4]   of the mode
    thickness  [m]
    density    [kg/m3]

    Source: omega^2 rho h = (stiffness) h^3 / 12, for a thin plate.
    """
    return thickness * math.sqrt(stiffness / (12 * density)) / (2 * math.pi)


@cache
def integrals(
    parity: Parity, *, across: int
) -> tuple[tuple[Name, ...], tuple[Numbers, ...]]:
    """Return the names of the products and the four matrices without unit.

    across  how many functions there are across the grain

    Source: as for the modes; energies re-derived.
    """
    counts = (range(parity[0], MANY, 2), range(parity[1], across, 2))
    names = [(m, n) for m in counts[0] for n in counts[1]]
    # Rigid motions have no stiffness and mix with nothing; the twist of order 1 by 1
    # is the first that bends the plate.
    kept = [at for at, name in enumerate(names) if sum(name) > 1]
    x, y = _bar(parity[0], MANY), _bar(parity[1], across)
    ones = tuple(np.eye(len(each)) for each in counts)
    coupled = _product(x.curved, y.curved.T)
    matrices = (
        _product(x.bent, ones[1]),
        _product(ones[0], y.bent),
        coupled + coupled.T,
        _product(x.sloped, y.sloped),
    )
    rows = np.ix_(kept, kept)
    return tuple(names[at] for at in kept), tuple(each[rows] for each in matrices)


def _product(along: Numbers, across: Numbers) -> Numbers:
    """Return the integrals over products of shapes along and across."""
    return np.asarray(np.kron(along, across), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bar:
    """Integrals over the shapes of a free bar of length 2, of one symmetry.

    bent, sloped, curved  of X''X'', X'X' and X''X
    """

    bent: Numbers
    sloped: Numbers
    curved: Numbers


@cache
def _bar(odd: int, many: int) -> _Bar:
    """Return the integrals over a bar's shapes, of norm 1, in Legendre polynomials."""
    points, weights = np.polynomial.legendre.leggauss(many + 2)
    values, slopes, curvatures = (
        np.array([_polynomial(degree, order)(points) for degree in range(odd, many, 2)])
        for order in (0, 1, 2)
    )
    bending = (curvatures * weights) @ curvatures.T
    shapes = np.linalg.eigh(bending)[1].T
    # Rigid motion, then one node pair more each time: the order of the eigenvalues.
    shaped = [shapes @ each for each in (values, slopes, curvatures)]
    return _Bar(
        bent=(shaped[2] * weights) @ shaped[2].T,
        sloped=(shaped[1] * weights) @ shaped[1].T,
        curved=(shaped[2] * weights) @ shaped[0].T,
    )


def _polynomial(degree: int, order: int) -> np.polynomial.Legendre:
    """Return a Legendre polynomial of norm 1 on the bar, or its derivative."""
    norm = math.sqrt(degree + 0.5)
    polynomial = norm * np.polynomial.Legendre.basis(degree)
    return polynomial.deriv(order) if order else polynomial
