"""Measure how long a recording of taps takes to be heard, and a bar to be worked out.

Run it as `python tests/benchmarks/bench_tap.py`. The median of each counts.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from ledger.wood.bar import rung_bar  # noqa: E402 - only now does the path lead there
from ledger.wood.recording import read_recording  # noqa: E402
from ledger.wood.spectrum import spectrum  # noqa: E402
from ledger.wood.tap import hear  # noqa: E402
from ledger.wood.uncertainty import Estimate  # noqa: E402

ROUNDS = 15
BAND = (30.0, 400.0)
FILE = ROOT / "tests" / "vectors" / "wood" / "half-set.flac"


def bar() -> object:
    """Work out a brace from two tones, with its uncertainty."""
    return rung_bar(
        length=Estimate(value=0.3, u=5e-4),
        width=Estimate(value=0.008, u=5e-5),
        thickness=Estimate(value=0.015, u=5e-5),
        mass=Estimate(value=0.0144, u=1e-4),
        frequency=Estimate(value=850, u=0.2),
        second=Estimate(value=2197, u=0.2),
    )


def main() -> None:
    """Print the median of each in milliseconds."""
    recording = read_recording(FILE)
    measured: dict[str, Callable[[], object]] = {
        "read five taps, 8.4 s at 44.1 kHz": lambda: read_recording(FILE),
        "hear them": lambda: hear(recording, band=BAND, modes=4),
        "picture of them": lambda: spectrum(recording, band=BAND),
        "brace from two bending tones": bar,
    }
    for name, work in measured.items():
        took = []
        for _ in range(ROUNDS):
            began = time.perf_counter()
            work()
            took.append(time.perf_counter() - began)
        print(f"{name:36} {statistics.median(took) * 1000:8.1f} ms")


if __name__ == "__main__":
    main()
