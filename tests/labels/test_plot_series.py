"""Tests of the tap series."""

from dataclasses import replace

import pytest

from labels import plot_series
from labels.page import open_document
from labels.plot_figure import Label
from labels.plot_series import TapSeries, TapStage
from ledger.errors import RefusedError
from tests.labels.plot_samples import stage, tap_series, tone
from tests.labels.plot_trials import many_stages


def labels(plot: TapSeries, height: float = 126.0) -> tuple[Label, ...]:
    """Return the words of a tap series."""
    page = open_document((210, 148), "series")
    return plot_series.draw(page, (11, 11, 188, height), plot)


def said(plot: TapSeries) -> list[str]:
    """Return what a tap series says."""
    return [label.words for label in labels(plot)]


@pytest.mark.parametrize(
    ("measured", "expected", "words"),
    [
        (75_900, 75_500, "+0.5\u2009%"),
        (122_000, 124_400, "−1.9\u2009%"),
        (100_000, 100_000, "±0.0\u2009%"),
        (200_000, 100_000, "+100.0\u2009%"),
        (99_960, 100_000, "±0.0\u2009%"),
    ],
)
def test_measured_against_expected(measured: int, expected: int, words: str) -> None:
    """The difference is a share of what was expected. Worked out by hand."""
    assert plot_series.difference_said(measured, expected) == words


def test_a_tap_series_says_each_stage_and_each_tone() -> None:
    """Thickness and mass at each stage; tones with their distance from expectation."""
    words = said(tap_series())

    for expected in (
        "edges thinned",
        "4.20\u2009mm",
        "281.0\u2009g",
        "along, Hz",
        "88.1",
        "75.9, +0.5\u2009%",
        "122.0, −1.9\u2009%",
        "43.8",
        "disc measured, ring expected; per cent: measured against expected",
    ):
        assert expected in words


def test_the_last_tone_is_said_even_in_a_crowd() -> None:
    """Of thirty stages not all have room, but where the plate stands now has."""
    words = said(many_stages())

    for expected in ("59.1, +0.2\u2009%", "118.0, −0.8\u2009%", "45.7, ±0.0\u2009%"):
        assert expected in words
    assert "pass 0" in words and "pass 1" not in words


def test_each_mode_has_its_own_axis_with_ticks() -> None:
    """Even one tone has two round numbers beside it."""
    one = TapStage(name="joined", tones=(tone("along", 88, None),))
    words = said(replace(tap_series(), stages=(one,)))

    assert len([each for each in words if each.replace(".", "").isdigit()]) >= 3


def test_what_was_not_measured_is_a_dash() -> None:
    """A stage without thickness and mass shows that they are missing."""
    one = TapStage(name="joined", tones=(tone("along", 88, None),))

    assert said(replace(tap_series(), stages=(one,))).count("–") == 2


def test_an_expectation_alone_is_drawn() -> None:
    """Before the next tap there is only what is expected."""
    planned = stage("to be planed", 3600, 352.3, tone("along", None, 75.5))
    words = said(replace(tap_series(), stages=(planned,)))

    assert "along, Hz" in words and "to be planed" in words


def test_too_many_modes_are_refused() -> None:
    """The refusal names how many there are and how many have room."""
    many = stage("x", 4200, 412, *(tone(f"mode {n}", 50 + n, None) for n in range(9)))
    with pytest.raises(RefusedError, match="9 modes, and the figure has room for 5"):
        labels(replace(tap_series(), stages=(many,)))


def test_without_taps_a_sentence_says_so() -> None:
    """Stages without tones are no reason to fail."""
    bare = tuple(replace(each, tones=()) for each in tap_series().stages)

    assert "This plate has not been tapped at any stage." in said(
        replace(tap_series(), stages=bare)
    )
