"""Many tapped plates worked out side by side: their moduli, and not how sure they are.

It is the inversion of one plate (`inversion`), but plates of one kind are nearly alike:
in the modes of one of them the stiffness of another is nearly diagonal, and its own
modes are a few small steps away, for all of them at once:

    x_k <- x_k - (K x - mu x)_k / (K_kk - mu)

mu is off by the square of what x is off by, and is taken when that is nothing any more.
Which mode is which is seen by its shape, as ever. Whatever is odd about a plate, it is
left to be worked out alone: modes that mix, tones that no plate has, few of its kind.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ledger.wood.bar import FREE_FREE_FIRST_MODE
from ledger.wood.closed import TYPICAL_TWIST
from ledger.wood.inversion import LONGEST, MIXED, SAME, STEPS
from ledger.wood.mistaken import POSSIBLE
from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    FEW,
    ODD_BOTH,
    SLENDER,
    TWIST,
    Name,
    Numbers,
    Parity,
    integrals,
)
from ledger.wood.sizes import FLATTEST, HEAVIEST, LIGHTEST

# Plates of one kind have ratios of stiffness that differ by less, in logarithms, from
# those of one of them; of fewer each is worked out alone.
ALIKE, FEWEST = 0.25, 4
# Steps to mend a mode, and what may be wrong with its stiffness then.
ROUNDS, NOTHING = 30, 1e-18
SOLVED = 1e-6
# A mode that has more than this of a shape is the one that has most of it.
MOST = 0.5


class Plate(NamedTuple):
    """A plate of which all three modes were heard, and its Poisson ratio.

    length, width, thickness  [m]
    mass                      [kg]
    along, across, twist      [Hz]
    """

    length: float
    width: float
    thickness: float
    mass: float
    along: float
    across: float
    twist: float
    poisson: float


class Bare(NamedTuple):
    """What a plate comes to, without its uncertainties.

    e_along, e_across, g  [Pa]
    radiation_ratio       [m4/(kg s)]
    """

    e_along: float
    e_across: float
    g: float
    radiation_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Basis:
    """The modes of one plate, and the four matrices as they look in them.

    `shapes` are the modes in columns, by the products that `names` tells.
    """

    names: tuple[Name, ...]
    shapes: Numbers
    joined: Numbers
    diagonals: Numbers

    def like(self, name: Name) -> int:
        """Return which of the modes has most of a shape."""
        return int(np.argmax(self.shapes[self.names.index(name)] ** 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """One mode of many plates: stiffness [Pa/m4], shares of it, share of its shape."""

    stiffness: Numbers
    parts: Numbers
    share: Numbers
    is_settled: Numbers


def many_plates(plates: Sequence[Plate]) -> list[Bare | None]:
    """Return what each plate comes to, or None for one to be worked out alone.

    Good for what the inversion of one plate is good for; they agree within 1e-9.

    Source: own Rayleigh-Ritz solution, inverted; modes by Jacobi's steps in the basis
    of a plate that is like them, common practice.
    """
    found: list[Bare | None] = [None] * len(plates)
    if not plates:
        return found
    table = np.array(plates)
    starts = _starts(table)
    kinds = _kinds(table, starts)
    ahead = np.flatnonzero(_are_sound(table, starts))
    ahead = ahead[np.lexsort(kinds[ahead].T)]
    while len(ahead):
        middle = kinds[ahead[len(ahead) // 2]]
        near = np.max(np.abs(kinds[ahead] - middle), axis=1) < ALIKE
        group, ahead = ahead[near], ahead[~near]
        if len(group) >= FEWEST:
            logs, is_found = _inverted(table[group], starts[group])
            for at in np.flatnonzero(is_found):
                found[group[at]] = _bare(table[group[at]], np.exp(logs[at]))
    return found


def _bare(row: Numbers, moduli: Numbers) -> Bare:
    length, width, thickness, mass = (float(each) for each in row[:4])
    along, across, shear = (float(each) for each in moduli)
    weight = mass / (length * width * thickness)
    return Bare(along, across, shear, math.sqrt(along / weight**3))


def _starts(table: Numbers) -> Numbers:
    """Return the logarithms of the moduli by the closed formulas."""
    length, width, thickness, mass, along, across, twist, _ = table.T
    bulk = mass / thickness**3
    moduli = (
        FREE_FREE_FIRST_MODE * bulk * along**2 * length**3 / width,
        FREE_FREE_FIRST_MODE * bulk * across**2 * width**3 / length,
        TYPICAL_TWIST.value * bulk * twist**2 * length * width,
    )
    return np.asarray(np.log(np.column_stack(moduli)))


def _are_sound(table: Numbers, starts: Numbers) -> Numbers:
    """Tell which plates are such as wood is, so that nothing is to be said of them."""
    length, width, thickness, mass = table.T[:4]
    weight = mass / (length * width * thickness)
    is_flat = np.minimum(length, width) > FLATTEST * thickness
    sound = is_flat & (weight > LIGHTEST) & (weight < HEAVIEST) & (width <= length)
    for modulus, (low, high) in zip(np.exp(starts).T, POSSIBLE.values(), strict=True):
        sound &= (modulus > low) & (modulus < high)
    return np.asarray(sound)


def _weights(table: Numbers, logs: Numbers) -> tuple[Numbers, Numbers]:
    """Return what the four matrices are taken times, and which moduli are a wood's."""
    length, width = table.T[:2]
    poisson = table.T[7]
    along, across, shear = np.exp(logs).T
    coupled = poisson**2 * across / along
    is_usual = (coupled < 1) & (width * (along / across) ** 0.25 <= SLENDER * length)
    stretched = 1 / np.where(is_usual, 1 - coupled, 1.0)
    weights = (
        along * stretched * 16 / length**4,
        across * stretched * 16 / width**4,
        poisson * across * stretched * 16 / (length * width) ** 2,
        shear * 64 / (length * width) ** 2,
    )
    return np.column_stack(weights), is_usual


def _kinds(table: Numbers, starts: Numbers) -> Numbers:
    """Return the ratios in logarithms by which plates of any size are alike."""
    weights, _ = _weights(table, starts)
    logs = np.log(weights)
    return np.asarray(logs[:, 1:] - logs[:, :1])


def _basis(weights: Numbers, parity: Parity) -> _Basis:
    names, matrices = integrals(parity, across=FEW)
    whole = np.tensordot(weights, np.array(matrices), axes=1)
    shapes = np.linalg.eigh(whole)[1]
    seen = [shapes.T @ each @ shapes for each in matrices]
    return _Basis(
        names=names,
        shapes=shapes,
        joined=np.hstack(seen),
        diagonals=np.array([np.diag(each) for each in seen]),
    )


def _inverted(table: Numbers, starts: Numbers) -> tuple[Numbers, Numbers]:
    """Return the moduli of plates of one kind in logarithms, and which were found."""
    length, width, thickness, mass = table.T[:4]
    scale = 12 * mass / (length * width * thickness) * (2 * math.pi / thickness) ** 2
    heard = np.log(scale[:, None] * table[:, 4:7] ** 2)
    middle = np.median(_weights(table, starts)[0], axis=0)
    even, odd = _basis(middle, EVEN_BOTH), _basis(middle, ODD_BOTH)
    looked = ((even, ALONG), (even, ACROSS), (odd, TWIST))
    shapes = [np.eye(len(b.names))[[b.like(name)] * len(table)] for b, name in looked]
    good, logs = np.ones(len(table), dtype=bool), starts.copy()
    for _ in range(STEPS + 1):
        weights, is_usual = _weights(table, logs)
        modes = [
            _mended(basis, name, weights, shape)
            for (basis, name), shape in zip(looked, shapes, strict=True)
        ]
        shares = np.array([mode.share for mode in modes])
        settled = np.array([mode.is_settled for mode in modes])
        good &= is_usual & np.all(settled, axis=0) & np.all(shares > MOST, axis=0)
        good &= np.max(shares[:2], axis=0) >= MIXED
        miss = heard - np.log(np.column_stack([mode.stiffness for mode in modes]))
        step = _steps(_slopes(table, logs, modes), miss, good)
        is_still = np.max(np.abs(step), axis=1) < SAME
        if np.all(is_still):
            break
        logs = np.where(is_still[:, None], logs, logs + step)
    return logs, good & is_still & (np.max(np.abs(miss), axis=1) < SOLVED)


def _mended(basis: _Basis, name: Name, weights: Numbers, shape: Numbers) -> _Seen:
    """Return one mode of each plate; `shape` is mended where it stands."""
    at, many = basis.like(name), len(basis.names)
    diagonals = weights @ basis.diagonals
    for _ in range(ROUNDS):
        parts = (shape @ basis.joined).reshape(len(shape), 4, many)
        bent = np.einsum("nj,njd->nd", weights, parts)
        norm = np.einsum("nd,nd->n", shape, shape)
        stiffness = np.einsum("nd,nd->n", shape, bent) / norm
        missing = bent - stiffness[:, None] * shape
        gaps = diagonals - stiffness[:, None]
        gaps[:, at] = np.inf
        step = missing / gaps
        off = np.abs(np.einsum("nd,nd->n", missing, step)) / (stiffness * norm)
        if np.all(off < NOTHING):
            break
        # One that runs away is not followed.
        np.clip(shape - step, -1, 1, out=shape)
    named = shape @ basis.shapes[basis.names.index(name)]
    energies = np.einsum("nd,njd->nj", shape, parts) * weights
    return _Seen(
        stiffness=stiffness,
        parts=energies / np.sum(energies, axis=1, keepdims=True),
        share=named**2 / norm,
        is_settled=off < NOTHING,
    )


def _slopes(table: Numbers, logs: Numbers, modes: Sequence[_Seen]) -> Numbers:
    """Return the slopes of each mode's stiffness by each modulus, all in logarithms."""
    along, across, _ = np.exp(logs).T
    coupled = table.T[7] ** 2 * across / along
    stretch = coupled / (1 - coupled)
    rows = []
    for mode in modes:
        bends, curls, couples, twists = mode.parts.T
        more = (bends + curls + couples) * stretch
        rows.append(np.column_stack([bends - more, curls + couples + more, twists]))
    return np.stack(rows, axis=1)


def _steps(slopes: Numbers, miss: Numbers, good: Numbers) -> Numbers:
    """Return the next steps, none too long, and none for plates that are left."""
    known = np.where(good[:, None, None], slopes, np.eye(3))
    wanted = np.where(good[:, None], miss, 0.0)
    step = np.linalg.solve(known, wanted[:, :, None])[:, :, 0]
    longest = np.max(np.abs(step), axis=1, keepdims=True)
    return np.asarray(step * np.minimum(1.0, LONGEST / np.maximum(SAME, longest)))
