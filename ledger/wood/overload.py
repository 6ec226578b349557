"""What an overloaded microphone or amplifier does to a decay before anything is cut.

It presses high peaks more than low ones, y = x - b x^3. A tone that is pressed while
it is loud seems to die away more slowly than it does. The cube of what rings shows in
the band beside the tones themselves, and every tap of a recording is pressed alike:
so the taps together tell how much it was, and how far it pulled each decay.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, permutations
from statistics import mean

import numpy as np

from ledger.wood.pencil import Fit, Tone, solved
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Complex, Real, Zoomed

# So many tones make the cube; what fainter ones add to it is lost in the noise.
LOUDEST = 5
# From so many standard uncertainties on, pressed peaks make readings less sure, and
# from so many on it is told.
SUSPECTED, SURE = 1.5, 3.0
# Where peaks are pressed by more, a first order does not tell how far it pulls.
MOST_PRESSED = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressing:
    """How much the peaks of one tap were pressed, and what that does to its tones.

    share    part by which the highest peak of the fit is lower than it was
    peak     of the fit, full scale being 1
    pulls    of each tone, frequency [Hz] and decay [1/s] by which a share of one would
             move it
    """

    share: Estimate
    peak: float
    pulls: tuple[tuple[float, float], ...]


def pressing_in(
    fit: Fit, tones: Sequence[Tone], *, band: Zoomed, made: Sequence[Tone] = ()
) -> Pressing | None:
    """Return how much the peaks of a tap were pressed while it rang.

    tones  those whose pulls are asked for
    made   tones of the fit that are part of what overload made

    None where too little was fitted to tell. The cube is laid beside the tones and the
    ways in which each can move, all by least squares at once.

    Source: the first odd term of a bent characteristic; least squares to first order.
    """
    ringing = [tone for tone in fit.tones if tone not in made]
    loudest = sorted(ringing, key=lambda tone: tone.amplitude)[-LOUDEST:]
    samples = fit.left + sum(fit.own[k] - fit.left for k in range(len(fit.own)))
    count = len(samples)
    if not set(tones) <= set(ringing) or count < 4 * len(ringing) + 8:
        return None
    times = np.arange(count) / band.rate
    basis = np.exp(np.outer(times, [_rate(tone, band) for tone in ringing]))
    weights = solved(basis, samples)
    heard = [(tone, weights[ringing.index(tone)]) for tone in loudest]
    peak = sum(abs(weight) for _, weight in heard)
    linear = np.hstack([basis, times[:, None] * basis * weights])
    cube = _cube(heard, times, band) / peak**2
    left = samples - basis @ weights
    return _judged(linear, cube, left, band, peak, [ringing.index(t) for t in tones])


def _judged(
    linear: Complex,
    cube: Complex,
    left: Complex,
    band: Zoomed,
    peak: float,
    places: Sequence[int],
) -> Pressing | None:
    """Take off the cube what the tones could do themselves, and see what is left."""
    both = np.column_stack([cube, left])
    moved = np.column_stack([solved(linear, column) for column in both.T])
    own, rest = (both - linear @ moved).T
    energy = float(np.sum(np.abs(own) ** 2))
    if energy <= 1e-20 * float(np.sum(np.abs(cube) ** 2)):
        return None
    share = -float(np.real(np.vdot(own, rest))) / energy
    free = max(1, len(left) - linear.shape[1])
    power = float(np.sum(np.abs(rest + share * own) ** 2)) / free * band.colour
    slopes = moved[linear.shape[1] // 2 :, 0]
    return Pressing(
        share=Estimate(value=share, u=math.sqrt(power / 2 / energy)),
        peak=peak,
        pulls=tuple(
            (-float(slopes[k].imag) / (2 * math.pi), float(slopes[k].real))
            for k in places
        ),
    )


def _rate(tone: Tone, band: Zoomed) -> complex:
    return -tone.decay + 2j * math.pi * (tone.frequency - band.centre)


def _cube(heard: Sequence[tuple[Tone, complex]], times: Real, band: Zoomed) -> Complex:
    """Return what lies in the band of the cube of a sum of decaying tones."""
    rates = [-tone.decay + 2j * math.pi * tone.frequency for tone, _ in heard]
    waves = np.exp(np.outer(rates, times)) * np.array([[w] for _, w in heard])
    waves = np.concatenate([waves, waves.conj()])
    places = np.array([tone.frequency for tone, _ in heard])
    places = np.concatenate([places, -places])
    cube = np.zeros(len(times), dtype=np.complex128)
    for three in combinations_with_replacement(range(len(places)), 3):
        if abs(places[list(three)].sum() - band.centre) <= band.rate / 4:
            ways = len(set(permutations(three)))
            one, two, other = three
            cube += ways / 4 * waves[one] * waves[two] * waves[other]
    turn = np.exp(-2j * math.pi * band.centre * times)
    return np.asarray(cube * turn, dtype=np.complex128)


def pressed(pressings: Sequence[Pressing]) -> Estimate | None:
    """Return by how much peaks of full scale are pressed, as all taps tell together.

    Source: the mean weighted by the inverse of each variance.
    """
    weights = [(p.peak**2 / p.share.u) ** 2 for p in pressings if p.share.u > 0]
    values = [p.share.value / p.peak**2 for p in pressings if p.share.u > 0]
    if not weights:
        return None
    pairs = zip(weights, values, strict=True)
    value = sum(weight * each for weight, each in pairs) / sum(weights)
    return Estimate(value=value, u=1 / math.sqrt(sum(weights)))


def told_share(pressings: Sequence[Pressing]) -> float:
    """Return by which part the highest peaks are pressed, or nought if none surely are.

    Source: the limit is the house's own.
    """
    by = pressed(pressings)
    if by is None or by.value < SURE * by.u:
        return 0.0
    return by.value * max(pressing.peak for pressing in pressings) ** 2


def shift(
    pulls: Sequence[tuple[float, float]], by: Estimate | None
) -> tuple[float, float]:
    """Return the shifts [Hz], [1/s] that pressed peaks may have given a mode.

    pulls  of each tap, for peaks of full scale; all taps are pulled the same way
    by     how much peaks of full scale are pressed

    Source: the whole shift to first order is taken as one standard uncertainty, where
    it stands out; the limit is the house's own.
    """
    if by is None or by.value < SUSPECTED * by.u or not pulls:
        return 0.0, 0.0
    return by.value * mean(p[0] for p in pulls), by.value * mean(p[1] for p in pulls)
