"""The next best way to serve an order: brute force agrees, and like orders are one."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.craft.nextbest import NextBest, next_best

Racks = tuple[dict[int, dict[int, int]], dict[int, str]]
# What each of six units costs the orders of a kind, None where it does not do.
KINDS = st.fixed_dictionaries(
    {
        kind: st.lists(st.none() | st.integers(0, 7), min_size=6, max_size=6)
        for kind in "abc"
    }
)


def laid_out(kinds: dict[str, list[int | None]], orders: list[str]) -> Racks:
    """Return what is offered to each order, and of which kind each is."""
    offers = {
        order: {unit: cost for unit, cost in enumerate(kinds[kind]) if cost is not None}
        for order, kind in enumerate(orders)
    }
    return offers, dict(enumerate(orders))


RACKS = st.builds(
    laid_out, KINDS, st.lists(st.sampled_from("abc"), min_size=1, max_size=5)
)


def every_way(offers: Mapping[int, Mapping[int, int]]) -> Iterator[dict[int, int]]:
    """Yield every way to serve all the orders."""
    units = sorted({unit for offered in offers.values() for unit in offered})
    for chosen in permutations(units, len(offers)):
        if all(unit in offers[order] for order, unit in enumerate(chosen)):
            yield dict(enumerate(chosen))


def cost(offers: Mapping[int, Mapping[int, int]], way: Mapping[int, int]) -> int:
    """Return what all orders cost together."""
    return sum(offers[order][unit] for order, unit in way.items())


@settings(max_examples=300)
@given(RACKS)
def test_no_other_way_that_differs_is_cheaper(rack: Racks) -> None:
    """Every way is tried in which the order's unit goes to none that is like it."""
    offers, likes = rack
    ways = list(every_way(offers))
    best = min(ways, key=lambda way: cost(offers, way), default=None)
    if best is None:
        return
    found = next_best(offers, best, likes)
    for order, unit in best.items():
        others = [
            cost(offers, way)
            for way in ways
            if all(way[like] != unit for like in best if likes[like] == likes[order])
        ]
        assert (order in found) == bool(others)
        if others:
            assert found[order].extra_milli == min(others) - cost(offers, best)


@settings(max_examples=300)
@given(RACKS)
def test_what_is_named_is_a_way_that_differs_and_costs_what_it_says(
    rack: Racks,
) -> None:
    """All orders are served, and like ones do not merely deal their own out anew."""
    offers, likes = rack
    best = min(every_way(offers), key=lambda way: cost(offers, way), default=None)
    if best is None:
        return
    for order, other in next_best(offers, best, likes).items():
        way = best | dict(other.instead)
        dealt = [
            Counter((likes[o], u) for o, u in each.items()) for each in (best, way)
        ]

        assert order in dict(other.instead)
        assert len(set(way.values())) == len(best)
        assert all(unit in offers[taker] for taker, unit in way.items())
        assert all(best[taker] != unit for taker, unit in other.instead)
        assert cost(offers, way) - cost(offers, best) == other.extra_milli
        assert dealt[0] != dealt[1]


@settings(max_examples=100)
@given(RACKS, st.randoms(use_true_random=False))
def test_the_order_in_which_offers_stand_is_nothing(rack: Racks, dice: object) -> None:
    """However the units of each offer are shuffled, the same way is named."""
    offers, likes = rack
    best = min(every_way(offers), key=lambda way: cost(offers, way), default={})
    shuffled = {}
    for order, offered in offers.items():
        units = [*offered.items()]
        dice.shuffle(units)  # type: ignore[attr-defined]
        shuffled[order] = dict(units)

    assert next_best(shuffled, best, likes) == next_best(offers, best, likes)


def test_of_equals_the_one_that_moves_the_fewest_is_named() -> None:
    """A free unit is as good as a chain over another order, and is simpler."""
    offers = {0: {0: 1, 1: 1, 2: 2}, 1: {1: 1, 3: 2}}

    assert next_best(offers, {0: 0, 1: 1}, {0: "a", 1: "b"})[0] == NextBest(
        instead=((0, 2),), extra_milli=1
    )


def test_a_chain_over_three_orders_is_found() -> None:
    """Nobody has a unit for the first, the second must give up its own, and so on."""
    offers = {0: {0: 0, 1: 0}, 1: {1: 0, 2: 0}, 2: {2: 0, 3: 5}}
    found = next_best(offers, {0: 0, 1: 1, 2: 2}, {0: "a", 1: "b", 2: "c"})

    assert found[0] == NextBest(instead=((0, 1), (1, 2), (2, 3)), extra_milli=5)
    assert found[2] == NextBest(instead=((2, 3),), extra_milli=5)


@pytest.mark.parametrize("likes", ["aa", "ab"])
def test_only_like_orders_that_swap_have_no_next_best(likes: str) -> None:
    """Two orders with two units: a swap is another way only where they are unlike."""
    offers = {0: {0: 1, 1: 2}, 1: {0: 1, 1: 2}}
    found = next_best(offers, {0: 0, 1: 1}, dict(enumerate(likes)))

    assert len(found) == (0 if likes == "aa" else 2)


def test_nothing_served_has_no_next_best() -> None:
    """Without orders there is nothing to exchange."""
    assert next_best({}, {}, {}) == {}
