"""Where the mass of drying wood will end, and when, from weighings.

After the first days a board that dries in steady air loses a constant share of what it
still has to lose: m(t) = m_end (1 + r exp(-t / T)). Three weighings give the end mass,
the share and the time constant; more give them better and show whether the curve holds.
All intervals are those in which the weighings, with what the balance scatters, leave
the truth: the profile of chi-squared, two standard uncertainties to each side.

They know nothing of the room. Where its air changes with the season the end mass moves
with it, by 0.16 % of the mass for each percent of humidity, and the day moves too.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ledger.errors import RefusedError
from ledger.wood.approach import (
    COVERAGE,
    LONGEST,
    Curve,
    Floats,
    Misfit,
    best,
    bounds,
    edge,
    fall_of,
    of_end,
    of_line,
    of_share,
    solved,
    when_left,
)
from ledger.wood.uncertainty import Estimate, require_measured

METHOD = "exponential approach, least squares"
METHOD_FRESH = "slab from its first day, least squares"
LEAST_WEIGHINGS = 3
# What a difference must be of the balance's step, to be a difference.
LEAST_STEPS = 5
# Weighings that must be left where first ones are taken out.
LEAST_TO_SEE = 4
# Fewer do not show whether the first days belong to the curve.
LEAST_TO_SHOW = 8
# No wood loses more: green wood of light species holds some 2.5 times its own mass.
MOST_LOST = 3.0  # of the mass that is left
# The share of the loss that they must show.
LEAST_LOSS = 1 / 3
# Standard uncertainties by which the scatter may exceed the balance's by chance.
UNLIKELY = 2.0
DAY = 86_400  # seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """A number and the interval that holds it in 95 of 100 cases."""

    least: float
    likely: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """Where drying wood ends, and how fast it goes there.

    end_mass       [kg]
    time_constant  [days]  until it has 37 % left of what it has to lose
    days, masses   [days], [kg]  the weighings that it rests on
    u              [kg]    standard uncertainty of one weighing
    is_fresh               whether the first of them was made as it came into this air
    """

    end_mass: Estimate
    time_constant: Estimate
    days: tuple[float, ...]
    masses: tuple[float, ...]
    u: float
    is_fresh: bool
    method: str
    warnings: tuple[str, ...]


def drying_of(
    *,
    days: Sequence[float],
    masses: Sequence[float],
    resolution: float,
    repeatability: float | None = None,
    is_fresh: bool = False,
) -> Drying:
    """Return where the mass ends and how fast, or refuse with the reason.

    days           [days]  since the first weighing, the oldest first
    masses         [kg]
    resolution     [kg]    the step of the balance's display
    repeatability  [kg]    how a balance scatters (one standard deviation); where nobody
                           knows it, one step of its display
    is_fresh               whether the first weighing was made as the wood came into
                           this air: in its first days the surface dries faster

    Source: first term of Fick's second law for a slab in steady air (Crank, The
    Mathematics of Diffusion, from memory); least squares by JCGM 100:2008.
    """
    t, m = _series(days, masses, resolution)
    u = math.hypot(
        resolution if repeatability is None else repeatability,
        resolution / math.sqrt(12),
    )
    _require_loss(t, m, step=max(u, resolution))
    curve, warnings = _settled(Curve(times=t, readings=m, u=u, is_fresh=is_fresh))
    constant, _ = best(curve, of_line(curve))
    try:
        end, pace = _end(curve, constant), _constant(curve, constant)
    except RefusedError:
        if curve.u == u:
            raise
        raise RefusedError(
            f"the masses scatter {_grams(curve.u)} about the curve, and the balance "
            f"explains {_grams(u)}, so nobody can tell where it ends: keep the air "
            f"steady and weigh on"
        ) from None
    return Drying(
        end_mass=end,
        time_constant=pace,
        days=tuple(curve.times.tolist()),
        masses=tuple(curve.readings.tolist()),
        u=curve.u,
        is_fresh=is_fresh,
        method=METHOD_FRESH if is_fresh else METHOD,
        warnings=warnings,
    )


def ready_day(drying: Drying, *, remaining: float) -> Between:
    """Return the days since the first weighing on which so little is left to lose.

    remaining  as a share of the end mass, such as 0.002

    Nothing before the first weighing is told: a day there is the day nought.

    Source: the fitted curve, solved for the day.
    """
    if not 0 < remaining < 1:
        raise RefusedError(
            f"a share of {remaining:g} of the mass is no limit of what may be left: "
            f"give one such as 0.2 %"
        )
    curve = _curve(drying)
    constant = drying.time_constant.value
    end, amplitude = solved(curve, constant)
    likely = constant * when_left(curve, remaining * end / amplitude)

    def misfit(day: float) -> Misfit:
        return of_share(curve, remaining, day)

    step = max(drying.time_constant.u, constant / 20)
    low, high = bounds(curve, misfit, likely, step)
    return Between(least=max(0.0, low), likely=max(0.0, likely), most=max(0.0, high))


def remaining_at(drying: Drying, *, day: float) -> Between:
    """Return what is left to lose on a day, as a share of the end mass.

    day  [days]  since the first weighing

    Source: the fitted curve.
    """
    curve = _curve(drying)
    end, amplitude = solved(curve, drying.time_constant.value)
    likely = amplitude / end * fall_of(curve, day / drying.time_constant.value)

    def misfit(share: float) -> Misfit:
        return of_share(curve, share, day)

    step = drying.end_mass.u / drying.end_mass.value
    low, high = bounds(curve, misfit, likely, step)
    return Between(least=max(0.0, low), likely=likely, most=high)


def expected_time_constant(*, thickness: float, diffusion: float) -> float:
    """Return the time constant [days] that theory gives a board open on both faces.

    thickness  [m]
    diffusion  [m2/s]  some 1e-10 across spruce, 1e-11 in rosewood and ebony

    Plausible within a factor of three: the surface and slow relaxation add days to thin
    plates, and water moves ten times slower in dry wood than in damp.

    Source: Crank, The Mathematics of Diffusion, first term: h^2 / (pi^2 D); diffusion
    across spruce from Sanchez-Ferrer and Engelhardt, Scientific Reports (2026).
    """
    return thickness**2 / (math.pi**2 * diffusion) / DAY


def _series(
    days: Sequence[float], masses: Sequence[float], resolution: float
) -> tuple[Floats, Floats]:
    """Return the weighings from day nought on, or refuse what is no series."""
    if len(days) != len(masses) or len(days) < LEAST_WEIGHINGS:
        count = "1 weighing" if len(days) == 1 else f"{len(days)} weighings"
        raise RefusedError(
            f"{count} of at least {LEAST_WEIGHINGS}: weigh it again in some days"
        )
    for mass in (*masses, resolution):
        require_measured(Estimate(value=mass, u=0.0))
    t, m = np.array(days, dtype=float), np.array(masses, dtype=float)
    if not np.isfinite(t).all() or (np.diff(t) <= 0).any():
        raise RefusedError(
            "the weighings are not each on a later day than the one before: put them "
            "in order, and keep one of each day"
        )
    return t - t[0], m


def _require_loss(t: Floats, m: Floats, *, step: float) -> None:
    """Refuse wood that gains, and differences that the balance hardly sees."""
    least = LEAST_STEPS * step
    lost = float(m[0] - m[-1])
    if lost <= -least:
        raise RefusedError(
            f"it gains: {_grams(-lost)} more after {t[-1]:g} days, so it takes up "
            f"water: look at the air of the room, no day can be told"
        )
    if lost < least:
        raise RefusedError(
            f"it lost {_grams(lost)} in {t[-1]:g} days, less than {LEAST_STEPS} steps "
            f"of the balance ({_grams(least)}): it rests already, or the balance is "
            f"too coarse to tell"
        )
    if lost > MOST_LOST * m.min():
        raise RefusedError(
            f"it went from {_grams(float(m[0]))} to {_grams(float(m.min()))}, and no "
            f"wood holds so much water: see the decimal point, and that all are of one "
            f"board"
        )
    risen = m - np.minimum.accumulate(m)
    worst = int(np.argmax(risen))
    if risen[worst] >= least:
        raise RefusedError(
            f"it lost and then gained {_grams(float(risen[worst]))} by day "
            f"{t[worst]:g}: the air changed, so begin the series there"
        )
    if len(m) == LEAST_WEIGHINGS:
        _require_bend(t, m, least)


def _require_bend(t: Floats, m: Floats, least: float) -> None:
    """Refuse three weighings that lie on no curve that ends, or too close to tell."""
    losses = m[:-1] - m[1:]
    if losses.min() < least:
        raise RefusedError(
            f"between two of three weighings it lost {_grams(float(losses.min()))}, "
            f"less than {LEAST_STEPS} steps of the balance ({_grams(least)}): weigh it "
            f"once more in some days"
        )
    slopes = losses / np.diff(t)
    if slopes[1] >= slopes[0]:
        raise _too_short(t)


def _grams(mass: float) -> str:
    return f"{mass * 1000:.4g} g"


def _too_short(t: Floats) -> RefusedError:
    return RefusedError(
        f"the weighings of {t[-1]:g} days also lie on a straight line, so nobody can "
        f"tell where it ends: weigh it again after day {2 * t[-1]:g}"
    )


def _settled(curve: Curve) -> tuple[Curve, tuple[str, ...]]:
    """Leave out first weighings that lie off the curve, or widen what they scatter."""
    masses = curve.readings
    lost = (masses - masses[-1]) >= LEAST_LOSS * (masses[0] - masses[-1])
    most = (
        0
        if curve.is_fresh
        else min(len(masses) - LEAST_TO_SEE, int(np.argmin(lost)) - 1)
    )
    for first in range(max(1, most + 1)):
        part = Curve(
            times=curve.times[first:],
            readings=curve.readings[first:],
            u=curve.u,
            is_fresh=curve.is_fresh,
        )
        if _excess(part) <= 1:
            return part, _notes(curve, first)
    scatter = curve.u * math.sqrt(best(curve, of_line(curve))[1] / _free(curve))
    warning = (
        f"the masses lie {scatter * 1000:.2g} g about the curve, and the balance "
        f"explains {curve.u * 1000:.2g} g: the air may have changed, and the interval "
        f"is wider for it"
    )
    return replace(curve, u=scatter), (warning,)


def _excess(curve: Curve) -> float:
    """Return how far weighings lie off the curve; above 1 is no chance."""
    free = _free(curve)
    if not free:
        return 0.0
    _, chi2 = best(curve, of_line(curve))
    return chi2 / (free + UNLIKELY * math.sqrt(2 * free))


def _free(curve: Curve) -> int:
    return len(curve.times) - LEAST_WEIGHINGS


def _notes(curve: Curve, first: int) -> tuple[str, ...]:
    """Say what the first days may do to the answer, or what was done about them."""
    if first:
        words = "weighing is" if first == 1 else f"{first} weighings are"
        return (
            f"the first {words} left out: in the first days the surface dries faster "
            f"than the curve says, which here begins with day {curve.times[first]:g}",
        )
    if len(curve.times) < LEAST_TO_SHOW and not curve.is_fresh:
        return (
            f"{len(curve.times)} weighings cannot show whether the first lies on the "
            f"curve: where it was made as the wood came into this air, say so",
        )
    return ()


def _curve(drying: Drying) -> Curve:
    return Curve(
        times=np.array(drying.days),
        readings=np.array(drying.masses),
        u=drying.u,
        is_fresh=drying.is_fresh,
    )


def _end(curve: Curve, constant: float) -> Estimate:
    """Return the end mass, or refuse weighings that leave it open."""
    end, amplitude = solved(curve, constant)

    def misfit(mass: float) -> Misfit:
        return of_end(curve, mass)

    low, high = bounds(curve, misfit, end, max(curve.u, amplitude / 100))
    if not (end > 0 and math.isfinite(low) and math.isfinite(high)):
        raise _too_short(curve.times)
    return Estimate(value=end, u=(high - low) / (2 * COVERAGE))


def _constant(curve: Curve, constant: float) -> Estimate:
    """Return the time constant, or refuse readings that are also on a straight line."""
    misfit = of_line(curve)
    floor = float(misfit(np.array([constant]))[0])

    def raised(value: float) -> float:
        rise = float(misfit(np.array([value]))[0]) - floor
        return math.sqrt(max(0.0, rise)) - COVERAGE

    longest = edge(raised, constant, constant / 20)
    if longest > LONGEST * curve.span:
        raise _too_short(curve.times)
    return Estimate(value=constant, u=(longest - constant) / COVERAGE)
