"""What goes wrong at the bench: done again, let pass by a lead, or spoiled."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from ledger.acts import conceding, likely
from ledger.acts.builds import find_build, require_part
from ledger.acts.closing import require_open
from ledger.acts.names import checked_words, kept_reason
from ledger.acts.roads import Road, road_of
from ledger.acts.shop import Hands, Shop
from ledger.craft import route
from ledger.errors import RefusedError
from ledger.events import ConcessionGiven, PartScrapped, ReworkOrdered
from ledger.events.build import Measure
from ledger.log.entry import Entry
from ledger.views.boards import boards_in
from ledger.views.builds import signed_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Redone:
    """A step that is to be done again: its entry, and what was done after it."""

    entry: Entry
    gone: tuple[int, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scrapped:
    """A part that was spoiled: its entry, its wood, and the steps that used it up."""

    entry: Entry
    boards: tuple[str, ...]
    steps: tuple[str, ...]


def order(shop: Shop, *, serial: str, step: str, reason: str, hands: Hands) -> Redone:
    """Let a step be done again: what was signed of it before counts no more."""
    with shop.turn() as turn:
        road = _road(turn.session, serial)
        step = road.planned(step).step
        # Signatures of wood that is gone, too: they stand until somebody says so.
        signed = signed_steps(turn.session, serial)
        gone = [row for row in signed if row.step == step]
        if not gone:
            raise RefusedError(
                f"nobody has signed step {step} of {serial}: there is nothing to do "
                f"again"
            )
        after = _done_after(road, step)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            event = ReworkOrdered(serial=serial, step=step)
            entry = turn.say(event, hands, reason=commitment)
        indexes = tuple(row.idx for row in gone)
    return Redone(entry=entry, gone=indexes, after=tuple(after))


def concede(
    shop: Shop,
    *,
    serial: str,
    step: str,
    what: str,
    measure: Measure | None,
    reason: str,
    as_read: bool = False,
    hands: Hands,
) -> Entry:
    """Let an instrument go on though something of it is not as it should be.

    Raises RefusedError for what the step does not measure, unless it is said in several
    words, for what passes already, and for a measure that can hardly be, unless it is
    taken `as_read`.
    """
    named = checked_words("name of what is let pass", what) or ""
    with shop.turn() as turn:
        road = _road(turn.session, serial)
        planned = road.planned(step)
        step, named = planned.step, conceding.name_of(planned, serial, named, measure)
        given = conceding.conceded(turn.session, serial, step)
        conceding.require_news(given, serial, named, measure)
        if measure is not None:
            measure = replace(measure, what=named)
            likely.require_likely(turn.session, road.build, [measure], as_read=as_read)
        event = ConcessionGiven(serial=serial, step=step, what=named, measure=measure)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def scrap(shop: Shop, *, serial: str, part: str, reason: str, hands: Hands) -> Scrapped:
    """Record that a part was spoiled: its wood is gone, and it waits for other wood."""
    with shop.turn() as turn:
        road = _road(turn.session, serial, part=part)
        require_part(turn.session, road.build, part)
        boards = [b.code for b in boards_in(turn.session, serial) if b.part == part]
        if not boards:
            raise RefusedError(
                f"the {part} of {serial} has no wood that could be spoiled: name the "
                f"part that was"
            )
        event = PartScrapped(serial=serial, part=part, boards=tuple(boards))
        with kept_reason(turn, hands.by.id, reason) as commitment:
            entry = turn.say(event, hands, reason=commitment)
        used = _used_by(road, part)
    return Scrapped(entry=entry, boards=tuple(boards), steps=tuple(used))


def _road(session: Session, serial: str, *, part: str | None = None) -> Road:
    build = find_build(session, serial)
    require_open(session, serial, part=part)
    return road_of(session, build)


def _done_after(road: Road, step: str) -> list[str]:
    """Return the steps that come after one and were done, in the order of the road."""
    later = route.behind(road.steps, step)
    return [each.name for each in road.steps if each.name in later & _done(road)]


def _used_by(road: Road, part: str) -> Sequence[str]:
    """Return the steps that were done and used a part's wood up."""
    used = (each.name for each in road.steps if part in each.uses_up)
    return [name for name in used if name in _done(road)]


def _done(road: Road) -> set[str]:
    return {row.step for row in road.rows if row.meaning == "did"}
