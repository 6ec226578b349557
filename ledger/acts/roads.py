"""The road of a model as its builds take it: what is signed, and what that opens."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import islice

from sqlmodel import Session, col

from ledger.acts.abilities import Judged, abilities_of_each
from ledger.acts.names import is_same, meant_words, nearest
from ledger.codes import shown
from ledger.craft import route
from ledger.craft.route import RouteStep, Signed
from ledger.errors import NotFoundError
from ledger.events import ModelDefined
from ledger.events.route import PlannedStep
from ledger.scales import some_of
from ledger.views.allotting import (
    AnyStay,
    PlainStay,
    Stay,
    newer_wood,
    stays_in,
)
from ledger.views.builds import (
    AnyStep,
    Build,
    PlainStep,
    SignedStep,
    plain_steps,
    signed_steps,
)
from ledger.views.models import plan_of
from ledger.views.people import subjects_of_keys
from ledger.views.rows import columns_of, plain_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """How far an instrument is on the road of its model.

    `rows` are the signatures that count, `signed` what the rule knows of them. `again`
    says of each step that was signed why it has to be done again: its wood is other
    wood since.
    """

    build: Build
    model: ModelDefined
    steps: tuple[RouteStep, ...]
    rows: tuple[AnyStep, ...]
    signed: tuple[Signed, ...]
    again: dict[str, str] = field(default_factory=dict)

    def planned(self, step: str) -> PlannedStep:
        """Return a step as the model has it, in any case, or say that there is none."""
        steps = {each.step: each for each in self.model.steps}
        found = next((name for name in steps if is_same(name, step)), None)
        if found is None:
            names, near = some_of([*steps]), meant_words(nearest(step, steps))
            raise NotFoundError(
                f"{self.build.model} has no step {shown(step)}: it has {names}{near}"
            )
        return steps.get(step, steps[found])

    def said_of(self, step: str, *meanings: str) -> list[AnyStep]:
        """Return the signatures of a step, of these meanings only if any is named."""
        said = [row for row in self.rows if row.step == step]
        return [row for row in said if not meanings or row.meaning in meanings]


def route_of(model: ModelDefined) -> tuple[RouteStep, ...]:
    """Return the road of a model as the rule reads it."""
    return tuple(_route_step(step) for step in model.steps)


def road_of(session: Session, build: Build) -> Road:
    """Return how far an instrument is on its road."""
    model = plan_of(session, build.model, build.version)
    stays = stays_in(session, build.serial)
    rows, again = told_apart(model, signed_steps(session, build.serial), stays)
    return Road(
        build=build,
        model=model,
        steps=route_of(model),
        rows=rows,
        signed=signed_of(session, model, rows),
        again=again,
    )


def told_apart(
    model: ModelDefined, rows: Sequence[AnyStep], stays: Sequence[AnyStay]
) -> tuple[tuple[AnyStep, ...], dict[str, str]]:
    """Return the signatures of wood that is still there, and why the others are not.

    Of the others each step has its reason, unless it was signed again since.
    """
    newer = [(row, newer_wood(row, model, stays)) for row in rows]
    counting = tuple(row for row, stay in newer if stay is None)
    signed = {row.step for row in counting if row.meaning == "did"}
    again = {
        row.step: _again_words(row, stay)
        for row, stay in newer
        if stay is not None and row.step not in signed and row.meaning == "did"
    }
    return counting, again


def roads_of(session: Session, builds: Sequence[Build]) -> dict[str, Road]:
    """Return how far builds are on their roads, each model read once."""
    rows: dict[str, list[PlainStep]] = {build.serial: [] for build in builds}
    for row in plain_steps(
        session,
        col(SignedStep.serial).in_(rows),
        col(SignedStep.struck_idx).is_(None),
        col(SignedStep.reworked_idx).is_(None),
    ):
        rows[row.serial].append(row)
    stays: dict[str, list[PlainStay]] = {build.serial: [] for build in builds}
    of_builds = columns_of(Stay, PlainStay._fields).where(col(Stay.serial).in_(stays))
    for stay in plain_rows(session, of_builds.order_by(col(Stay.idx))):
        stays[stay.serial].append(PlainStay._make(stay))
    groups: dict[tuple[str, int], list[Build]] = {}
    for build in builds:
        groups.setdefault((build.model, build.version), []).append(build)
    roads = {}
    for (name, version), group in groups.items():
        model = plan_of(session, name, version)
        told = [told_apart(model, rows[b.serial], stays[b.serial]) for b in group]
        of_all = [row for own, _ in told for row in own]
        signed, steps = iter(signed_of(session, model, of_all)), route_of(model)
        for build, (own, again) in zip(group, told, strict=True):
            roads[build.serial] = Road(
                build=build,
                model=model,
                steps=steps,
                rows=own,
                signed=tuple(islice(signed, len(own))),
                again=again,
            )
    return roads


def signed_of(
    session: Session, model: ModelDefined, rows: Sequence[AnyStep]
) -> tuple[Signed, ...]:
    """Return signatures as the rule reads them: of which day, and whether alone.

    A step that was done by whoever might not do it alone is a supervised one, whatever
    else it is: it counts once another has witnessed it who might. What opens a gate is
    judged alike, however it came into the log.
    """
    needs = {step.step: step.qualification for step in model.steps}
    whose = subjects_of_keys(session, (row.key for row in rows))
    able = abilities_of_each(session, whose.values())
    known = {subject: Judged.of(theirs) for subject, theirs in able.items()}
    signed = []
    for row in rows:
        subject = whose[row.key]
        work = needs.get(row.step)
        may = work is None or known[subject].to_say(row.meaning, work, row).is_alone
        signed.append(
            Signed(
                step=row.step,
                meaning=row.meaning,
                day=row.moment[:10],
                subject=subject,
                is_supervised=not may,
            )
        )
    return tuple(signed)


def next_words(road: Road, *, today: str) -> str:
    """Say which step comes next, by its number, or for what all that is left waits."""
    ready, blocked = route.next_steps(road.steps, road.signed, today=today)
    if ready:
        number = [step.name for step in road.steps].index(ready[0]) + 1
        again = road.again.get(ready[0])
        why = f", again: {again}" if again else ""
        return f"next step: {number} {ready[0]}{why}"
    if blocked:
        name, reasons = next(iter(blocked.items()))
        return f"{name} waits: {'; '.join(reasons)}"
    so_far = route.stands(road.steps, road.signed)
    waiting = [s for s in road.steps if so_far[s.name] != route.DONE]
    if waiting:
        return route.waits_words(waiting[0], so_far[waiting[0].name])
    return "every step is done"


def _again_words(row: AnyStep, stay: AnyStay) -> str:
    """Say why a step that was signed is to be done again."""
    gone = f"entry {row.idx} counts no more"
    if stay.ended_idx is None:
        return f"the {stay.part} is other wood since entry {stay.idx}, and {gone}"
    return f"the {stay.part} came off by entry {stay.ended_idx}, and {gone}"


def _route_step(step: PlannedStep) -> RouteStep:
    return RouteStep(
        name=step.step,
        qualification=step.qualification,
        after=step.after,
        ways=step.ways or (),
        uses_up=step.uses_up or (),
        measured=tuple(each.what for each in step.measured or ()),
        materials=step.materials or (),
        gate=step.gate,
        rest_days=step.rest_days or 0,
        photograph=bool(step.photograph),
        marries=bool(step.marries),
    )
