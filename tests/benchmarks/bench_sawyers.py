"""Measure what it takes to tell of a lot of two thousand boards, all of them tapped.

Run it as `python tests/benchmarks/bench_sawyers.py [SETS]`. Told are what of the rack
is ready, what became of a sawyer's wood and the map of the lot: seconds, how often the
database was asked, and how many bare look-ups of all the boards took as long in the
same run, which tells one machine from another. Nearly all of the last two is the
inversion of each board's tones, as `bench_plate.py` has it.
"""

import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from sqlmodel import Session

from ledger.acts.boards import boards_meant
from ledger.acts.sawyers import by_sawyer
from ledger.acts.stock import stock
from ledger.acts.woodmap import wood_map
from ledger.ids import BoardId, LotId
from tests import rung, skerrymoor, statements
from tests.sentences import GRADED
from tests.skerrymoor import TOP, Loft

SETS = 999


def stocked(folder: Path, sets: int) -> tuple[Loft, LotId]:
    """Return a shop with one lot of tapped sets, every other one graded."""
    loft = skerrymoor.opened(folder)
    loft.supplier()
    lot = loft.receive(boards=sets)
    loft.number(lot, *[replace(TOP, supplier_grade="AAA")] * sets)
    with loft.shop.turn() as turn:
        for number in range(1, sets + 1):
            for half in "AB":
                code = str(BoardId(lot=lot, number=number, half=half))
                tones = rung.scaled(1 + number / 20_000)
                recording = 2 * number + (half == "B")
                turn.say(rung.said(code, at=recording, tones=tones), loft.hands("03"))
                if number % 2:
                    turn.say(replace(GRADED, board=code), loft.hands())
    return loft, lot


def told(
    loft: Loft, what: str, work: Callable[[Session], Any], bare: float = 0
) -> float:
    """Print how long something takes, and how often the database is asked.

    bare  [s]  how long a bare look-up took, if that was measured
    """
    with loft.shop.store.reading() as session, statements.asked(session) as asked:
        began = time.perf_counter()
        work(session)
        took = time.perf_counter() - began
    ratio = f"  {took / bare:8.1f} bare look-ups" if bare else ""
    print(f"{what:<24} {took:6.3f} s  {len(asked):4d} statements{ratio}")
    return took


def main(sets: int) -> None:
    """Stock a shop and tell of it."""
    with tempfile.TemporaryDirectory() as folder:
        loft, lot = stocked(Path(folder), sets)
        code = str(lot)
        print(f"{2 * sets} boards in one lot")
        today = loft.shop.today()
        look = told(loft, "bare look-up", lambda session: boards_meant(session, code))
        for what, work in (
            ("ready in the rack", lambda session: stock(session, today=today)),
            ("by sawyer", lambda session: by_sawyer(loft.shop, session)),
            ("map of the lot", lambda session: wood_map(session, [code])),
        ):
            told(loft, what, work, look)
        loft.shop.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else SETS)
