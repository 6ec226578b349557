"""Models: what an instrument is made of, and the road that it takes.

draft = read_model(path.read_bytes())
define_model(shop, name="Tidewarden", hands=hands, **planned(draft))
"""

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session

from ledger.acts.builds import model_named
from ledger.acts.names import checked_words
from ledger.acts.shop import Hands, Shop
from ledger.craft.modeltext import (
    MeasureDraft,
    ModelDraft,
    PartDraft,
    Sizes,
    StepDraft,
)
from ledger.errors import NotFoundError, RefusedError
from ledger.events import ModelDefined
from ledger.events.route import (
    Characteristic,
    Family,
    PlannedPart,
    PlannedStep,
    Quantity,
)
from ledger.views.models import Model, newest_model, plan_of
from ledger.views.people import abilities, people

NO_SIZES: Sizes = (None, None, None)


def define_model(
    shop: Shop,
    *,
    name: str,
    instrument: str,
    parts: Sequence[PlannedPart],
    steps: Sequence[PlannedStep],
    hands: Hands,
    family: Family | None = None,
) -> int:
    """Set down a model, or its next version; return the version.

    Builds that were begun stay with the version they were begun with.
    """
    checked_words("model's name", name)
    checked_words("instrument", instrument)
    _require_distinct("part", [part.part for part in parts])
    _require_distinct("step", [step.step for step in steps])
    with shop.turn() as turn:
        newest = newest_model(turn.session, name)
        version = newest.version + 1 if newest else 1
        event = ModelDefined(
            model=name,
            version=version,
            instrument=instrument,
            family=family,
            parts=tuple(parts),
            steps=tuple(steps),
        )
        turn.say(event, hands)
    return version


def find_model(session: Session, name: str, version: int | None = None) -> ModelDefined:
    """Return a model as it was set down: its newest version, or the one asked for."""
    newest = model_named(session, name)
    if version is not None and session.get(Model, (newest.name, version)) is None:
        raise NotFoundError(
            f"{newest.name} has no version {version}: the newest one is "
            f"{newest.version}"
        )
    return plan_of(session, newest.name, version or newest.version)


def unheld(session: Session, steps: Sequence[PlannedStep]) -> list[str]:
    """Return the qualifications of a road that nobody in the shop holds today."""
    held = {
        ability.name
        for person in people(session)
        if not person.is_retired
        for ability in abilities(session, person.subject)
        if ability.what == "qualification"
    }
    needed = dict.fromkeys(step.qualification for step in steps)
    return [name for name in needed if name not in held]


def planned(draft: ModelDraft) -> dict[str, Any]:
    """Return a drafted model as `define_model` takes it."""
    return {
        "instrument": draft.instrument,
        "family": draft.family,
        "parts": [_planned_part(part) for part in draft.parts],
        "steps": [_planned_step(step) for step in draft.steps],
    }


def drafted(event: ModelDefined) -> ModelDraft:
    """Return a model that was set down as a draft, to be written and changed."""
    return ModelDraft(
        instrument=event.instrument,
        family=event.family,
        parts=tuple(_part_draft(part) for part in event.parts),
        steps=tuple(_step_draft(step) for step in event.steps),
    )


def _planned_part(part: PartDraft) -> PlannedPart:
    rough, finished = part.rough or NO_SIZES, part.finished or NO_SIZES
    return PlannedPart(
        part=part.part,
        species=part.species,
        pieces=part.pieces,
        rough_length_um=rough[0],
        rough_width_um=rough[1],
        rough_thickness_um=rough[2],
        length_um=finished[0],
        width_um=finished[1],
        thickness_um=finished[2],
        optional=True if part.is_optional else None,
    )


def _part_draft(part: PlannedPart) -> PartDraft:
    rough = (part.rough_length_um, part.rough_width_um, part.rough_thickness_um)
    finished = (part.length_um, part.width_um, part.thickness_um)
    return PartDraft(
        part=part.part,
        species=part.species,
        pieces=part.pieces,
        rough=rough if rough != NO_SIZES else None,
        finished=finished if finished != NO_SIZES else None,
        is_optional=bool(part.optional),
    )


def _planned_step(step: StepDraft) -> PlannedStep:
    return PlannedStep(
        step=step.step,
        qualification=step.qualification,
        after=step.after,
        ways=step.ways or None,
        uses_up=step.uses_up or None,
        measured=tuple(map(_characteristic, step.measured)) or None,
        materials=step.materials or None,
        gate=step.gate,
        rest_days=step.rest_days,
        photograph=True if step.is_photographed else None,
        marries=True if step.marries else None,
    )


def _step_draft(step: PlannedStep) -> StepDraft:
    return StepDraft(
        step=step.step,
        qualification=step.qualification,
        after=step.after,
        ways=step.ways or (),
        uses_up=step.uses_up or (),
        measured=tuple(map(_measure_draft, step.measured or ())),
        materials=step.materials or (),
        gate=step.gate,
        rest_days=step.rest_days,
        is_photographed=bool(step.photograph),
        marries=bool(step.marries),
    )


def _characteristic(measure: MeasureDraft) -> Characteristic:
    def quantity(value: int | None) -> Quantity | None:
        return None if value is None else Quantity(**{str(measure.unit): value})

    return Characteristic(
        what=measure.what,
        unit=measure.unit,
        target=quantity(measure.target),
        least=quantity(measure.least),
        most=quantity(measure.most),
    )


def _measure_draft(measure: Characteristic) -> MeasureDraft:
    def value(said: Quantity | None) -> int | None:
        return None if said is None else getattr(said, measure.unit)

    return MeasureDraft(
        what=measure.what,
        unit=measure.unit,
        target=value(measure.target),
        least=value(measure.least),
        most=value(measure.most),
    )


def _require_distinct(what: str, names: Sequence[str]) -> None:
    if not names:
        raise RefusedError(f"a model has at least one {what}: give --{what}")
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice is not None:
        raise RefusedError(f"the {what} {twice!r} is named twice")
    if any(not n.strip() for n in names):
        raise RefusedError(f"a {what} has a name")
    for name in names:
        checked_words(f"name of a {what}", name)
