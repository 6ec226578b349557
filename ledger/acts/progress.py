"""How a build goes on: what can be done now, by whom, and what blocks the rest.

The rule is the road's own (ledger/craft/route.py); this asks it, and adds the wood that
is missing, the doubts that stand, and who may do the work today.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.abilities import Abilities, When, abilities_of
from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void
from ledger.acts.holds import doubted_words
from ledger.acts.roads import Road, road_of
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.craft import route
from ledger.craft.route import RouteStep, State
from ledger.craft.signing import INSPECT
from ledger.scales import LARGEST
from ledger.views.boards import boards_in
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.doubt import doubts_in
from ledger.views.holds import Hold
from ledger.views.people import Person, people


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """Somebody who may do a work alone today."""

    badge: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """A step that is not done: its number, whose it is, and what blocks it.

    `reasons` are all that it waits for; `near` those right before it. One without
    reasons can be done today, by `who`. `gate` is what has to be said of it, where that
    is all that is wanting; `again` says why it is done once more.
    """

    number: int
    step: str
    qualification: str
    state: State
    reasons: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    who: tuple[Worker, ...] = ()
    gate: str | None = None
    again: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """What comes next of an instrument.

    `ready` can be done today; `checks` were done, and wait to be inspected, approved or
    countersigned; `blocked` wait for something. `doubts` block every one of them, and
    are among the reasons of each.
    `entries` are the signatures that this rests on.
    """

    build: Build
    done: int
    steps: int
    ready: tuple[Open, ...]
    checks: tuple[Open, ...]
    blocked: tuple[Open, ...]
    doubts: tuple[str, ...]
    entries: tuple[int, ...]
    certificate: str | None


def next_of(shop: Shop, session: Session, serial: str) -> Next:
    """Return what can be done now of an instrument, and what blocks each other step."""
    require_not_void(session, serial)
    road, today = road_of(session, find_build(session, serial)), shop.today()
    states = route.stands(road.steps, road.signed)
    _, waiting = route.next_steps(road.steps, road.signed, today=today)
    held = {str(board.part) for board in boards_in(session, serial)}
    wood = without_wood(road, held)
    doubts = tuple(doubts_told(session, serial))
    crew = _crew(shop, session)
    # Behind every entry that there can be: as things stand now.
    now = When(idx=LARGEST, day=today)
    ready: list[Open] = []
    checks: list[Open] = []
    blocked: list[Open] = []
    for number, step in enumerate(road.steps, 1):
        state = states[step.name]
        if state == route.DONE:
            continue
        reasons = (*waiting.get(step.name, ()), *wood.get(step.name, ()), *doubts)
        said = Open(
            number=number,
            step=step.name,
            qualification=step.qualification,
            state=state,
            reasons=reasons,
            near=_near(road, step, states, reasons),
            who=() if reasons else tuple(_who(crew, road, step, state, now)),
            gate=step.gate if state == route.GATE_SHUT else None,
            again=road.again.get(step.name),
        )
        into = checks if state != route.OPEN else blocked if reasons else ready
        into.append(said)
    return Next(
        build=road.build,
        done=sum(state == route.DONE for state in states.values()),
        steps=len(road.steps),
        ready=tuple(ready),
        checks=tuple(checks),
        blocked=tuple(blocked),
        doubts=doubts,
        entries=tuple(row.idx for row in road.rows),
        certificate=_certificate(session, serial),
    )


def _near(
    road: Road, step: RouteStep, states: dict[str, State], reasons: Sequence[str]
) -> tuple[str, ...]:
    """Return the reasons right before a step; of what lies behind those no word."""
    before = [each for each in road.steps if each.name in step.after]
    right = {route.waits_words(each, states[each.name]) for each in before}
    near = [
        reason
        for reason in reasons
        if reason in right
        or any(reason.startswith(f"{each.name} rests until ") for each in before)
        or reason.startswith("no wood ")
    ]
    return tuple(near or reasons)


def without_wood(road: Road, held: set[str]) -> dict[str, tuple[str, ...]]:
    """Return of each step the parts that it works on and that have no wood.

    Those are the ones that it uses up, and one in its name that a later step does.
    """
    missing = [
        part.part
        for part in road.model.parts
        if part.part not in held and not part.optional
    ]
    told = {}
    for step in road.steps:
        lacking = [part for part in missing if _works_on(road, step, part)]
        told[step.name] = tuple(f"no wood is allotted to the {p}" for p in lacking)
    return told


def _works_on(road: Road, step: RouteStep, part: str) -> bool:
    """Tell whether a step uses a part up, or is named after it and comes before that.

    As the sides in thickness the sides, before they are bent.
    """
    if part in step.uses_up:
        return True
    if f" {part.casefold()} " not in f" {step.name.casefold()} ":
        return False
    users = (each.name for each in road.steps if part in each.uses_up)
    return any(step.name in route.before(road.steps, user) for user in users)


def _crew(shop: Shop, session: Session) -> list[tuple[Worker, Person, Abilities]]:
    return [
        (
            Worker(badge=person.badge, name=person_name(shop, person)),
            person,
            abilities_of(session, person.subject),
        )
        for person in people(session)
        if not (person.is_retired or person.is_erased)
    ]


def _who(
    crew: Sequence[tuple[Worker, Person, Abilities]],
    road: Road,
    step: RouteStep,
    state: State,
    now: When,
) -> Iterator[Worker]:
    """Yield who may do a step alone today, or say of it what its gate asks for.

    Leads may do it all, and are told only where nobody else may. Who learns it is told
    to that person and the lead only, and so not here.
    """
    doers = {s.subject for s in road.signed if s.step == step.name}
    leads = [worker for worker, _, known in crew if known.leads(now)]
    if state == route.GATE_SHUT and step.gate == "approved":
        yield from leads
        return
    is_check = state != route.OPEN
    work = INSPECT if state == route.GATE_SHUT else step.qualification
    hows = [
        (worker, known.at(work, now).how)
        for worker, person, known in crew
        if not (is_check and person.subject in doers)
    ]
    yield from [worker for worker, how in hows if how == "qualified"] or leads


def doubts_told(session: Session, serial: str) -> Iterator[str]:
    """Say of each open hold that it blocks an instrument, by its wood or its steps."""
    for hold, code in doubts_in(session, serial=serial):
        what = "it" if code == serial else f"board {code}"
        yield doubt_told(session, hold, what)


def doubt_told(session: Session, hold: Hold, what: str = "it") -> str:
    """Say by which hold something is in doubt."""
    on = doubted_words(session, hold)
    return f"{what} is in doubt by hold {hold.hold} on {on}, entry {hold.idx}"


def _certificate(session: Session, serial: str) -> str | None:
    query = select(Certificate.number).where(col(Certificate.serial) == serial)
    return session.exec(query.order_by(col(Certificate.idx).desc())).first()
