"""The air of a room over weeks, and the moisture that it gives to wood.

A reading stands for the time half way to its neighbours, but never for much more than
the logger's own step: what lies in a gap nobody measured, and it counts for nothing.
Thin wood follows the hour; thick wood follows the mean over its time constant, which is
why a mean over that span before a day is told here.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ledger.errors import RefusedError
from ledger.wood.moisture import (
    COLDEST,
    DAMPEST,
    U_EQUILIBRIUM,
    WARMEST,
    water_at_rest,
)
from ledger.wood.uncertainty import Estimate

Floats = NDArray[np.float64]
DAY = 86_400.0  # seconds
# A step counts as a gap from here on, or from three usual steps on; never above a day.
SHORTEST_GAP, USUAL_STEPS = 7200.0, 3
# Of the span of a trailing mean: less than this measured is no mean of it.
LEAST_COVERED = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class AirSeries:
    """Readings of the air in order of time.

    seconds      [s]      without the jumps of summer time
    day                   of each reading, counted from any day on, never falling
    temperature  [deg C]
    humidity              relative, 0 to 1
    """

    seconds: Floats
    day: NDArray[np.int64]
    temperature: Floats
    humidity: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOfAir:
    """One day: time-weighted means, extremes, and the moisture [%] it gives to wood.

    Where the equation holds for no reading of the day, `moisture` is None.
    """

    day: int
    readings: int
    temperature: float
    coldest: float
    warmest: float
    humidity: float
    driest: float
    dampest: float
    longest_gap: float
    moisture: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailingMean:
    """The moisture [%] that the air of a span gives, and the share of it measured."""

    moisture: Estimate
    covered: float


def air_series(
    *, seconds: ArrayLike, day: ArrayLike, temperature: ArrayLike, humidity: ArrayLike
) -> AirSeries:
    """Return readings as a series, or refuse what is not in order.

    Source: the readings.
    """
    series = AirSeries(
        seconds=np.asarray(seconds, dtype=float),
        day=np.asarray(day, dtype=np.int64),
        temperature=np.asarray(temperature, dtype=float),
        humidity=np.asarray(humidity, dtype=float),
    )
    if not len(series.seconds):
        raise RefusedError("there is no reading of the air: read the logger again")
    if (np.diff(series.seconds) <= 0).any():
        raise RefusedError("the readings of the air are not in order of time")
    return series


def weights(seconds: Floats) -> Floats:
    """Return for how long each reading stands [s].

    Source: half way to each neighbour, and no further than half a usual step into a
    gap; the limits are common practice, no source.
    """
    steps, usual = np.diff(seconds), usual_step(seconds)
    half = np.where(steps > longest_step(usual), usual, steps) / 2
    return np.concatenate(([usual / 2], half)) + np.concatenate((half, [usual / 2]))


def usual_step(seconds: Floats) -> float:
    """Return the logger's own step [s], at most a day.

    Source: the median of the steps.
    """
    if len(seconds) < 2:
        return SHORTEST_GAP
    return min(float(np.median(np.diff(seconds))), DAY)


def longest_step(usual: float) -> float:
    """Return the step [s] between readings beyond which there is a gap.

    Source: common practice, no source.
    """
    return min(max(SHORTEST_GAP, USUAL_STEPS * usual), DAY)


def daily(series: AirSeries) -> tuple[DayOfAir, ...]:
    """Return each day that has readings, the oldest first.

    Source: time-weighted means; Wood Handbook, FPL-GTR-190, equation (4-5), for the
    moisture of each reading.
    """
    first = np.flatnonzero(np.diff(series.day, prepend=series.day[0] - 1))
    weight = weights(series.seconds)
    moisture = moistures(series)
    known = np.isfinite(moisture)
    over = np.add.reduceat(weight, first)
    over_known = np.add.reduceat(weight * known, first)
    watered = np.add.reduceat(np.where(known, moisture, 0.0) * weight, first)
    mean = [
        np.add.reduceat(each * weight, first) / over
        for each in (series.temperature, series.humidity)
    ]
    least = [
        np.minimum.reduceat(each, first)
        for each in (series.temperature, series.humidity)
    ]
    most = [
        np.maximum.reduceat(each, first)
        for each in (series.temperature, series.humidity)
    ]
    steps = np.diff(series.seconds, prepend=series.seconds[0])
    gap = np.maximum.reduceat(np.maximum(steps, np.append(steps[1:], 0.0)), first)
    counts = np.diff(np.append(first, len(series.day)))
    return tuple(
        DayOfAir(
            day=int(series.day[first[n]]),
            readings=int(counts[n]),
            temperature=float(mean[0][n]),
            coldest=float(least[0][n]),
            warmest=float(most[0][n]),
            humidity=float(mean[1][n]),
            driest=float(least[1][n]),
            dampest=float(most[1][n]),
            longest_gap=float(gap[n]),
            moisture=float(watered[n] / over_known[n]) if over_known[n] else None,
        )
        for n in range(len(first))
    )


def trailing_mean(series: AirSeries, *, span: float, until: float) -> TrailingMean:
    """Return the moisture at rest [%] of the air over a span before a moment.

    span   [s]  the time constant of the wood; an hour or a day for a thin plate
    until  [s]  on the clock of the series

    Source: Wood Handbook, FPL-GTR-190, equation (4-5), weighted by time; thick wood
    follows the mean over its time constant, first term of Fick's second law.
    """
    weight = weights(series.seconds)
    moisture = moistures(series)
    inside = (series.seconds > until - span) & (series.seconds <= until)
    inside &= np.isfinite(moisture)
    measured = float(weight[inside].sum())
    covered = min(1.0, measured / span)
    if covered < LEAST_COVERED:
        raise RefusedError(
            f"the log holds {measured / DAY:.1f} of the last {span / DAY:.4g} days: "
            f"ask for a shorter span, or log longer"
        )
    mean = float((moisture[inside] * weight[inside]).sum()) / measured
    return TrailingMean(moisture=Estimate(value=mean, u=U_EQUILIBRIUM), covered=covered)


def moistures(series: AirSeries) -> Floats:
    """Return the moisture at rest [%] of each reading, NaN where no equation holds.

    Source: Wood Handbook, FPL-GTR-190 (2010), equation (4-5).
    """
    holds = (series.temperature >= COLDEST) & (series.temperature <= WARMEST)
    holds &= (series.humidity >= 0) & (series.humidity <= DAMPEST)
    found = np.full(series.temperature.shape, np.nan)
    found[holds] = water_at_rest(series.temperature[holds], series.humidity[holds])
    return found
