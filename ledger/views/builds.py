"""Models and instruments as they are today."""

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import BuildBegun, Event, ModelDefined, StepSigned, TagPrinted
from ledger.events.build import UNITS, Measure
from ledger.log.entry import Entry
from ledger.views.taking import require_free, take, taken


class Model(SQLModel, table=True):
    """One version of a model."""

    name: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    instrument: str
    idx: int


class ModelPart(SQLModel, table=True):
    """A part of a model, in the order of its parts list."""

    model: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    position: int = Field(primary_key=True)
    part: str


class ModelStep(SQLModel, table=True):
    """A step of a model, in the order of its route."""

    model: str = Field(primary_key=True)
    version: int = Field(primary_key=True, sa_type=BigInteger)
    position: int = Field(primary_key=True)
    step: str
    qualification: str


class Build(SQLModel, table=True):
    """An instrument from its beginning on."""

    serial: str = Field(primary_key=True)
    model: str
    version: int = Field(sa_type=BigInteger)
    body: str = Field(index=True)
    neck: str = Field(index=True)
    run: str | None
    run_number: int | None = Field(sa_type=BigInteger)
    run_pieces: int | None = Field(sa_type=BigInteger)
    begun_at: str
    idx: int


class SignedStep(SQLModel, table=True):
    """A step that somebody put a key to."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    step: str
    meaning: str
    key: str
    at: str
    struck_idx: int | None = None


class PrintedTag(SQLModel, table=True):
    """A build tag that was drawn for the printer, with its checkpoint."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    number: int = Field(sa_type=BigInteger)
    size: int = Field(sa_type=BigInteger)


class BuildMeasure(SQLModel, table=True):
    """What was measured on an instrument: one value in one unit."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    serial: str = Field(index=True)
    what: str
    unit: str
    value: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None


class WeighedPart(SQLModel, table=True):
    """The finished mass of a part; the newest that nobody struck counts."""

    idx: int = Field(primary_key=True)
    part: str = Field(primary_key=True)
    serial: str = Field(index=True)
    mass_mg: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None


def fold_builds(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about models and instruments into the view."""
    match event:
        case ModelDefined():
            _define(session, entry, event)
        case BuildBegun():
            _begin(session, entry, event)
        case StepSigned():
            _sign(session, entry, event)
        case TagPrinted():
            _print_tag(session, entry, event)


def newest_model(session: Session, name: str) -> Model | None:
    """Return the newest version of a model, or None."""
    query = select(Model).where(col(Model.name) == name)
    return session.exec(query.order_by(col(Model.version).desc())).first()


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


def signed_steps(session: Session, serial: str) -> list[SignedStep]:
    """Return the signed steps of an instrument, in the order of signing."""
    query = select(SignedStep).where(
        col(SignedStep.serial) == serial, col(SignedStep.struck_idx).is_(None)
    )
    return list(session.exec(query.order_by(col(SignedStep.idx))).all())


def measures_of(session: Session, serial: str) -> list[BuildMeasure]:
    """Return the newest value of each thing measured, in the order first measured."""
    query = select(BuildMeasure).where(
        col(BuildMeasure.serial) == serial, col(BuildMeasure.struck_idx).is_(None)
    )
    ordered = query.order_by(col(BuildMeasure.idx), col(BuildMeasure.position))
    return list({row.what: row for row in session.exec(ordered).all()}.values())


def weighed_parts(session: Session, serial: str) -> dict[str, int]:
    """Return the finished mass of each part that was weighed [mg]."""
    query = select(WeighedPart).where(
        col(WeighedPart.serial) == serial, col(WeighedPart.struck_idx).is_(None)
    )
    rows = session.exec(query.order_by(col(WeighedPart.idx))).all()
    return {row.part: row.mass_mg for row in rows}


def printed_tags(session: Session, serial: str) -> list[PrintedTag]:
    """Return the tags of an instrument that were drawn, the oldest first."""
    query = select(PrintedTag).where(col(PrintedTag.serial) == serial)
    return list(session.exec(query.order_by(col(PrintedTag.idx))).all())


def newest_body(session: Session, start: str) -> str | None:
    """Return the highest body number that begins like this, or None."""
    query = select(func.max(Build.body)).where(col(Build.body).startswith(start))
    return session.exec(query).one()


def _define(session: Session, entry: Entry, event: ModelDefined) -> None:
    model, version = event.model, event.version
    row = Model(
        name=model,
        version=version,
        instrument=event.instrument,
        idx=entry.index,
    )
    take(session, row)
    for n, part in enumerate(event.parts):
        session.add(ModelPart(model=model, version=version, position=n, part=part))
    for n, step in enumerate(event.steps):
        session.add(
            ModelStep(
                model=model,
                version=version,
                position=n,
                step=step.step,
                qualification=step.qualification,
            )
        )


def _begin(session: Session, entry: Entry, event: BuildBegun) -> None:
    run = event.run
    require_free(session, Build, body=event.body)
    require_free(session, Build, neck=event.neck)
    row = Build(
        serial=event.serial,
        model=event.model,
        version=event.version,
        body=event.body,
        neck=event.neck,
        run=run.name if run else None,
        run_number=run.number if run else None,
        run_pieces=run.pieces if run else None,
        begun_at=entry.at,
        idx=entry.index,
    )
    take(session, row)


def _sign(session: Session, entry: Entry, event: StepSigned) -> None:
    taken(session, Build, event.serial)
    session.add(
        SignedStep(
            idx=entry.index,
            serial=event.serial,
            step=event.step,
            meaning=event.meaning,
            key=entry.key,
            at=entry.at,
        )
    )
    for n, measure in enumerate(event.measures):
        session.add(_measure_row(entry, n, event.serial, measure))
    for weighed in event.weighed:
        session.add(
            WeighedPart(
                idx=entry.index,
                part=weighed.part,
                serial=event.serial,
                mass_mg=weighed.mass_mg,
            )
        )


def _measure_row(
    entry: Entry, position: int, serial: str, measure: Measure
) -> BuildMeasure:
    unit = next(name for name in UNITS if getattr(measure, name) is not None)
    return BuildMeasure(
        idx=entry.index,
        position=position,
        serial=serial,
        what=measure.what,
        unit=unit,
        value=getattr(measure, unit),
    )


def _print_tag(session: Session, entry: Entry, event: TagPrinted) -> None:
    taken(session, Build, event.serial)
    printed = len(printed_tags(session, event.serial))
    if event.number != printed + 1:
        raise TamperError(
            f"tag {event.number} of {event.serial} is printed after {printed}: run "
            f"flitchbook record audit"
        )
    row = PrintedTag(
        idx=entry.index, serial=event.serial, number=event.number, size=event.size
    )
    session.add(row)
