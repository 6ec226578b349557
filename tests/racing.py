"""Many stations that want one thing at the same moment, each a process of its own.

    seen = race(loft, 200, work)

Each is a station that was in use before: it has the shop open and looks at the board,
and waits at a barrier with its keys open; then all begin at once. What each saw comes
back with the seconds it waited for its answer.
"""

import gc
import json
import os
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from ledger.acts.rounds import look_at_board
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

Work = Callable[[Loft, int], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What one process saw, and how long it waited for that."""

    said: Any
    seconds: float


def race(loft: Loft, stations: int, work: Work, looked_at: str) -> list[Seen]:
    """Let processes work at once from a barrier on, and return what each saw.

    looked_at  the board that each of them looks at before
    """
    loft.clock.step = timedelta()  # one wall clock for all, whoever looks at it
    loft.shop.standing()
    gc.freeze()  # else each process copies all that the collector only looks at
    waiting, go = os.pipe()
    ready, arrived = os.pipe()
    answers: list[int] = []
    for station in range(stations):
        answer, said = os.pipe()
        if os.fork() == 0:
            for other in (go, ready, answer, *answers):
                os.close(other)
            _run(loft, station, work, looked_at, (waiting, arrived, said))
        os.close(said)
        answers.append(answer)
    os.close(waiting)
    os.close(arrived)
    _await(ready, stations)
    os.close(go)
    seen = [_heard(answer) for answer in answers]
    for _ in answers:
        os.wait()
    gc.unfreeze()
    return seen


def _run(
    loft: Loft, station: int, work: Work, looked_at: str, pipes: tuple[int, int, int]
) -> None:
    """Look round the shop, wait at the barrier, work, say what was seen; never return.

    What chance gives is another thing in each process.
    """
    waiting, arrived, said = pipes
    try:
        loft.shop = replace(loft.shop, entropy=entropy_from(f"station {station}"))
        look_at_board(loft.shop, looked_at)
        os.write(arrived, b".")
        os.read(waiting, 1)
        began = time.perf_counter()
        told = work(loft, station)
        seconds = time.perf_counter() - began
        os.write(said, json.dumps([told, seconds]).encode())
    finally:
        os._exit(0)


def _await(ready: int, stations: int) -> None:
    """Wait until every process stands at the barrier."""
    there = 0
    while there < stations:
        arrived = len(os.read(ready, stations))
        assert arrived, f"only {there} of {stations} processes opened the shop"
        there += arrived
    os.close(ready)


def _heard(answer: int) -> Seen:
    with os.fdopen(answer) as lines:
        said, seconds = json.loads(lines.read())
    return Seen(said=said, seconds=seconds)
