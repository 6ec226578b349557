"""From three tap tones back to E along, E across and G: the plate's modes, inverted.

What is heard of each mode is its stiffness, omega^2 12 rho / h^2. The three moduli are
those whose computed modes are as stiff, found by Newton's steps in logarithms; the
slopes follow from the shares of each modulus in each mode, so that they cost nothing.

Where a plate is about as long and as wide as makes its long and cross bending alike,
the two modes mix to a ring and a saddle, and neither is named by its shape. Then they
are taken by their order, the lower for what was heard lower, and fitted by least
squares; for the nearer the two frequencies, the less they tell which way the plate is
stiffer. At the turn they tell nothing of it, and stiffness against stiffness is as far
from the turn as the uncertainties make likely:

    what is missed = bend w^2 / 2 + chance,  w the way from the turn, to one side of it
"""

import math
from dataclasses import dataclass

import numpy as np

from ledger.wood.ritz import (
    ACROSS,
    ALONG,
    EVEN_BOTH,
    ODD_BOTH,
    TWIST,
    Class,
    Mode,
    Moduli,
    Numbers,
    solved,
)

STEPS = 12
LONGEST = 0.5  # step, in the logarithm of a modulus
SAME = 1e-9
# A mode that has less than this of the shape it is named for is mixed.
MIXED = 0.9
# The share of two shapes in two modes, above which nothing else is mixed in.
TOGETHER = 0.85
# Where modes are mixed, a direction in which they answer less than this, beside the
# others, is left alone.
FLAT = 0.4
BEND_STEP = 0.02  # how far the slopes are followed, in the logarithm
# How far and how finely ways are weighed, and the worst miss that may be chance, in
# standard uncertainties.
FAR, MANY, BELIEF = 4.0, 801, 3.0
# The bend is followed to the second order only, and near its turn a name may be wrong.
WIDER = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """The stiffness [Pa/m4] of the long, the cross and the twist mode, and the sizes.

    length, width  [m]
    """

    along: float
    across: float
    twist: float
    length: float
    width: float
    poisson: float

    @property
    def logs(self) -> Numbers:
        """Return the three in logarithms."""
        return np.log([self.along, self.across, self.twist])


@dataclass(frozen=True, slots=True, kw_only=True)
class Inverted:
    """The moduli found, the modes that they lead to, and how these answer to changes.

    miss        what was heard less what is computed, in logarithms; zero when solved
    by_moduli   percent of stiffness of each mode by percent of each modulus
    by_sizes    likewise by length, by width, and by the Poisson ratio itself
    is_mixed    whether the long and the cross mode were told apart by order alone
    """

    moduli: Moduli
    along: Mode
    across: Mode
    twist: Mode
    miss: Numbers
    by_moduli: Numbers
    by_sizes: Numbers
    is_mixed: bool

    @property
    def is_solved(self) -> bool:
        """Whether the computed modes are those heard."""
        return float(np.max(np.abs(self.miss))) < 1e-6


def inverted(heard: Heard, start: Moduli) -> Inverted:
    """Return the moduli whose long, cross and twist mode are as stiff as those heard.

    start  near enough that its long mode is the lower where that was heard lower; the
           closed formulas are

    Look whether it is solved: near the critical ratio it is a least-squares fit that
    still has to be settled, and modes taken for others may have no solution at all.

    Source: Newton's method, with singular values cut off where modes are mixed; slopes
    by Rayleigh's principle; common practice.
    """
    found = _followed(heard, start)
    if found.is_solved or found.is_mixed:
        return found
    ways = (_followed(heard, start, pair) for pair in _pairs(heard, start))
    done = [way for way in ways if way.is_solved]
    return max(done, key=lambda way: way.along.share * way.across.share, default=found)


def _followed(
    heard: Heard, start: Moduli, pair: tuple[int, int] | None = None
) -> Inverted:
    """Take steps until nothing changes; the modes by shape, or by place in their order.

    By shape two modes may take turns, where one mixes with a third.
    """
    now = _at(heard, _logs(start), pair)
    for _ in range(STEPS):
        step = _step(now)
        if np.max(np.abs(step)) < SAME:
            break
        now = _at(heard, _logs(now.moduli) + step, pair)
    return now


def _pairs(heard: Heard, start: Moduli) -> list[tuple[int, int]]:
    """Return the places in order that the long and the cross mode may have."""
    sizes = {"length": heard.length, "width": heard.width}
    bent = solved(start, **sizes, parity=EVEN_BOTH)
    likely = [np.argsort(-bent.shares(name))[:2] for name in (ALONG, ACROSS)]
    return [(int(a), int(b)) for a in likely[0] for b in likely[1] if a != b]


def _step(now: Inverted) -> Numbers:
    """Return the next step in logarithms, not too long, and none where all is bent."""
    flat = FLAT if now.is_mixed else SAME
    step = np.linalg.lstsq(now.by_moduli, now.miss, rcond=flat)[0]
    return np.asarray(step * min(1.0, LONGEST / max(SAME, np.max(np.abs(step)))))


def settled(
    heard: Heard, found: Inverted, noise: Numbers
) -> tuple[Inverted, Numbers] | None:
    """Return the best moduli, and by how many percent each follows each stiffness.

    noise  standard uncertainties of the three misses, one column for each source

    Where modes are mixed, there is one direction in which the frequencies hardly tell
    anything: more E along, less E across. In it the mean is taken over all that the
    uncertainties allow and some plate can have, on the side of the critical ratio that
    belongs to the names of the modes. None where no plate fits them.

    Source: JCGM 100:2008 (GUM), 5.1; where the line is bent, the mean and spread of
    the distribution itself, as in JCGM 101:2008.
    """
    left, sizes, right = np.linalg.svd(found.by_moduli)
    if not found.is_mixed:
        back = 1 / np.maximum(sizes, SAME)
        return (found, (right.T * back) @ left.T) if found.is_solved else None
    unsure = float(np.linalg.norm(left[:, 2] @ noise))
    bent = _bend(heard, found, direction=right[2], seen=left[:, 2])
    ways = _likely_ways(heard, bent, max(unsure, SAME))
    if ways is None:
        return None
    way, spread = ways
    best = _at(heard, _logs(found.moduli) + way * right[2])
    best = _at(heard, _logs(best.moduli) + _step(best))
    back = np.array([1 / sizes[0], 1 / sizes[1], WIDER * spread / max(unsure, SAME)])
    return best, (right.T * back) @ left.T


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bend:
    """How the modes answer in the direction in which they hardly do.

    slope t + bend t^2 / 2 = miss + what the uncertainties add; t is a way in logarithms
    """

    slope: float
    bend: float
    miss: float
    more_along: bool  # whether E along grows with t


def _bend(heard: Heard, found: Inverted, *, direction: Numbers, seen: Numbers) -> _Bend:
    logs, step = _logs(found.moduli), BEND_STEP * direction
    here = float(found.miss @ seen)
    ahead, behind = (
        float(_at(heard, logs + way * step).miss @ seen) for way in (1, -1)
    )
    return _Bend(
        slope=(behind - ahead) / (2 * BEND_STEP),
        bend=(2 * here - ahead - behind) / BEND_STEP**2,
        miss=here,
        more_along=bool(direction[0] > direction[1]),
    )


def _likely_ways(
    heard: Heard, bent: _Bend, unsure: float
) -> tuple[float, float] | None:
    """Return the mean way to go and its spread, every ratio of moduli alike before.

    Only the ways to that side of the turn are weighed on which the modes have their
    names; none where even there the miss is beyond belief.
    """
    turn = -bent.slope / bent.bend
    rest = bent.miss - bent.slope * turn - bent.bend * turn**2 / 2
    # At the way w from the turn the miss is rest - bend w^2 / 2.
    middle, wide = 2 * rest / bent.bend, 2 * unsure / abs(bent.bend)
    if middle + BELIEF * wide < 0:
        return None
    nearest, farthest = (
        math.sqrt(max(0.0, middle + far * wide)) for far in (-FAR, FAR)
    )
    aside = np.linspace(nearest, farthest, MANY)
    weights = np.exp(-(((aside**2 - middle) / wide) ** 2) / 2)
    weights /= np.sum(weights)
    mean = float(weights @ aside)
    spread = math.sqrt(float(weights @ (aside - mean) ** 2))
    to_more = bent.more_along == (heard.along > heard.across)
    return (turn + mean if to_more else turn - mean), spread


def _at(heard: Heard, logs: Numbers, pair: tuple[int, int] | None = None) -> Inverted:
    """Compute the three modes of a plate with these moduli, and how they miss."""
    along, across, shear = (float(each) for each in np.exp(logs))
    moduli = Moduli(along=along, across=across, shear=shear, poisson=heard.poisson)
    sizes = {"length": heard.length, "width": heard.width}
    bent = solved(moduli, **sizes, parity=EVEN_BOTH)
    twisted = solved(moduli, **sizes, parity=ODD_BOTH)
    at, is_mixed = (
        (pair, False) if pair else _pair(bent, is_long_lower=heard.along < heard.across)
    )
    modes = (
        bent.mode(at[0], ALONG),
        bent.mode(at[1], ACROSS),
        twisted.mode(int(np.argmax(twisted.shares(TWIST))), TWIST),
    )
    return Inverted(
        moduli=moduli,
        along=modes[0],
        across=modes[1],
        twist=modes[2],
        miss=heard.logs - np.log([mode.stiffness for mode in modes]),
        by_moduli=np.array([_by_moduli(mode, moduli) for mode in modes]),
        by_sizes=np.array([_by_sizes(mode, moduli) for mode in modes]),
        is_mixed=is_mixed,
    )


def _pair(bent: Class, *, is_long_lower: bool) -> tuple[tuple[int, int], bool]:
    """Return which are the long and the cross mode, and whether by order alone."""
    in_along, in_across = bent.shares(ALONG), bent.shares(ACROSS)
    along, across = int(np.argmax(in_along)), int(np.argmax(in_across))
    if along == across:
        both = in_along + in_across
        along, across = (int(each) for each in np.argsort(both)[-2:])
        if in_along[along] * in_across[across] < in_along[across] * in_across[along]:
            along, across = across, along
    pair = [along, across]
    is_mixed = max(in_along[along], in_across[across]) < MIXED
    if is_mixed and min((in_along + in_across)[pair]) > TOGETHER:
        low, high = sorted(pair)
        return ((low, high) if is_long_lower else (high, low)), True
    return (along, across), False


def _by_moduli(mode: Mode, moduli: Moduli) -> tuple[float, float, float]:
    """Return the slopes of a mode's stiffness by E along, E across and G, all in logs.

    They add up to 1: a plate that is stiffer by 1 % all over is so in every mode.
    """
    stretch = moduli.coupled / (1 - moduli.coupled)
    bending = mode.bends + mode.curls + mode.couples
    return (
        mode.bends - bending * stretch,
        mode.curls + mode.couples + bending * stretch,
        mode.twists,
    )


def _by_sizes(mode: Mode, moduli: Moduli) -> tuple[float, float, float]:
    """Return the slopes by length and width, in logs, and by the Poisson ratio."""
    stretch = moduli.coupled / (1 - moduli.coupled)
    bending = mode.bends + mode.curls + mode.couples
    both = mode.couples + mode.twists
    return (
        -4 * mode.bends - 2 * both,
        -4 * mode.curls - 2 * both,
        (mode.couples + 2 * bending * stretch) / moduli.poisson,
    )


def _logs(moduli: Moduli) -> Numbers:
    return np.log([moduli.along, moduli.across, moduli.shear])
