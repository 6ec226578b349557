"""Tests of the picture of a tap."""

from dataclasses import replace

import numpy as np
import pytest

from ledger.errors import RefusedError
from ledger.wood.recording import Recording, read_recording
from ledger.wood.spectrum import FAINTEST_DB, MOST_POINTS, spectrum
from tests.vectors.wood.make import HALF, HERE

BAND = (30.0, 400.0)


@pytest.fixture(scope="module")
def recording() -> Recording:
    """Read the half set."""
    return read_recording(HERE / "half-set.flac")


def test_the_picture_has_its_peaks_where_the_modes_are(recording: Recording) -> None:
    """Four local heights, each where its mode lies, the strongest at 0 dB."""
    drawn = spectrum(recording, band=BAND)
    hertz, levels = np.array(drawn.frequencies), np.array(drawn.levels_db)

    assert drawn.taps == 5
    assert len(hertz) == len(levels) == MOST_POINTS
    assert (hertz[0], hertz[-1]) == BAND
    assert max(levels) == 0
    assert min(levels) >= FAINTEST_DB
    heights = []
    for frequency, _, _ in HALF:
        near = np.abs(hertz - frequency) < 8
        top = hertz[near][np.argmax(levels[near])]
        assert top == pytest.approx(frequency, abs=0.5)
        heights.append(max(levels[near]))
    assert max(heights) == 0


def test_between_the_modes_it_is_quiet(recording: Recording) -> None:
    """At 100 and 300 Hz nothing rings, 20 dB below the strongest at least."""
    drawn = spectrum(recording, band=BAND)
    at = dict(zip(np.round(drawn.frequencies), drawn.levels_db, strict=True))

    assert at[100.0] < -20
    assert at[300.0] < -30


def test_loudness_does_not_matter(recording: Recording) -> None:
    """Half as loud is the same picture."""
    softer = replace(recording, samples=recording.samples / 2)

    assert spectrum(softer, band=BAND).levels_db == pytest.approx(
        spectrum(recording, band=BAND).levels_db, abs=0.01
    )


def test_a_recording_of_no_use_has_no_picture() -> None:
    """Noise is not drawn as if it were a tap."""
    with pytest.raises(RefusedError, match="no picture of it"):
        spectrum(read_recording(HERE / "noise-only.wav"), band=BAND)
