"""The facts of a build brought to its tag."""

from collections import Counter
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from cli.papers_disputed import mark
from cli.papers_label_rack import doubted, may_lift
from labels.marks import State
from labels.page import thousands
from labels.tag_facts import BuildTag, MaySign, NextStep, Signed, TagStep, Wood
from labels.tongue import Tongue, term, tongue
from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void
from ledger.acts.disputes import disputed_at
from ledger.acts.heads import sign_head
from ledger.acts.measuring import species_of
from ledger.acts.progress import Next, Open, next_of
from ledger.acts.roads import Road, road_of
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.acts.whose import badge_of
from ledger.craft import route
from ledger.craft.hazards import dust_hazard
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import at_text
from ledger.views.boards import boards_in, set_of
from ledger.views.builds import Build, SignedStep, printed_tags
from ledger.views.doubt import doubts_in
from ledger.views.family import lots_of
from ledger.views.holds import Hold
from ledger.views.models import Model
from ledger.views.orders import Concession
from ledger.views.people import Person, people
from ledger.views.wood import Lot
from ledger.words import ten_words

FOLLOWING = 3
# What the plate says of a build: a step can be done, waits, or every one is done.
READY, NOT_YET, FINISHED = term("READY"), term("NOT YET"), term("DONE")
# What a step that was done still waits for.
WANTED = {
    "inspected": term("to be inspected"),
    "approved": term("to be approved"),
    None: term("needs a countersign"),
}
WAITS = {
    route.OPEN: term("first step {number}, {step}"),
    route.GATE_SHUT: term("step {number}, {step}, is not looked at yet"),
    route.NEEDS_COUNTERSIGN: term("step {number}, {step}, needs a countersign"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """How a build stands: the plate, why, the step that is meant, and who may sign."""

    state: str
    edge: State
    why: tuple[str, ...] = ()
    may_sign: tuple[MaySign, ...] = ()


def build_tag(shop: Shop, serial: str) -> BuildTag:
    """Return what the tag of an instrument shows now, with a fresh checkpoint."""
    with shop.store.reading() as session:
        # First, so that no head is signed for a tag that is never drawn.
        require_not_void(session, serial)
    note = sign_head(shop)
    head = parse_checkpoint(parse_note(note))
    standing, language = shop.standing(), shop.settings.language
    say = tongue(language)
    with shop.store.reading() as session:
        build = find_build(session, serial)
        model = session.get_one(Model, (build.model, build.version))
        road, found = road_of(session, build), next_of(shop, session, serial)
        waiting = _waiting(found)
        plate = _plate(shop, session, road, found, say)
        disputes = _disputes(shop, session, road, say)
        steps = tuple(_steps(session, road, found, disputes, say))
        gates = {step.number for step in steps if step.is_gate}
        following = waiting[1 : 1 + FOLLOWING]
        return BuildTag(
            shop=standing.name,
            model=build.model,
            kind=model.instrument,
            run=_run(build),
            serial=serial,
            host=shop.settings.label_host,
            body=build.body,
            neck=build.neck,
            next_step=_next_step(waiting, gates),
            state=plate.state,
            edge=plate.edge,
            why=plate.why,
            may_sign=plate.may_sign,
            then=tuple(
                _then(step, say, is_gate=step.number in gates) for step in following
            ),
            wood=_woods(session, serial),
            hazards=_hazards(session, serial),
            printed_at=at_text(shop.now())[:16].replace("T", " "),
            zone="UTC",
            steps=steps,
            checkpoint_note=note,
            root=head.root,
            ten_words=ten_words(head.root),
            size=head.size,
            print_number=len(printed_tags(session, serial)) + 1,
            language=language,
        )


def _waiting(found: Next) -> list[Open]:
    """Return the steps that are not done: what can be done now, else by number.

    Where only a doubt holds a step up it comes before those that wait for more.
    """
    held = [step for step in found.blocked if set(step.reasons) <= set(found.doubts)]
    left = sorted(
        (*found.ready, *found.checks, *found.blocked), key=lambda step: step.number
    )
    first = next(iter((*found.ready, *held, *found.checks, *left)), None)
    return [first, *(step for step in left if step != first)] if first else []


def _next_step(waiting: Sequence[Open], gates: Container[int]) -> NextStep | None:
    if not waiting:
        return None
    number, step = waiting[0].number, waiting[0].step
    return NextStep(number, step, number in gates)


def _then(step: Open, say: Tongue, *, is_gate: bool) -> str:
    named = f"{step.number} {say(step.step)}"
    return f"{named} ({say('gate')})" if is_gate else named


def _plate(shop: Shop, session: Session, road: Road, found: Next, say: Tongue) -> Plate:
    """Return how a build stands, by the rule that tells what comes next of it."""
    holds = [hold for hold, _ in doubts_in(session, serial=found.build.serial)]
    waiting = _waiting(found)
    if holds:
        return _on_hold(shop, session, holds, say)
    if not waiting:
        return Plate(state=FINISHED, edge="solid")
    step = waiting[0]
    if step in found.checks:
        return Plate(
            state=NOT_YET,
            edge="hollow",
            why=(say(WANTED[step.gate]),),
            may_sign=tuple(_alone(shop, session, step, say)),
        )
    may = _may_sign(shop, session, step, say)
    if step in found.ready:
        return Plate(state=READY, edge="solid", may_sign=may)
    return Plate(
        state=NOT_YET, edge="hollow", why=(_why(road, step, say),), may_sign=may
    )


def _on_hold(shop: Shop, session: Session, holds: Sequence[Hold], say: Tongue) -> Plate:
    """Return that nothing of a build goes on, for which doubt, and who may lift it."""
    more = say.many(len(holds) - 1, "and {number} more hold", "and {number} more holds")
    others = (more.format(number=len(holds) - 1),) if len(holds) > 1 else ()
    return Plate(
        state=f"{say('HOLD')} {holds[0].hold}",
        edge="sawn",
        why=(
            say("in doubt: {what}").format(what=doubted(session, holds[0], say)),
            *others,
            say("nothing of it goes on until the hold is lifted"),
        ),
        may_sign=tuple(
            MaySign(person.badge, person_name(shop, person))
            for person in may_lift(shop, session)
        ),
    )


def _why(road: Road, step: Open, say: Tongue) -> str:
    """Say in few words what a step waits for first, by what the road says of it."""
    reason, states = step.near[0], route.stands(road.steps, road.signed)
    for number, each in enumerate(road.steps, 1):
        named = {"number": number, "step": say(each.name)}
        state = states[each.name]
        if state in WAITS and reason == route.waits_words(each, state):
            return say(WAITS[state]).format(**named)
        rests = f"{each.name} rests until "
        if reason.startswith(rests):
            words = say("step {number}, {step}, rests until {day}")
            return words.format(**named, day=reason.removeprefix(rests))
    for part in road.model.parts:
        if reason == f"no wood is allotted to the {part.part}":
            return say("no wood allotted yet: {part}").format(part=say(part.part))
    return reason


def _run(build: Build) -> str:
    if build.run is None:
        return ""
    return f"{build.run}, {build.run_number} of {build.run_pieces}"


def _woods(session: Session, serial: str) -> tuple[Wood, ...]:
    """Return the boards of an instrument, both halves of a set under its code."""
    boards = boards_in(session, serial)
    halves = Counter(set_of(board.code) for board in boards)
    woods = (
        Wood(
            str(board.part),
            species_of(session, board.code),
            set_of(board.code) if halves[set_of(board.code)] > 1 else board.code,
        )
        for board in boards
    )
    return tuple(dict.fromkeys(woods))


def _hazards(session: Session, serial: str) -> tuple[str, ...]:
    """Return the species whose dust is named, of glued boards every one."""
    codes = [board.code for board in boards_in(session, serial)]
    lots = dict.fromkeys(lot for code in codes for lot in lots_of(session, code))
    found = dict.fromkeys(session.get_one(Lot, lot).species for lot in lots)
    return tuple(species for species in found if dust_hazard(species))


def _may_sign(
    shop: Shop, session: Session, step: Open, say: Tongue
) -> tuple[MaySign, ...]:
    """Return who holds the step's qualification now; the leads where nobody does."""
    standing, here = shop.standing(), _here(shop, session)
    able = [
        person
        for person in here
        if step.qualification in standing.qualifications_of(person.subject)
    ]
    leads = [p for p in here if "lead" in standing.roles_of(p.subject)]
    condition = "" if able else say("as lead")
    return tuple(
        MaySign(person.badge, person_name(shop, person), condition)
        for person in able or leads
    )


def _alone(shop: Shop, session: Session, step: Open, say: Tongue) -> Iterator[MaySign]:
    """Yield who may say of a step that was done what it still wants."""
    standing, badges = shop.standing(), {worker.badge for worker in step.who}
    for person in _here(shop, session):
        if person.badge in badges:
            is_lead = "lead" in standing.roles_of(person.subject)
            as_lead = say("as lead") if is_lead else ""
            yield MaySign(person.badge, person_name(shop, person), as_lead)


def _here(shop: Shop, session: Session) -> list[Person]:
    standing, size = shop.standing(), shop.store.head().size
    return [p for p in people(session) if standing.person_key(p.subject, size)]


def _disputes(shop: Shop, session: Session, road: Road, say: Tongue) -> dict[str, str]:
    """Return of each step that what was signed of it is in dispute."""
    disputed = disputed_at(session, shop.standing(), [row.idx for row in road.rows])
    entries: dict[str, list[int]] = {}
    for row in road.rows:
        if row.idx in disputed:
            entries.setdefault(row.step, []).append(row.idx)
    return {step: mark(signed, say) for step, signed in entries.items()}


def _steps(
    session: Session, road: Road, found: Next, disputes: dict[str, str], say: Tongue
) -> Iterator[TagStep]:
    """Yield the route: which steps are gates, who signed, and what is to be said.

    Of one step that it is in dispute comes first, then what it still wants.
    """
    done = {row.step: row for row in road.rows if row.meaning == "did"}
    checks = {step.step: say(WANTED[step.gate]) for step in found.checks}
    said = _remarks(session, road, set(done), say) | checks | disputes
    for number, step in enumerate(road.steps, 1):
        remark = said.get(step.name, "")
        row, is_gate = done.get(step.name), step.gate is not None
        badge = (badge_of(session, row.key) or "?") if row else ""
        signed = Signed(row.at[5:10], badge) if row else None
        yield TagStep(number, step.name, is_gate, remark, signed)


def _remarks(
    session: Session, road: Road, done: Container[str], say: Tongue
) -> dict[str, str]:
    """Return of each step what was let pass or done again, the newest of it alone."""
    serial = road.build.serial
    let = select(Concession.step, Concession.idx).where(
        col(Concession.serial) == serial, col(Concession.struck_idx).is_(None)
    )
    redone = select(SignedStep.step, SignedStep.reworked_idx).where(
        col(SignedStep.serial) == serial, col(SignedStep.reworked_idx).is_not(None)
    )
    told = [
        (idx, step, say("let pass, see {entry}")) for step, idx in session.exec(let)
    ]
    told += [
        (idx, step, say("done again, see {entry}"))
        for step, idx in session.exec(redone)
        if idx is not None
    ]
    found = {
        step: words.format(entry=thousands(idx)) for idx, step, words in sorted(told)
    }
    redo = {step for step, _ in session.exec(redone)} | road.again.keys()
    return found | {step: say("to be done again") for step in redo if step not in done}
