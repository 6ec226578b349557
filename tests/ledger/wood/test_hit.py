"""Tests of judging one tap: what is used, and each reason why one is not."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from ledger.wood.hit import (
    Hit,
    Scene,
    fault_of_fit,
    hear_hit,
    heard_beside,
    strength,
    uneven_decay,
)
from ledger.wood.onset import onsets
from ledger.wood.pencil import Fit, Tone
from ledger.wood.zoom import Real, zoom
from tests.vectors.wood.make import HALF, TWINS, Session, played, sixteen_bits

ONE = Session(seed=31, rate=16_000, at=(0.5,), seconds=3.0)
TONE = Tone(
    frequency=200,
    u_frequency=0.001,
    decay=10,
    u_decay=0.01,
    amplitude=1,
    u_amplitude=0.01,
)


def hits(session: Session, sound: Real | None = None) -> list[Hit]:
    """Hear every tap of a session between 30 and 400 Hz."""
    played_sound = played(session) if sound is None else sound
    low = 100 if session.modes is TWINS else 30
    starts = onsets(played_sound, rate=session.rate, low=low, high=400)
    scene = Scene(
        sound=played_sound,
        rate=session.rate,
        low=low,
        high=400,
        starts=(*starts, len(played_sound)),
    )
    return [hear_hit(scene, number) for number in range(len(starts))]


def test_a_good_tap_gives_its_modes_the_strongest_first() -> None:
    """Four modes of the half set, none else, within what the fit says."""
    (hit,) = hits(ONE)
    strengths = [strength(tone) for tone in hit.tones]

    assert hit.rejected is None
    assert hit.at == pytest.approx(0.5, abs=0.003)
    assert strengths == sorted(strengths, reverse=True)
    for (frequency, q, _), tone in zip(
        HALF, sorted(hit.tones, key=lambda tone: tone.frequency), strict=True
    ):
        assert abs(tone.frequency - frequency) < 4 * tone.u_frequency
        assert abs(tone.q - q) < 4 * tone.u_q


def test_a_tap_that_a_recorder_cut_at_full_scale_is_clipped() -> None:
    """Too loud by a fifth is too loud; just below full scale is not."""
    sound = played(ONE)
    full = sound / np.max(np.abs(sound))
    loud = sixteen_bits(1.2 * full) / 2**15
    right = sixteen_bits(0.999 * full) / 2**15

    assert hits(ONE, np.asarray(loud))[0].rejected == (
        "clipped: the recorder was set too loud"
    )
    assert hits(ONE, np.asarray(right))[0].rejected is None


@pytest.mark.parametrize(
    ("rail", "gain", "offset"),
    [(0.98, 1, 0.0), (0.7, 1, 0.0), (1.0, 0.5, 0.0), (1.0, 1, -0.2)],
)
def test_a_tap_cut_below_full_scale_is_clipped_too(
    rail: float, gain: float, offset: float
) -> None:
    """By an amplifier before the recorder, turned down since, or beside an offset."""
    sound = played(replace(ONE, click=0))
    loud = 4 * sound / np.max(np.abs(sound))
    cut = sixteen_bits(gain * np.clip(loud - offset, -rail, rail)) / 2**15 + offset
    whole = sixteen_bits(0.7 * sound / np.max(np.abs(sound))) / 2**15

    assert hits(ONE, np.asarray(cut))[0].rejected == (
        "clipped: the recorder was set too loud"
    )
    assert hits(ONE, np.asarray(whole))[0].rejected is None


@pytest.mark.parametrize("rate", [8_000, 48_000, 192_000])
def test_a_low_tone_at_full_scale_is_not_clipped(rate: int) -> None:
    """Its peak touches the top for some samples without being cut."""
    modes = ((30.0, 40.0, 1.0),)
    low = replace(ONE, modes=modes, rate=rate, level=1.0, noise_db=60, click=0)
    sound = played(low)
    peak = sixteen_bits(0.9999 * sound / np.max(np.abs(sound))) / 2**15

    assert "clipped" not in str(hits(low, np.asarray(peak))[0].rejected)


@pytest.mark.parametrize("after", [0.08, 0.15, 0.22])
def test_a_double_hit_is_two_sounds_and_neither_is_used(after: float) -> None:
    """A finger that falls back spoils the decay of both."""
    first, second = hits(replace(ONE, again=((0, after),)))

    assert first.rejected is not None
    assert second.rejected is not None
    assert first.rejected.startswith("double hit, the second")
    assert second.rejected.startswith("double hit,")


def test_a_tap_before_the_last_has_died_away_is_a_double_hit() -> None:
    """Half a second later the first still rings; the second has all the time."""
    first, second = hits(replace(ONE, again=((0, 0.45),), seconds=4.0))

    assert "while it still rang" in str(first.rejected)
    assert second.rejected is None


def test_a_soft_second_hit_shows_in_the_decay() -> None:
    """Without any click the tones do not fit, or die away unevenly."""
    soft = replace(ONE, again=((0, 0.30),), click=0.0)
    rejected = [hit.rejected for hit in hits(soft)]

    assert rejected[0] is not None


def test_modes_within_their_own_width_cannot_be_told_apart() -> None:
    """187.3 and 188.0 Hz at Q 60 and 45 are one hump."""
    (hit,) = hits(replace(ONE, modes=TWINS))

    assert "too close to tell apart" in str(hit.rejected)


def test_a_knock_without_ringing_is_no_tap() -> None:
    """A pencil that falls clicks, and nothing rings."""
    sound = 1e-3 * np.random.RandomState(3).normal(0, 1, 48_000)
    sound[16_000:16_020] += 0.5 * np.random.RandomState(4).uniform(-1, 1, 20)
    (hit,) = hits(ONE, np.asarray(sound))

    assert hit.tones == ()
    assert hit.rejected == "no mode of the wood is in it, only hum or noise"


def test_a_tap_that_the_recording_cuts_short_is_not_used() -> None:
    """100 ms are too few to tell how a board rings."""
    (hit,) = hits(replace(ONE, seconds=0.6))

    assert re.fullmatch(r"only 10\d ms of it are recorded", hit.rejected or "")


def test_hum_is_no_mode_and_the_modes_beside_it_are() -> None:
    """50 Hz beside 52.3 and 150 beside 150.5: four modes are heard, none of hum."""
    (hit,) = hits(replace(ONE, hum=0.05, seconds=4.0))
    found = sorted(tone.frequency for tone in hit.tones)

    assert hit.rejected is None
    assert found == pytest.approx([mode[0] for mode in HALF], abs=0.1)


def test_a_growl_is_not_explained_by_decaying_tones() -> None:
    """A bow that scrapes rings no board freely."""
    chance = np.random.RandomState(8)
    sound = 0.002 * chance.normal(0, 1, 48_000)
    steps = np.cumsum(chance.normal(0, 0.02, 24_000))
    times = np.arange(24_000) / 16_000
    sound[16_000:40_000] += 0.4 * np.sin(2 * math.pi * 150 * times + steps)

    assert all(hit.rejected for hit in hits(ONE, np.asarray(sound)))


def test_an_envelope_that_disagrees_with_the_fit_is_told() -> None:
    """Half the decay that least squares says is too little; 10 % less is not."""
    for share, is_told in ((0.5, True), (0.9, False)):
        times = np.arange(48_000) / 48_000
        sound = np.exp(-10 * share * times) * np.cos(2 * math.pi * 200 * times)
        band = zoom(sound, rate=48_000, low=100, high=400)
        fit = Fit(
            tones=(TONE,),
            residual=0,
            signal=1,
            own=(band.samples,),
            left=0 * band.samples,
        )
        told = uneven_decay(fit, (TONE,), band)
        assert (told is not None) == is_told
        assert not told or "least squares says Q 63, the envelope 126" in told


@pytest.mark.parametrize(
    ("residual", "noise", "is_told"), [(0.3, 0.01, True), (0.3, 0.2, False)]
)
def test_what_is_left_over_counts_against_the_noise(
    residual: float, noise: float, is_told: bool
) -> None:
    """9 % of the energy is too much, unless the noise is as large."""
    fit = Fit(
        tones=(TONE,),
        residual=residual,
        signal=1,
        own=(),
        left=np.zeros(0, dtype=np.complex128),
    )
    told = fault_of_fit(fit, (TONE,), noise)

    assert (told == "decaying tones leave 9 % of its energy unexplained") == is_told
    assert fault_of_fit(fit, (), noise) is None


@pytest.mark.parametrize("after", [0.15, 0.25, 0.4])
def test_a_hand_that_damps_the_ringing_board_is_noticed(after: float) -> None:
    """Whoever lays a finger on it after a while spoils the decay."""
    times = np.arange(32_000) / 16_000
    decay = np.where(times < after, 3 * times, 14 * times - 11 * after)
    sound = 1e-3 * np.random.RandomState(1).normal(0, 1, 40_000)
    sound[8_000:] += 0.5 * np.exp(-decay) * np.sin(2 * math.pi * 150 * times)
    (hit,) = hits(ONE, np.asarray(sound))

    assert "damped while it rang" in str(hit.rejected)


def test_damping_that_is_not_quite_linear_still_gives_one_mode() -> None:
    """5 % more damping while loud is no second mode, in however little noise."""
    times = np.arange(32_000) / 16_000
    # Solves da/dt = -(4 a + 0.2 a^2), from a = 1.
    swing = 4 / (4.2 * np.exp(4 * times) - 0.2)
    sound = 1e-5 * np.random.RandomState(1).normal(0, 1, 40_000)
    sound[8_000:] += 0.5 * swing * np.sin(2 * math.pi * 150 * times)
    (hit,) = hits(ONE, np.asarray(sound))

    assert [round(tone.frequency, 2) for tone in hit.tones] == [150.0]
    assert hit.tones[0].q == pytest.approx(math.pi * 150 / 4, rel=0.05)


def test_steady_hum_beside_a_mode_changes_nothing() -> None:
    """100.0 Hz of hum a tenth as loud, 0.1 to 1 Hz below the mode: as without it."""
    for above in (0.1, 0.3, 1.0):
        modes = ((100.0 + above, 70.0, 1.0), (187.3, 60.0, 0.6))
        session = replace(ONE, modes=modes, hum=0.1, at=(1.5,), seconds=4.0)
        # The writer's hum is of 50.02 Hz.
        (hit,) = hits(session, played(replace(session, hum=0.0)) + hum_of_fifty(4.0))
        tone = min(hit.tones, key=lambda tone: tone.frequency)
        assert abs(tone.frequency - modes[0][0]) < 0.01
        assert tone.q == pytest.approx(70, rel=0.01)


def hum_of_fifty(seconds: float) -> Real:
    """Return hum of exactly 50 Hz and its second harmonic."""
    times = np.arange(round(16_000 * seconds)) / 16_000
    hum = np.sin(2 * math.pi * 50 * times) + np.sin(2 * math.pi * 100 * times + 1)
    return np.asarray(0.05 * hum, dtype=np.float64)


def test_a_tap_in_which_samples_are_missing_is_not_used() -> None:
    """A recorder that dropped 5 ms left zeros."""
    sound = played(replace(ONE, click=0.0))
    sound[10_000:10_080] = 0

    assert "samples are missing: the recording stands still for 5 ms" in str(
        hits(ONE, sound)[0].rejected
    )


def test_a_soft_overload_makes_tones_that_nobody_played() -> None:
    """An amplifier that bends the peaks is recognised by sums and differences."""
    loud = 2 * played(replace(ONE, level=1.0, click=0.0))
    first, *_ = hits(ONE, np.asarray(np.tanh(loud)))

    assert "overloaded: " in str(first.rejected)
    assert first.doubtful


def test_a_tap_has_the_q_of_its_envelopes_too() -> None:
    """In the order of its tones, within some percent of what least squares says."""
    (hit,) = hits(ONE)

    assert len(hit.envelopes) == len(hit.tones)
    for tone, envelope in zip(hit.tones, hit.envelopes, strict=True):
        assert envelope is not None
        assert envelope.value == pytest.approx(tone.q, rel=0.05)


def test_what_sounds_while_it_rings_is_noticed() -> None:
    """A second soft blow leaves over what decaying tones do not explain."""
    times = np.arange(48_000) / 48_000
    sound = np.exp(-10 * times) * np.cos(2 * math.pi * 200 * times)
    band = zoom(sound, rate=48_000, low=100, high=400)
    left = np.full(len(band.samples), 1e-3, dtype=np.complex128)
    calm = Fit(tones=(TONE,), residual=0, signal=1, own=(band.samples,), left=left)
    left = left.copy()
    left[300:330] = 0.3
    knocked = replace(calm, left=left)

    assert heard_beside(calm, band) is None
    assert "ms later, while it rang" in str(heard_beside(knocked, band))
    assert heard_beside(replace(calm, left=left[:50]), band) is None
