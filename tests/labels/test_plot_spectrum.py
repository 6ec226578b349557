"""Tests of the spectrum of a tap."""

from dataclasses import replace

import pytest

from labels import plot_spectrum
from labels.page import open_document
from labels.plot_spectrum import Peak, Spectrum
from tests.labels.plot_samples import peak, spectrum


def said(plot: Spectrum) -> list[str]:
    """Return what a spectrum says."""
    page = open_document((210, 148), "spectrum")
    return [label.words for label in plot_spectrum.draw(page, (11, 11, 188, 126), plot)]


@pytest.mark.parametrize(
    ("level_ppm", "hundredths"),
    [
        (1_000_000, 0),
        (501_187, -600),  # 20 log10(0.501187) = -6.0000
        (100_000, -2000),
        (1_000, -6000),
        (1, -6000),
        (0, -6000),
    ],
)
def test_levels_in_decibels(level_ppm: int, hundredths: int) -> None:
    """Twenty times the logarithm of the share, not under -60 dB. Worked out by hand."""
    assert plot_spectrum.decibels_hundredth(level_ppm) == hundredths


def test_chosen_peaks_are_named_and_the_rest_are_marked() -> None:
    """Mode, frequency and Q of the chosen; only the numbers of the others."""
    words = said(spectrum())

    for expected in (
        "twist 52.3\u2009Hz, Q 70",
        "along 71.3\u2009Hz, Q 84",
        "across 150.5\u2009Hz, Q 60",
        "312.4\u2009Hz, Q 50",
        "dotted: mains, 50\u2009Hz and multiples",
        "6 taps, 48 kHz; listened from 30 to 800\u2009Hz, not where hatched",
        "dB under the highest peak",
        "Hz",
    ):
        assert expected in words


def test_the_ticks_of_a_tap() -> None:
    """By ten decibels, and 1, 2 and 5 of each decade of hertz. Worked out by hand."""
    words = said(spectrum())

    for expected in ("50", "100", "200", "500", "1000", "0", "−10", "−60"):
        assert expected in words


def test_a_narrow_band_is_even() -> None:
    """Within less than a decade the hertz lie evenly."""
    words = said(replace(spectrum(), band_millihertz=(60_000, 160_000), peaks=()))

    assert {"40", "60", "80", "100", "120", "140"} <= set(words)


def test_a_peak_outside_the_recording_is_counted() -> None:
    """A peak that cannot be shown is not passed over."""
    far = replace(spectrum(), peaks=(*spectrum().peaks, peak(4000, "top", 60)))

    assert any("1 peak outside" in each for each in said(far))


def test_a_peak_outside_the_band_is_shown() -> None:
    """What was chosen is never hidden by the limits of the band."""
    low = replace(spectrum(), band_millihertz=(60_000, 800_000))

    assert "twist 52.3\u2009Hz, Q 70" in said(low)


def test_without_mains_or_band_nothing_is_said_of_them() -> None:
    """No hum, no words about hum."""
    words = said(replace(spectrum(), mains_millihertz=None, band_millihertz=None))

    assert not any("mains" in each or "hatched" in each for each in words[2:])


def test_a_peak_without_q_has_none() -> None:
    """What was not measured is not said."""
    assert plot_spectrum.peak_said(Peak(frequency_millihertz=71_349)) == "71.3\u2009Hz"


@pytest.mark.parametrize("levels", [(), (5,), (0, 0, 0, 0), (1, 1_000_000)])
def test_silence_is_said(levels: tuple[int, ...]) -> None:
    """A recording without a tone that can be shown is no reason to fail."""
    words = said(replace(spectrum(), levels_ppm=levels))

    assert "Nothing was heard above 10\u2009Hz in this recording." in words
