"""The best matching: brute force and another library agree, and ties go by rule."""

from collections.abc import Iterator

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.matching import (
    Cost,
    Edge,
    best_matching,
    dearer_words,
    exchanges,
    ways_instead,
)

EDGES = st.tuples(st.integers(0, 7), st.integers(0, 7)).filter(lambda e: e[0] < e[1])
COSTS = st.dictionaries(
    EDGES, st.builds(Cost, points_milli=st.integers(0, 6), tie=st.integers(0, 9))
)
LARGE = st.dictionaries(
    st.tuples(st.integers(0, 30), st.integers(0, 30)).filter(lambda e: e[0] < e[1]),
    st.builds(Cost, points_milli=st.integers(0, 10**9), tie=st.just(0)),
    min_size=20,
    max_size=120,
)


def every_matching(edges: list[Edge]) -> Iterator[tuple[Edge, ...]]:
    """Yield every set of edges that share no node."""
    if not edges:
        yield ()
        return
    first, rest = edges[0], edges[1:]
    yield from every_matching(rest)
    for others in every_matching([e for e in rest if not {*e} & {*first}]):
        yield (first, *others)


def worth(pairs: tuple[Edge, ...], costs: dict[Edge, Cost]) -> tuple[int, int, int]:
    """Return what decides: fewest missing, then least points, then least tie."""
    return (
        -len(pairs),
        sum(costs[pair].points_milli for pair in pairs),
        sum(costs[pair].tie for pair in pairs),
    )


@given(COSTS)
def test_no_other_matching_is_better(costs: dict[Edge, Cost]) -> None:
    """All matchings of every small graph are tried, and none is better."""
    found = best_matching(costs)
    best = min(worth(pairs, costs) for pairs in every_matching(list(costs)))

    assert worth(tuple(found.pairs), costs) == best
    assert found.total_milli == best[1]
    assert all(found.partner[b] == a for a, b in found.partner.items())


@given(LARGE)
def test_another_library_finds_the_same_cost(costs: dict[Edge, Cost]) -> None:
    """On larger graphs with blossoms an independent implementation agrees."""
    graph = nx.Graph()
    graph.add_weighted_edges_from(
        (a, b, -c.points_milli) for (a, b), c in costs.items()
    )
    pairs = [
        (min(e), max(e)) for e in nx.max_weight_matching(graph, maxcardinality=True)
    ]
    found = best_matching(costs)

    assert worth(tuple(found.pairs), costs) == worth(tuple(pairs), costs)


@given(COSTS, st.randoms(use_true_random=False))
def test_the_order_in_which_edges_are_given_is_nothing(
    costs: dict[Edge, Cost], dice: object
) -> None:
    """However the edges are shuffled the very same pairs come out."""
    edges = list(costs)
    dice.shuffle(edges)  # type: ignore[attr-defined]

    assert best_matching({e: costs[e] for e in edges}).pairs == (
        best_matching(costs).pairs
    )


@given(COSTS)
def test_exchanges_cost_what_they_say_and_never_save(costs: dict[Edge, Cost]) -> None:
    """Each exchange is a matching as large as the best, and dearer by what it says."""
    found = best_matching(costs)
    for pair, other in exchanges(found).items():
        pairs = [p for p in found.pairs if p not in other.broken] + [*other.instead]
        nodes = [node for edge in pairs for node in edge]
        total = sum(costs[edge].points_milli for edge in pairs)

        assert pair in other.broken
        assert pair not in other.instead
        assert len(nodes) == len(set(nodes)) == 2 * len(found.pairs)
        assert other.extra_milli == total - found.total_milli >= 0


@given(COSTS)
def test_a_tie_by_one_exchange_is_always_seen(costs: dict[Edge, Cost]) -> None:
    """Where another best matching differs by one exchange, it is named as a tie."""
    found = best_matching(costs)
    told = exchanges(found)
    rivals = [
        pairs
        for pairs in every_matching(list(costs))
        if worth(pairs, costs)[:2] == worth(tuple(found.pairs), costs)[:2]
    ]
    for rival in rivals:
        lost, won = {*found.pairs} - {*rival}, {*rival} - {*found.pairs}
        shared = {n for e in lost for n in e} & {n for e in won for n in e}
        if len(lost) == len(won) == 1 and shared:
            assert told[next(iter(lost))].extra_milli == 0


@given(COSTS)
def test_every_simple_exchange_is_listed_the_cheapest_first(
    costs: dict[Edge, Cost],
) -> None:
    """Of each pair just those matchings as large that a swap or a free node makes."""
    found = best_matching(costs)
    size = len(found.pairs)
    rivals = [frozenset(p) for p in every_matching(list(costs)) if len(p) == size]
    for pair, ways in ways_instead(found).items():
        told = [frozenset({*found.pairs} - {*w.broken} | {*w.instead}) for w in ways]
        nodes = {*pair}
        near = []
        for rival in rivals:
            lost, won = {*found.pairs} - rival, rival - {*found.pairs}
            old, new = ({n for e in es for n in e} for es in (lost, won))
            if pair in lost and len(lost) <= 2 and (len(lost) == 1 or old == new):
                near += [rival] if nodes & new else []

        assert set(told) == set(near) and len(told) == len(set(told))
        extras = [way.extra_milli for way in ways]
        assert extras == sorted(extras)


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        (0, "0.0 points more in all"),
        (1, "less than 0.1 points more in all"),
        (99, "less than 0.1 points more in all"),
        (100, "0.1 points more in all"),
        (39_024, "39.0 points more in all"),
    ],
)
def test_what_is_dearer_is_never_told_as_nothing(extra: int, words: str) -> None:
    """A thousandth of a point decides, and is not printed as none."""
    assert dearer_words(extra) == words


def test_as_many_pairs_as_can_be_come_before_cost() -> None:
    """Two dear pairs are better than one cheap one that leaves two alone."""
    cheap, dear = Cost(points_milli=0, tie=0), Cost(points_milli=900, tie=0)

    assert best_matching({(1, 2): cheap, (0, 1): dear, (2, 3): dear}).pairs == [
        (0, 1),
        (2, 3),
    ]


def test_a_greedy_hand_would_do_worse() -> None:
    """The nearest two are parted where all together gain by it."""
    costs = {(0, 1): 2, (2, 3): 90, (0, 2): 10, (1, 3): 10, (0, 3): 60, (1, 2): 60}
    found = best_matching({e: Cost(points_milli=c, tie=0) for e, c in costs.items()})

    assert found.pairs == [(0, 2), (1, 3)]


@pytest.mark.parametrize("size", [4, 6, 9, 30])
def test_a_tie_never_outweighs_a_thousandth_of_a_point(size: int) -> None:
    """However large the ties, fewer points win."""
    costs = {
        (a, b): Cost(points_milli=0 if b == a + 1 and a % 2 == 0 else 1, tie=0)
        for a in range(size)
        for b in range(a + 1, size)
    }
    for a in range(0, size - 1, 2):
        costs[a, a + 1] = Cost(points_milli=0, tie=10**9)

    assert best_matching(costs).total_milli == 0


def test_nothing_to_pair_is_no_pair() -> None:
    """A graph without an edge has an empty matching and no exchange."""
    found = best_matching({})

    assert (found.pairs, found.total_milli, exchanges(found)) == ([], 0, {})
