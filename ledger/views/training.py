"""Who may do what, from when until when; who learns it, and from whom."""

from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import (
    Event,
    QualificationGranted,
    QualificationWithdrawn,
    RoleGranted,
    RoleWithdrawn,
    SkillChecked,
    TrainingBegun,
    TrainingEnded,
)
from ledger.log.entry import Entry
from ledger.views.people import Person
from ledger.views.taking import taken


class AbilitySpan(SQLModel, table=True):
    """A role or qualification from the entry that gave it to the one that took it."""

    idx: int = Field(primary_key=True)
    subject: str = Field(index=True)
    what: str  # "role" or "qualification"
    name: str
    at: str
    ended_idx: int | None = None
    ended_at: str | None = None


class Training(SQLModel, table=True):
    """That somebody does a work under supervision, and learns it from another."""

    idx: int = Field(primary_key=True)
    subject: str = Field(index=True)
    qualification: str
    trainer: str = Field(index=True)
    at: str
    ended_idx: int | None = None
    ended_at: str | None = None


class SkillCheck(SQLModel, table=True):
    """That somebody's work was looked at, and the qualification counts until a day."""

    idx: int = Field(primary_key=True)
    subject: str = Field(index=True)
    qualification: str
    until: str
    at: str


def fold_training(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about abilities and learning into the view."""
    match event:
        case RoleGranted():
            _grant(session, entry, event.subject, "role", event.role)
        case QualificationGranted():
            name = event.qualification
            _grant(session, entry, event.subject, "qualification", name)
        case RoleWithdrawn():
            _withdraw(session, entry, event.subject, "role", event.role)
        case QualificationWithdrawn():
            name = event.qualification
            _withdraw(session, entry, event.subject, "qualification", name)
        case TrainingBegun():
            _begin(session, entry, event)
        case TrainingEnded():
            _end(session, entry, event)
        case SkillChecked():
            taken(session, Person, event.subject)
            row = SkillCheck(
                idx=entry.index,
                subject=event.subject,
                qualification=event.qualification,
                until=event.until,
                at=entry.at,
            )
            session.add(row)


def spans_of(session: Session, *subjects: str) -> list[AbilitySpan]:
    """Return all that people ever might do, from when until when, in order."""
    query = select(AbilitySpan).where(col(AbilitySpan.subject).in_(subjects))
    return list(session.exec(query.order_by(col(AbilitySpan.idx))).all())


def trainings_of(session: Session, *subjects: str) -> list[Training]:
    """Return what people ever did under supervision, in order."""
    query = select(Training).where(col(Training.subject).in_(subjects))
    return list(session.exec(query.order_by(col(Training.idx))).all())


def checks_of(session: Session, *subjects: str) -> list[SkillCheck]:
    """Return how often the work of people was looked at, in order."""
    query = select(SkillCheck).where(col(SkillCheck.subject).in_(subjects))
    return list(session.exec(query.order_by(col(SkillCheck.idx))).all())


def _grant(session: Session, entry: Entry, subject: str, what: str, name: str) -> None:
    row = AbilitySpan(
        idx=entry.index, subject=subject, what=what, name=name, at=entry.at
    )
    session.add(row)


def _withdraw(
    session: Session, entry: Entry, subject: str, what: str, name: str
) -> None:
    for span in spans_of(session, subject):
        if (span.what, span.name) == (what, name) and span.ended_idx is None:
            span.ended_idx, span.ended_at = entry.index, entry.at


def _begin(session: Session, entry: Entry, event: TrainingBegun) -> None:
    taken(session, Person, event.subject)
    taken(session, Person, event.trainer)
    row = Training(
        idx=entry.index,
        subject=event.subject,
        qualification=event.qualification,
        trainer=event.trainer,
        at=entry.at,
    )
    session.add(row)


def _end(session: Session, entry: Entry, event: TrainingEnded) -> None:
    running = [
        row
        for row in trainings_of(session, event.subject)
        if row.qualification == event.qualification and row.ended_idx is None
    ]
    if not running:
        raise TamperError(
            f"a training in {event.qualification} is ended that was not begun: run "
            f"flitchbook record audit"
        )
    for row in running:
        row.ended_idx, row.ended_at = entry.index, entry.at
