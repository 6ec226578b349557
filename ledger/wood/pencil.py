"""Decaying tones in a zoomed band: found by a matrix pencil, refined on the waveform.

    y(t) = sum over k of c_k exp(s_k t),  s_k = -a_k + 2 pi i f_k,  Q_k = pi f_k / a_k

The pencil needs no starting values; least squares on the same samples then gives the
smallest error and says how large it is. No window touches the decay.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from ledger.wood.zoom import Complex, Real, Zoomed

MOST_TONES = 12
LONGEST_PENCIL = 1200
WIDEST_PENCIL = 220
LEAST_FIT = 300
STEPS = 12
ENOUGH = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """One decaying tone, with standard uncertainties from the fit.

    frequency, u_frequency  [Hz]
    decay, u_decay          [1/s], of the amplitude; negative if it grows
    amplitude, u_amplitude  of the recording, at the first sample of the fit
    """

    frequency: float
    u_frequency: float
    decay: float
    u_decay: float
    amplitude: float
    u_amplitude: float

    @property
    def q(self) -> float:
        """The quality factor; endless where nothing decays."""
        return math.pi * self.frequency / self.decay if self.decay > 0 else math.inf

    @property
    def u_q(self) -> float:
        """The standard uncertainty of the quality factor."""
        if self.decay <= 0:
            return math.inf
        parts = self.u_decay / self.decay, self.u_frequency / self.frequency
        return self.q * math.hypot(*parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The tones of a band, what they leave over, and each tone's own samples."""

    tones: tuple[Tone, ...]
    residual: float  # rms of what the tones leave over
    signal: float  # rms of the samples
    own: tuple[Complex, ...]  # per tone, the samples without all other tones
    left: Complex  # what the tones leave over


def poles(samples: Complex, order: int) -> Complex:
    """Return the poles of a matrix pencil: each tone turns by one from one sample on.

    samples  of a sum of decaying tones, at least three times the order

    Source: Y. Hua and T. K. Sarkar, Matrix pencil method for estimating parameters of
    exponentially damped/undamped sinusoids in noise, IEEE Trans. ASSP 38 (1990)
    814-824; from memory, checked in tests.
    """
    wide = min(len(samples) // 3, WIDEST_PENCIL)
    rows = np.lib.stride_tricks.sliding_window_view(samples, wide + 1)
    _, vectors = np.linalg.eigh(rows.conj().T @ rows)
    space = vectors[:, -min(order, wide) :].conj()
    turn = np.linalg.lstsq(space[:-1], space[1:], rcond=None)[0]
    return np.asarray(np.linalg.eigvals(turn), dtype=np.complex128)


def fit_tones(band: Zoomed, *, quiet_from: float) -> Fit:
    """Return the tones that the samples of a band speak for, and no more of them.

    quiet_from  [s]  after which noise is louder than any tone: the pencil looks no
                     further, least squares twice as far

    A tone is added while it lowers the Bayesian information criterion, and until all
    but a ten-thousandth of the power is explained: what is left of a real board then
    is that its damping is not quite linear, which no further tone describes.

    Source: G. Schwarz, Estimating the dimension of a model, Ann. Statist. 6 (1978)
    461-464; the Gauss-Newton step is the textbook one.
    """
    enough = max(math.ceil(2 * quiet_from * band.rate), LEAST_FIT)
    band = replace(band, samples=band.samples[:enough])
    count = min(len(band.samples), LONGEST_PENCIL, math.ceil(quiet_from * band.rate))
    head = band.samples[: max(count, 3 * MOST_TONES + 12)]
    turns = poles(head, MOST_TONES)
    found = np.log(turns[np.abs(turns) > 1e-9]) * band.rate
    ordered = _by_energy(head, band.rate, np.asarray(found, dtype=np.complex128))
    best = none = np.zeros(0, dtype=np.complex128)
    best_score = _score(band, best)
    misses = 0
    for rate in ordered:
        trial = _refined(band, np.append(best, rate))
        score = _score(band, trial)
        misses = 0 if score < best_score else misses + 1
        if score < best_score:
            best, best_score = trial, score
        if misses == 3 or _left(band, best) < ENOUGH * _left(band, none):
            break
    return _described(band, best)


def solved(columns: Complex, samples: Complex) -> Complex:
    """Return the least-squares weights of columns, by the normal equations.

    Source: the textbook ones; columns of one length keep them well conditioned.
    """
    scale = np.linalg.norm(columns, axis=0) + 1e-300
    even = columns / scale
    turned = even.conj().T
    weights = np.linalg.lstsq(turned @ even, turned @ samples, rcond=1e-13)[0]
    return np.asarray(weights / scale, dtype=np.complex128)


def _basis(band: Zoomed, rates: Complex) -> Complex:
    times = np.arange(len(band.samples)) / band.rate
    return np.asarray(np.exp(np.outer(times, rates)), dtype=np.complex128)


def _by_energy(head: Complex, rate: float, rates: Complex) -> Complex:
    """Drop what cannot be a tone at all, and put the strongest first."""
    # A tone that lives for less than two samples, or grows, is a trick of the noise.
    lives = (rates.real > -rate / 2) & (rates.real < 0.02 * rate)
    kept = rates[lives]
    times = np.arange(len(head)) / rate
    basis = np.exp(np.outer(times, kept))
    weights = solved(basis, head)
    energy = np.sum(np.abs(basis * weights) ** 2, axis=0)
    return np.asarray(kept[np.argsort(energy)[::-1]], dtype=np.complex128)


def _refined(band: Zoomed, rates: Complex) -> Complex:
    """Move the rates until least squares has nothing left to gain (Gauss-Newton)."""
    times = np.arange(len(band.samples)) / band.rate
    limit = band.rate / 2
    for _ in range(STEPS):
        basis = _basis(band, rates)
        weights = solved(basis, band.samples)
        left = band.samples - basis @ weights
        slopes = np.hstack([basis, times[:, None] * basis * weights])
        step = solved(slopes, left)[len(rates) :]
        # A wild step is shortened; growing tones would overflow the exponential.
        size = np.maximum(1.0, np.abs(step) / (0.05 * limit))
        moved = rates + step / size
        rates = np.minimum(moved.real, 0.5) + 1j * np.clip(moved.imag, -7e6, 7e6)
        if np.max(np.abs(step)) < 1e-7 * limit:
            break
    return np.asarray(rates, dtype=np.complex128)


def _score(band: Zoomed, rates: Complex) -> float:
    """Return the Bayesian information criterion; four numbers describe a tone."""
    # Neighbouring samples of filtered noise are not independent of each other.
    count = 2 * len(band.samples) / max(1.0, band.colour)
    power = _left(band, rates) + 1e-300
    return count * math.log(power) + 4 * len(rates) * math.log(count)


def _left(band: Zoomed, rates: Complex) -> float:
    """Return the mean power that tones leave over."""
    left = band.samples
    if len(rates):
        basis = _basis(band, rates)
        left = left - basis @ solved(basis, left)
    return float(np.mean(np.abs(left) ** 2))


def _described(band: Zoomed, rates: Complex) -> Fit:
    signal = _rms(band.samples)
    if not len(rates):
        return Fit(tones=(), residual=signal, signal=signal, own=(), left=band.samples)
    times = np.arange(len(band.samples)) / band.rate
    basis = _basis(band, rates)
    weights = solved(basis, band.samples)
    left = band.samples - basis @ weights
    slopes = np.hstack([basis, times[:, None] * basis * weights])
    spread = _spread(slopes, left, band.colour)
    tones = tuple(
        Tone(
            frequency=band.centre + float(rate.imag) / (2 * math.pi),
            u_frequency=float(spread[len(rates) + k]) / (2 * math.pi),
            decay=-float(rate.real),
            u_decay=float(spread[len(rates) + k]),
            amplitude=float(abs(weights[k])),
            u_amplitude=float(spread[k]),
        )
        for k, rate in enumerate(rates)
    )
    own = tuple(left + basis[:, k] * weights[k] for k in range(len(rates)))
    return Fit(tones=tones, residual=_rms(left), signal=signal, own=own, left=left)


def _spread(slopes: Complex, left: Complex, colour: float) -> Real:
    """Return the standard uncertainty of each real and imaginary part."""
    free = max(1, len(left) - slopes.shape[1])
    power = float(np.sum(np.abs(left) ** 2)) / free * colour
    scale = np.linalg.norm(slopes, axis=0) + 1e-300
    normal = (slopes / scale).conj().T @ (slopes / scale)
    inverse = np.linalg.pinv(normal, rcond=1e-13, hermitian=True)
    variance = np.abs(np.diag(inverse)) / scale**2 * power / 2
    return np.asarray(np.sqrt(variance), dtype=np.float64)


def _rms(samples: Complex) -> float:
    return float(np.sqrt(np.mean(np.abs(samples) ** 2))) if len(samples) else 0.0
