"""Where somebody tapped: moments at which more is suddenly heard than just before.

Two loudnesses are followed: that of everything below some kHz in steps of 2 ms, which
rises when wood begins to ring, and that of the sharpest part in steps of 1 ms, in which
a second click shows although the wood still rings from the first.
"""

import math

import numpy as np

from ledger.wood.zoom import Real

RING_FRAME, CLICK_FRAME = 0.002, 0.001  # s
LEAST_CLICK = 16  # samples
LEAST_CALM_RATE = 1500.0  # Hz
SAME_TAP = 0.03  # s
RING_RISE = 4.0  # in power, 6 dB


def onsets(sound: Real, *, rate: float, low: float, high: float) -> tuple[int, ...]:
    """Return the sample at which each tap begins.

    rate       [Hz]  of the samples
    low, high  [Hz]  the band of interest; what is well below it is rumble

    Source: common practice, no source; a tap is 6 dB louder than the loudest of the
    60 ms before it, or its click stands as far out of 15 ms as noise hardly ever does.
    """
    if len(sound) < 0.05 * rate:
        return ()
    smooth = max(1, round(rate / max(LEAST_CALM_RATE, 5 * high)))
    ring = max(1, round(RING_FRAME * rate))
    ringing = _frames(_calm(sound, smooth, math.ceil(rate / low)) ** 2, ring)
    rises = _rises(_ahead(ringing, 5), held=30, gap=5, factor=RING_RISE)
    starts = [_begin(sound, max(0, k - 1) * ring, 8 * ring) for k in rises]
    click = max(LEAST_CLICK, round(CLICK_FRAME * rate))
    # Twice differenced, low modes are silent beside a click.
    clicking = _frames(np.diff(sound, n=2) ** 2, click)
    # The fewer samples in a frame, the more its loudness varies by chance.
    rises = _rises(clicking, held=15, gap=1, factor=3 + 40 / click)
    starts += [_begin(sound, max(0, k - 1) * click, 4 * click) for k in rises]
    return _merged(sorted(starts), SAME_TAP * rate)


def _calm(sound: Real, smooth: int, rumble: int) -> Real:
    """Return the sound without its sharpest part, and less the mean of what was."""
    calm = _mean(sound - sound.mean(), smooth, before=smooth // 2)
    # Only what was: a mean that looks ahead would hear a tap before it happens.
    return np.asarray(calm - _mean(calm, rumble, before=rumble), dtype=np.float64)


def _mean(values: Real, width: int, *, before: int) -> Real:
    """Return the running mean, with silence before the first and after the last."""
    padded = np.pad(values, (before, width - before))
    sums = np.cumsum(padded)
    means = (sums[width:] - sums[:-width]) / width
    return np.asarray(means[: len(values)], dtype=np.float64)


def _frames(power: Real, frame: int) -> Real:
    count = len(power) // frame
    whole = power[: count * frame].reshape(count, frame)
    return np.asarray(whole.mean(axis=1), dtype=np.float64)


def _ahead(power: Real, width: int) -> Real:
    """Return the mean of each frame and those that follow it."""
    sums = np.cumsum(np.pad(power, (1, width - 1), mode="edge"))
    return np.asarray((sums[width:] - sums[:-width]) / width, dtype=np.float64)


def _rises(power: Real, *, held: int, gap: int, factor: float) -> list[int]:
    """Return the first frame of each rise above what was loudest just before."""
    floor = max(1.3 * float(np.percentile(power, 20)), 1e-14)
    padded = np.concatenate([np.full(held, floor), power])
    windows = np.lib.stride_tricks.sliding_window_view(padded, held - gap + 1)
    before = np.maximum(windows[: len(power)].max(axis=1), floor)
    rising = power > factor * before
    first = rising & ~np.concatenate([[False], rising[:-1]])
    return [int(k) for k in np.flatnonzero(first)]


def _begin(sound: Real, start: int, length: int) -> int:
    """Return the sample in a stretch at which the attack begins."""
    stretch = sound[start : start + length]
    swing = np.abs(stretch - np.median(stretch))
    return start + int(np.argmax(swing > 0.3 * swing.max()))


def _merged(starts: list[int], apart: float) -> tuple[int, ...]:
    """Take what lies too close together for two taps as one."""
    kept: list[int] = []
    for start in starts:
        if not kept or start - kept[-1] > apart:
            kept.append(start)
    return tuple(kept)
