"""A curve that comes to rest, and how surely its readings fix it.

m(t) = m_end + a f(t / T): f is a plain exponential, or that of a slab which was put
into other air at the time nought, and whose surface goes first. For a given time
constant T the rest is linear, so every question here is one of T alone: chi-squared for
many time constants at once. What a number may be is all that raises the least
chi-squared by no more than four: two standard uncertainties, also where the interval is
wider on one side.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Chi-squared for each of many time constants.
Misfit = Callable[[Floats], Floats]

COVERAGE = 2.0
# Of the span of the readings: a time constant beyond these is no longer seen.
SHORTEST, LONGEST = 1 / 50, 30.0
GRID, FINE, ZOOMS = 80, 15, 2
DOUBLINGS, ROUNDS, CLOSE = 40, 40, 1e-3
# An exponent beyond this is as good as infinite.
STEEPEST = 300.0
# Of a slab: up to here the root of time holds, from here on four terms of the series.
SOON = 0.4
NEWTON = 8
ROOT = 4 / math.pi**1.5
FIRST_TERM = 8 / math.pi**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Readings that come to rest, each as sure as the others.

    times, readings, u  in any units; u is the standard uncertainty of one reading
    is_fresh            whether a slab came into this air at the time nought
    """

    times: Floats
    readings: Floats
    u: float
    is_fresh: bool = False

    @property
    def span(self) -> float:
        """From the first reading to the last."""
        return float(self.times[-1] - self.times[0])

    @property
    def constants(self) -> tuple[float, float]:
        """The shortest and the longest time constant that can be seen."""
        return SHORTEST * self.span, LONGEST * self.span


def of_line(curve: Curve) -> Misfit:
    """Return chi-squared where end and amplitude are free.

    Source: linear least squares.
    """

    def misfit(constants: Floats) -> Floats:
        shape = _shapes(curve, constants)
        shape = shape - shape.mean(axis=1, keepdims=True)
        off = curve.readings - curve.readings.mean()
        return _chi2(curve, off - _scale(shape, off) * shape)

    return misfit


def of_end(curve: Curve, end: float) -> Misfit:
    """Return chi-squared where the end is given and the amplitude is free.

    Source: linear least squares.
    """

    def misfit(constants: Floats) -> Floats:
        shape, off = _shapes(curve, constants), curve.readings - end
        return _chi2(curve, off - _scale(shape, off) * shape)

    return misfit


def of_share(curve: Curve, share: float, time: float) -> Misfit:
    """Return chi-squared where at a time a given share of the end is left.

    Source: linear least squares.
    """

    def misfit(constants: Floats) -> Floats:
        now, then = (
            _log_fall(curve, each / constants[:, None]) for each in (curve.times, time)
        )
        shape = 1 + share * np.exp(np.clip(now - then, -STEEPEST, STEEPEST))
        return _chi2(curve, curve.readings - _scale(shape, curve.readings) * shape)

    return misfit


def solved(curve: Curve, constant: float) -> tuple[float, float]:
    """Return the end and the amplitude of the best curve with a time constant.

    Source: linear least squares.
    """
    shape = _shapes(curve, np.array([constant]))[0]
    amplitude, end = np.polyfit(shape, curve.readings, 1)
    return float(end), float(amplitude)


def best(curve: Curve, misfit: Misfit) -> tuple[float, float]:
    """Return the time constant of the least chi-squared, and that.

    Source: a search on a grid that is narrowed twice, then a parabola.
    """
    low, high = (math.log(each) for each in curve.constants)
    first, last = low, high
    for count in (GRID, *[FINE] * ZOOMS):
        grid = np.linspace(low, high, count)
        found = misfit(np.exp(grid))
        at = int(np.argmin(found))
        step = (high - low) / (count - 1)
        low = max(first, float(grid[at]) - step)
        high = min(last, float(grid[at]) + step)
    if not 0 < at < len(grid) - 1:
        return math.exp(float(grid[at])), float(found[at])
    before, here, after = (float(each) for each in found[at - 1 : at + 2])
    bend = before - 2 * here + after
    if bend <= 0:
        return math.exp(float(grid[at])), here
    off = (before - after) / (2 * bend)
    lowest = here - (before - after) ** 2 / (8 * bend)
    return math.exp(float(grid[at]) + off * step), max(0.0, lowest)


def bounds(
    curve: Curve, misfit_of: Callable[[float], Misfit], likely: float, step: float
) -> tuple[float, float]:
    """Return the least and the most that a number may be, infinite where nothing says.

    misfit_of     chi-squared for a value of the number
    likely, step  its best value, and a first guess of its uncertainty

    Source: profile likelihood: chi-squared rises by the square of the coverage factor.
    """
    floor = best(curve, misfit_of(likely))[1]

    def raised(value: float) -> float:
        rise = best(curve, misfit_of(value))[1] - floor
        return math.sqrt(max(0.0, rise)) - COVERAGE

    return edge(raised, likely, -step), edge(raised, likely, step)


def edge(raised: Callable[[float], float], start: float, step: float) -> float:
    """Return where a function that rises from the start on, that way, crosses nought.

    Source: doubling of the step, then the rule of false position (Illinois).
    """
    inner, below = start, raised(start)
    for _ in range(DOUBLINGS):
        outer = start + step
        above = raised(outer)
        if above >= 0:
            return _crossing(raised, (inner, below), (outer, above))
        inner, below, step = outer, above, 2 * step
    return math.copysign(math.inf, step)


def _crossing(
    raised: Callable[[float], float],
    low: tuple[float, float],
    high: tuple[float, float],
) -> float:
    (inner, below), (outer, above) = low, high
    for _ in range(ROUNDS):
        at = inner + (outer - inner) * below / (below - above)
        found = raised(at)
        if abs(found) < CLOSE or inner == outer:
            return at
        if found < 0:
            inner, below, above = at, found, above / 2
        else:
            outer, above, below = at, found, below / 2
    return at


def fall_of(curve: Curve, after: float) -> float:
    """Return the share of the amplitude that is left after so many time constants.

    Source: Crank, The Mathematics of Diffusion, slab with both faces open, from memory.
    """
    return float(np.exp(_log_fall(curve, np.array([after]))[0]))


def when_left(curve: Curve, share: float) -> float:
    """Return after how many time constants a share of the amplitude is left.

    Source: the inverse of `fall_of`; before the time nought only an exponential goes.
    """
    if not curve.is_fresh:
        return -math.log(share)
    soon = math.pow(max(0.0, 1 - share) / ROOT, 2)
    if soon < SOON:
        return soon
    late = -math.log(share / FIRST_TERM)
    for _ in range(NEWTON):
        late += math.log(fall_of(curve, late) / share)
    return late


def _shapes(curve: Curve, constants: Floats) -> Floats:
    found: Floats = np.exp(_log_fall(curve, curve.times / constants[:, None]))
    return found


def _log_fall(curve: Curve, after: Floats) -> Floats:
    if not curve.is_fresh:
        return -after
    late = np.clip(after, SOON, None)
    terms = sum(np.exp((1 - k**2) * late) / k**2 for k in (1, 3, 5, 7))
    soon = np.log1p(-ROOT * np.sqrt(np.clip(after, 0, SOON)))
    found: Floats = np.where(after < SOON, soon, np.log(FIRST_TERM * terms) - late)
    return found


def _scale(shape: Floats, readings: Floats) -> Floats:
    """Return how large each shape is in the readings."""
    size = np.maximum((shape**2).sum(axis=1), np.finfo(float).tiny)
    found: Floats = ((shape * readings).sum(axis=1) / size)[:, None]
    return found


def _chi2(curve: Curve, off: Floats) -> Floats:
    found: Floats = (off**2).sum(axis=1) / curve.u**2
    return found
