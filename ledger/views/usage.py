"""Which instruments a batch or a gauge touched, step by step, and which boards."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, func, select

from ledger.views.builds import PlainStep, SignedStep, StepGauge, StepMaterial
from ledger.views.materials import Material
from ledger.views.measures import Metering, stands
from ledger.views.rows import columns_of, plain_rows
from ledger.views.service import Service, ServiceMaterial


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A step of an instrument: when it was done, by whose key, in which entry."""

    serial: str
    step: str
    meaning: str
    day: str
    key: str
    idx: int


def uses_of_batch(session: Session, batch: str) -> list[Use]:
    """Return the steps and the service that a batch went into, by entry."""
    query = _steps().join(StepMaterial, col(StepMaterial.idx) == col(SignedStep.idx))
    query = query.where(
        col(StepMaterial.batch) == batch, col(StepMaterial.struck_idx).is_(None)
    )
    served = (
        select(Service)
        .join(ServiceMaterial, col(ServiceMaterial.idx) == col(Service.idx))
        .where(col(ServiceMaterial.batch) == batch, col(Service.struck_idx).is_(None))
    )
    services = [
        Use(
            serial=row.serial,
            step=row.work,
            meaning="service",
            day=row.day,
            key=row.key,
            idx=row.idx,
        )
        for row in session.exec(served).all()
    ]
    return sorted([*_uses(session, query), *services], key=lambda use: use.idx)


def uses_of_gauge(session: Session, gauge: str, *, since: str = "") -> list[Use]:
    """Return the steps that a gauge measured since a day, in the order of entries."""
    moment = func.coalesce(col(SignedStep.happened_at), col(SignedStep.at))
    query = _steps().join(StepGauge, col(StepGauge.idx) == col(SignedStep.idx))
    query = query.where(
        col(StepGauge.gauge) == gauge,
        col(StepGauge.struck_idx).is_(None),
        moment >= since,
    )
    return _uses(session, query)


def batches_in(
    session: Session,
    serials: Sequence[str],
    uses: Sequence[str],
    *,
    at: int | None = None,
) -> list[Material]:
    """Return the batches of these uses that went into instruments, by their codes.

    at  the entry up to which steps count that took from them; else now
    """
    gone_in = select(StepMaterial.batch).where(
        col(StepMaterial.serial).in_(list(serials)), stands(StepMaterial, at)
    )
    query = select(Material).where(
        col(Material.batch).in_(gone_in), col(Material.use).in_(list(uses))
    )
    return list(session.exec(query.order_by(col(Material.batch))).all())


def meterings_by(
    session: Session, meters: Sequence[str], *, since: str = ""
) -> list[Metering]:
    """Return what meters of these names showed since a day, in order."""
    query = select(Metering).where(
        col(Metering.meter).in_(list(meters)),
        col(Metering.struck_idx).is_(None),
        col(Metering.moment) >= since,
    )
    return list(session.exec(query.order_by(col(Metering.idx))).all())


def _steps() -> Any:
    return columns_of(SignedStep, PlainStep._fields)


def _uses(session: Session, query: Any) -> list[Use]:
    rows = plain_rows(session, query.order_by(col(SignedStep.idx)))
    return [
        Use(
            serial=row.serial,
            step=row.step,
            meaning=row.meaning,
            day=row.moment[:10],
            key=row.key,
            idx=row.idx,
        )
        for row in map(PlainStep._make, rows)
    ]
