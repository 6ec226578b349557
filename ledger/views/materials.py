"""Glue, finish, shell and strings by batch, and the gauges of the shop."""

from sqlmodel import Field, Session, SQLModel, col, func, select

from ledger.errors import TamperError
from ledger.events import (
    Event,
    GaugeCalibrated,
    GaugeListed,
    MaterialFinished,
    MaterialPaperAdded,
    MaterialReceived,
)
from ledger.log.entry import Entry
from ledger.views.taking import take, taken
from ledger.views.wood import Document


class Material(SQLModel, table=True):
    """A batch of what is no board; one with a `finished_idx` is used up.

    Where a plant or an animal was harvested is shown as of a lot.
    """

    batch: str = Field(primary_key=True)
    what: str
    use: str = Field(index=True)
    supplier: str | None
    lot_as_written: str | None
    species: str | None
    received_on: str
    expires_on: str | None
    idx: int
    finished_idx: int | None = None
    harvested_in: str | None = None
    harvested_idx: int | None = None
    may_be_from: str = ""


class MaterialDocument(SQLModel, table=True):
    """A paper that belongs to a batch, and since which entry.

    One that came in with the batch has the batch's own entry.
    """

    idx: int = Field(primary_key=True)
    batch: str = Field(primary_key=True, index=True)
    document: str = Field(primary_key=True, index=True)
    struck_idx: int | None = None


class Gauge(SQLModel, table=True):
    """A rule, a scale or a meter, and what stands on it."""

    gauge: str = Field(primary_key=True)
    what: str
    measures: str
    mark: str | None
    idx: int


class Calibration(SQLModel, table=True):
    """A day on which a gauge was compared with a better one, and what came of it."""

    idx: int = Field(primary_key=True)
    gauge: str = Field(index=True)
    day: str
    until: str | None
    outcome: str
    document: str | None
    struck_idx: int | None = None


def fold_materials(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about materials and gauges into the view."""
    match event:
        case MaterialReceived():
            _receive(session, entry, event)
        case MaterialPaperAdded():
            _add_paper(session, entry, event)
        case MaterialFinished():
            batch = taken(session, Material, event.batch)
            if batch.finished_idx is not None:
                raise TamperError(
                    f"batch {event.batch} was finished before, by entry "
                    f"{batch.finished_idx}: run flitchbook record audit"
                )
            batch.finished_idx = entry.index
        case GaugeListed():
            row = Gauge(
                gauge=event.gauge,
                what=event.what,
                measures=event.measures,
                mark=event.mark,
                idx=entry.index,
            )
            take(session, row)
        case GaugeCalibrated():
            _calibrate(session, entry, event)


def materials(session: Session) -> list[Material]:
    """Return every batch, the oldest first."""
    return list(session.exec(select(Material).order_by(col(Material.idx))).all())


def gauges(session: Session) -> list[Gauge]:
    """Return every gauge, the oldest first."""
    return list(session.exec(select(Gauge).order_by(col(Gauge.idx))).all())


def calibrations_of(session: Session, gauge: str) -> list[Calibration]:
    """Return the calibrations of a gauge that count, by day, the oldest first."""
    query = select(Calibration).where(
        col(Calibration.gauge) == gauge, col(Calibration.struck_idx).is_(None)
    )
    by_day = query.order_by(col(Calibration.day), col(Calibration.idx))
    return list(session.exec(by_day).all())


def papers_of(session: Session, batch: str) -> list[str]:
    """Return the papers of a batch."""
    return list(batch_joins(session, batch))


def batch_joins(session: Session, batch: str) -> dict[str, MaterialDocument]:
    """Return since which entry each paper of a batch is one, by its code."""
    query = select(MaterialDocument).where(
        col(MaterialDocument.batch) == batch,
        col(MaterialDocument.struck_idx).is_(None),
    )
    by_code = query.order_by(col(MaterialDocument.document))
    return {join.document: join for join in session.exec(by_code).all()}


def newest_batch(session: Session, start: str) -> str | None:
    """Return the highest code of a batch that begins like this, or None."""
    query = select(func.max(Material.batch))
    return session.exec(query.where(col(Material.batch).startswith(start))).one()


def newest_gauge(session: Session, start: str) -> str | None:
    """Return the highest code of a gauge that begins like this, or None."""
    query = select(func.max(Gauge.gauge)).where(col(Gauge.gauge).startswith(start))
    return session.exec(query).one()


def _receive(session: Session, entry: Entry, event: MaterialReceived) -> None:
    row = Material(
        batch=event.batch,
        what=event.what,
        use=event.use,
        supplier=event.supplier,
        lot_as_written=event.lot_as_written,
        species=event.species,
        received_on=event.received_on,
        expires_on=event.expires_on,
        idx=entry.index,
    )
    take(session, row)
    for document in dict.fromkeys(event.documents):
        join = MaterialDocument(idx=entry.index, batch=event.batch, document=document)
        session.add(join)


def _add_paper(session: Session, entry: Entry, event: MaterialPaperAdded) -> None:
    """Join a paper to a batch once."""
    taken(session, Material, event.batch)
    taken(session, Document, event.document)
    before = batch_joins(session, event.batch).get(event.document)
    if before is not None:
        raise TamperError(
            f"{event.document} is a paper of {event.batch} since entry {before.idx}, "
            f"before this one: run flitchbook record audit"
        )
    join = MaterialDocument(idx=entry.index, batch=event.batch, document=event.document)
    take(session, join)


def _calibrate(session: Session, entry: Entry, event: GaugeCalibrated) -> None:
    taken(session, Gauge, event.gauge)
    row = Calibration(
        idx=entry.index,
        gauge=event.gauge,
        day=event.on,
        until=event.until,
        outcome=event.outcome,
        document=event.document,
    )
    session.add(row)
