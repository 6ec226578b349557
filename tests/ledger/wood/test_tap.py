"""Tests of hearing a tapped board, on the committed recordings."""

import io
from dataclasses import replace

import numpy as np
import pytest
import soundfile

from ledger.errors import RefusedError
from ledger.wood.recording import Recording, read_recording
from ledger.wood.tap import METHOD, Heard, hear
from ledger.wood.zoom import Real
from tests import ringing
from tests.vectors.wood import make
from tests.vectors.wood.make import CLOSE, HALF, HERE, SESSIONS, Modes, Session, played

HALF_BAND, CLOSE_BAND = (30.0, 400.0), (100.0, 400.0)


def listen(name: str) -> Heard:
    """Hear a committed recording."""
    if SESSIONS[name].modes is HALF:
        return hear(read_recording(HERE / name), band=HALF_BAND, modes=4)
    return hear(read_recording(HERE / name), band=CLOSE_BAND, modes=2)


def recorded(session: Session) -> Recording:
    """Return what a recorder makes of a session, without a file."""
    samples = make.sixteen_bits(played(session))[None, :] / 2**15
    return Recording(
        samples=samples, rate=session.rate, bits=16, channels=1, container="WAV"
    )


def require_right(heard: Heard, modes: Modes, *, hertz: float, of_q: float) -> None:
    """See that all modes are heard, within limits and their own uncertainties."""
    assert heard.method == METHOD
    assert len(heard.modes) == len(modes)
    for mode, (frequency, q, _) in zip(heard.modes, modes, strict=True):
        assert abs(mode.frequency - frequency) < min(hertz, 5 * mode.u_frequency)
        assert abs(mode.q / q - 1) < of_q
        assert abs(mode.q - q) < 5 * mode.u_q


def test_the_committed_recordings_are_those_that_the_writer_makes() -> None:
    """Each WAV byte for byte; of each FLAC every sample; and nothing over."""
    made = make.vectors()
    kept = {p.name for p in HERE.iterdir() if p.suffix in {".wav", ".flac"}}

    assert kept == set(made)
    for name, data in made.items():
        committed = (HERE / name).read_bytes()
        if name in SESSIONS and name.endswith(".flac"):
            samples, rate = soundfile.read(io.BytesIO(committed), dtype="int16")
            assert rate == SESSIONS[name].rate
            assert np.array_equal(samples, make.sixteen_bits(played(SESSIONS[name])))
        elif not name.endswith(".flac"):
            assert committed == data, name


def test_the_recordings_of_the_demonstration_are_made_here_too() -> None:
    """Byte for byte, so that the story hears what its plates would ring."""
    made = make.of_the_story()

    assert made == {name: (make.STORY / name).read_bytes() for name in made}
    assert len(made) == 2


def test_a_half_set_is_heard_from_a_good_recording() -> None:
    """Five taps at 44.1 kHz: four modes to 0.01 Hz and half a percent of Q."""
    heard = listen("half-set.flac")

    require_right(heard, HALF, hertz=0.01, of_q=0.005)
    assert heard.warnings == ()
    assert [mode.taps for mode in heard.modes] == [5, 5, 5, 5]
    assert all(0 < (mode.scatter or 0) < 1e-4 for mode in heard.modes)
    assert [tap.at for tap in heard.taps] == pytest.approx(
        SESSIONS["half-set.flac"].at, abs=0.005
    )


def test_a_half_set_is_heard_through_noise() -> None:
    """20 dB at 8 kHz, six times more noise in the band than at 48 kHz."""
    require_right(listen("half-set-noisy.wav"), HALF, hertz=0.15, of_q=0.1)


def test_a_half_set_is_heard_beside_the_mains() -> None:
    """Hum of 50, 100 and 150 Hz is louder than the noise, and no mode."""
    heard = listen("half-set-hum.wav")

    require_right(heard, HALF, hertz=0.05, of_q=0.05)
    assert heard.warnings == ()


def test_two_modes_close_together_are_told_apart() -> None:
    """187.3 and 194.0 Hz, 3.6 % apart, to 0.05 Hz and 5 % of Q."""
    require_right(listen("close-modes.flac"), CLOSE, hertz=0.05, of_q=0.05)


def test_one_double_hit_is_left_out_and_told() -> None:
    """Four taps remain of five, and it is said which sounds are not used."""
    heard = listen("one-double-hit.wav")

    require_right(heard, HALF, hertz=0.05, of_q=0.05)
    assert [tap.rejected is None for tap in heard.taps] == [
        *(True, True),
        *(False, False),
        *(True, True),
    ]
    assert "4.50 s: double hit, the second 120 ms later" in heard.warnings[0]
    assert "4 of at least 5 taps" in heard.warnings[-1]


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("only-double-hits.wav", "none of 4 taps can be used: at .* double hit"),
        ("twin-modes.wav", "too close to tell apart"),
        ("clipped.wav", "clipped: the recorder was set too loud"),
        ("noise-only.wav", "no tap stands out of the noise"),
        ("hum-only.wav", "no tap stands out of the noise"),
    ],
)
def test_a_recording_of_no_use_is_refused_with_its_reason(name: str, why: str) -> None:
    """Each fault is told in one sentence, with what to do next."""
    with pytest.raises(RefusedError, match=why) as refusal:
        listen(name)

    assert "\n" not in str(refusal.value)
    assert str(refusal.value).endswith(("record again", "what else is heard"))


@pytest.mark.parametrize("rate", [8_000, 48_000, 96_000, 192_000])
def test_every_rate_tells_the_same(rate: int) -> None:
    """From a telephone's to a studio's."""
    session = Session(seed=41, rate=rate, noise_db=30, at=(0.3, 2.0), seconds=4)
    heard = hear(recorded(session), band=HALF_BAND, modes=4)

    require_right(heard, HALF, hertz=0.15, of_q=0.1)


@pytest.mark.parametrize("seed", range(50, 70))
def test_twenty_sessions_at_twenty_decibels_are_within_the_target(seed: int) -> None:
    """Five taps each, two modes 3.6 % apart: the stronger to 0.05 Hz and 5 % of Q."""
    session = Session(
        seed=seed,
        rate=48_000,
        modes=CLOSE,
        noise_db=20,
        at=(0.3, 1.2, 2.1, 3.0, 3.9),
        seconds=4.8,
    )
    heard = hear(recorded(session), band=CLOSE_BAND, modes=2)
    strong, weak = heard.modes

    assert abs(strong.frequency - 187.3) < 0.05
    assert abs(strong.q / 60 - 1) < 0.05
    assert abs(weak.frequency - 194.0) < 0.15
    assert abs(weak.q / 45 - 1) < 0.08


def test_one_tap_says_nothing_of_how_taps_differ() -> None:
    """It has the uncertainties of its own fit, and no scatter at all."""
    heard = hear(recorded(Session(seed=43, at=(0.3,), seconds=2)), band=HALF_BAND)

    assert {mode.taps for mode in heard.modes} == {1}
    assert [mode.scatter for mode in heard.modes] == [None] * 3
    assert all(0 < mode.u_q < 0.1 * mode.q for mode in heard.modes)


def test_the_loudest_channel_is_heard() -> None:
    """A second microphone that stood far away changes nothing."""
    one = recorded(SESSIONS["half-set-hum.wav"])
    noise = np.random.RandomState(1).normal(0, 0.01, one.samples.shape)
    two = replace(one, samples=np.vstack([noise, one.samples]) + 0.1, channels=2)
    first = hear(one, band=HALF_BAND, modes=4).modes
    second = hear(two, band=HALF_BAND, modes=4).modes

    assert [mode.frequency for mode in second] == pytest.approx(
        [mode.frequency for mode in first], abs=1e-6
    )


def test_expected_modes_are_answered_each_by_its_own() -> None:
    """The closest within 12 % answers; where none is, that is said."""
    recording = read_recording(HERE / "half-set-hum.wav")
    heard = hear(recording, band=HALF_BAND, near=(300.0, 75.0, 50.0))

    assert [mode.expected for mode in heard.modes] == [50.0, 75.0]
    assert [mode.frequency for mode in heard.modes] == pytest.approx(
        [52.319, 71.291], abs=0.01
    )
    assert heard.warnings[-1] == "no mode is heard within 12% of 300 Hz"


def test_where_nothing_expected_is_heard_the_others_are_named() -> None:
    """Whoever looks in the wrong place is told what there is."""
    recording = read_recording(HERE / "close-modes.flac")

    with pytest.raises(
        RefusedError, match=r"do not agree on 300 Hz; heard are 187\.30"
    ):
        hear(recording, band=CLOSE_BAND, near=(300.0,))


def test_the_strongest_mode_is_told_first_of_all() -> None:
    """Of four modes the one that holds most of the sound is kept."""
    recording = read_recording(HERE / "half-set-hum.wav")
    (mode,) = hear(recording, band=HALF_BAND, modes=1).modes

    assert mode.frequency == pytest.approx(71.291, abs=0.01)


def test_a_mode_on_the_mains_is_pointed_out() -> None:
    """100.02 Hz may be the board, or the lamp."""
    session = Session(
        seed=42, modes=((70.0, 80, 1.0), (100.02, 70, 0.7)), at=(0.4, 2.0), seconds=4
    )
    heard = hear(recorded(session), band=HALF_BAND, modes=2)

    assert (
        heard.warnings[0]
        == "2 of at least 5 taps: how far taps differ is not well known"
    )
    assert "lies on mains hum of 100 Hz" in heard.warnings[1]


def test_taps_that_differ_in_damping_are_pointed_out() -> None:
    """A hand that damps one tap shows in the scatter of Q."""
    one = played(Session(seed=43, modes=((70.0, 100, 1.0),), at=(0.4,), seconds=2.5))
    two = played(Session(seed=44, modes=((70.0, 40, 1.0),), at=(0.4,), seconds=2.5))
    samples = np.concatenate([one, two])[None, :]
    recording = Recording(
        samples=samples, rate=8_000, bits=16, channels=1, container="WAV"
    )
    heard = hear(recording, band=HALF_BAND, modes=1)

    assert "differs from tap to tap by more than 25%" in heard.warnings[-1]


def test_a_band_beyond_the_recording_is_refused() -> None:
    """At 8 kHz nothing above 4 kHz was recorded."""
    recording = read_recording(HERE / "half-set-hum.wav")

    with pytest.raises(RefusedError, match="half the rate of 8000 Hz"):
        hear(recording, band=(100.0, 4_000.0))


def test_the_same_recording_is_heard_the_same_again() -> None:
    """Whoever reads it again later finds the very same numbers."""
    assert listen("half-set-hum.wav") == listen("half-set-hum.wav")


STRUCK: tuple[ringing.Tone, ...] = ((187.3, 60.0, 1.0), (243.8, 45.0, 0.5))
STRUCK_BAND = (100.0, 400.0)


def heard_in(sounds: list[Real], *, rate: int) -> Heard:
    """Hear taps one after the other."""
    samples = np.concatenate(sounds)[None, :]
    recording = Recording(
        samples=samples, rate=rate, bits=24, channels=1, container="WAV"
    )
    return hear(recording, band=STRUCK_BAND, modes=2)


def heard_struck(seed: int, *, rate: int = 48_000) -> Heard:
    """Hear 0.5 s with 1 % noise, of a board that shares no code with the ear."""
    chance = np.random.default_rng(seed)
    sound = ringing.struck(STRUCK, rate=rate, seconds=0.5, noise=0.01, chance=chance)
    return heard_in([sound], rate=rate)


def is_inside(heard: Heard) -> list[tuple[bool, bool]]:
    """Tell of each mode whether twice its uncertainties hold the truth."""
    return [
        (abs(m.frequency - f) < 2 * m.u_frequency, abs(m.q - q) < 2 * m.u_q)
        for m, (f, q, _) in zip(heard.modes, STRUCK, strict=True)
    ]


def test_half_a_second_in_one_percent_of_noise_is_enough() -> None:
    """Forty single taps at 48 kHz, two modes: every one to 0.05 Hz and 5 % of Q."""
    for seed in range(40):
        modes = heard_struck(seed).modes
        for mode, (frequency, q, _) in zip(modes, STRUCK, strict=True):
            assert abs(mode.frequency - frequency) < 0.05
            assert abs(mode.q / q - 1) < 0.05


def test_twice_the_uncertainty_holds_the_truth_of_a_single_tap() -> None:
    """200 taps of two modes at 8 kHz: 400 readings each of frequency and of Q.

    Of so many, 95.45 % become 93.4 to 97.5 % by chance alone in 19 of 20 such runs.
    """
    heard = (heard_struck(seed, rate=8_000) for seed in range(200))
    inside = [each for one in heard for each in is_inside(one)]
    by_frequency, by_q = np.mean(inside, axis=0)

    assert len(inside) == 400
    assert 0.93 < by_frequency < 0.98
    assert 0.93 < by_q < 0.98


def test_twice_the_uncertainty_holds_the_truth_of_five_taps() -> None:
    """60 sessions of five taps whose board is never held twice alike: 120 readings.

    Frequency scatters by 0.03 %, Q by 3 %, which is more than the noise makes.
    """
    inside: list[tuple[bool, bool]] = []
    for seed in range(60):
        chance = np.random.default_rng(seed)
        sounds = [
            ringing.struck(
                STRUCK,
                rate=8_000,
                seconds=0.6,
                noise=0.01,
                chance=chance,
                unsteady=3e-4,
            )
            for _ in range(5)
        ]
        inside += is_inside(heard_in(sounds, rate=8_000))

    assert len(inside) == 120
    assert np.all(np.mean(inside, axis=0) > 0.92)


def test_the_envelope_tells_the_same_q() -> None:
    """A second reading, within 3 % of the first on a good recording."""
    for mode in listen("half-set.flac").modes:
        assert mode.envelope_q is not None
        assert mode.envelope_q.value == pytest.approx(mode.q, rel=0.03)


def test_where_most_taps_are_in_doubt_the_others_are_not_believed() -> None:
    """Modes 1 % apart: by chance one tap in some looks as if there were one mode."""
    session = Session(
        seed=71,
        rate=44_100,
        modes=((71.3, 110, 1.0), (72.01, 90, 0.6)),
        at=(0.4, 1.9, 3.4, 4.9, 6.4),
        seconds=8,
        click=0,
    )

    with pytest.raises(RefusedError, match=r"too close to tell apart.*record again"):
        hear(recorded(session), band=HALF_BAND)


def test_of_two_taps_both_must_have_a_mode() -> None:
    """What is heard once in two taps is not what they have in common."""
    both = ((70.0, 80.0, 1.0), (131.0, 70.0, 0.6))
    one = played(Session(seed=44, modes=both[:1], at=(0.4,), seconds=2.5))
    two = played(Session(seed=45, modes=both, at=(0.4,), seconds=2.5))
    samples = np.concatenate([one, two])[None, :]
    recording = Recording(
        samples=samples, rate=8_000, bits=16, channels=1, container="WAV"
    )
    heard = hear(recording, band=HALF_BAND)

    assert [round(mode.frequency) for mode in heard.modes] == [70]


@pytest.mark.parametrize("dead", [0.0, 0.3])
def test_a_dead_channel_an_offset_or_a_turned_one_do_no_harm(dead: float) -> None:
    """What one channel hears is heard, whatever stands beside it."""
    one = recorded(SESSIONS["half-set-hum.wav"])
    silent = np.full_like(one.samples, dead)
    samples = np.vstack([silent, 0.25 - one.samples, one.samples])
    three = replace(one, samples=samples, channels=3)

    require_right(hear(three, band=HALF_BAND, modes=4), HALF, hertz=0.05, of_q=0.05)


def test_a_noisy_channel_is_left_for_one_in_which_taps_stand_out() -> None:
    """A microphone in the wind is louder than any tap."""
    one = recorded(SESSIONS["half-set-hum.wav"])
    wind = np.random.RandomState(1).normal(0, 0.8, one.samples.shape)
    two = replace(one, samples=np.vstack([wind, one.samples]), channels=2)

    require_right(hear(two, band=HALF_BAND, modes=4), HALF, hertz=0.05, of_q=0.05)


def test_somebody_who_talks_is_no_board() -> None:
    """Vowels glide and swell; nothing of them is reported as a mode."""
    times = np.arange(6 * 16_000) / 16_000
    swell = np.clip(np.sin(2 * np.pi * 3.1 * times), 0, None)
    glide = 120 + 20 * np.sin(2 * np.pi * 0.9 * times)
    turned = 2 * np.pi * np.cumsum(glide) / 16_000
    voice = 0.1 * swell * sum(np.sin(k * turned + k) / k for k in range(1, 15))
    voice += np.random.default_rng(1).normal(0, 0.001, len(times))
    recording = Recording(
        samples=voice[None, :], rate=16_000, bits=16, channels=1, container="WAV"
    )

    with pytest.raises(RefusedError, match="taps can be used"):
        hear(recording, band=HALF_BAND)
