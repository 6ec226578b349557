"""How a build goes on: what can be done now, what blocks the rest, what stands still.

The rule is the road's own (ledger/craft/route.py); this asks it, and adds the wood that
is missing, the doubts that stand, and who may do the work today.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice

from sqlmodel import Session, col, func, select

from ledger.acts.abilities import Abilities, When, abilities_of
from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void
from ledger.acts.holds import doubted_words
from ledger.acts.roads import Road, next_words, road_of, route_of, signed_of
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.craft import route
from ledger.craft.route import RouteStep, State
from ledger.craft.signing import INSPECT
from ledger.log.entry import parse_record
from ledger.scales import LARGEST
from ledger.views.allotting import Stay
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build, PrintedTag, SignedStep
from ledger.views.certificates import Certificate
from ledger.views.doubt import doubts_in
from ledger.views.holds import open_holds
from ledger.views.models import plan_of
from ledger.views.orders import BuildOrder, ChangeNote, Concession, Scrap
from ledger.views.people import Person, people
from ledger.views.readings import VoiceTapping

LONGEST_STILL_DAYS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """Somebody who may do a work today, or learns it and does it beside another."""

    badge: str
    name: str
    is_supervised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """A step that is not done: its number, whose it is, and what blocks it.

    `reasons` are all that it waits for; `near` those right before it. One without
    reasons can be done today, by `who`.
    """

    number: int
    step: str
    qualification: str
    state: State
    reasons: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    who: tuple[Worker, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """What comes next of an instrument.

    `ready` can be done today; `checks` were done, and wait to be inspected, approved or
    countersigned; `blocked` wait for something. `doubts` block every one of them.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """A build of which nothing was said for so many days, or that is late.

    `idx` is the newest entry about it, of the day `since`.
    """

    serial: str
    model: str
    since: str
    days: int
    idx: int
    due: str | None
    late_days: int
    waits: str


def next_of(shop: Shop, session: Session, serial: str) -> Next:
    """Return what can be done now of an instrument, and what blocks each other step."""
    require_not_void(session, serial)
    road, today = road_of(session, find_build(session, serial)), shop.today()
    states = route.stands(road.steps, road.signed)
    _, waiting = route.next_steps(road.steps, road.signed, today=today)
    held = {str(board.part) for board in boards_in(session, serial)}
    wood = _without_wood(road, held)
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
        reasons = (*waiting.get(step.name, ()), *wood.get(step.name, ()))
        said = Open(
            number=number,
            step=step.name,
            qualification=step.qualification,
            state=state,
            reasons=reasons,
            near=_near(road, step, states, reasons),
            who=() if reasons else tuple(_who(crew, road, step, state, now)),
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
        doubts=tuple(_doubts(session, serial)),
        entries=tuple(row.idx for row in road.rows),
        certificate=_certificate(session, serial),
    )


def stuck(
    shop: Shop, session: Session, *, days: int = LONGEST_STILL_DAYS
) -> list[Still]:
    """Return the builds that are late or of which nothing was said for so many days.

    The late ones come first, the latest of them before the others. A build is over
    with its certificate, and one that is void is none.
    """
    today = date.fromisoformat(shop.today())
    builds = _open_builds(session)
    newest = _newest_entries(session, builds)
    dues = _dues(session)
    found: list[Still] = []
    waiting: list[Build] = []
    for build in builds:
        idx = newest[build.serial]
        # A record each, of builds in the making only.
        since = parse_record(shop.store.record(idx)).entry.at[:10]
        due = dues.get(build.serial)
        still = (today - date.fromisoformat(since)).days
        late = max(0, (today - date.fromisoformat(due)).days) if due else 0
        if still >= days or late:
            told = Still(
                serial=build.serial,
                model=build.model,
                since=since,
                days=still,
                idx=idx,
                due=due,
                late_days=late,
                waits="",
            )
            found.append(told)
            waiting.append(build)
    waits = _waits(session, waiting, today.isoformat())
    found = [replace(still, waits=waits[still.serial]) for still in found]
    return sorted(found, key=lambda s: (-s.late_days, -s.days, s.serial))


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


def _without_wood(road: Road, held: set[str]) -> dict[str, tuple[str, ...]]:
    """Return of each step the parts that it would use up and that have no wood."""
    missing = {
        part.part
        for part in road.model.parts
        if part.part not in held and not part.optional
    }
    return {
        step.name: tuple(
            f"no wood is allotted to the {part}"
            for part in step.uses_up
            if part in missing
        )
        for step in road.steps
    }


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
    """Yield who may do a step today, or say of it what its gate asks for.

    Leads may do it all, and are told only where nobody else may.
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
    if not is_check:
        learning = (worker for worker, how in hows if how == "supervised")
        yield from (replace(worker, is_supervised=True) for worker in learning)


def _doubts(session: Session, serial: str) -> Iterator[str]:
    for hold, code in doubts_in(session, serial=serial):
        what = "it" if code == serial else f"board {code}"
        on = doubted_words(session, hold)
        yield f"{what} is in doubt by hold {hold.hold} on {on}, entry {hold.idx}"


def _certificate(session: Session, serial: str) -> str | None:
    query = select(Certificate.number).where(col(Certificate.serial) == serial)
    return session.exec(query.order_by(col(Certificate.idx).desc())).first()


def _open_builds(session: Session) -> list[Build]:
    closed = select(Certificate.serial)
    query = select(Build).where(
        col(Build.voided_idx).is_(None), col(Build.serial).not_in(closed)
    )
    return list(session.exec(query.order_by(col(Build.idx))).all())


def _newest_entries(session: Session, builds: Sequence[Build]) -> dict[str, int]:
    """Return the newest entry about each build."""
    newest = {build.serial: build.idx for build in builds}
    for table in (
        SignedStep,
        Stay,
        PrintedTag,
        BuildOrder,
        ChangeNote,
        Concession,
        Scrap,
        VoiceTapping,
    ):
        serial = col(table.serial)
        query = select(serial, func.max(col(table.idx))).group_by(serial)
        for of, idx in session.exec(query.where(serial.in_(newest))).all():
            newest[of] = max(newest[of], idx)
    return newest


def _dues(session: Session) -> dict[str, str]:
    query = select(BuildOrder).where(col(BuildOrder.due).is_not(None))
    return {row.serial: str(row.due) for row in session.exec(query).all()}


def _waits(session: Session, builds: Sequence[Build], today: str) -> dict[str, str]:
    """Say of each build what it waits for: a doubt before all else."""
    held: dict[str, set[str]] = {build.serial: set() for build in builds}
    query = select(Board.serial, Board.part).where(col(Board.serial).in_(held))
    for serial, part in session.exec(query).all():
        held[str(serial)].add(str(part))
    is_any_held, waits = bool(open_holds(session)), {}
    for serial, road in _roads(session, builds).items():
        doubt = next(_doubts(session, serial), None) if is_any_held else None
        waits[serial] = doubt or _wait_of(road, held[serial], today)
    return waits


def _wait_of(road: Road, held: set[str], today: str) -> str:
    """Say what a build waits for.

    Whoever has to look at what was done comes first, then the next step, then the wood
    that it lacks.
    """
    states = route.stands(road.steps, road.signed)
    for step in road.steps:
        if states[step.name] not in (route.OPEN, route.DONE):
            return route.waits_words(step, states[step.name])
    lacking = _without_wood(road, held)
    lacks = ""
    for step in road.steps:
        # The rule is asked only where what comes right before is done.
        is_near = all(states.get(other) == route.DONE for other in step.after)
        if states[step.name] != route.OPEN or not is_near:
            continue
        if lacking[step.name]:
            lacks = lacks or f"{step.name}: {'; '.join(lacking[step.name])}"
        elif route.may_begin(road.steps, road.signed, step.name, today=today):
            return f"next step: {step.name}"
    return lacks or next_words(road, today=today)


def _roads(session: Session, builds: Sequence[Build]) -> dict[str, Road]:
    """Return how far builds are on their roads, each model read once."""
    rows: dict[str, list[SignedStep]] = {build.serial: [] for build in builds}
    query = select(SignedStep).where(
        col(SignedStep.serial).in_(rows),
        col(SignedStep.struck_idx).is_(None),
        col(SignedStep.reworked_idx).is_(None),
    )
    for row in session.exec(query.order_by(col(SignedStep.idx))).all():
        rows[row.serial].append(row)
    groups: dict[tuple[str, int], list[Build]] = {}
    for build in builds:
        groups.setdefault((build.model, build.version), []).append(build)
    roads = {}
    for (name, version), group in groups.items():
        model = plan_of(session, name, version)
        of_all = [row for build in group for row in rows[build.serial]]
        signed, steps = iter(signed_of(session, model, of_all)), route_of(model)
        for build in group:
            own = rows[build.serial]
            roads[build.serial] = Road(
                build=build,
                model=model,
                steps=steps,
                rows=tuple(own),
                signed=tuple(islice(signed, len(own))),
            )
    return roads
