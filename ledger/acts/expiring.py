"""What ends soon: papers, batches, calibrations, and skills to be looked at again."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.names import last_day
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.acts.whose import leads
from ledger.log.keys import SecretKey
from ledger.views.materials import Material, calibrations_of, gauges, papers_of
from ledger.views.people import Person, abilities, people, subject_of_key
from ledger.views.training import SkillCheck, checks_of
from ledger.views.wood import Document, lots_with


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """Something that ends on a day: its code, in words, and what rests on it."""

    ends_on: str
    kind: str  # "paper", "batch", "calibration" or "skill"
    code: str
    said: str
    rests: tuple[str, ...]
    entry: int


def ending(
    shop: Shop, session: Session, *, within_days: int, asker: SecretKey | None = None
) -> list[Ending]:
    """Return what ends within so many days or has ended, the soonest first.

    asker  whose own skills are told as well; a lead is told of everybody's

    Left out is what nothing can rest on any more: a batch that is used up, a
    qualification that was withdrawn.
    """
    until = last_day(shop.today(), within_days)
    found = [
        *_papers(session, until),
        *_batches(session, until),
        *_calibrations(session, until),
        *_skills(shop, session, _told_of(shop, session, asker), until),
    ]
    return sorted(found, key=lambda each: (each.ends_on, each.kind, each.code))


def _papers(session: Session, until: str) -> Iterator[Ending]:
    query = select(Document).where(col(Document.expires_on) <= until)
    for paper in session.exec(query.order_by(col(Document.code))).all():
        number = f" {paper.number_as_written}" if paper.number_as_written else ""
        yield Ending(
            ends_on=str(paper.expires_on),
            kind="paper",
            code=paper.code,
            said=f"{paper.paper}{number}",
            rests=tuple(lot.code for lot in lots_with(session, paper.code)),
            entry=paper.idx,
        )


def _batches(session: Session, until: str) -> Iterator[Ending]:
    query = select(Material).where(
        col(Material.expires_on) <= until, col(Material.finished_idx).is_(None)
    )
    for batch in session.exec(query.order_by(col(Material.batch))).all():
        yield Ending(
            ends_on=str(batch.expires_on),
            kind="batch",
            code=batch.batch,
            said=f"{batch.what} ({batch.use})",
            rests=tuple(papers_of(session, batch.batch)),
            entry=batch.idx,
        )


def _calibrations(session: Session, until: str) -> Iterator[Ending]:
    for gauge in gauges(session):
        rows = calibrations_of(session, gauge.gauge)
        newest = rows[-1] if rows else None
        if newest is None or newest.until is None or newest.until > until:
            continue
        yield Ending(
            ends_on=newest.until,
            kind="calibration",
            code=gauge.gauge,
            said=f"{gauge.what} ({gauge.measures})",
            rests=(newest.document,) if newest.document else (),
            entry=newest.idx,
        )


def _told_of(shop: Shop, session: Session, asker: SecretKey | None) -> list[Person]:
    if asker is None:
        return []
    subject = subject_of_key(session, asker.id)
    is_lead = leads(session, shop.standing(), asker.id)
    return [p for p in people(session) if is_lead or p.subject == subject]


def _skills(
    shop: Shop, session: Session, persons: Iterable[Person], until: str
) -> Iterator[Ending]:
    for person in persons:
        if person.is_retired or person.is_erased:
            continue
        for check in _newest_checks(session, person):
            if check.until <= until:
                yield Ending(
                    ends_on=check.until,
                    kind="skill",
                    code=f"badge {person.badge}",
                    said=f"{person_name(shop, person)}, {check.qualification}",
                    rests=(),
                    entry=check.idx,
                )


def _newest_checks(session: Session, person: Person) -> list[SkillCheck]:
    """Return the newest look at each work that somebody still may do."""
    held = {a.name for a in abilities(session, person.subject)}
    newest = {row.qualification: row for row in checks_of(session, person.subject)}
    return [newest[name] for name in sorted(newest) if name in held]
