"""The road of a model as its builds take it: what is signed, and what that opens."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.abilities import Abilities, abilities_of, when_signed
from ledger.craft import route
from ledger.craft.route import RouteStep, Signed
from ledger.errors import NotFoundError
from ledger.events import ModelDefined
from ledger.events.route import PlannedStep
from ledger.views.builds import Build, SignedStep, signed_steps
from ledger.views.models import plan_of
from ledger.views.people import subject_of_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """How far an instrument is on the road of its model.

    `rows` are the signatures that count, `signed` what the rule knows of them.
    """

    build: Build
    model: ModelDefined
    steps: tuple[RouteStep, ...]
    rows: tuple[SignedStep, ...]
    signed: tuple[Signed, ...]

    def planned(self, step: str) -> PlannedStep:
        """Return a step as the model has it, or say that there is none."""
        found = next((each for each in self.model.steps if each.step == step), None)
        if found is None:
            names = ", ".join(each.step for each in self.model.steps)
            raise NotFoundError(
                f"{self.build.model} has no step {step!r}: it has {names}"
            )
        return found

    def said_of(self, step: str, *meanings: str) -> list[SignedStep]:
        """Return the signatures of a step, of these meanings only if any is named."""
        said = [row for row in self.rows if row.step == step]
        return [row for row in said if not meanings or row.meaning in meanings]


def route_of(model: ModelDefined) -> tuple[RouteStep, ...]:
    """Return the road of a model as the rule reads it."""
    return tuple(_route_step(step) for step in model.steps)


def road_of(session: Session, build: Build) -> Road:
    """Return how far an instrument is on its road."""
    model = plan_of(session, build.model, build.version)
    rows = signed_steps(session, build.serial)
    return Road(
        build=build,
        model=model,
        steps=route_of(model),
        rows=tuple(rows),
        signed=signed_of(session, model, rows),
    )


def signed_of(
    session: Session, model: ModelDefined, rows: Sequence[SignedStep]
) -> tuple[Signed, ...]:
    """Return signatures as the rule reads them: of which day, and whether alone.

    A step that was done by whoever might not do it alone is a supervised one, whatever
    else it is: it counts once another has witnessed it who might. What opens a gate is
    judged alike, however it came into the log.
    """
    needs = {step.step: step.qualification for step in model.steps}
    known: dict[str | None, Abilities] = {}
    signed = []
    for row in rows:
        subject = subject_of_key(session, row.key)
        if subject not in known:
            known[subject] = abilities_of(session, subject)
        work = needs.get(row.step)
        may = work is None or _may_say(known[subject], row, work)
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


def _may_say(known: Abilities, row: SignedStep, work: str) -> bool:
    """Tell whether somebody might say alone, that day, what was signed of a step."""
    return known.to_say(row.meaning, work, when_signed(row)).is_alone


def next_words(road: Road, *, today: str) -> str:
    """Say which step comes next, by its number, or for what all that is left waits."""
    ready, blocked = route.next_steps(road.steps, road.signed, today=today)
    if ready:
        number = [step.name for step in road.steps].index(ready[0]) + 1
        return f"next step: {number} {ready[0]}"
    if blocked:
        name, reasons = next(iter(blocked.items()))
        return f"{name} waits: {'; '.join(reasons)}"
    so_far = route.stands(road.steps, road.signed)
    waiting = [s for s in road.steps if so_far[s.name] != route.DONE]
    if waiting:
        return route.waits_words(waiting[0], so_far[waiting[0].name])
    return "every step is done"


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
