"""Boards matched: the best pairs of a rack, the best wood for builds, what was chosen.

A match is the shop's judgement of the day, and nothing is allotted by it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.candidates import (
    Heard,
    Rack,
    candidates,
    heard,
    rack_of,
    species_in,
)
from ledger.acts.names import checked_words
from ledger.acts.policies import matching_rules
from ledger.acts.rejects import require_kept
from ledger.acts.resting import rack_of as rest_of
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.wishing import Orders, require_grades, require_open, wishes_of
from ledger.craft.likeness import Candidate, Likeness, likeness, likeness_words
from ledger.craft.matching_policy import MatchingPolicy
from ledger.craft.orders import Assignment, Served, best_for_orders
from ledger.craft.pairs import Left, Pair, Pairing, best_pairs
from ledger.craft.policy import binomial
from ledger.craft.wanted import Wanted, faults_of
from ledger.craft.wishes import Unit, unit_faults, units_of
from ledger.errors import RefusedError
from ledger.events import BoardsMatched
from ledger.ids import BoardId
from ledger.log.entry import Entry
from ledger.quantities import factor
from ledger.views.boards import Board
from ledger.views.grading import matches_of

BY_HAND = "chosen by hand"
NOTHING_WISHED = "it does, and nothing more was wished"


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """What was looked at: the boards by code, those left and why, and by which methods.

    `methods` are those by which taps were worked out, `remarks` what was not looked at.
    """

    boards: dict[BoardId, Candidate]
    left: tuple[Left, ...]
    methods: tuple[str, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paired(Matching):
    """The best pairs of the boards that were looked at."""

    pairing: Pairing


@dataclass(frozen=True, slots=True, kw_only=True)
class Assigned(Matching):
    """What every open build gets; of pairs, what their halves are to each other.

    `spare` are the boards that would do as well and go to nobody.
    """

    assignment: Assignment
    pairs: dict[tuple[BoardId, ...], Pair]
    spare: tuple[tuple[BoardId, ...], ...]
    policy: MatchingPolicy


class Offer(NamedTuple):
    """What the rack offers to builds: boards or pairs that do, and what is left."""

    units: list[Unit]
    pairs: tuple[Pair, ...]
    left: tuple[Left, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Two boards that somebody chose: the entry, and how alike they are."""

    entry: Entry
    boards: tuple[Candidate, Candidate]
    likeness: Likeness
    why: tuple[str, ...]
    methods: tuple[str, ...]


def pairs(
    session: Session, texts: Sequence[str], wanted: Wanted, *, today: str
) -> Paired:
    """Return the best pairs of the boards that were named, or of the whole rack.

    Raises RefusedError where there are no two boards.
    """
    require_grades(session, wanted)
    rack = rack_of(session, texts, part=wanted.part, today=today)
    named = [b.board for b in rack.candidates] + [gone.board for gone in rack.left]
    if len(named) < 2:
        raise RefusedError(f"board {named[0]} alone makes no pair: name two or more")
    sounding = _heard(session, rack, wanted)
    pairing = best_pairs(sounding.candidates, wanted, matching_rules(session))
    return Paired(
        boards={board.board: board for board in sounding.candidates},
        left=(*rack.left, *pairing.left),
        methods=sounding.methods,
        remarks=(*pairing.remarks, *_others(rack)),
        pairing=pairing,
    )


def for_builds(
    session: Session, texts: Sequence[str], orders: Orders, *, today: str
) -> Assigned:
    """Return the best wood for one part of open builds, all of them taken together.

    Raises RefusedError for a build that has its part, or whose model has none.
    """
    wanted = orders.wanted
    require_grades(session, wanted)
    wishes = wishes_of(session, orders)
    rack = rack_of(session, texts, part=wanted.part, today=today)
    policy = matching_rules(session)
    sounding = _heard(session, rack, wanted)
    offer = _offer(sounding.candidates, wanted, policy)
    assignment = best_for_orders(wishes, offer.units, policy)
    taken = {served.boards for served in assignment.served}
    promised = _promised(session, assignment.served)
    return Assigned(
        boards={board.board: board for board in sounding.candidates},
        left=(*rack.left, *offer.left),
        methods=sounding.methods,
        remarks=(*offer.remarks, *_others(rack), *promised),
        assignment=assignment,
        pairs={tuple(sorted(pair.boards)): pair for pair in offer.pairs},
        spare=tuple(
            unit.codes
            for unit in offer.units
            if unit.codes not in taken and not unit_faults(wishes[0], unit)
        ),
        policy=policy,
    )


def why_of(assigned: Assigned, served: Served) -> tuple[str, ...]:
    """Return every reason for the boards of a build: wishes, then likeness."""
    pair = assigned.pairs.get(served.boards)
    reasons = (*served.reasons, *(pair.reasons if pair else ()))
    return reasons or (NOTHING_WISHED,)


def match_builds(
    shop: Shop, texts: Sequence[str], orders: Orders, hands: Hands
) -> tuple[Assigned, list[Entry]]:
    """Record the best wood for one part of open builds, an entry for each served."""
    with shop.turn() as turn:
        assigned = for_builds(turn.session, texts, orders, today=shop.today())
        entries = [
            turn.say(_event(assigned, served), hands)
            for served in assigned.assignment.served
        ]
    return assigned, entries


def match(
    shop: Shop,
    codes: Sequence[str],
    *,
    part: str,
    serial: str | None = None,
    hands: Hands,
) -> Chosen:
    """Record that two boards, or the halves of a set, were chosen to go together.

    serial  the instrument that they are for, if it is known

    Raises RefusedError where they are no pair by the house's rule, or not there.
    """
    checked_words("part", part)
    with shop.turn() as turn:
        if serial is not None:
            require_open(turn.session, serial, part)
        policy = matching_rules(turn.session)
        sounding = _two(turn, codes, part)
        one, other = sounding.candidates
        like = likeness(one, other, policy)
        if like.against:
            raise RefusedError(
                f"{one.board} and {other.board} are no pair by {policy.name}: "
                f"{'; '.join(like.against)}; choose another, or adopt other limits"
            )
        apart = factor(like.points_milli, places=1)
        why = (f"{apart} points apart", *likeness_words(one, other, like))
        event = BoardsMatched(
            boards=(str(one.board), str(other.board)),
            part=part,
            serial=serial,
            policy=policy.id,
            version=policy.version,
            method=BY_HAND,
            why=why,
        )
        entry = turn.say(event, hands)
    return Chosen(
        entry=entry,
        boards=(one, other),
        likeness=like,
        why=why,
        methods=sounding.methods,
    )


def _event(assigned: Assigned, served: Served) -> BoardsMatched:
    instead = served.runner_up
    return BoardsMatched(
        boards=tuple(map(str, served.boards)),
        part=served.part,
        serial=served.order,
        policy=assigned.policy.id,
        version=assigned.policy.version,
        method=assigned.assignment.method,
        why=why_of(assigned, served),
        instead=(instead.words,) if instead else None,
    )


def _two(turn: Turn, codes: Sequence[str], part: str) -> Heard:
    """Return the two boards that were named, as they are there to be matched."""
    session = turn.session
    named = [board for code in codes for board in boards_there(session, _code(code))]
    boards = list({board.code: board for board in named}.values())
    if len(boards) != 2:
        raise RefusedError(
            f"a pair is of 2 boards, not {len(boards)}: name two, or one set"
        )
    for board in boards:
        require_whole(board)
        require_kept(session, board)
        _require_loose(board)
    rest = rest_of(session, boards)
    _require_one_wood(species_in(rest, boards))
    there = candidates(session, boards, rest, part=part, today=turn.shop.today())
    return heard(session, sorted(there, key=lambda candidate: candidate.board))


def _code(text: str) -> str:
    return str(BoardId.parse(text))


def _require_loose(board: Board) -> None:
    if board.serial is not None:
        raise RefusedError(
            f"board {board.code} is the {board.part} of {board.serial} already: choose "
            f"another"
        )


def _require_one_wood(woods: Mapping[str, str]) -> None:
    if len({binomial(species) for species in woods.values()}) > 1:
        codes, species = (" and ".join(said) for said in (woods, woods.values()))
        raise RefusedError(f"{codes} are of {species}: a pair is of one wood")


def _heard(session: Session, rack: Rack, wanted: Wanted) -> Heard:
    """Work out the taps of those boards that would do; the others are left anyway."""
    fit: list[Candidate] = []
    unfit: list[Candidate] = []
    for board in rack.candidates:
        (unfit if faults_of(board, wanted) else fit).append(board)
    sounding = heard(session, fit)
    return replace(sounding, candidates=(*sounding.candidates, *unfit))


def _offer(
    boards: Sequence[Candidate], wanted: Wanted, policy: MatchingPolicy
) -> Offer:
    """Return the pairs, or where a part is of one board the boards, that would do."""
    if wanted.pieces > 1:
        pairing = best_pairs(boards, wanted, policy)
        units = units_of(pairing, boards)
        return Offer(units, pairing.pairs, pairing.left, pairing.remarks)
    faults = {board: faults_of(board, wanted) for board in boards}
    left = [
        Left(board=board.board, reasons=tuple(fault.words for fault in found))
        for board, found in faults.items()
        if found
    ]
    units = [Unit(boards=(board,)) for board in boards]
    return Offer(units, (), tuple(left), ())


def _others(rack: Rack) -> tuple[str, ...]:
    if not rack.others:
        return ()
    boards = "board is" if rack.others == 1 else "boards are"
    return (
        f"{rack.others} more {boards} on the rack for other parts and not looked at: "
        f"name boards, sets or lots to have them looked at",
    )


def _promised(session: Session, served: Sequence[Served]) -> tuple[str, ...]:
    """Say which boards were chosen for another instrument before."""
    return tuple(
        f"{code} was chosen for the {row.part} of {row.serial} by entry {row.idx}"
        for each in served
        for code in map(str, each.boards)
        for row in matches_of(session, code)
        if row.serial not in (None, each.order)
    )
