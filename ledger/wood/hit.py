"""One tap of a recording: its tones, or the reason why it is not used.

The fit begins a millisecond after the peak of the attack, when the hand has left the
wood, and ends before the next tap. Each tone's decay is then read a second time from
the envelope; where the two disagree, something else happened while the wood rang.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ledger.wood.decay import envelope_decay, envelope_q
from ledger.wood.faults import SURELY, gap_in, is_clipped, made_by_overload
from ledger.wood.hum import MOST_Q, hum_in, is_hum
from ledger.wood.overload import Pressing, pressing_in
from ledger.wood.pencil import Fit, Tone, fit_tones
from ledger.wood.uncertainty import Estimate
from ledger.wood.zoom import Complex, Real, Zoomed, zoom

SKIP = 0.001  # s, from the peak of the attack on
ATTACK = 0.01  # s
LONGEST_TAP = 4.0  # s
SHORTEST_TAP = 0.15  # s
BOUNCE = 0.25  # s
LONGEST_QUIET = 1.0  # s
LEAST_Q = 10.0
# A tone stands out by its own uncertainty, and its Q is known no worse than this.
LEAST_OUT, LEAST_KNOWN = 5.0, 0.3
# By how much a tap must be louder than what was before it.
LEAST_RISE = 1.1
# What the tones may leave over: of the energy, and against the noise before the tap.
MOST_LEFT, MOST_OVER_NOISE = 0.05, 3.0
# How far the envelope may disagree about the decay, beside its own uncertainty.
ENVELOPE_LIMIT = 0.2
# A stretch [s] in which so much of the power of the attack is left over, and so many
# times what usually is, holds something else.
STRETCH, ELSE_HEARD, UNUSUAL = 0.05, 0.02, 3.0
# Of fewer samples, noise alone varies too much.
LEAST_STRETCH = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One tap.

    at         [s]  from the start of the recording
    tones      the modes heard, the strongest first
    envelopes  of each tone, the Q that its envelope shows, where it shows one
    hum        [Hz]  what decays like a mode and was left out, for the mains lie there
    rejected   why it is not used, if it is not
    doubtful   it rang, but not as decaying tones do: then others may be wrong too
    pressing   how much the peaks seem pressed, with a pull for each of the tones
    above_noise  how many times its first 50 ms are louder than what is no ring
    """

    at: float
    tones: tuple[Tone, ...] = ()
    envelopes: tuple[Estimate | None, ...] = ()
    hum: tuple[float, ...] = ()
    rejected: str | None = None
    doubtful: bool = False
    pressing: Pressing | None = None
    above_noise: float = math.inf


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
    at = scene.starts[number] / scene.rate
    fault = _fault_of_piece(scene, number)
    if fault:
        return Hit(at=at, rejected=fault)
    band, quiet = _without_hum(scene, number)
    noise = _noise(quiet, band)
    loud = _rms(band.samples[: _count(band, 0.05)])
    if loud < LEAST_RISE * noise:
        return Hit(
            at=at,
            rejected=f"nothing rings between {scene.low:g} and {scene.high:g} Hz that "
            f"stands out of the noise",
        )
    fit = fit_tones(band, quiet_from=_ring_time(band, noise))
    # Of taps in haste, what was before is the ring of the last and no room.
    room = min(noise, fit.residual)
    likely = _modes(fit, scene, quiet)
    made = made_by_overload(likely)
    tones = tuple(tone for tone in likely if _is_known(tone) and tone not in made)
    fault = (
        _overloaded(made)
        or _too_close(likely)
        or fault_of_fit(fit, tones, noise)
        or heard_beside(fit, band)
        or uneven_decay(fit, tones, band)
    )
    hum = _taken_for_hum(fit, scene, quiet, likely)
    if fault or not tones:
        reason = fault or "no mode of the wood is in it, only hum or noise"
        return Hit(at=at, hum=hum, rejected=reason, doubtful=fault is not None)
    again = _hit_again(scene, number, tones)
    if again:
        return Hit(at=at, rejected=again)
    envelopes = _envelopes(fit, tones, band)
    return Hit(
        at=at,
        tones=tones,
        envelopes=envelopes,
        hum=hum,
        pressing=pressing_in(fit, tones, band=band, made=made),
        above_noise=loud / room if room else math.inf,
    )


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
    if is_clipped(scene.sound[start:end], scene.rate):
        return "clipped: the recorder was set too loud"
    gap = gap_in(scene.sound[start:end], scene.rate)
    if gap is not None:
        return (
            f"samples are missing: the recording stands still for {gap * 1000:.0f} ms "
            f"while it rang"
        )
    return None


def _zoomed(scene: Scene, piece: Real) -> Zoomed:
    return zoom(piece, rate=scene.rate, low=scene.low, high=scene.high)


def _without_hum(scene: Scene, number: int) -> tuple[Zoomed, Zoomed]:
    """Return the band of a tap and that of the quiet before, steady hum taken off."""
    start, end = scene.starts[number : number + 2]
    attack = np.abs(scene.sound[start:end][: math.ceil(ATTACK * scene.rate)])
    first = start + int(np.argmax(attack)) + math.ceil(SKIP * scene.rate)
    last = min(end, first + math.ceil(LONGEST_TAP * scene.rate))
    quiet_end = start - math.ceil(0.005 * scene.rate)
    begin = scene.starts[number - 1] if number else 0
    begin = max(begin, quiet_end - math.ceil(LONGEST_QUIET * scene.rate))
    silence = scene.sound[begin : max(begin, quiet_end)]
    quiet, ringing = _zoomed(scene, silence), scene.sound[first:last]
    times = (np.arange(last - begin)) / scene.rate
    hum = hum_in(quiet, times=times)
    if hum.any():
        quiet = _zoomed(scene, silence - hum[: len(silence)])
        ringing = ringing - hum[first - begin :]
    return _zoomed(scene, ringing), quiet


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


def _taken_for_hum(
    fit: Fit, scene: Scene, quiet: Zoomed, modes: Sequence[Tone]
) -> tuple[float, ...]:
    """Return what decays as wood does, and was left out because the mains lie there."""
    least = 0.02 * strength(modes[0]) if modes else 0.0
    return tuple(
        tone.frequency
        for tone in fit.tones
        if scene.low <= tone.frequency <= scene.high
        and LEAST_Q < tone.q < MOST_Q / 4
        and strength(tone) > least
        and _is_known(tone)
        and is_hum(tone, quiet)
    )


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


def fault_of_fit(fit: Fit, tones: tuple[Tone, ...], noise: float) -> str | None:
    """Judge a tap by what was fitted to it, and what was left over.

    noise  rms of the band when nothing rings, as the recording's samples

    Source: the house's own limits, 5 % of the energy and three times the noise.
    """
    if not tones:
        return None
    left = (fit.residual / fit.signal) ** 2
    if left > MOST_LEFT and fit.residual > MOST_OVER_NOISE * noise:
        return f"decaying tones leave {left * 100:.0f} % of its energy unexplained"
    return None


def heard_beside(fit: Fit, band: Zoomed) -> str | None:
    """Tell when something else sounded while the wood rang: a soft hit, a voice.

    Source: the house's own limit, 2 % of the power of the attack in 50 ms.
    """
    width = max(LEAST_STRETCH, _count(band, STRETCH))
    count = len(fit.left) // width
    if count < 3:
        return None
    power = np.abs(fit.left[: count * width]) ** 2
    stretches = power.reshape(count, width).mean(axis=1)
    attack = float(np.mean(np.abs(band.samples[:width]) ** 2))
    loudest = 1 + int(np.argmax(stretches[1:]))
    usual = float(np.median(stretches))
    if stretches[loudest] <= max(ELSE_HEARD * attack, UNUSUAL * usual):
        return None
    return (
        f"something else is heard about {loudest * width / band.rate * 1000:.0f} ms "
        f"later, while it rang"
    )


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
            if decay is not None and abs(decay.value / tone.decay - 1) > allowed:
                apparent = (
                    math.pi * tone.frequency / decay.value
                    if decay.value > 0
                    else math.inf
                )
                return (
                    f"{tone.frequency:.2f} Hz does not die away evenly: least squares "
                    f"says Q {tone.q:.0f}, the envelope {apparent:.0f}"
                )
    return None


def _envelopes(
    fit: Fit, tones: tuple[Tone, ...], band: Zoomed
) -> tuple[Estimate | None, ...]:
    """Return the second reading of each tone's Q, in the order of the tones."""
    return tuple(
        envelope_q(fit.own[fit.tones.index(tone)], tone=tone, band=band)
        for tone in tones
    )


def _overloaded(made: tuple[Tone, ...]) -> str | None:
    if len(made) < SURELY:
        return None
    heard = " and ".join(f"{tone.frequency:.1f}" for tone in made[:2])
    return (
        f"overloaded: {heard} Hz are sums and differences of other modes; set the "
        f"recorder lower or tap more softly"
    )


def _count(band: Zoomed, seconds: float) -> int:
    return max(1, round(seconds * band.rate))


def _rms(samples: Complex) -> float:
    return float(np.sqrt(np.mean(np.abs(samples) ** 2))) if len(samples) else 0.0
