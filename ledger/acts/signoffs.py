"""Steps signed: done, helped with, inspected, approved, witnessed, by the right hands.

Whoever did a step is qualified for it on that day, or learns it and is countersigned.
Whoever inspects has no hand in the work. With a step that uses wood up, the wood goes
into the instrument for good, in the same turn.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from sqlmodel import Session

from ledger.acts import asked, likely
from ledger.acts.abilities import Ability, When, abilities_of, wanted_for
from ledger.acts.asked import DID, SignOff
from ledger.acts.builds import find_build, require_part
from ledger.acts.closing import require_open
from ledger.acts.filing import kept_files, pictures_of
from ledger.acts.holds import require_no_hold
from ledger.acts.policies import house_rules
from ledger.acts.roads import Road, road_of
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.whose import badge_of
from ledger.craft import route
from ledger.errors import RefusedError
from ledger.events import BoardConsumed, StepSigned
from ledger.events.build import Measure, PartWeighed
from ledger.events.route import PlannedStep
from ledger.quantities import grams
from ledger.views.boards import boards_in
from ledger.views.people import subject_of_key
from ledger.views.said import entry_said
from ledger.views.service import trip_out

LOOKED = "inspected"
# What nobody says of the own work.
NOT_THE_DOER = {
    "assisted": "has not helped with it as well",
    "inspected": "does not inspect it",
    "witnessed": "does not witness it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOff:
    """What was signed: its entry, the wood that went in, and what it waits for.

    `countersign` says who has to witness a step that was done under supervision. Of
    the `entries` the step's own is the last, and is the first to be struck. The
    `photographs` are the digests of those that were filed with it.
    """

    index: int
    step: str
    consumed: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()
    countersign: str | None = None
    photographs: tuple[str, ...] = ()


def sign(shop: Shop, said: SignOff, hands: Hands) -> SignedOff:
    """Put a key to a step: did it, helped, inspected, approved or witnessed it.

    Raises RefusedError or NotFoundError for the first thing that stands against it;
    nothing is recorded then.
    """
    pictures = pictures_of(said.photographs)
    with kept_files(shop, pictures) as turn:
        said = _as_planned(turn.session, said)
        road, step, who = _require_may_sign(turn, said, hands)
        way = _require_asked(turn, road, step, said)
        require_no_hold(turn.session, materials=said.materials, gauges=said.gauges)
        event = StepSigned(
            serial=said.serial,
            step=said.step,
            meaning=said.meaning,
            way=way,
            measures=said.measures,
            weighed=said.weighed,
            materials=said.materials,
            gauges=said.gauges,
            photographs=tuple(pictures),
            body=said.body,
            neck=said.neck,
        )
        index = turn.say(event, hands).index
        consumed = _consume(turn, step, said, hands)
    is_open = said.meaning == DID and not who.is_alone
    return SignedOff(
        index=index,
        step=step.step,
        consumed=tuple(consumed),
        entries=(*consumed.values(), index),
        countersign=countersign_words(step.qualification) if is_open else None,
        photographs=event.photographs,
    )


def countersign_words(qualification: str) -> str:
    """Say who has to witness a step that was done under supervision."""
    return f"needs a countersign by a {qualification}-qualified builder"


def require_may_sign(shop: Shop, said: SignOff, hands: Hands) -> None:
    """Refuse a step at once for what stands against it, before more is said of it."""
    with shop.turn() as turn:
        _require_may_sign(turn, _as_planned(turn.session, said), hands)


def _as_planned(session: Session, said: SignOff) -> SignOff:
    """Return what is said in the model's own names, however they are typed."""
    build = find_build(session, said.serial)
    require_open(session, said.serial)
    step = road_of(session, build).planned(said.step)
    measures = likely.named(said.measures, step.measured or ())
    return replace(said, step=step.step, measures=tuple(measures))


def _require_may_sign(
    turn: Turn, said: SignOff, hands: Hands
) -> tuple[Road, PlannedStep, Ability]:
    """Refuse a step that cannot be signed now, or not by these hands."""
    session, when = turn.session, _when(turn)
    build = find_build(session, said.serial)
    require_open(session, said.serial)
    road = road_of(session, build)
    step = road.planned(said.step)
    _require_in_time(road, said, when)
    _require_home(turn, said, when)
    _require_unsigned(session, road, said, subject_of_key(session, hands.by.id))
    if said.meaning == DID:
        optional = [part.part for part in road.model.parts if part.optional]
        asked.require_wood(session, said.serial, step, optional)
        _require_wood_then(turn, step, said.serial, when)
        _require_turn(road, said, when.day)
    who = _require_ability(turn, road, step, said, hands)
    require_no_hold(session, serial=said.serial)
    return road, step, who


def _require_asked(
    turn: Turn, road: Road, step: PlannedStep, said: SignOff
) -> str | None:
    """Refuse a step of which not all is said that it asks for; return the way."""
    session, day = turn.session, _when(turn).day
    is_done = said.meaning == DID
    late = turn.shop.beside.happened_at is not None
    wanted = (step.materials or ()) if is_done else ()

    def require_measures() -> None:
        _require_scales(turn, road, said)
        asked.require_likely(session, road.build, said)
        asked.require_measured(session, said, step)

    def require_seen() -> None:
        asked.require_photograph(said, step)
        asked.require_marriage(session, road.build, step, said)

    asked.require_all(
        partial(asked.way_of, step, said.way) if is_done or said.way else None,
        require_measures,
        partial(
            asked.require_materials,
            session,
            wanted,
            said.materials,
            day=day,
            late=late,
        ),
        partial(asked.require_gauges, session, said, day=day),
        require_seen if is_done else None,
    )
    return asked.way_of(step, said.way) if is_done or said.way else None


def _when(turn: Turn) -> When:
    """Return when it was done that is said in this turn, before which entry."""
    happened_at = turn.shop.beside.happened_at
    return When(idx=turn.size, day=turn.shop.day(), happened_at=happened_at)


def _require_in_time(road: Road, said: SignOff, when: When) -> None:
    """Refuse a claim that something was done before it can have been."""
    claimed = when.happened_at
    if claimed is None:
        return
    if claimed < road.build.begun_at:
        raise RefusedError(
            f"{said.serial} was begun {road.build.begun_at}, and this is of {claimed}: "
            f"look at the time again"
        )
    first = route.before(road.steps, said.step) if said.meaning == DID else {said.step}
    for row in road.rows:
        if row.step in first and row.meaning == DID and row.moment > claimed:
            raise RefusedError(
                f"{row.step} of {said.serial} was done {row.moment}, entry {row.idx}, "
                f"and this is of {claimed}, before it: look at the time again"
            )


def _require_home(turn: Turn, said: SignOff, when: When) -> None:
    """Refuse a step of an instrument that is out; before it left it was here."""
    trip = trip_out(turn.session, said.serial)
    if trip is not None and when.day >= trip.sent_on:
        raise RefusedError(
            f"{said.serial} is out since {trip.sent_on}, entry {trip.idx}: enter first "
            f"that it came home, with flitchbook instrument return, or give with "
            f"--happened-at when it was done before it left"
        )


def _require_wood_then(turn: Turn, step: PlannedStep, serial: str, when: When) -> None:
    """Refuse to have used wood up before it was allotted."""
    for board in boards_in(turn.session, serial):
        if when.happened_at is None or board.part not in (step.uses_up or ()):
            continue
        index = int(board.allotted_idx or 0)
        allotted = entry_said(turn.session, index).happened_at
        if when.happened_at < allotted:
            raise RefusedError(
                f"board {board.code} was allotted {allotted}, entry {index}, and this "
                f"is of {when.happened_at}, before it: look at the time again"
            )


def _require_turn(road: Road, said: SignOff, day: str) -> None:
    """Refuse a step before what comes before it."""
    verdict = route.may_begin(road.steps, road.signed, said.step, today=day)
    if not verdict:
        raise RefusedError(
            f"{said.step} of {said.serial} waits: {'; '.join(verdict.reasons)}"
        )


def _require_scales(turn: Turn, road: Road, said: SignOff) -> None:
    """Refuse parts that are none, and masses that none can have."""
    for part in said.weighed:
        require_part(turn.session, road.build, part.part)
    _require_weight([*said.weighed, *said.measures])
    _require_of_its_wood(turn, said.serial, said.weighed)
    _require_once("weighed", [part.part for part in said.weighed])
    _require_once("measured", [measure.what for measure in said.measures])


def _require_weight(scales: Sequence[PartWeighed | Measure]) -> None:
    for read in scales:
        if read.mass_mg is not None and read.mass_mg <= 0:
            raise RefusedError(f"{read.mass_mg} mg is no mass: weigh it again")


def _require_of_its_wood(
    turn: Turn, serial: str, weighed: Sequence[PartWeighed]
) -> None:
    """Refuse a part that weighs more than the boards it is made of.

    Boards that nobody weighed say nothing against it.
    """
    within_ppm = house_rules(turn.session).balance_ppm
    held = boards_in(turn.session, serial)
    for part in weighed:
        wood = [board for board in held if board.part == part.part]
        masses = [board.mass_mg for board in wood if board.mass_mg is not None]
        if not wood or len(masses) < len(wood):
            continue
        if part.mass_mg * 1_000_000 > sum(masses) * (1_000_000 + within_ppm):
            codes = " and ".join(board.code for board in wood)
            raise RefusedError(
                f"{part.part} of {serial} would weigh {grams(part.mass_mg)}, and its "
                f"wood {codes} weighs {grams(sum(masses))}: weigh the part again, or "
                f"the wood where its mass was wrong"
            )


def _require_once(how: str, names: Sequence[str]) -> None:
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice!r} is {how} twice: give the right value only")


def _require_unsigned(
    session: Session, road: Road, said: SignOff, subject: str | None
) -> None:
    """Refuse what was signed before; of helpers each may sign once."""
    for row in road.said_of(said.step, said.meaning):
        by = subject_of_key(session, row.key)
        if said.meaning == "assisted" and by != subject:
            continue
        raise RefusedError(
            f"step {said.step} of {said.serial} was signed ({said.meaning}) by "
            f"{_badge(session, row.key)} in entry {row.idx} already: nothing more was "
            f"recorded"
        )


def _require_ability(
    turn: Turn, road: Road, step: PlannedStep, said: SignOff, hands: Hands
) -> Ability:
    """Refuse a key that may not say this of the step; return how it may."""
    session, when = turn.session, _when(turn)
    subject = subject_of_key(session, hands.by.id)
    known = abilities_of(session, subject)
    wanted = wanted_for(said.meaning, step.qualification)
    who = known.to_say(said.meaning, step.qualification, when)
    if who.how == "lapsed" or not (who.is_alone or _may_learn(who, said)):
        badge = _badge(session, hands.by.id)
        raise RefusedError(_unable_words(said, wanted, who, badge))
    if said.meaning != DID:
        _require_other_hands(session, road, step, said, subject)
    return who


def _may_learn(who: Ability, said: SignOff) -> bool:
    return who.how == "supervised" and said.meaning == DID


def _unable_words(said: SignOff, wanted: str, who: Ability, badge: str) -> str:
    what = f"step {said.step} of {said.serial} ({said.meaning})"
    if who.how == "lapsed":
        return (
            f"{what} needs the qualification {wanted}, and that of {badge} counted "
            f"until {who.until}, when the work was to be looked at again: ask "
            f"somebody else, or the lead to look at it (flitchbook person "
            f"skill-checked)"
        )
    if who.how == "supervised":
        return (
            f"{what} needs the qualification {wanted}, which {badge} still learns: ask "
            f"somebody who holds it"
        )
    return (
        f"{what} needs the qualification {wanted}, which {badge} does not hold: ask "
        f"somebody who does"
    )


def _require_other_hands(
    session: Session, road: Road, step: PlannedStep, said: SignOff, subject: str | None
) -> None:
    """Refuse to look at work that nobody did, or that is one's own."""
    what = f"step {said.step} of {said.serial}"
    did, helped = (
        {subject_of_key(session, row.key) for row in road.said_of(said.step, meaning)}
        for meaning in (DID, "assisted")
    )
    if subject in did and said.meaning in NOT_THE_DOER:
        verb = NOT_THE_DOER[said.meaning]
        raise RefusedError(f"whoever did {what} {verb}: ask another")
    if said.meaning == "assisted":
        seen = (subject_of_key(session, r.key) for r in road.said_of(said.step, LOOKED))
        if subject in seen:
            raise RefusedError(
                f"whoever inspected {what} has not helped with it: ask another"
            )
        return
    if not did:
        raise RefusedError(f"nobody has signed {what} as done yet")
    if subject in helped and said.meaning == "inspected":
        raise RefusedError(
            f"whoever helped with {what} does not inspect it: ask another"
        )
    state = route.stands(road.steps, road.signed)[said.step]
    if said.meaning != "witnessed" and state == route.NEEDS_COUNTERSIGN:
        raise RefusedError(
            f"{what} was done under supervision and "
            f"{countersign_words(step.qualification)} before it is {said.meaning}"
        )


def _consume(
    turn: Turn, step: PlannedStep, said: SignOff, hands: Hands
) -> dict[str, int]:
    """Let the wood go in that a step uses up; return the entries by board."""
    if said.meaning != DID:
        return {}
    used = step.uses_up or ()
    going = [
        board.code
        for board in boards_in(turn.session, said.serial)
        if board.part in used and board.consumed_idx is None
    ]
    return {
        code: turn.say(BoardConsumed(board=code, serial=said.serial), hands).index
        for code in going
    }


def _badge(session: Session, key: str) -> str:
    badge = badge_of(session, key)
    return f"badge {badge}" if badge else f"key {key}"
