"""The next best way to serve an order, where all orders together are served best.

Orders that wish the same are like each other: which of them gets which of their boards
is nothing. So the next best is not the same boards dealt out otherwise among them; the
board that an order has goes to none that is like it.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

Offers = Mapping[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextBest:
    """Which orders get which other units, and how much dearer all is then."""

    instead: tuple[tuple[int, int], ...]
    extra_milli: int


class Step(NamedTuple):
    """A group of like orders, or the rack, takes a unit from another, at this cost."""

    cost: int
    unit: int


class Came(NamedTuple):
    """From which group a chain came, which took this unit."""

    group: int
    unit: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Groups:
    """Orders in groups of like ones, and the rack as the last group.

    `steps` are the cheapest units that a group can take from each other one, with what
    that adds; the rack takes a unit that an order is served better without. Costs are
    by `scale`, and one more for each taking, so that of equals the one with the fewest
    is found. `depths` are the least that any chain of steps costs down to a group; they
    make the search short.
    """

    of: Mapping[int, int]
    offers: Sequence[Offers]
    holder: Mapping[int, int]
    steps: Sequence[Mapping[int, Step]]
    depths: Sequence[int]
    scale: int

    @property
    def rack(self) -> int:
        """The group of the units that no order has."""
        return len(self.offers)


def next_best(
    offers: Mapping[int, Offers],
    holds: Mapping[int, int],
    likes: Mapping[int, Hashable],
) -> dict[int, NextBest]:
    """Return the next best for each order, of all ways to serve the same orders.

    offers  what each unit would cost an order; the same for orders that are like
    holds   the unit of each order that is served, which together cost the least
    likes   what an order wishes: those that wish the same are like each other

    Of an order without any other way there is none.

    Source: what differs between two assignments falls into alternating chains (C.
    Berge, PNAS 43 (1957) 842-844), of which the cheapest is a shortest path, E. W.
    Dijkstra, Numerische Mathematik 1 (1959) 269-271, in costs made positive, J.
    Edmonds and R. M. Karp, Journal of the ACM 19 (1972) 248-264 (from memory).
    """
    groups = _groups(offers, holds, likes)
    found = {order: _cheapest(groups, order, unit) for order, unit in holds.items()}
    return {order: best for order, best in found.items() if best is not None}


def _groups(
    offers: Mapping[int, Offers],
    holds: Mapping[int, int],
    likes: Mapping[int, Hashable],
) -> Groups:
    numbers: dict[Hashable, int] = {}
    of = {order: numbers.setdefault(likes[order], len(numbers)) for order in holds}
    any_of = {number: order for order, number in of.items()}
    ours = [offers[any_of[number]] for number in range(len(numbers))]
    owners = {unit: of[order] for order, unit in holds.items()}
    scale = len(numbers) + 3
    steps = [_steps(number, ours, owners, scale) for number in range(len(ours))]
    back: dict[int, Step] = {}
    for unit, owner in owners.items():
        step = Step(1 - ours[owner][unit] * scale, unit)
        back[owner] = min(step, back.get(owner, step))
    steps.append(back)
    return Groups(
        of=of,
        offers=ours,
        holder={unit: order for order, unit in holds.items()},
        steps=steps,
        depths=_depths(steps),
        scale=scale,
    )


def _steps(
    number: int, ours: Sequence[Offers], owners: Mapping[int, int], scale: int
) -> dict[int, Step]:
    """Return the cheapest unit that a group can take from each other, or the rack."""
    rack = len(ours)
    near: dict[int, Step] = {}
    for unit, points in ours[number].items():
        owner = owners.get(unit, rack)
        if owner != number:
            back = 0 if owner == rack else ours[owner][unit]
            step = Step((points - back) * scale + 1, unit)
            near[owner] = min(step, near.get(owner, step))
    return near


def _depths(steps: Sequence[Mapping[int, Step]]) -> list[int]:
    """Return the least that any chain of steps costs that ends in each group."""
    depths = [0] * len(steps)
    # The best assignment has no round of steps that saves, so this many turns do.
    for _ in steps:
        before = [*depths]
        for depth, near in zip(before, steps, strict=True):
            for there, step in near.items():
                depths[there] = min(depths[there], depth + step.cost)
        if depths == before:
            break
    return depths


def _cheapest(groups: Groups, order: int, unit: int) -> NextBest | None:
    """Return the cheapest chain that starts where an order gives up its unit.

    It ends on the rack, or where a group that is not like takes this unit.
    """
    start, depths = groups.of[order], groups.depths
    given_up = groups.offers[start][unit] * groups.scale
    least = min(depths[groups.rack], depths[start] + given_up)
    costs, came = {start: 0}, dict[int, Came]()
    waiting, done = [(-depths[start], start)], set[int]()
    ends: list[tuple[int, int]] = []
    while waiting:
        rise, here = heappop(waiting)
        if ends and rise + least >= min(ends)[0]:
            break
        if here in done:
            continue
        done.add(here)
        if here == groups.rack:
            ends.append((costs[here], here))
        elif here != start and unit in groups.offers[here]:
            takes = groups.offers[here][unit] * groups.scale + 1
            ends.append((costs[here] + takes, here))
        for there, step in groups.steps[here].items():
            cost = costs[here] + step.cost
            if there not in costs or cost < costs[there]:
                costs[there], came[there] = cost, Came(here, step.unit)
                heappush(waiting, (cost - depths[there], there))
    if not ends:
        return None
    cost, end = min(ends)
    last = () if end == groups.rack else (unit,)
    units = (*_passed(came, end), *last)
    return NextBest(
        instead=_takings(groups, order, units),
        extra_milli=(cost - given_up) // groups.scale,
    )


def _passed(came: Mapping[int, Came], end: int) -> tuple[int, ...]:
    """Return the units that are taken along a chain, down to its end."""
    units, here = [], end
    while here in came:
        units.append(came[here].unit)
        here = came[here].group
    return tuple(reversed(units))


def _takings(
    groups: Groups, order: int, units: Sequence[int]
) -> tuple[tuple[int, int], ...]:
    """Return which order takes which unit; what the rack takes nobody has."""
    takers = [order, *(groups.holder.get(unit) for unit in units[:-1])]
    pairs = zip(takers, units, strict=True)
    return tuple(sorted((taker, unit) for taker, unit in pairs if taker is not None))
