"""Measure how long the slowest of many processes waits that all want one board.

Run it as `python tests/benchmarks/bench_race.py [STATIONS]`. Each has the shop and its
keys open and waits at a barrier; seconds count from there to its own answer. Beside
them stands one process that is alone and refused, in the same run.
"""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests import postgres, racing, skerrymoor
from tests.scenarios.test_race import CODE, allot_it, prepared
from tests.skerrymoor import Loft


def measure(name: str, loft: Loft, stations: int) -> None:
    """Print the slowest and the median wait, and that of somebody alone."""
    prepared(loft)
    seen = racing.race(loft, stations, allot_it, CODE)
    alone = racing.race(loft, 1, allot_it, CODE)[0].seconds
    waits = sorted(each.seconds for each in seen)
    kinds = [each.said[0] for each in seen]
    print(
        f"{name}: {kinds.count('won')} won, {kinds.count('taken')} told who has it, "
        f"{kinds.count('refused')} otherwise refused; slowest {waits[-1]:.2f} s, "
        f"median {waits[len(waits) // 2]:.2f} s, alone {alone * 1000:.0f} ms"
    )
    loft.shop.close()


def main() -> None:
    """Race on SQLite, and on PostgreSQL where there is a server to start."""
    stations = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        measure("sqlite", skerrymoor.opened(Path(folder)), stations)
    with (
        tempfile.TemporaryDirectory() as folder,
        postgres.server() as server,
        postgres.database(server) as url,
    ):
        measure("postgresql", skerrymoor.opened(Path(folder), database=url), stations)


if __name__ == "__main__":
    main()
