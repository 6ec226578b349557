"""Measure the matching of two thousand boards, beside what the bare library needs.

Run it as `python tests/benchmarks/bench_match.py [BOARDS]`. Three racks: halves of many
lots of a hundred, whose best pairs are found among all; halves of one great lot, each
compared with its nearest; and open orders for a tenth of the pairs. The bare side is
the library's own matching on the very same edges, without a reason or a next best.
"""

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import rustworkx

from ledger.craft.likeness import Candidate, likeness
from ledger.craft.matching_policy import first_matching_policy, matching_policy
from ledger.craft.orders import best_for_orders
from ledger.craft.pairs import Pairing, best_pairs
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Band, Near, Wish, units_of
from ledger.ids import BoardId, LotId

BOARDS = 2_000
A_LOT = 100
MOST_OF_A_LOT = 1_998
POLICY = matching_policy(first_matching_policy())
TOP = Wanted(part="top", length_um=550_000, width_um=203_000, thickness_um=4_000)


def rack(boards: int, a_lot: int) -> list[Candidate]:
    """Return halves as a shop has them: boards differ, their halves hardly."""
    dice = random.Random(26)  # noqa: S311 - a rack, and no secret
    found = []
    for place in range(0, boards, 2):
        lot = LotId(year=26, number=1 + place // a_lot)
        number = 1 + place % a_lot // 2
        density, ratio, ring = (dice.gauss(1, share) for share in (0.05, 0.05, 0.15))
        for half in "AB":
            found.append(
                Candidate(
                    board=BoardId(lot=lot, number=number, half=half),
                    species="Picea abies",
                    length_um=560_000,
                    width_um=dice.randrange(202_000, 216_000),
                    thickness_um=4_500,
                    density_gram_per_m3=around(dice, 415_000, density),
                    across_pa=around(dice, 850_000_000, density**2),
                    radiation_ratio_milli=around(dice, 12_800, ratio),
                    ring_width_um=around(dice, 1_400, ring),
                )
            )
    dice.shuffle(found)
    return found


def around(dice: random.Random, value: int, share: float) -> int:
    """Return a value that one half of a board has, a per cent or so off its board's."""
    return round(value * share * dice.gauss(1, 0.01))


def bare(pairing: Pairing, boards: list[Candidate]) -> Callable[[], int]:
    """Return the bare library's work on the same boards, all lots as one graph."""
    unfit = {left.board for left in pairing.left}
    lots: dict[LotId, list[Candidate]] = {}
    for board in boards:
        if board.board not in unfit:
            lots.setdefault(board.board.lot, []).append(board)
    graph: rustworkx.PyGraph[int, int] = rustworkx.PyGraph()
    for lot in lots.values():
        first = graph.add_nodes_from(range(len(lot)))[0]
        for a in range(len(lot)):
            for b in range(a):
                like = likeness(lot[a], lot[b], POLICY)
                if not like.against:
                    graph.add_edge(first + a, first + b, 10**7 - like.points_milli)

    def work() -> int:
        return len(
            rustworkx.max_weight_matching(graph, max_cardinality=True, weight_fn=int)
        )

    return work


def timed(name: str, work: Callable[[], object]) -> float:
    """Print how long it took, the best of three; return its own work [s].

    Own work is what this process reckons, whatever else the machine does.
    """
    took, own = [], []
    for _ in range(3):
        began, reckoned = time.perf_counter(), time.process_time()
        work()
        took.append(time.perf_counter() - began)
        own.append(time.process_time() - reckoned)
    print(f"{name:28} {min(took):6.2f} s least {min(own):6.2f} s own work")
    return min(own)


def orders(number: int) -> list[Wish]:
    """Return open orders that wish for densities and radiation ratios."""
    dice = random.Random(7)  # noqa: S311 - wishes, and no secret
    return [
        Wish(
            order=f"26-{place:04d}",
            due=f"2027-{1 + place % 12:02d}-15",
            wanted=TOP,
            bands=(Band(trait="density", least=380_000),) if place % 3 else (),
            near=(
                Near(trait="density", value=dice.randrange(390_000, 440_000)),
                Near(trait="radiation ratio", value=dice.randrange(12_000, 14_000)),
            ),
        )
        for place in range(number)
    ]


def main() -> None:
    """Match boards of many lots, of one lot, and pairs with orders."""
    number = int(sys.argv[1]) if sys.argv[1:] else BOARDS
    boards = rack(number, A_LOT)
    pairing = best_pairs(boards, TOP, POLICY)
    print(f"{len(boards)} boards, {len(pairing.pairs)} pairs, {len(pairing.left)} left")
    ours = timed("lots of a hundred", lambda: best_pairs(boards, TOP, POLICY))
    library = timed("the bare library, one graph", bare(pairing, boards))
    print(f"{'ratio of own work':28} {ours / library:6.2f}")

    great = rack(min(number, MOST_OF_A_LOT), MOST_OF_A_LOT)
    timed("one great lot", lambda: best_pairs(great, TOP, POLICY))

    units = units_of(pairing, boards)
    wishes = orders(len(units) // 10)
    print(f"{len(wishes)} orders, {len(units)} pairs")
    timed("orders", lambda: best_for_orders(wishes, units, POLICY))


if __name__ == "__main__":
    main()
