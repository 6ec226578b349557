"""Tests of the voice ladder."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import plot_voice
from labels.page import open_document
from labels.plot_figure import Label
from labels.plot_voice import NARROW, Rail, Rung, Voice
from labels.plot_voice_facts import with_room
from labels.tongue import tongue
from ledger.errors import RefusedError
from tests.labels.plot_samples import rail, voice


def labels(plot: Voice, width: float = 188.0) -> tuple[Label, ...]:
    """Return the words of a voice ladder."""
    page = open_document((210, 148), "voice")
    return plot_voice.draw(page, (11, 11, width, 126), plot)


def test_a_voice_ladder_says_every_tone() -> None:
    """Each frequency to a tenth of a hertz, each stage with its mass."""
    words = [label.words for label in labels(voice())]

    for expected in ("71.3", "150.5", "52.3", "118.0", "103.1", "98.4", "241.0"):
        assert expected in words
    for expected in (
        "plate",
        "braced",
        "closed",
        "strung",
        "1986\u2009g",
        "176\u2009g",
    ):
        assert expected in words
    for mode in ("along", "across", "twist", "air", "top", "back"):
        assert words.count(mode) == 2
    assert "body closed" in words


def test_higher_tones_stand_higher() -> None:
    """An octave up is as far as the octave before: 50, 100, 200, 400 Hz."""
    found = {label.words: label.foot for label in labels(voice())}
    levels = [found[each] for each in ("400\u2009Hz", "200", "100", "50")]
    steps = [b - a for a, b in pairwise(levels)]

    assert steps == pytest.approx([steps[0]] * 3, abs=0.1)
    assert steps[0] > 20


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (52_300, 248_900, (50_000, 100_000, 200_000, 400_000)),
        (50_000, 100_000, (50_000, 100_000)),
        (71_000, 71_000, (50_000, 100_000)),
        (24_000, 26_000, (12_500, 25_000, 50_000)),
    ],
)
def test_octaves_are_of_fifty_hertz(
    low: int, high: int, ticks: tuple[int, ...]
) -> None:
    """The lines stand at 50 Hz and its octaves. Worked out by hand."""
    assert plot_voice.octaves(low, high) == ticks


@given(st.lists(st.floats(0, 100), min_size=1, max_size=20))
def test_crowded_words_are_spread(levels: list[float]) -> None:
    """They keep their order and their distance, and stay between top and foot."""
    moved = plot_voice.spread(sorted(levels), 4.0, 0.0, 100.0)

    assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(moved))
    assert moved[0] >= -1e-9 and moved[-1] <= 100.0


@given(st.lists(st.integers(0, 20), unique=True, min_size=1))
def test_words_that_have_room_stay(steps: list[int]) -> None:
    """What is not crowded is not moved."""
    levels = [5.0 * step for step in sorted(steps)]

    assert plot_voice.spread(levels, 4.0, 0.0, 100.0) == levels


def test_an_unweighed_stage_says_so() -> None:
    """A missing mass is not nought."""
    words = [
        each.words
        for each in labels(
            replace(voice(), rails=(rail("plate", False, None, along=71.3),))
        )
    ]

    assert "not weighed" in words


def test_a_body_that_was_opened_is_said_to_be() -> None:
    """After a repair inside, the modes are those of open plates again."""
    rails = (rail("strung", True, 1986, air=98), rail("opened", False, 900, along=110))
    words = [each.words for each in labels(replace(voice(), rails=rails))]

    assert "body opened" in words


def test_too_many_stages_are_refused() -> None:
    """The refusal names how many there are and how many have room."""
    rails = tuple(rail(f"stage {n}", False, 176, along=70.0 + n) for n in range(9))
    with pytest.raises(RefusedError, match="9 stages, and a ladder 188 mm wide has"):
        labels(replace(voice(), rails=rails))


def test_too_many_modes_are_refused() -> None:
    """What could not be told apart is not drawn."""
    rungs = tuple(
        Rung(mode=f"mode {n}", frequency_millihertz=70_000 + n) for n in range(60)
    )
    crowd = Rail(stage="plate", closed=False, rungs=rungs)
    with pytest.raises(RefusedError, match="'plate' has 60 modes, and the ladder has"):
        labels(replace(voice(), rails=(crowd,)))


def test_what_is_no_tone_is_refused() -> None:
    """Half a hertz is no tone of a body."""
    slow = rail("plate", False, 176, along=0.5)
    with pytest.raises(RefusedError, match="along at stage 'plate' is 500 mHz"):
        labels(replace(voice(), rails=(slow,)))


def test_without_tones_a_sentence_says_so() -> None:
    """An instrument that was not tapped is no reason to fail."""
    words = [each.words for each in labels(replace(voice(), rails=()))]

    assert "This instrument has not been tapped at any stage." in words


def test_longer_names_of_modes_have_a_little_more_room_in_a_narrow_ladder() -> None:
    """English ones need none, and far too long ones are shortened as ever."""
    plot = voice()
    first = plot.rails[0]
    endless = Rung(mode="breathing of the whole lower bout", frequency_millihertz=90000)
    long = replace(plot, rails=(replace(first, rungs=(endless,)), *plot.rails[1:]))

    assert with_room(NARROW, plot, tongue("en")) == NARROW
    assert NARROW.last < with_room(NARROW, plot, tongue("de")).last < NARROW.last + 2
    assert with_room(NARROW, long, tongue("en")) == NARROW
