"""Measure matching straight from the record: two thousand halves, tapped and graded.

Run it as `python tests/benchmarks/bench_rack.py [SETS]`. Told are the pairs of the
whole rack, and four builds, with every question that the database was asked.
"""

import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy import event

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.acts import matching
from ledger.acts.wishing import Orders
from ledger.craft.wanted import Wanted
from ledger.events import BoardGraded, BoardNumbered, BoardWeighed, Event
from ledger.events.grading import CountedRings
from tests import rung, skerrymoor
from tests.skerrymoor import Loft

SETS = 1_000
A_LOT = 500
TOP = Wanted(part="top", length_um=530_000, width_um=200_000, thickness_um=3_000)


def filled(folder: Path, sets: int) -> Loft:
    """Open a shop with so many sets of tops, each half tapped and graded once."""
    loft = skerrymoor.opened(folder)
    loft.supplier()
    loft.model()
    for _ in range(4):
        loft.begin()
    lots = [loft.receive(boards=A_LOT) for _ in range(0, sets, A_LOT)]
    for number in range(sets):
        lot = lots[number // A_LOT]
        with loft.shop.turn() as turn:
            for half in "AB":
                code = f"{lot}-{number % A_LOT + 1:02d}.{half}"
                for said in sayings(code, str(lot), number):
                    turn.say(said, loft.hands())
    return loft


def sayings(code: str, lot: str, number: int) -> list[Event]:
    """Return what is said of one half."""
    mass = 200_000 + number * 37 % 9_000 + (300 if code.endswith("B") else 0)
    return [
        BoardNumbered(
            board=code,
            lot=lot,
            meant_for="top",
            length_um=559_000,
            width_um=203_000,
            thickness_um=4_200,
            mass_mg=mass,
        ),
        BoardWeighed(board=code, mass_mg=mass),
        rung.said(
            code,
            at=int.from_bytes(code.encode()),
            tones=rung.scaled(1 + number * 13 % 100 / 1_000),
        ),
        BoardGraded(
            board=code,
            part="top",
            species="Picea abies",
            policy="first",
            version=1,
            grade="first",
            why=(),
            rings=(CountedRings(number=30 + number % 5, span_um=50_000),),
            figure="none",
        ),
    ]


def main() -> None:
    """Fill a shop, match, and print what it took."""
    sets = int(sys.argv[1]) if len(sys.argv) > 1 else SETS
    with tempfile.TemporaryDirectory() as folder:
        loft = filled(Path(folder), sets)
        asked: list[str] = []
        with loft.shop.store.reading() as session:
            engine = session.get_bind()
            event.listen(
                engine,
                "before_cursor_execute",
                lambda _c, _cur, text, *_: asked.append(text),
            )
            for name, work in (
                ("pairs", lambda: matching.pairs(session, [], TOP, today="2026-01-06")),
                (
                    "builds",
                    lambda: matching.for_builds(
                        session, [], Orders(wanted=TOP), today="2026-01-06"
                    ),
                ),
            ):
                asked.clear()
                start = time.perf_counter()
                work()
                took = time.perf_counter() - start
                print(f"{name}: {2 * sets} halves in {took:.2f} s, {len(asked)} asked")
        loft.shop.close()


if __name__ == "__main__":
    main()
