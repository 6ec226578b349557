"""Measure how long a tapped plate takes, and a batch of a thousand boards.

Run it as `python tests/benchmarks/bench_plate.py [BOARDS]`. One thread reckons, as in
use. Beside it stands what numpy alone needs for the four eigenproblems of one step, two
symmetries twice: nobody who solves a plate by these functions can do with less.
"""

import os
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from ledger.wood.plate import rung_plate
from ledger.wood.ritz import Moduli
from tests.ledger.wood.boards import HALF, SIDE, TOP, measured

BOARDS = 1000
# The products of seven functions along with five across, rigid motions left out.
SIZE = 34
ROUNDS = 50
SEED = 20260302
WOODS: dict[str, tuple[dict[str, float], Moduli, float]] = {
    "half set": (
        HALF,
        Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37),
        400,
    ),
    "side": (SIDE, Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37), 400),
    "cedar side, mixed with another": (
        SIDE,
        Moduli(along=8.5e9, across=0.8e9, shear=0.75e9, poisson=0.38),
        370,
    ),
    "joined top, critical ratio": (
        TOP,
        Moduli(along=12e9, across=3e9, shear=1.8e9, poisson=0.33),
        850,
    ),
}


def took(work: Callable[[], Any]) -> list[float]:
    """Return how long each round took, in milliseconds."""
    times = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        work()
        times.append((time.perf_counter() - began) * 1000)
    return times


def bare() -> None:
    """Solve four eigenproblems of the size of ours."""
    square = np.eye(SIZE) + np.arange(float(SIZE))
    for _ in range(4):
        np.linalg.eigh(square + square.T)


def tell(what: str, times: list[float]) -> None:
    """Print the least, the median and the most."""
    print(
        f"{what:32} {min(times):7.1f} ms least {median(times):7.1f} median "
        f"{max(times):7.1f} most"
    )


def main() -> None:
    """Ring each kind of plate many times, and then a thousand halves."""
    boards = int(sys.argv[1]) if sys.argv[1:] else BOARDS
    tell("four eigenproblems, bare", took(bare))
    for name, (sizes, moduli, density) in WOODS.items():
        board: dict[str, Any] = measured(moduli, density, sizes)
        tell(name, took(partial(rung_plate, **board)))
    sizes, moduli, density = WOODS["half set"]
    chance = np.random.default_rng(SEED)
    lot: list[dict[str, Any]] = [
        measured(moduli, density, sizes, chance) for _ in range(boards)
    ]
    began = time.perf_counter()
    for board in lot:
        rung_plate(**board)
    print(f"{boards} boards in {time.perf_counter() - began:.1f} s")


if __name__ == "__main__":
    main()
