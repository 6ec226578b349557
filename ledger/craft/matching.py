"""The best matching of a graph: as many pairs as can be, at the least cost in all.

It is the optimum over all nodes together and no greedy choice; the library proves each
answer by its dual solution before it gives it. Of matchings that cost the same the one
with the least `tie` in all is taken. Nodes are numbers; whoever asks sorts what they
stand for, so that the answer does not hang on the order in which it was given.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import rustworkx

from ledger.quantities import factor

# Points are told to one place.
LEAST_TOLD = 100

Edge = tuple[int, int]


class Cost(NamedTuple):
    """What it costs to pair two nodes, and what decides between equals."""

    points_milli: int
    tie: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """Other pairs in place of a chosen one and perhaps a second, and what they cost.

    `extra_milli` is how much dearer all pairs together would be: 0 is as good. So many
    `others` would cost just the same.
    """

    instead: tuple[Edge, ...]
    broken: tuple[Edge, ...]
    extra_milli: int
    others: int = 0


def exchange_words(named: str, *, extra_milli: int, others: int) -> str:
    """Say what could stand instead, what it costs, and how many others cost the same.

    L26-001-07 with L26-001-09 would do as well, as would 2 other exchanges

    Source: the matching's own numbers.
    """
    words = (
        f"nearest exchange: {named}, {dearer_words(extra_milli)}"
        if extra_milli
        else f"{named} would do as well"
    )
    if not others:
        return words
    noun = "exchange" if others == 1 else "exchanges"
    return f"{words}, as would {others} other {noun}"


def dearer_words(extra_milli: int) -> str:
    """Say how much dearer all would be; what is dearer at all is never told as 0.0.

    Source: the matching's own numbers.
    """
    points = factor(extra_milli, places=1)
    if 0 < extra_milli < LEAST_TOLD:
        points = f"less than {factor(LEAST_TOLD, places=1)}"
    return f"{points} points more in all"


class Way(NamedTuple):
    """One exchange while all are compared: what stands instead, and what it costs."""

    instead: tuple[Edge, ...]
    broken: tuple[Edge, ...]
    extra_milli: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """The best matching and its graph; an edge has its lesser node first."""

    partner: dict[int, int]
    costs: dict[Edge, Cost]

    @property
    def pairs(self) -> list[Edge]:
        """The chosen pairs, in the order of their lesser nodes."""
        return sorted((a, b) for a, b in self.partner.items() if a < b)

    @property
    def total_milli(self) -> int:
        """What all chosen pairs cost together."""
        return sum(self.costs[pair].points_milli for pair in self.pairs)


def best_matching(costs: Mapping[Edge, Cost]) -> Matching:
    """Return the matching with the most pairs, of those the cheapest, of those by tie.

    Each edge has its lesser node first; every part of the graph is solved by itself.

    Source: J. Edmonds, Canadian Journal of Mathematics 17 (1965) 449-467, and Z. Galil,
    ACM Computing Surveys 18 (1986) 23-38: maximum weight matching in general graphs.
    """
    partner: dict[int, int] = {}
    for part in _parts(costs):
        for a, b in _solved(part):
            partner[a], partner[b] = b, a
    return Matching(partner=partner, costs=dict(costs))


def exchanges(matching: Matching) -> dict[Edge, Exchange]:
    """Return for each chosen pair the least dear exchange that would replace it.

    Source: see `ways_instead`.
    """
    found = {}
    for pair, ways in ways_instead(matching).items():
        if ways:
            best = ways[0]
            found[pair] = Exchange(
                instead=best.instead,
                broken=best.broken,
                extra_milli=best.extra_milli,
                others=sum(way.extra_milli == best.extra_milli for way in ways[1:]),
            )
    return found


def ways_instead(
    matching: Matching, *, held: set[int] | None = None
) -> dict[Edge, list[Way]]:
    """Return for each chosen pair every exchange that would replace it.

    An exchange gives one node of the pair a free partner, or swaps partners with one
    other pair; longer ones are not looked at. The cheaper come first, then those that
    disturb fewer. Of a pair's nodes only those `held` keep a partner for certain, if
    any are named.

    Source: an optimal matching has no exchange that makes it cheaper (alternating
    paths, C. Berge, PNAS 43 (1957) 842-844).
    """
    beside: dict[int, list[int]] = defaultdict(list)
    for a, b in matching.costs:
        beside[a].append(b)
        beside[b].append(a)
    found = {}
    for pair in matching.pairs:
        ways = {way.instead: way for way in _ways(pair, matching, beside, held)}
        found[pair] = sorted(ways.values(), key=_dearness)
    return found


def _dearness(way: Way) -> tuple[int, int, tuple[Edge, ...]]:
    """Rank exchanges: the cheaper, then the one that disturbs fewer, then the first."""
    return way.extra_milli, len(way.instead), way.instead


def _ways(
    pair: Edge,
    matching: Matching,
    beside: Mapping[int, list[int]],
    held: set[int] | None,
) -> Iterator[Way]:
    """Yield what could stand in place of a pair: a free partner, or a swap."""
    costs, partner = matching.costs, matching.partner
    here = costs[pair].points_milli
    for stays, leaves in (pair, pair[::-1]):
        if held is not None and stays not in held:
            continue
        for new in beside[stays]:
            if new == leaves:
                continue
            first, old = _edge(stays, new), partner.get(new)
            extra = costs[first].points_milli - here
            if old is None:
                yield Way((first,), (pair,), extra)
                continue
            second = _edge(leaves, old)
            if second in costs:
                broken = _edge(new, old)
                extra += costs[second].points_milli - costs[broken].points_milli
                instead = (first, second) if first < second else (second, first)
                yield Way(instead, (pair, broken), extra)


def _edge(a: int, b: int) -> Edge:
    return (a, b) if a < b else (b, a)


def _parts(costs: Mapping[Edge, Cost]) -> list[dict[Edge, Cost]]:
    """Return the edges of each part of the graph that hangs together, in order."""
    root: dict[int, int] = {}

    def top(node: int) -> int:
        while root.setdefault(node, node) != node:
            root[node] = root[root[node]]
            node = root[node]
        return node

    for a, b in costs:
        root[top(b)] = top(a)
    parts: dict[int, dict[Edge, Cost]] = {}
    for edge in sorted(costs):
        parts.setdefault(top(edge[0]), {})[edge] = costs[edge]
    return list(parts.values())


def _solved(part: Mapping[Edge, Cost]) -> list[Edge]:
    """Return the best pairs of one part, in integers, so that equal is equal."""
    nodes = sorted({node for edge in part for node in edge})
    place = {node: index for index, node in enumerate(nodes)}
    # One thousandth of a point outweighs every tie together.
    over = sum(cost.tie for cost in part.values()) + 1
    values = [cost.points_milli * over + cost.tie for cost in part.values()]
    base = max(values) + 1
    graph: rustworkx.PyGraph[int, int] = rustworkx.PyGraph(multigraph=False)
    graph.add_nodes_from(nodes)
    graph.add_edges_from(
        [
            (place[a], place[b], base - value)
            for (a, b), value in zip(part, values, strict=True)
        ]
    )
    chosen = rustworkx.max_weight_matching(
        graph, max_cardinality=True, weight_fn=int, verify_optimum=True
    )
    return sorted(_edge(nodes[a], nodes[b]) for a, b in chosen)
