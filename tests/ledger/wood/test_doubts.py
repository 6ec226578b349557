"""Tests of what is said of taps, and of sessions that must not be silently wrong."""

import numpy as np
import pytest

from ledger.errors import RefusedError
from ledger.wood.doubts import about_taps, no_tap, too_pressed
from ledger.wood.hit import Hit
from ledger.wood.recording import Recording
from ledger.wood.tap import Heard, hear
from ledger.wood.zoom import Real
from tests.ledger.wood import rough
from tests.ringing import Tone

BAND = (30.0, 400.0)
FEW = "how far taps differ is not well known"
GOOD = tuple(Hit(at=float(k), above_noise=100.0) for k in range(5))


def said(taps: tuple[Hit, ...], *, share: float = 0.0) -> str:
    """Return all that is said, in one text."""
    return "; ".join(about_taps(taps, share=share))


def test_of_good_taps_nothing_is_said() -> None:
    """Five that are a hundred times as loud as the room."""
    assert about_taps(GOOD, share=0) == ()


def test_a_loud_room_is_told_with_how_much_louder_the_tap_is() -> None:
    """3.2 times is too little, 4.1 times is not."""
    loud = tuple(Hit(at=float(k), above_noise=3.2) for k in range(5))
    less = tuple(Hit(at=float(k), above_noise=4.1) for k in range(5))

    assert said(loud) == (
        "the room is nearly as loud as the tap, which is 3.2 times as loud: tap harder "
        "or nearer, or wait for quiet"
    )
    assert said(less) == ""


def test_more_sounds_than_taps_make_doubt_of_what_was_tapped() -> None:
    """Five used of eleven sounds may be anything; of ten they are believed."""
    others = tuple(Hit(at=10.0 + k, rejected="clipped") for k in range(6))

    assert "only 5 of 11 sounds are used" in said(GOOD + others)
    assert "sounds are used" not in said(GOOD + others[:5])


def test_pressed_peaks_are_told_with_what_to_do() -> None:
    """By how much, what it does to Q, and to set the recorder lower."""
    assert said(GOOD, share=0.034) == (
        "overloaded: the highest peaks are pressed by about 3.4%, and Q may read too "
        "high: set the recorder lower, or tap more softly, and record again"
    )
    assert too_pressed(0.31) == (
        "overloaded: the highest peaks are pressed by about 31.0%, too much to tell Q: "
        "set the recorder lower, or tap more softly, and record again"
    )


def test_why_no_tap_is_used_is_told_by_reason() -> None:
    """Where nothing was heard at all, too."""
    clipped = tuple(Hit(at=k / 2, rejected="clipped") for k in range(7))

    assert no_tap(clipped) == (
        "none of 7 taps can be used: at 0.00, 0.50, 1.00, 1.50, 2.00 and 2 more s "
        "clipped; record again"
    )
    assert no_tap(()).startswith("no tap stands out of the noise: tap harder")


def board(chance: np.random.Generator) -> tuple[Tone, ...]:
    """Return one to three modes that lie apart."""
    count = int(chance.integers(1, 4))
    places = (60.0, 130.0, 250.0)[:count]
    return tuple(
        (place * chance.uniform(1.0, 1.4), chance.uniform(35, 110), 1.0)
        for place in places
    )


def is_silently_wrong(recording: Recording, tones: tuple[Tone, ...]) -> bool:
    """Tell whether a reading is wrong by half more than U, and nothing doubts it.

    By U itself one reading in twenty is wrong, and a session has up to six.
    """
    try:
        heard = hear(recording, band=BAND, modes=len(tones))
    except RefusedError:
        return False
    if any("overloaded: the" in each or "room" in each for each in heard.warnings):
        return False
    return any(_is_wrong(heard, tones))


def _is_wrong(heard: Heard, tones: tuple[Tone, ...]) -> list[bool]:
    near = [
        min(tones, key=lambda tone: abs(tone[0] - mode.frequency))
        for mode in heard.modes
    ]
    return [
        abs(mode.frequency - frequency) > 3 * mode.u_frequency
        or abs(mode.q - q) > 3 * mode.u_q
        for mode, (frequency, q, _) in zip(heard.modes, near, strict=True)
    ]


def taps_of(seed: int) -> tuple[np.random.Generator, tuple[Tone, ...], Real]:
    """Return three to five taps of some board."""
    chance = np.random.default_rng(seed)
    tones, taps = board(chance), int(chance.integers(3, 6))
    return chance, tones, rough.session(tones, taps=taps, chance=chance, pause=0.9)


def test_in_a_loud_room_nothing_is_silently_wrong() -> None:
    """Twenty sessions, from noise as loud as the tap down to a tenth of it."""
    wrong = 0
    for seed in range(20):
        chance, tones, sound = taps_of(seed)
        decibels = chance.uniform(0, 20)
        noise = rough.room(len(sound), decibels=decibels, chance=chance)
        wrong += is_silently_wrong(rough.kept(0.2 * (sound + noise)), tones)

    assert wrong <= 1


def test_an_overloaded_recorder_makes_nothing_silently_wrong() -> None:
    """Ten sessions, from peaks that are hardly pressed to those that are flat."""
    wrong = 0
    for seed in range(10):
        chance, tones, sound = taps_of(100 + seed)
        quiet = rough.room(len(sound), decibels=50, chance=chance)
        gain = 10 ** chance.uniform(-0.6, 0.5)
        recording = rough.kept(rough.bent(sound + quiet, gain=gain))
        wrong += is_silently_wrong(recording, tones)

    assert wrong <= 1


@pytest.mark.parametrize(("gain", "is_told"), [(0.01, False), (0.5, True)])
def test_a_recorder_set_too_loud_is_told_and_one_set_right_is_not(
    gain: float, is_told: bool
) -> None:
    """Peaks pressed by some percent make Q read high, and its uncertainty grow."""
    chance, tones, sound = taps_of(3)
    quiet = rough.room(len(sound), decibels=50, chance=chance)
    heard = hear(rough.kept(rough.bent(sound + quiet, gain=gain)), band=BAND, modes=3)

    assert any("overloaded: the" in each for each in heard.warnings) == is_told
    for mode in heard.modes:
        _, q, _ = min(tones, key=lambda tone: abs(tone[0] - mode.frequency))
        assert abs(mode.q - q) < 3 * mode.u_q


def test_peaks_pressed_too_much_are_refused() -> None:
    """Beyond a fifth nobody can tell how far Q is pulled."""
    chance = np.random.default_rng(5)
    tones = ((151.7, 60.0, 1.0), (251.0, 50.0, 0.6))
    sound = rough.session(tones, taps=4, chance=chance, pause=0.9)
    noisy = sound + 0.01 * chance.standard_normal(len(sound))

    with pytest.raises(RefusedError, match=r"pressed by about .*, too much to tell Q"):
        hear(rough.kept(rough.bent(noisy, gain=1.5)), band=BAND, modes=2)
