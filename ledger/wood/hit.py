"""One tap of a recording: its tones, or the reason why it is not used.

The fit begins a millisecond after the peak of the attack, when the hand has left the
wood, and ends before the next tap. Each tone's decay is then read a second time from
the envelope; where the two disagree, something else happened while the wood rang.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from ledger.wood.pencil import Fit, Tone, fit_tones
from ledger.wood.zoom import Complex, Real, Zoomed, zoom

Counts = npt.NDArray[np.intp]

SKIP = 0.001  # s, from the peak of the attack on
ATTACK = 0.01  # s
LONGEST_TAP = 4.0  # s
SHORTEST_TAP = 0.15  # s
BOUNCE = 0.25  # s
LONGEST_QUIET = 1.0  # s
LEAST_Q, MOST_Q = 5.0, 500.0
# A tone stands out by its own uncertainty, and its Q is known no worse than this.
LEAST_OUT, LEAST_KNOWN = 5.0, 0.3
MAINS = (50.0, 60.0)  # Hz
# Of full scale, below which nothing is clipped.
RAIL = 0.99
# A peak that stays level for so long [s] is cut; three at one height, so far apart [s],
# were cut below full scale too. Fainter than this, coarse samples are level anyway.
LEVEL, LEVELS, APART, FAINT = 1.5e-4, 3, 2e-3, 0.1
# By how much a tap must be louder than what was before it.
LEAST_RISE = 1.1
# What the tones may leave over: of the energy, and against the noise before the tap.
MOST_LEFT, MOST_OVER_NOISE = 0.05, 3.0
# How far the envelope may disagree about the decay, beside its own uncertainty.
ENVELOPE_LIMIT = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One tap.

    at        [s]  from the start of the recording
    tones     the modes heard, the strongest first
    rejected  why it is not used, if it is not
    """

    at: float
    tones: tuple[Tone, ...] = ()
    rejected: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """A channel of a recording, the band listened to, and where the taps begin.

    sound      samples, full scale being 1
    rate       [Hz]
    low, high  [Hz]
    starts     the sample at which each tap begins, and last the number of samples
    """

    sound: Real
    rate: float
    low: float
    high: float
    starts: tuple[int, ...]


def hear_hit(scene: Scene, number: int) -> Hit:
    """Return what one tap of a recording tells, counted from zero.

    Source: ledger.wood.pencil for the method; the limits at which a tap is rejected
    are the house's own.
    """
    start, end = scene.starts[number : number + 2]
    at = start / scene.rate
    piece = scene.sound[start:end]
    fault = _fault_of_piece(scene, number)
    if fault:
        return Hit(at=at, rejected=fault)
    skipped = int(np.argmax(np.abs(piece[: math.ceil(ATTACK * scene.rate)])))
    skipped += math.ceil(SKIP * scene.rate)
    longest = math.ceil(LONGEST_TAP * scene.rate)
    band = _zoomed(scene, piece[skipped:][:longest])
    quiet = _quiet(scene, number)
    noise = _noise(quiet, band)
    if _rms(band.samples[: _count(band, 0.05)]) < LEAST_RISE * noise:
        return Hit(
            at=at,
            rejected=f"nothing rings between {scene.low:g} and {scene.high:g} Hz that "
            f"stands out of the noise",
        )
    fit = fit_tones(band, quiet_from=_ring_time(band, noise))
    likely = _modes(fit, scene, quiet)
    tones = tuple(tone for tone in likely if _is_known(tone))
    fault = (
        _too_close(likely)
        or fault_of_fit(fit, tones, noise)
        or uneven_decay(fit, tones, band)
        or _hit_again(scene, number, tones)
    )
    return Hit(at=at, rejected=fault) if fault else Hit(at=at, tones=tones)


def mains_near(frequency: float, *, within: float = 0.1) -> float | None:
    """Return the multiple of 50 or 60 Hz that a frequency lies on, if it lies on one.

    frequency, within  [Hz]; to `within`, one part in a thousand of the line is added

    Source: common practice, no source; grids keep within some 0.05 Hz of 50 or 60 Hz.
    """
    for mains in MAINS:
        line = max(1, round(frequency / mains)) * mains
        if abs(frequency - line) <= within + 0.001 * line:
            return line
    return None


def _fault_of_piece(scene: Scene, number: int) -> str | None:
    """Judge a tap before anything is fitted to it."""
    start, end = scene.starts[number : number + 2]
    seconds = (end - start) / scene.rate
    before = (start - scene.starts[number - 1]) / scene.rate if number else math.inf
    is_last = number == len(scene.starts) - 2
    if before < BOUNCE:
        return f"double hit, {before * 1000:.0f} ms after the first"
    if not is_last and seconds < BOUNCE:
        return f"double hit, the second {seconds * 1000:.0f} ms later"
    if seconds < SHORTEST_TAP:
        return f"only {seconds * 1000:.0f} ms of it are recorded"
    if _is_clipped(scene.sound[start:end], scene.rate):
        return "clipped: the recorder was set too loud"
    return None


def _is_clipped(piece: Real, rate: float) -> bool:
    """Tell whether peaks were cut: at full scale, or all at one height below it."""
    loud = np.abs(piece)
    if float(loud.max()) >= RAIL:
        _, runs = _at_top(loud)
        # A low tone may touch its peak for some samples without being cut.
        if runs.max() >= max(6, LEVEL * rate) or np.sum(runs >= 3) >= 3:
            return True
    # An offset that was taken off leaves the two sides at two heights.
    return any(_is_level(side, rate) for side in (piece, -piece))


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


def _zoomed(scene: Scene, piece: Real) -> Zoomed:
    return zoom(piece, rate=scene.rate, low=scene.low, high=scene.high)


def _quiet(scene: Scene, number: int) -> Zoomed:
    """Return the band just before a tap."""
    end = scene.starts[number] - math.ceil(0.005 * scene.rate)
    begin = scene.starts[number - 1] if number else 0
    begin = max(begin, end - math.ceil(LONGEST_QUIET * scene.rate))
    return _zoomed(scene, scene.sound[begin : max(begin, end)])


def _noise(quiet: Zoomed, band: Zoomed) -> float:
    """Return the rms of the band when nothing rings, as well as it is known."""
    last = band.samples[-max(1, len(band.samples) // 10) :]
    heard = [_rms(last)]
    if len(quiet.samples) >= _count(quiet, 0.1):
        heard.append(_rms(quiet.samples[-_count(quiet, 0.3) :]))
    return min(heard)


def _ring_time(band: Zoomed, noise: float) -> float:
    """Return how long the band is louder than the noise [s]."""
    width = _count(band, 0.02)
    power = np.convolve(np.abs(band.samples) ** 2, np.full(width, 1 / width), "same")
    loud = np.flatnonzero(power > (2 * noise) ** 2)
    return float(loud[-1] + 1) / band.rate if len(loud) else 0.0


def _modes(fit: Fit, scene: Scene, quiet: Zoomed) -> tuple[Tone, ...]:
    """Return the tones that may be modes of the wood, the strongest first."""
    fitting = [
        tone
        for tone in fit.tones
        if scene.low <= tone.frequency <= scene.high
        and LEAST_Q < tone.q < MOST_Q
        and not is_hum(tone, quiet)
    ]
    ranked = sorted(fitting, key=strength, reverse=True)
    return tuple(t for t in ranked if strength(t) > 0.02 * strength(ranked[0]))


def _is_known(tone: Tone) -> bool:
    """Tell whether a tone stands out, and its Q is worth its name."""
    return (
        tone.amplitude > LEAST_OUT * tone.u_amplitude
        and tone.u_q < LEAST_KNOWN * tone.q
    )


def strength(tone: Tone) -> float:
    """Return what a tone weighs against others: its amplitude, and how long it lasts.

    Source: the energy of a decaying tone of amplitude a is proportional to a^2 Q / f.
    """
    return tone.amplitude * math.sqrt(tone.q)


def is_hum(tone: Tone, quiet: Zoomed) -> bool:
    """Tell whether a tone is the mains: it hardly decays, or was there before.

    quiet  the band just before the tap

    Source: common practice, no source; hum goes on, whoever taps.
    """
    if mains_near(tone.frequency, within=0.2 + 2 * tone.u_frequency) is None:
        return False
    if len(quiet.samples) < _count(quiet, 0.2):
        return tone.q > MOST_Q / 4
    times = np.arange(len(quiet.samples)) / quiet.rate
    turn = np.exp(-2j * math.pi * (tone.frequency - quiet.centre) * times)
    window = np.hanning(len(times) + 2)[1:-1]
    before = abs(np.sum(quiet.samples * turn * window) / np.sum(window))
    return tone.q > MOST_Q / 2 or bool(before > 0.4 * tone.amplitude)


def fault_of_fit(fit: Fit, tones: tuple[Tone, ...], noise: float) -> str | None:
    """Judge a tap by what was fitted to it, and what was left over.

    noise  rms of the band when nothing rings, as the recording's samples

    Source: the house's own limits, 5 % of the energy and three times the noise.
    """
    if not tones:
        return "no mode of the wood is in it, only hum or noise"
    left = (fit.residual / fit.signal) ** 2
    if left > MOST_LEFT and fit.residual > MOST_OVER_NOISE * noise:
        return f"decaying tones leave {left * 100:.0f} % of its energy unexplained"
    return None


def _hit_again(scene: Scene, number: int, tones: tuple[Tone, ...]) -> str | None:
    """Tell whether the next tap came before this one had died away by 10 dB."""
    start, end = scene.starts[number : number + 2]
    seconds = (end - start) / scene.rate
    if number == len(scene.starts) - 2 or seconds > math.log(10) / 2 / tones[0].decay:
        return None
    return f"double hit, the second {seconds * 1000:.0f} ms later, while it still rang"


def _too_close(tones: tuple[Tone, ...]) -> str | None:
    strong = [t for t in tones if strength(t) > 0.1 * strength(tones[0])]
    strong.sort(key=lambda tone: tone.frequency)
    for one, two in pairwise(strong):
        width = (one.frequency / one.q + two.frequency / two.q) / 2
        surely = 3 * math.hypot(one.u_frequency, two.u_frequency)
        apart = two.frequency - one.frequency
        # A decay that is not even also shows as two tones within one width.
        if apart < width or apart < min(2 * width, surely):
            return (
                f"two modes at {one.frequency:.2f} and {two.frequency:.2f} Hz lie too "
                f"close to tell apart, or one was damped while it rang"
            )
    return None


def uneven_decay(fit: Fit, tones: tuple[Tone, ...], band: Zoomed) -> str | None:
    """Return which strong tone's envelope decays otherwise than the fit says.

    Source: the house's own limit, 20 % beside the uncertainty of the fit.
    """
    for tone, own in zip(fit.tones, fit.own, strict=True):
        if tone in tones and strength(tone) > 0.2 * strength(tones[0]):
            decay = envelope_decay(own, tone=tone, band=band)
            allowed = ENVELOPE_LIMIT + 3 * tone.u_decay / tone.decay
            if decay is not None and abs(decay / tone.decay - 1) > allowed:
                apparent = math.pi * tone.frequency / decay if decay > 0 else math.inf
                return (
                    f"{tone.frequency:.2f} Hz does not die away evenly: least squares "
                    f"says Q {tone.q:.0f}, the envelope {apparent:.0f}"
                )
    return None


def envelope_decay(own: Complex, *, tone: Tone, band: Zoomed) -> float | None:
    """Return the decay [1/s] of a tone's amplitude as its envelope shows it.

    own   the samples of the band without all other tones
    None where less than 10 dB of it stand out of the noise. A line is laid through the
    logarithm of the envelope from 0 to -30 dB, weighted by amplitude squared.

    Source: the logarithmic decrement, pi / Q = delta = ln(a1 / a2) per period.
    """
    times = np.arange(len(own)) / band.rate
    flat = own * np.exp(-2j * math.pi * (tone.frequency - band.centre) * times)
    width = max(1, round(band.rate / tone.decay / 4))
    if len(flat) < 8 * width:
        return None
    edges = np.cumsum(np.concatenate([[0], flat]))
    envelope = np.abs(edges[width:] - edges[:-width]) / width
    floor = _rms(flat[-max(1, len(flat) // 5) :]) * math.sqrt(band.colour / width)
    level = max(envelope[0] * 10 ** (-30 / 20), 4 * floor)
    quiet = np.flatnonzero(envelope < level)
    count = int(quiet[0]) if len(quiet) else len(envelope)
    if count < 4 or envelope[count - 1] > envelope[0] * 10 ** (-10 / 20):
        return None
    heard = envelope[:count]
    slope = np.polyfit(times[:count], np.log(heard), 1, w=heard)[0]
    return -float(slope)


def _count(band: Zoomed, seconds: float) -> int:
    return max(1, round(seconds * band.rate))


def _rms(samples: Complex) -> float:
    return float(np.sqrt(np.mean(np.abs(samples) ** 2))) if len(samples) else 0.0
