"""Who learns a work from whom, whose work was looked at, and who may sign alone.

Whether somebody may do a work alone is told to that person and to the lead only.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.abilities import Ability, When, abilities_of, when_signed
from ledger.acts.names import checked_day
from ledger.acts.people import require_known
from ledger.acts.resting import in_parts
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.signing import holder_name, person_name
from ledger.craft.signing import APPRENTICE, BENCH
from ledger.errors import RefusedError
from ledger.events import SkillChecked, TrainingBegun, TrainingEnded
from ledger.log.authority import LEAD
from ledger.log.entry import Entry
from ledger.log.keys import SecretKey
from ledger.views.builds import Build, SignedStep
from ledger.views.models import plan_of
from ledger.views.people import Person, PersonKey, people, subject_of_key
from ledger.views.training import trainings_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """That somebody taught a person a work: who, from when on, and until when."""

    trainer: str
    since: str
    until: str | None
    idx: int
    ended_idx: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MayAlone:
    """Whether a person may sign a work alone today, and how that came about.

    `since` is the day of the entry `ability.by`. `supervised` are the entries of steps
    done under supervision, `countersigned` those of them that another witnessed, and
    `alone` those done alone.
    """

    ability: Ability
    since: str | None
    taught: tuple[Taught, ...]
    supervised: tuple[int, ...]
    countersigned: tuple[int, ...]
    alone: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Learning:
    """A work that somebody learns today: from whom, since when, by which entry."""

    work: str
    trainer: str
    since: str
    idx: int


def begin(
    shop: Shop, person: Person, work: str, *, trainer: Person, hands: Hands
) -> Entry:
    """Let a person do a work under supervision, and learn it from another."""
    with shop.turn() as turn:
        require_known(turn.standing, work)
        now = _now(turn)
        who, by = person_name(shop, person), person_name(shop, trainer)
        if person.subject == trainer.subject:
            raise RefusedError(f"nobody learns from oneself: name whom {who} learns of")
        able = abilities_of(turn.session, person.subject)
        held = able.at(work, now)
        if held.is_alone:
            raise RefusedError(
                f"{who} may do {work} alone already, by entry {held.by}: there is "
                f"nothing to learn"
            )
        if not able.any_of(BENCH, now):
            raise RefusedError(
                f"{who} signs nothing at the bench yet: let a lead say first "
                f"flitchbook person qualify {person.badge} {APPRENTICE}"
            )
        running = able.training_in(work, now)
        if running is not None:
            raise RefusedError(
                f"{who} learns {work} already, since {running.at[:10]} by entry "
                f"{running.idx}: end that first with flitchbook person train-end"
            )
        if not abilities_of(turn.session, trainer.subject).at(work, now).is_alone:
            raise RefusedError(
                f"{by} may not do {work} alone, and so teaches it nobody: name a "
                f"{work}-qualified builder"
            )
        event = TrainingBegun(
            subject=person.subject, qualification=work, trainer=trainer.subject
        )
        return turn.say(event, hands)


def end(shop: Shop, person: Person, work: str, *, hands: Hands) -> Entry:
    """Let a person no longer do a work under supervision."""
    with shop.turn() as turn:
        able = abilities_of(turn.session, person.subject)
        if able.training_in(work, _now(turn)) is None:
            raise RefusedError(
                f"{person_name(shop, person)} does not learn {work}: there is nothing "
                f"to end"
            )
        event = TrainingEnded(subject=person.subject, qualification=work)
        return turn.say(event, hands)


def look_at(
    shop: Shop, person: Person, work: str, *, until: str, hands: Hands
) -> Entry:
    """Record that a person's work was looked at, and counts until a day."""
    checked_day(until)
    with shop.turn() as turn:
        if until < shop.today():
            raise RefusedError(
                f"{until} is past, and today is {shop.today()}: name the day until "
                f"which the work counts"
            )
        held = abilities_of(turn.session, person.subject).at(work, _now(turn))
        if held.how not in ("qualified", "lapsed"):
            raise RefusedError(
                f"{person_name(shop, person)} does not hold the qualification {work}: "
                f"grant it with flitchbook person qualify"
            )
        event = SkillChecked(subject=person.subject, qualification=work, until=until)
        return turn.say(event, hands)


def may_alone(shop: Shop, asker: SecretKey, person: Person, work: str) -> MayAlone:
    """Tell whether a person may sign a work alone today, and who taught it.

    asker  the key of whoever asks, which the own PIN opened

    Raises RefusedError for whoever is neither that person nor a lead.
    """
    _require_told(shop, asker, person)
    require_known(shop.standing(), work)
    when = When(idx=shop.store.head().size, day=shop.today())
    with shop.store.reading() as session:
        able = abilities_of(session, person.subject)
        held = able.at(work, when)
        spans = {span.idx: span.at[:10] for span in able.spans}
        spans |= {training.idx: training.at[:10] for training in able.trainings}
        done = _done_by(session, person, work)
        alone = [r.idx for r in done if able.at(work, when_signed(r)).is_alone]
        under = [row for row in done if row.idx not in alone]
        taught = tuple(
            Taught(
                trainer=_name(shop, session, row.trainer),
                since=row.at[:10],
                until=row.ended_at[:10] if row.ended_at else None,
                idx=row.idx,
                ended_idx=row.ended_idx,
            )
            for row in able.trainings
            if row.qualification == work
        )
        seen = _witnessed(session, under, person)
        return MayAlone(
            ability=held,
            since=spans.get(held.by) if held.by is not None else None,
            taught=taught,
            supervised=tuple(row.idx for row in under),
            countersigned=tuple(row.idx for row in under if row.idx in seen),
            alone=tuple(alone),
        )


def learning(shop: Shop, asker: SecretKey) -> dict[str, list[Learning]]:
    """Return who learns what from whom today, by badge: a lead hears of everybody.

    asker  the key of whoever asks, which the own PIN opened; no lead hears of others
    """
    found: dict[str, list[Learning]] = {}
    with shop.store.reading() as session:
        subject = subject_of_key(session, asker.id)
        is_lead = LEAD in shop.standing().roles_of(subject)
        for person in people(session):
            if not is_lead and person.subject != subject:
                continue
            open_now = (
                row
                for row in trainings_of(session, person.subject)
                if row.ended_idx is None
            )
            found[person.badge] = [
                Learning(
                    work=row.qualification,
                    trainer=_name(shop, session, row.trainer),
                    since=row.at[:10],
                    idx=row.idx,
                )
                for row in open_now
            ]
    return found


def _require_told(shop: Shop, asker: SecretKey, person: Person) -> None:
    """Refuse whoever is neither the person asked about nor a lead."""
    with shop.store.reading() as session:
        subject = subject_of_key(session, asker.id)
        name = holder_name(shop, session, asker.id)
    is_lead = LEAD in shop.standing().roles_of(subject)
    if subject != person.subject and not is_lead:
        who = person_name(shop, person)
        raise RefusedError(
            f"what {who} may sign alone is for {who} and the lead, and not for {name}: "
            f"ask one of them"
        )


def _now(turn: Turn) -> When:
    return When(idx=turn.size, day=turn.shop.today())


def _done_by(session: Session, person: Person, work: str) -> list[SignedStep]:
    """Return the steps of one kind of work that a person did, in order."""
    keys = select(PersonKey.key).where(col(PersonKey.subject) == person.subject)
    query = select(SignedStep).where(
        col(SignedStep.key).in_(keys),
        col(SignedStep.meaning) == "did",
        col(SignedStep.struck_idx).is_(None),
    )
    rows = session.exec(query.order_by(col(SignedStep.idx))).all()
    kinds = works_of(session, {row.serial for row in rows})
    return [row for row in rows if kinds.get((row.serial, row.step)) == work]


def works_of(session: Session, serials: set[str]) -> Mapping[tuple[str, str], str]:
    """Return which qualification each step of these instruments asks for.

    It is that of the model's version that an instrument follows today, and of the one
    it was begun with for a step that is no more.
    """
    found: dict[tuple[str, str], str] = {}
    plans: dict[tuple[str, int], dict[str, str]] = {}
    for serial, model, *versions in _versions(session, sorted(serials)):
        for version in versions:
            key = model, version
            if key not in plans:
                steps = plan_of(session, *key).steps
                plans[key] = {step.step: step.qualification for step in steps}
            found |= {(serial, step): need for step, need in plans[key].items()}
    return found


def _versions(
    session: Session, serials: Sequence[str]
) -> Iterator[tuple[str, str, int, int]]:
    """Yield which model instruments are of: as they were begun, and as of today."""
    for part in in_parts(serials):
        query = select(
            Build.serial, Build.model, Build.begun_version, Build.version
        ).where(col(Build.serial).in_(part))
        yield from session.exec(query).all()


def _witnessed(session: Session, rows: list[SignedStep], person: Person) -> set[int]:
    """Return which of a person's steps another witnessed."""
    seen: set[int] = set()
    for row in rows:
        query = select(SignedStep.key).where(
            col(SignedStep.serial) == row.serial,
            col(SignedStep.step) == row.step,
            col(SignedStep.meaning) == "witnessed",
            col(SignedStep.struck_idx).is_(None),
            col(SignedStep.idx) > row.idx,
        )
        by = (subject_of_key(session, key) for key in session.exec(query).all())
        if any(subject != person.subject for subject in by):
            seen.add(row.idx)
    return seen


def _name(shop: Shop, session: Session, subject: str) -> str:
    person = session.get(Person, subject)
    return person_name(shop, person) if person else f"subject {subject}"
