"""Instruments in the making as they are today."""

from collections.abc import Sequence
from itertools import takewhile
from typing import Any, NamedTuple

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    BuildBegun,
    BuildVoided,
    Event,
    ReworkOrdered,
    StepSigned,
    StepSignedV1,
    TagPrinted,
)
from ledger.events.build import Measure, MeasureV1
from ledger.events.route import unit_of
from ledger.log.entry import Entry
from ledger.views.rows import columns_of, plain_rows
from ledger.views.taking import require_free, take, taken


class Build(SQLModel, table=True):
    """An instrument from its beginning on.

    `version` is of the model that it follows today; `begun_version` of the one that it
    was begun with. One with a `voided_idx` will not be, and its serial stays void.
    """

    serial: str = Field(primary_key=True)
    model: str
    version: int = Field(sa_type=BigInteger)
    begun_version: int = Field(sa_type=BigInteger)
    body: str = Field(index=True)
    neck: str = Field(index=True)
    run: str | None
    run_number: int | None = Field(sa_type=BigInteger)
    run_pieces: int | None = Field(sa_type=BigInteger)
    begun_at: str
    idx: int
    voided_idx: int | None = None


class SignedStep(SQLModel, table=True):
    """A step that somebody put a key to, when, in which way, with which two numbers.

    `at` is when it was entered, `happened_at` when it was done where that was earlier.
    One with a `reworked_idx` had to be done again.
    """

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    step: str
    meaning: str
    key: str = Field(index=True)
    at: str
    happened_at: str | None = None
    way: str | None = None
    body: str | None = None
    neck: str | None = None
    reworked_idx: int | None = None
    struck_idx: int | None = None

    @property
    def moment(self) -> str:
        """When it was done, as far as was said."""
        return self.happened_at or self.at


class PlainStep(NamedTuple):
    """A signed step as plain columns, for whoever reads those of a whole shop."""

    idx: int
    serial: str
    step: str
    meaning: str
    key: str
    at: str
    happened_at: str | None
    way: str | None
    reworked_idx: int | None
    struck_idx: int | None

    @property
    def moment(self) -> str:
        """When it was done, as far as was said."""
        return self.happened_at or self.at


AnyStep = SignedStep | PlainStep


class StepMaterial(SQLModel, table=True):
    """A batch that went into an instrument with a step."""

    idx: int = Field(primary_key=True)
    batch: str = Field(primary_key=True, index=True)
    serial: str = Field(index=True)
    struck_idx: int | None = None


class StepGauge(SQLModel, table=True):
    """A gauge that an instrument was measured with at a step."""

    idx: int = Field(primary_key=True)
    gauge: str = Field(primary_key=True, index=True)
    serial: str = Field(index=True)
    struck_idx: int | None = None


class StepPhotograph(SQLModel, table=True):
    """A picture of an instrument at a step, on file."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    serial: str = Field(index=True)
    digest: str = Field(index=True)
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
        case BuildBegun():
            _begin(session, entry, event)
        case StepSigned():
            _sign(session, entry, event)
            _sign_more(session, entry, event)
        case StepSignedV1():
            _sign(session, entry, event)
        case ReworkOrdered():
            _order_rework(session, entry, event)
        case BuildVoided():
            _void(session, entry, event)
        case TagPrinted():
            _print_tag(session, entry, event)


def place_in_run(session: Session, run: str, number: int) -> Build | None:
    """Return the instrument that has a place in a short run, unless it is void."""
    query = select(Build).where(
        func.lower(col(Build.run)) == run.lower(),
        col(Build.run_number) == number,
        col(Build.voided_idx).is_(None),
    )
    return session.exec(query.order_by(col(Build.idx))).first()


def plain_steps(session: Session, *where: Any) -> list[PlainStep]:
    """Return the signed steps for which all this is so, in order."""
    query = columns_of(SignedStep, PlainStep._fields).where(*where)
    rows = plain_rows(session, query.order_by(col(SignedStep.idx)))
    return [PlainStep._make(row) for row in rows]


def signed_steps(session: Session, serial: str) -> list[SignedStep]:
    """Return the signed steps of an instrument that count, in the order of signing."""
    query = select(SignedStep).where(
        col(SignedStep.serial) == serial,
        col(SignedStep.struck_idx).is_(None),
        col(SignedStep.reworked_idx).is_(None),
    )
    return list(session.exec(query.order_by(col(SignedStep.idx))).all())


def looked_at(session: Session, done: SignedStep) -> list[SignedStep]:
    """Return what else was signed of a step after it was done, until it was anew."""
    signed = signed_steps(session, done.serial)
    later = (row for row in signed if row.step == done.step and row.idx > done.idx)
    return list(takewhile(lambda row: row.meaning != "did", later))


def reworked_since(session: Session, serial: str, step: str) -> int:
    """Return the entry by which a step was last to be done again, or -1."""
    query = select(func.max(SignedStep.reworked_idx)).where(
        col(SignedStep.serial) == serial, col(SignedStep.step) == step
    )
    newest = session.exec(query).one()
    return -1 if newest is None else newest


def measures_of(session: Session, serial: str) -> list[BuildMeasure]:
    """Return the newest value of each thing measured, in the order first measured."""
    return list({row.what: row for row in measures_read(session, serial)}.values())


def measures_read(session: Session, serial: str) -> list[BuildMeasure]:
    """Return every value measured that nobody struck, in the order of reading."""
    query = select(BuildMeasure).where(
        col(BuildMeasure.serial) == serial, col(BuildMeasure.struck_idx).is_(None)
    )
    ordered = query.order_by(col(BuildMeasure.idx), col(BuildMeasure.position))
    return list(session.exec(ordered).all())


def weighed_parts(session: Session, serial: str) -> dict[str, int]:
    """Return the finished mass of each part that was weighed [mg]."""
    newest = newest_weighings(session, serial)
    return {part: row.mass_mg for part, row in newest.items()}


def newest_weighings(session: Session, serial: str) -> dict[str, WeighedPart]:
    """Return the newest weighing of each part, with its entry."""
    query = select(WeighedPart).where(
        col(WeighedPart.serial) == serial, col(WeighedPart.struck_idx).is_(None)
    )
    rows = session.exec(query.order_by(col(WeighedPart.idx))).all()
    return {row.part: row for row in rows}


def printed_tags(session: Session, serial: str) -> list[PrintedTag]:
    """Return the tags of an instrument that were drawn, the oldest first."""
    query = select(PrintedTag).where(col(PrintedTag.serial) == serial)
    return list(session.exec(query.order_by(col(PrintedTag.idx))).all())


def newest_body(session: Session, start: str) -> str | None:
    """Return the highest body number that begins like this, or None."""
    query = select(func.max(Build.body)).where(col(Build.body).startswith(start))
    return session.exec(query).one()


def standing_build(session: Session, serial: str) -> Build:
    """Return the instrument that an entry works on, which is not void.

    Raises TamperError where it was never begun, or was void before.
    """
    build = taken(session, Build, serial)
    if build.voided_idx is not None:
        raise TamperError(
            f"{serial} was void before this entry, by entry {build.voided_idx}: run "
            f"flitchbook record audit"
        )
    return build


def _begin(session: Session, entry: Entry, event: BuildBegun) -> None:
    run = event.run
    require_free(session, Build, body=event.body)
    require_free(session, Build, neck=event.neck)
    row = Build(
        serial=event.serial,
        model=event.model,
        version=event.version,
        begun_version=event.version,
        body=event.body,
        neck=event.neck,
        run=run.name if run else None,
        run_number=run.number if run else None,
        run_pieces=run.pieces if run else None,
        begun_at=entry.at,
        idx=entry.index,
    )
    take(session, row)


def _sign(session: Session, entry: Entry, event: StepSigned | StepSignedV1) -> None:
    standing_build(session, event.serial)
    row = SignedStep(
        idx=entry.index,
        serial=event.serial,
        step=event.step,
        meaning=event.meaning,
        key=entry.key,
        at=entry.at,
        happened_at=entry.event.get("happened_at"),
    )
    if isinstance(event, StepSigned):
        row.way, row.body, row.neck = event.way, event.body, event.neck
    session.add(row)
    measures: Sequence[Measure | MeasureV1] = event.measures
    for n, measure in enumerate(measures):
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


def _sign_more(session: Session, entry: Entry, event: StepSigned) -> None:
    """Take what only the newer kind of signature says."""
    idx, serial = entry.index, event.serial
    for batch in dict.fromkeys(event.materials):
        session.add(StepMaterial(idx=idx, batch=batch, serial=serial))
    for gauge in dict.fromkeys(event.gauges):
        session.add(StepGauge(idx=idx, gauge=gauge, serial=serial))
    for n, digest in enumerate(event.photographs):
        row = StepPhotograph(idx=idx, position=n, serial=serial, digest=digest)
        session.add(row)


def _order_rework(session: Session, entry: Entry, event: ReworkOrdered) -> None:
    """Let what was signed of a step count no more."""
    signed = [s for s in signed_steps(session, event.serial) if s.step == event.step]
    if not signed:
        raise TamperError(
            f"step {event.step} of {event.serial} is to be done again, and was not "
            f"signed before: run flitchbook record audit"
        )
    for row in signed:
        row.reworked_idx = entry.index


def _void(session: Session, entry: Entry, event: BuildVoided) -> None:
    build = taken(session, Build, event.serial)
    if build.voided_idx is not None:
        raise TamperError(
            f"{event.serial} was void before, by entry {build.voided_idx}: run "
            f"flitchbook record audit"
        )
    build.voided_idx = entry.index


def _measure_row(
    entry: Entry, position: int, serial: str, measure: Measure | MeasureV1
) -> BuildMeasure:
    unit = unit_of(measure)
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
