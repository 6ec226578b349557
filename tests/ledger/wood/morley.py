"""A second solver of free plates, by Morley's finite elements, to judge ours.

It shares no code with ours, and no idea: triangles instead of products of shapes, and
modes found by what they look like at the corners of the mesh. Two meshes, one finer,
are extrapolated: the error falls with the square of the step.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse.linalg import eigsh
from skfem import Basis, BilinearForm, ElementTriMorley, MeshTri
from skfem.helpers import dd

Numbers = npt.NDArray[np.float64]
MODES = 15
COARSE, FINE = 16, 28  # steps across the plate


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A wood [kg/m3, Pa] and a plate of it [m]."""

    density: float
    along: float
    across: float
    shear: float
    poisson: float
    length: float
    width: float
    thickness: float


def tones(wood: Wood) -> dict[str, float]:
    """Return the long, the cross and the twist mode [Hz] of a free plate."""
    fine, coarse = (_tones(wood, steps) for steps in (FINE, COARSE))
    rest = 1 / ((FINE / COARSE) ** 2 - 1)
    return {name: fine[name] + (fine[name] - coarse[name]) * rest for name in fine}


def _tones(wood: Wood, steps: int) -> dict[str, float]:
    """Solve on one mesh, and tell the modes by their look."""
    x = np.linspace(-0.5, 0.5, round(steps * wood.length / wood.width) + 1)
    y = np.linspace(-0.5, 0.5, steps + 1)
    basis = Basis(
        MeshTri.init_tensor(x * wood.length, y * wood.width), ElementTriMorley()
    )
    stiffness, mass = _stiffness(wood).assemble(basis), _mass(wood).assemble(basis)
    squares, shapes = eigsh(
        stiffness.tocsc(), k=MODES + 3, M=mass.tocsc(), sigma=-((2 * math.pi * 5) ** 2)
    )
    rising = np.argsort(squares)[3:]  # three rigid motions first
    at_corners = shapes[basis.nodal_dofs[0]][:, rising]
    looks = {
        "along": basis.mesh.p[0] ** 2,
        "across": basis.mesh.p[1] ** 2,
        "twist": basis.mesh.p[0] * basis.mesh.p[1],
    }
    return {
        name: math.sqrt(squares[rising[_most_like(at_corners, look)]]) / (2 * math.pi)
        for name, look in looks.items()
    }


def _most_like(shapes: Numbers, look: Numbers) -> int:
    """Return which shape is most like a look, up to its sign and its mean."""
    wanted = look - np.mean(look)
    likeness = np.abs(shapes.T @ wanted) / np.linalg.norm(shapes, axis=0)
    return int(np.argmax(likeness))


def _stiffness(wood: Wood) -> BilinearForm:
    """Return the energy of bending of two shapes."""
    stretch = 1 / (1 - wood.poisson**2 * wood.across / wood.along)
    bending = wood.thickness**3 / 12

    @BilinearForm  # type: ignore[untyped-decorator]
    def energy(u: object, v: object, _: object) -> Numbers:
        one, other = dd(u), dd(v)
        mixed = one[0][0] * other[1][1] + one[1][1] * other[0][0]
        bent = (
            wood.along * one[0][0] * other[0][0] + wood.across * one[1][1] * other[1][1]
        )
        coupled = wood.poisson * wood.across * mixed
        twisted = 4 * wood.shear * one[0][1] * other[0][1]
        return np.asarray(bending * (stretch * (bent + coupled) + twisted))

    return energy


def _mass(wood: Wood) -> BilinearForm:
    """Return the inertia of two shapes."""

    @BilinearForm  # type: ignore[untyped-decorator]
    def inertia(u: Numbers, v: Numbers, _: object) -> Numbers:
        return wood.density * wood.thickness * u * v

    return inertia
