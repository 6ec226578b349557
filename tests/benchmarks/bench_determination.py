"""Measure a large shipment: 500 instruments of 12 components each, judged at once.

Run it as `python tests/benchmarks/bench_determination.py`. Every component is of a lot
of its own that came in on a day of its own. Beside it stand a shipment of one
instrument, the same by an edition with a shop's own rows, and 500 questions of twelve
parts that move on 500 days.
"""

import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.trade.determination import determine
from ledger.trade.law import Law, compiled
from ledger.trade.movement import Movement
from ledger.trade.question import Part, Question
from ledger.trade.shipment import Material, determine_shipment
from tests.ledger.trade.overlays import (
    LISTING,
    MEETING,
    law_with,
)

INSTRUMENTS = 500
ROUNDS = 5
DAY = date(2026, 11, 30)
FIRST = date(1980, 1, 1)
SALE = Movement(legs=("GB", "US"), purpose="sale", owner_changes=True)
COMPONENTS = (
    "Picea abies",
    "Dalbergia latifolia",
    "Dalbergia nigra",
    "Swietenia macrophylla",
    "Cedrela odorata",
    "Khaya ivorensis",
    "Diospyros crassiflora",
    "Acer saccharum",
    "Juglans nigra",
    "Guibourtia tessmannii",
    "Pinctada maxima",
    "Bos taurus",
)


def materials(instruments: int) -> list[Material]:
    """Return the components of so many instruments, each of its own lot and day."""
    return [
        Material(
            taxon=taxon,
            part="part",
            form="finished_instruments",
            mass_mg=300_000 + number,
            lot=f"L{number:05d}",
            acquired=FIRST + timedelta(days=2 * number),
        )
        for number, taxon in enumerate(COMPONENTS * instruments)
    ]


def questions() -> list[Question]:
    """Return as many questions of twelve parts, each on a day of its own."""
    parts = tuple(
        Part(taxon=taxon, form="finished_instruments", mass_mg=300_000)
        for taxon in COMPONENTS
    )
    return [
        Question(parts=parts, date=DAY - timedelta(days=10 * n), movement=SALE)
        for n in range(INSTRUMENTS)
    ]


def seconds(work: Callable[[], object]) -> float:
    """Return how long something takes, the best of a few rounds."""
    taken = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return min(taken)


def main() -> None:
    """Judge each once, and print what it took."""
    began = time.perf_counter()
    law = compiled()
    read = time.perf_counter() - began
    began = time.perf_counter()
    mine = law_with(("listings", LISTING), ("meetings", MEETING))
    amended = time.perf_counter() - began
    one, many, asked = materials(1), materials(INSTRUMENTS), questions()

    def shipped(given: list[Material], by: Law) -> Callable[[], object]:
        return lambda: determine_shipment(given, movement=SALE, day=DAY, law=by)

    told = {
        "the tables read, once in a process": read,
        "a shop's own rows laid over them": amended,
        "a shipment of 1 instrument, 12 components": seconds(shipped(one, law)),
        f"one of {INSTRUMENTS}, {len(many)} components": seconds(shipped(many, law)),
        "the same by the shop's own edition": seconds(shipped(many, mine)),
        f"{INSTRUMENTS} questions of 12 parts": seconds(
            lambda: [determine(question) for question in asked]
        ),
    }
    for what, took in told.items():
        print(f"{what:<43}{took:8.3f} s")


if __name__ == "__main__":
    main()
