"""The best boards and pairs for the open orders, all orders taken together.

As many orders are served as can be; where they cannot all be, those that are due first.
Of all ways to serve those, the one with the fewest points is taken; of equals the one
that gives the older wood to the earlier order.

The next best for an order is one where its boards go to no order that wishes the same,
for among like orders it is nothing which of them has which boards.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.craft.matching import (
    Cost,
    Edge,
    Matching,
    best_matching,
    exchange_words,
    ways_instead,
)
from ledger.craft.matching_policy import MatchingPolicy
from ledger.craft.nextbest import next_best
from ledger.craft.wanted import Fault, Wanted, tally
from ledger.craft.wishes import Band, Unit, Wish, points_of, unit_faults, wish_words
from ledger.errors import RefusedError
from ledger.ids import BoardId

METHOD = "minimum-cost assignment/1"
# An exchange of more orders than these is told in short.
MOST_NAMED = 3

Asks = tuple[Wanted, tuple[Band, ...]]
Faults = tuple[Fault, ...]
Offers = dict[int, int]
Takings = tuple[tuple[int, int], ...]
Taken = tuple[str, Unit]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerUp:
    """Another way to serve an order, and how many points more all would cost then.

    `served` has this order first, then those that would get other boards than now.
    Where nothing else would do it is a swap with an order that wishes the same.
    """

    served: tuple[tuple[str, tuple[BoardId, ...]], ...]
    extra_milli: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """An order's part and the boards for it, with every reason and the next best."""

    order: str
    part: str
    boards: tuple[BoardId, ...]
    points_milli: int
    reasons: tuple[str, ...]
    runner_up: RunnerUp | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unserved:
    """An order's part that no board is left for, and why."""

    order: str
    part: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """What every open order gets, the earliest first, and which get nothing.

    `alike` are those served that wish the same, group by group.
    """

    served: tuple[Served, ...]
    unserved: tuple[Unserved, ...]
    alike: tuple[tuple[str, ...], ...]
    points_milli: int
    policy: str
    method: str = METHOD


def best_for_orders(
    wishes: Sequence[Wish], units: Sequence[Unit], policy: MatchingPolicy
) -> Assignment:
    """Return the boards for each order, the best over all orders together.

    Source: the shop's policy for the points; nature sets none.
    """
    asked = sorted(wishes, key=lambda wish: (wish.due, wish.order, wish.wanted.part))
    rack = sorted(units, key=lambda unit: unit.codes)
    _require_once(asked, rack)
    faults = _faults(asked, rack)
    offers = [_offers(w, rack, faults[w.asks], policy, len(asked)) for w in asked]
    takers = _first_served(offers)
    matching = best_matching(_costs(offers, takers))
    instead = _next_best(asked, rack, offers, matching)
    holders = {unit - len(asked): asked[order].order for order, unit in matching.pairs}
    return Assignment(
        served=tuple(
            _served(asked, rack, edge, matching.costs[edge], instead.get(edge[0]))
            for edge in matching.pairs
        ),
        unserved=tuple(
            _unserved(wish, offers[place], faults[wish.asks], holders)
            for place, wish in enumerate(asked)
            if place not in matching.partner
        ),
        points_milli=matching.total_milli,
        alike=_alike([asked[order] for order, _ in matching.pairs]),
        policy=policy.name,
    )


def _faults(asked: Sequence[Wish], rack: Sequence[Unit]) -> dict[Asks, list[Faults]]:
    """Return why each unit does not do, once for all orders that ask for the same."""
    return {
        wish.asks: [unit_faults(wish, unit) for unit in rack]
        for wish in {wish.asks: wish for wish in asked}.values()
    }


def _offers(
    wish: Wish,
    rack: Sequence[Unit],
    faults: Sequence[Faults],
    policy: MatchingPolicy,
    orders: int,
) -> Offers:
    """Return what the units that do would cost an order, the best of them only.

    It takes no more than there are orders, for the others can take but one each; one
    more is kept as a runner-up.
    """
    found = {
        place: points_of(wish, unit, policy)
        for place, unit in enumerate(rack)
        if not faults[place]
    }
    best = sorted(found, key=lambda place: (found[place], place))[: orders + 1]
    return {place: found[place] for place in best}


def _first_served(offers: Sequence[Offers]) -> list[int]:
    """Return the orders that can be served together, the earlier ones before others.

    Each order in turn takes a unit, if need be one that an earlier order can change for
    another; whoever was served once stays served.

    Source: the orders that can be served together form a matroid, J. Edmonds and D. R.
    Fulkerson, Journal of Research NBS 69B (1965) 147-153 (from memory).
    """
    holds: dict[int, int] = {}
    return [order for order in range(len(offers)) if _takes(order, offers, holds)]


def _takes(order: int, offers: Sequence[Offers], holds: dict[int, int]) -> bool:
    """Find an order a unit, moving others where they can move; tell whether it did."""
    holder = {unit: taker for taker, unit in holds.items()}
    came_by: dict[int, int] = {}
    waiting = [order]
    for asker in waiting:
        for unit in offers[asker]:
            if unit in came_by:
                continue
            came_by[unit] = asker
            if unit not in holder:
                _move(unit, came_by, holds)
                return True
            waiting.append(holder[unit])
    return False


def _move(unit: int, came_by: Mapping[int, int], holds: dict[int, int]) -> None:
    """Give a free unit to whoever asked, and what that one held to the next."""
    free: int | None = unit
    while free is not None:
        taker = came_by[free]
        left = holds.get(taker)
        holds[taker] = free
        free = left


def _costs(offers: Sequence[Offers], takers: Sequence[int]) -> dict[Edge, Cost]:
    """Return the edges between orders and units; units come after all orders."""
    orders = len(offers)
    return {
        (order, orders + unit): Cost(points_milli=points, tie=(orders - order) * unit)
        for order in takers
        for unit, points in offers[order].items()
    }


def _alike(wishes: Sequence[Wish]) -> tuple[tuple[str, ...], ...]:
    groups: dict[object, list[str]] = defaultdict(list)
    for wish in wishes:
        groups[wish.likes].append(wish.order)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)


def _next_best(
    asked: Sequence[Wish],
    rack: Sequence[Unit],
    offers: Sequence[Offers],
    matching: Matching,
) -> dict[int, RunnerUp]:
    """Return the next best for each order that was served, as far as there is one."""
    orders = len(asked)
    holds = {order: unit - orders for order, unit in matching.pairs}
    likes = {order: asked[order].likes for order in holds}
    others = next_best(dict(enumerate(offers)), holds, likes)
    found = {}
    for (order, _), ways in ways_instead(matching, held=set(holds)).items():
        simple = {
            tuple(
                (taker, unit - orders) for taker, unit in way.instead
            ): way.extra_milli
            for way in ways
        }
        if order in others:
            served = _taken(asked, rack, others[order].instead, order)
            extra, instead = others[order].extra_milli, others[order].instead
            alike = {way for way, dearer in simple.items() if dearer == extra}
            found[order] = _runner_up(served, extra, len(alike - {instead}))
        elif simple:
            swap = next(iter(simple))
            found[order] = _mere_swap(_taken(asked, rack, swap, order))
    return found


def _served(
    asked: Sequence[Wish],
    rack: Sequence[Unit],
    edge: Edge,
    cost: Cost,
    runner_up: RunnerUp | None,
) -> Served:
    wish, unit = asked[edge[0]], rack[edge[1] - len(asked)]
    return Served(
        order=wish.order,
        part=wish.wanted.part,
        boards=unit.codes,
        points_milli=cost.points_milli,
        reasons=wish_words(wish, unit),
        runner_up=runner_up,
    )


def _runner_up(served: Sequence[Taken], extra_milli: int, others: int) -> RunnerUp:
    """Return another way; so many other simple exchanges cost the same."""
    named = " and ".join(f"{unit.words} for {order}" for order, unit in served)
    if len(served) > MOST_NAMED:
        order, unit = served[0]
        more = f"other boards for {len(served) - 1} other orders"
        named = f"{unit.words} for {order}, with {more}"
    return RunnerUp(
        served=tuple((order, unit.codes) for order, unit in served),
        extra_milli=extra_milli,
        words=exchange_words(named, extra_milli=extra_milli, others=others),
    )


def _mere_swap(served: Sequence[Taken]) -> RunnerUp:
    """Say that nothing would do but a swap with an order that wishes the same."""
    swapped = " and ".join(sorted(order for order, _ in served))
    return RunnerUp(
        served=tuple((order, unit.codes) for order, unit in served),
        extra_milli=0,
        words=f"nothing else would do: {swapped} wish the same and could only swap",
    )


def _taken(
    asked: Sequence[Wish], rack: Sequence[Unit], instead: Takings, first: int
) -> list[Taken]:
    """Return who would take what, the order that is spoken of first."""
    ways = sorted(instead, key=lambda way: (way[0] != first, way))
    return [(asked[order].order, rack[unit]) for order, unit in ways]


def _unserved(
    wish: Wish, offers: Offers, faults: Sequence[Faults], holders: Mapping[int, str]
) -> Unserved:
    """Say why an order gets nothing: nothing does, or others have what would."""
    thing = "pair" if wish.wanted.pieces > 1 else "board"
    if offers:
        takers = sorted({holders[unit] for unit in offers if unit in holders})
        reason = f"every {thing} that would do goes to {', '.join(takers)}"
    elif faults:
        reason = f"none of {len(faults)} on the rack will do: {tally(faults)}"
    else:
        reason = f"there is no {thing} on the rack"
    return Unserved(order=wish.order, part=wish.wanted.part, reason=reason)


def _require_once(asked: Sequence[Wish], rack: Sequence[Unit]) -> None:
    codes = Counter(board.board for unit in rack for board in unit.boards)
    twice = next((code for code, number in codes.items() if number > 1), None)
    if twice is not None:
        raise RefusedError(
            f"board {twice} is in two pairs at once: offer it in one of them"
        )
    parts = Counter((wish.order, wish.wanted.part) for wish in asked)
    double = next((part for part, number in parts.items() if number > 1), None)
    if double is not None:
        raise RefusedError(
            f"order {double[0]} asks for {double[1]} twice: ask for it once"
        )
