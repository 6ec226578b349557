"""What a recorder does to a tap: cut peaks, gaps, and tones that nobody played.

An overloaded microphone or amplifier bends the waveform. Beside every two or three
modes it then makes sums and differences of them, which die away together as fast as
all of them.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import product

import numpy as np
import numpy.typing as npt

from ledger.wood.pencil import Tone
from ledger.wood.zoom import Real

Counts = npt.NDArray[np.intp]

# Of full scale, below which nothing is clipped.
RAIL = 0.99
# A peak that stays level for so long [s] is cut; three at one height, so far apart [s],
# were cut below full scale too. Fainter than this, coarse samples are level anyway.
LEVEL, LEVELS, APART, FAINT = 1.5e-4, 3, 2e-3, 0.1
# A stretch of one value so long [s], far below the peaks around it [s], is a gap.
GAP, AROUND, BELOW = 1e-3, 0.01, 0.5
COARSE = 3.0
# Where the peaks are this small a share of the highest, the wood no longer rings.
STILL_RINGING = 0.1
# How near [Hz] a made tone lies, how faint it is beside the loudest, and how much of
# the decay of what it is made of it has.
NEAR, FAINTER, FASTER = 0.15, 0.3, 0.6
# So many parents are looked at, and so many made tones in one tap are no chance.
PARENTS, SURELY = 4, 2


def is_clipped(piece: Real, rate: float) -> bool:
    """Tell whether peaks were cut: at full scale, or all at one height below it.

    piece  samples, full scale being 1
    rate   [Hz]

    Source: the house's own limits.
    """
    loud = np.abs(piece)
    if float(loud.max()) >= RAIL:
        _, runs = _at_top(loud)
        # A low tone may touch its peak for some samples without being cut.
        if runs.max() >= max(6, LEVEL * rate) or np.sum(runs >= 3) >= 3:
            return True
    # An offset that was taken off leaves the two sides at two heights.
    return any(_is_level(side, rate) for side in (piece, -piece))


def gap_in(piece: Real, rate: float) -> float | None:
    """Return how long [s] the samples stand still in the midst of a ringing tap.

    piece  samples of one tap, full scale being 1
    rate   [Hz]

    Source: the house's own limit, a millisecond.
    """
    steps = np.abs(np.diff(piece))
    # Ends of stretches over which the value does not change.
    edges = np.flatnonzero(steps > 1e-12)
    # Coarse samples stand still too, but into and out of it they go by one step.
    coarse = COARSE * float(steps[edges].min()) if len(edges) else 0.0
    bounds = np.concatenate([[-1], edges, [len(piece) - 1]])
    lengths = np.diff(bounds)
    around, top = math.ceil(AROUND * rate), float(np.max(np.abs(piece)))
    for which in np.flatnonzero(lengths >= max(3, GAP * rate)):
        first, last = int(bounds[which]) + 1, int(bounds[which + 1]) + 1
        before = piece[max(0, first - around) : first]
        if not len(before):
            continue
        loudest = float(np.max(np.abs(before)))
        is_crest = abs(float(piece[first])) > BELOW * loudest
        is_jump = max(steps[first - 1], steps[min(last, len(steps)) - 1]) > coarse
        if loudest > STILL_RINGING * top and is_jump and not is_crest:
            return (last - first) / rate
    return None


def made_by_overload(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """Return the tones that lie where overload makes some of the others.

    tones  of one tap, the strongest first

    Source: a bent waveform holds the sums and differences of up to three of its tones,
    and the product of decays is their sum; limits are the house's own.
    """
    loudest = max((tone.amplitude for tone in tones), default=0.0)
    return tuple(
        tone
        for place, tone in enumerate(tones)
        if tone.amplitude < FAINTER * loudest
        and any(_is_made(tone, mix) for mix in _mixes(tones[: min(place, PARENTS)]))
    )


def _mixes(parents: Sequence[Tone]) -> Iterator[tuple[float, float, float]]:
    """Yield frequency, its uncertainty and decay of each product of two or three."""
    factors = range(-3, 4)
    for signs in product(factors, repeat=len(parents)):
        order = sum(map(abs, signs))
        if order not in (2, 3):
            continue
        pairs = list(zip(signs, parents, strict=True))
        frequency = sum(sign * tone.frequency for sign, tone in pairs)
        if frequency > 0:
            u = math.hypot(*(sign * tone.u_frequency for sign, tone in pairs))
            yield frequency, u, sum(abs(sign) * tone.decay for sign, tone in pairs)


def _is_made(tone: Tone, mix: tuple[float, float, float]) -> bool:
    frequency, u, decay = mix
    near = NEAR + 3 * math.hypot(u, tone.u_frequency)
    return (
        abs(tone.frequency - frequency) < near
        and tone.decay + 3 * tone.u_decay > FASTER * decay
    )


def _is_level(piece: Real, rate: float) -> bool:
    """Tell whether several peaks end level at one height; what decays has one such."""
    if float(piece.max()) < FAINT:
        return False
    starts, runs = _at_top(piece)
    wide = starts[runs >= max(3, LEVEL * rate)]
    return bool(np.sum(np.diff(wide) > APART * rate) >= LEVELS - 1)


def _at_top(piece: Real) -> tuple[Counts, Counts]:
    """Return where runs of samples at the highest value begin, and their lengths."""
    at_top = piece >= float(piece.max()) - 1e-6
    edges = np.flatnonzero(np.diff(np.concatenate([[0], at_top.astype(np.int8), [0]])))
    return edges[::2], edges[1::2] - edges[::2]
