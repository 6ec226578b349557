"""The picture of a tap, as `board spectrum` and `calc tap` draw it."""

from collections.abc import Sequence
from math import floor
from typing import Any

from cli import show

MILLION = 1_000_000


def picture_of(
    recording: Any,
    *,
    band_millihertz: tuple[int, int],
    readings: Sequence[Any],
    heading: Any,
    how: str,
) -> tuple[Any, Any]:
    """Return the picture of a recording with the modes that were read, and its levels.

    Points lie a whole number of millihertz apart, the last at the band's end or above.
    """
    from labels.plot_spectrum import Peak, Spectrum
    from ledger.wood.spectrum import MOST_POINTS, spectrum

    low, high = band_millihertz
    step = -((low - high) // (MOST_POINTS - 1))
    heard = spectrum(
        recording,
        band=(low / 1000, (low + (MOST_POINTS - 1) * step) / 1000),
    )
    plot = Spectrum(
        heading=heading,
        start_millihertz=low,
        step_millihertz=step,
        levels_ppm=tuple(floor(MILLION * 10 ** (db / 20)) for db in heard.levels_db),
        peaks=tuple(
            Peak(
                frequency_millihertz=reading.frequency_millihertz,
                mode="" if reading.mode == "other" else reading.mode,
                q_milli=reading.q_milli,
                chosen=True,
            )
            for reading in readings
        ),
        band_millihertz=band_millihertz,
        how=f"{how}, {show.counted(heard.taps, 'tap')}",
    )
    return plot, heard
