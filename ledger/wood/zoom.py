"""A band of a recording, brought down to zero and thinned out.

The band is shifted so that its middle lies at zero, filtered, and every n-th sample is
kept. Samples for which the filter would reach beyond the given piece are not made, so
that no edge of it rings in the result.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ledger.errors import RefusedError

Real = npt.NDArray[np.float64]
Complex = npt.NDArray[np.complex128]

STOP_DB = 80.0
# The zoomed rate is this many times the width of the band.
RATE_PER_WIDTH = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Zoomed:
    """A band around zero: samples, their rate, and where they stand.

    rate    [Hz]  of the samples kept
    centre  [Hz]  what lies at zero
    start   [s]   of the first sample, after the first sample of the piece
    colour        by how much white noise looks quieter than it is where modes lie
    """

    samples: Complex
    rate: float
    centre: float
    start: float
    colour: float


def low_pass(*, width: float, transition: float, rate: float) -> Real:
    """Return the weights of a filter that keeps frequencies up to a width.

    width, transition, rate  [Hz]; the stop band, 80 dB down, begins at their sum.

    Source: J. F. Kaiser, Nonrecursive digital filter design using the I0-sinh window
    function, Proc. IEEE ISCAS 1974; design formulas from memory, checked in tests.
    """
    shape = 0.1102 * (STOP_DB - 8.7)
    steps = (STOP_DB - 7.95) / (2.285 * 2 * math.pi * transition / rate)
    half = math.ceil(steps / 2)
    places = np.arange(-half, half + 1)
    cut = 2 * (width + transition / 2) / rate
    weights = np.sinc(cut * places) * np.kaiser(2 * half + 1, shape)
    return np.asarray(weights / weights.sum(), dtype=np.float64)


def zoom(piece: Real, *, rate: float, low: float, high: float) -> Zoomed:
    """Return the band of a piece, shifted to zero and thinned out.

    rate, low, high  [Hz], 0 < low < high < rate / 2. Negative frequencies of the piece
    lie at least 2 low beyond the band, which is why the transition is no wider. Below
    the band rumble comes through weakened; a constant must be taken off before.

    Source: R. G. Lyons, Understanding Digital Signal Processing, ch. 13 (zoom by
    mixing, filtering and decimating); from memory, checked in tests.
    """
    if not 0 < low < high < rate / 2:
        raise RefusedError(
            f"a band from {low:g} to {high:g} Hz does not lie between 0 and half the "
            f"rate of {rate:g} Hz; choose another"
        )
    width, centre = high - low, (low + high) / 2
    transition = min(width, 1.8 * low)
    weights = low_pass(width=width / 2, transition=transition, rate=rate)
    keep = max(1, math.floor(rate / (RATE_PER_WIDTH * width)))
    turn = np.exp(-2j * math.pi * centre / rate * np.arange(len(piece)))
    kept = _convolved(piece * turn, weights)[::keep]
    return Zoomed(
        samples=2 * kept,
        rate=rate / keep,
        centre=centre,
        start=(len(weights) // 2) / rate,
        colour=1 / (keep * float(np.sum(weights**2))),
    )


def _convolved(piece: Complex, weights: Real) -> Complex:
    """Convolve without the edges, where the filter would reach outside."""
    if len(piece) < len(weights):
        return np.zeros(0, dtype=np.complex128)
    size = 1 << (len(piece) + len(weights) - 2).bit_length()
    product = np.fft.fft(piece, size) * np.fft.fft(weights, size)
    whole = np.fft.ifft(product)
    return np.asarray(whole[len(weights) - 1 : len(piece)], dtype=np.complex128)
