"""The best bookmatched pairs from the boards at hand, all of them taken together."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from ledger.craft.likeness import (
    Candidate,
    Likeness,
    costs_between,
    likeness,
    likeness_words,
)
from ledger.craft.matching import (
    Cost,
    Edge,
    Exchange,
    Matching,
    best_matching,
    exchange_words,
    exchanges,
)
from ledger.craft.matching_policy import MatchingPolicy
from ledger.craft.policy import binomial
from ledger.craft.wanted import Wanted, faults_of
from ledger.errors import RefusedError
from ledger.ids import BoardId

METHOD = "minimum-cost maximum matching in a general graph/1"
# Up to so many boards each is compared with every other one.
COMPARED_WHOLE = 200
# In a larger heap with the next ones by density and by code, of which the best remain.
BESIDE_BY_DENSITY = 60
BESIDE_BY_CODE = 4
NEAREST = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerUp:
    """What would do nearly as well as a chosen pair, or just as well.

    `extra_milli` is how much more all pairs together would cost then; 0 is a tie.
    """

    pairs: tuple[tuple[BoardId, BoardId], ...]
    left: tuple[BoardId, ...]
    extra_milli: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two boards that belong together, with every reason and the next best."""

    boards: tuple[BoardId, BoardId]
    likeness: Likeness
    reasons: tuple[str, ...]
    runner_up: RunnerUp | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A board that has no partner, and every reason."""

    board: BoardId
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """All pairs, the most alike first; what was left; how it was found.

    `remarks` say what was not looked at.
    """

    pairs: tuple[Pair, ...]
    left: tuple[Left, ...]
    points_milli: int
    policy: str
    method: str
    remarks: tuple[str, ...]


def best_pairs(
    boards: Sequence[Candidate], wanted: Wanted, policy: MatchingPolicy
) -> Pairing:
    """Return as many pairs as can be made, and of all such ways the cheapest in points.

    Of ways that cost the same, the one whose codes lie nearest together is taken, and
    then the one with the lower codes.

    Source: the shop's policy for the points; nature sets none.
    """
    ordered = sorted(boards, key=lambda board: board.board)
    _require_once(ordered)
    faults = [faults_of(board, wanted) for board in ordered]
    fit = [place for place, found in enumerate(faults) if not found]
    heaps = _heaps(ordered, fit, policy)
    points = {
        edge: cost
        for heap in heaps
        for edge, cost in _compared(ordered, heap, policy).items()
    }
    matching = _best(points)
    leftovers = _leftovers(heaps, matching)
    # Each turn makes more pairs, and of another best matching others may be left.
    while more := _among(ordered, _leftovers(heaps, matching), policy):
        points |= more
        matching = _best(points)
    instead = exchanges(matching)
    pairs = [_pair(ordered, edge, policy, instead.get(edge)) for edge in matching.pairs]
    why_lonely = _lonely(ordered, heaps, points)
    left = [
        Left(
            board=board.board,
            reasons=tuple(fault.words for fault in faults[place])
            or (why_lonely[place],),
        )
        for place, board in enumerate(ordered)
        if place not in matching.partner
    ]
    return Pairing(
        pairs=tuple(
            sorted(pairs, key=lambda pair: (pair.likeness.points_milli, pair.boards))
        ),
        left=tuple(left),
        points_milli=matching.total_milli,
        policy=policy.name,
        method=METHOD,
        remarks=_remarks(heaps, leftovers),
    )


def _require_once(ordered: Sequence[Candidate]) -> None:
    codes = [board.board for board in ordered]
    twice = next((a for a, b in pairwise(codes) if a == b), None)
    if twice is not None:
        raise RefusedError(f"board {twice} stands twice among the boards: name it once")


def _heaps(
    boards: Sequence[Candidate], fit: Sequence[int], policy: MatchingPolicy
) -> list[list[int]]:
    """Part the boards that do into heaps within which pairs can be."""
    heaps: dict[tuple[str, object], list[int]] = defaultdict(list)
    for place in fit:
        board = boards[place]
        lot = None if "strangers" in policy.kin else board.board.lot
        heaps[binomial(board.species), lot].append(place)
    return list(heaps.values())


def _compared(
    boards: Sequence[Candidate], heap: Sequence[int], policy: MatchingPolicy
) -> dict[Edge, int]:
    """Return every pair that a heap allows, or of a large heap the nearest ones."""
    if _is_whole(heap):
        return costs_between(boards, combinations(heap, 2), policy)
    near = costs_between(boards, _nearby(boards, heap), policy)
    met = {place for edge in near for place in edge}
    # Of one that none of these goes with it is to be known whether any does.
    alone = [place for place in heap if place not in met]
    every = ((min(a, b), max(a, b)) for a in alone for b in heap if a != b)
    return _nearest(near | costs_between(boards, every, policy))


def _best(points: dict[Edge, int]) -> Matching:
    """Return the best pairs; of equals those whose codes lie nearest together."""
    size = 1 + max((b for _, b in points), default=0)
    return best_matching(
        {
            (a, b): Cost(points_milli=cost, tie=(b - a) * size + a)
            for (a, b), cost in points.items()
        }
    )


def _leftovers(heaps: Sequence[Sequence[int]], matching: Matching) -> list[list[int]]:
    """Return of each large heap the boards that are left; of a whole one none."""
    return [
        []
        if _is_whole(heap)
        else [place for place in heap if place not in matching.partner]
        for heap in heaps
    ]


def _among(
    boards: Sequence[Candidate],
    leftovers: Sequence[Sequence[int]],
    policy: MatchingPolicy,
) -> dict[Edge, int]:
    """Return the pairs that boards left of a large heap make with each other.

    None was weighed before, for two that were would not both be left.
    """
    more: dict[Edge, int] = {}
    for left in leftovers:
        more |= costs_between(boards, combinations(left[:COMPARED_WHOLE], 2), policy)
    return more


def _is_whole(heap: Sequence[int]) -> bool:
    return len(heap) <= COMPARED_WHOLE


def _nearby(boards: Sequence[Candidate], heap: Sequence[int]) -> Iterator[Edge]:
    """Yield boards that lie near each other by code or by density, each pair once."""
    by_density = sorted(heap, key=lambda p: (boards[p].density_gram_per_m3 or 0, p))
    seen = set()
    for line, reach in ((heap, BESIDE_BY_CODE), (by_density, BESIDE_BY_DENSITY)):
        for index, one in enumerate(line):
            for other in line[index + 1 : index + 1 + reach]:
                edge = (min(one, other), max(one, other))
                if edge not in seen:
                    seen.add(edge)
                    yield edge


def _nearest(points: dict[Edge, int]) -> dict[Edge, int]:
    """Keep a pair where it is among the best of either of its boards."""
    beside: dict[int, list[tuple[int, Edge]]] = defaultdict(list)
    for edge, cost in points.items():
        for place in edge:
            beside[place].append((cost, edge))
    kept = {edge for found in beside.values() for _, edge in sorted(found)[:NEAREST]}
    return {edge: points[edge] for edge in sorted(kept)}


def _remarks(
    heaps: Sequence[Sequence[int]], leftovers: Sequence[Sequence[int]]
) -> tuple[str, ...]:
    return tuple(
        f"of {len(heap)} boards together each was compared with its nearest by code "
        f"and density, and its {NEAREST} most alike were weighed against each other"
        f"{_once_more(len(left))}"
        for heap, left in zip(heaps, leftovers, strict=True)
        if not _is_whole(heap)
    )


def _once_more(left: int) -> str:
    """Say that those that were left were compared among themselves, and how many."""
    if left < 2:
        return ""
    if left <= COMPARED_WHOLE:
        return f"; the {left} left over were compared once more, all with each other"
    return (
        f"; the first {COMPARED_WHOLE} of {left} left over were compared once more, "
        f"all with each other"
    )


def _pair(
    boards: Sequence[Candidate],
    edge: Edge,
    policy: MatchingPolicy,
    instead: Exchange | None,
) -> Pair:
    one, other = (boards[place] for place in edge)
    like = likeness(one, other, policy)
    return Pair(
        boards=(one.board, other.board),
        likeness=like,
        reasons=likeness_words(one, other, like),
        runner_up=_runner_up(boards, instead) if instead else None,
    )


def _runner_up(boards: Sequence[Candidate], instead: Exchange) -> RunnerUp:
    pairs = tuple((boards[a].board, boards[b].board) for a, b in instead.instead)
    used = {board for pair in pairs for board in pair}
    before = [boards[place].board for edge in instead.broken for place in edge]
    named = " and ".join(f"{one} with {other}" for one, other in pairs)
    return RunnerUp(
        pairs=pairs,
        left=tuple(board for board in before if board not in used),
        extra_milli=instead.extra_milli,
        words=exchange_words(
            named, extra_milli=instead.extra_milli, others=instead.others
        ),
    )


def _lonely(
    boards: Sequence[Candidate],
    heaps: Sequence[Sequence[int]],
    points: dict[Edge, int],
) -> dict[int, str]:
    """Say for each board that would do why it may have no partner."""
    meets = {place for edge in points for place in edge}
    return {
        place: _why_lonely(boards[place], len(heap) - 1, meets=place in meets)
        for heap in heaps
        for place in heap
    }


def _why_lonely(board: Candidate, others: int, *, meets: bool) -> str:
    if meets and others >= COMPARED_WHOLE:
        return "every board that it was weighed against is in another pair"
    if meets:
        return "the odd one out: every board that would go with it is in another pair"
    if others:
        boards = "board" if others == 1 else "boards"
        return f"none of {others} other {boards} of {board.species} is near enough"
    return f"no other board of {board.species} that it may be paired with would do"
