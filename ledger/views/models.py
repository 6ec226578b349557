"""Models as they were set down, version by version: their parts and their road."""

from functools import lru_cache

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import Event, ModelDefined, ModelDefinedV1
from ledger.events.codec import parse, plain
from ledger.events.route import PlannedPart, PlannedStep
from ledger.log.encoding import canonical, parse_object
from ledger.log.entry import Entry
from ledger.views.taking import take


class Model(SQLModel, table=True):
    """One version of a model; `said` is the whole sentence that set it down."""

    name: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    instrument: str
    said: str
    idx: int


class ModelPart(SQLModel, table=True):
    """A part of a model, in the order of its parts list."""

    model: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    position: int = Field(primary_key=True)
    part: str


class ModelStep(SQLModel, table=True):
    """A step of a model, in the order of its road."""

    model: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    position: int = Field(primary_key=True)
    step: str
    qualification: str


def fold_models(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about models into the view."""
    match event:
        case ModelDefined():
            _define(session, entry, event)
        case ModelDefinedV1():
            _define(session, entry, event)


def newest_model(session: Session, name: str) -> Model | None:
    """Return the newest version of a model, or None."""
    query = select(Model).where(col(Model.name) == name)
    return session.exec(query.order_by(col(Model.version).desc())).first()


def models(session: Session) -> list[Model]:
    """Return the newest version of every model, by name."""
    rows = session.exec(select(Model).order_by(col(Model.version))).all()
    newest = {row.name: row for row in rows}
    return [newest[name] for name in sorted(newest)]


def parts_of(session: Session, model: str, version: int) -> list[str]:
    """Return the parts of a model, in order."""
    query = (
        select(ModelPart)
        .where(col(ModelPart.model) == model, col(ModelPart.version) == version)
        .order_by(col(ModelPart.position))
    )
    return [row.part for row in session.exec(query).all()]


def steps_of(session: Session, model: str, version: int) -> list[ModelStep]:
    """Return the steps of a model, in order."""
    query = (
        select(ModelStep)
        .where(col(ModelStep.model) == model, col(ModelStep.version) == version)
        .order_by(col(ModelStep.position))
    )
    return list(session.exec(query).all())


def plan_of(session: Session, model: str, version: int) -> ModelDefined:
    """Return a model as it was set down, with its parts and its road.

    One of the first kind has no sizes, and no step of it asks for more than its signer.
    """
    plan = _plan_said(session.get_one(Model, (model, version)).said)
    if plan is None:
        raise TamperError(
            f"{model}, version {version}, is none in its own words: run flitchbook "
            f"record rebuild"
        )
    return plan


@lru_cache(maxsize=64)
def _plan_said(said: str) -> ModelDefined | None:
    """Read a model out of its entry's text, once: many instruments follow one."""
    event = parse(parse_object(said.encode()))
    if isinstance(event, ModelDefined):
        return event
    if not isinstance(event, ModelDefinedV1):
        return None
    return ModelDefined(
        model=event.model,
        version=event.version,
        instrument=event.instrument,
        parts=tuple(PlannedPart(part=part) for part in event.parts),
        steps=tuple(
            PlannedStep(step=step.step, qualification=step.qualification)
            for step in event.steps
        ),
    )


def _define(
    session: Session, entry: Entry, event: ModelDefined | ModelDefinedV1
) -> None:
    model, version = event.model, event.version
    row = Model(
        name=model,
        version=version,
        instrument=event.instrument,
        said=canonical(plain(event)).decode(),
        idx=entry.index,
    )
    take(session, row)
    parts = (part if isinstance(part, str) else part.part for part in event.parts)
    for n, part in enumerate(parts):
        session.add(ModelPart(model=model, version=version, position=n, part=part))
    steps = [(step.step, step.qualification) for step in event.steps]
    for n, (name, qualification) in enumerate(steps):
        session.add(
            ModelStep(
                model=model,
                version=version,
                position=n,
                step=name,
                qualification=qualification,
            )
        )
