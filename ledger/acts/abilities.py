"""Who might do a work at a moment, and by which entry: alone, or under supervision.

What was signed is judged by what held when it was done: neither a qualification that
came later nor one that ended later changes it.
"""

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from sqlmodel import Session

from ledger.craft.signing import BENCH, INSPECT
from ledger.log.authority import LEAD
from ledger.views.builds import PlainStep, SignedStep
from ledger.views.training import (
    AbilitySpan,
    SkillCheck,
    Training,
    checks_of,
    spans_of,
    trainings_of,
)

How = Literal["lead", "qualified", "supervised", "lapsed", "none"]
ALONE: tuple[How, ...] = ("lead", "qualified")
ANY_BENCH = "any bench work"


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """When a thing was done: before which entry, and when if it was entered late."""

    idx: int
    day: str
    happened_at: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ability:
    """How somebody might do a work at a moment, and by which entry.

    One who is `lapsed` held it `until` a day; one who is `supervised` learns it from
    the subject `trainer`.
    """

    how: How
    by: int | None = None
    until: str | None = None
    trainer: str | None = None

    @property
    def is_alone(self) -> bool:
        """Whether nobody has to stand beside."""
        return self.how in ALONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Abilities:
    """All that somebody ever might do, learn and show, in order."""

    spans: tuple[AbilitySpan, ...]
    trainings: tuple[Training, ...]
    checks: tuple[SkillCheck, ...]

    def leads(self, when: When) -> AbilitySpan | None:
        """Return what made a person a lead at a moment, if it did."""
        return self._span("role", LEAD, when)

    def to_say(self, meaning: str, work: str, when: When) -> Ability:
        """Tell how a person might say something of a step that asks for a work."""
        if meaning == "approved":
            lead = self.leads(when)
            return Ability(how="lead", by=lead.idx) if lead else Ability(how="none")
        if meaning == "assisted":
            can = self.any_of(BENCH, when)
            return Ability(how="qualified" if can else "none")
        return self.at(wanted_for(meaning, work), when)

    def at(self, qualification: str, when: When) -> Ability:
        """Tell how a person might do a work at a moment."""
        lead = self.leads(when)
        if lead is not None:
            return Ability(how="lead", by=lead.idx)
        span = self._span("qualification", qualification, when)
        until = self._lapsed_on(span, when) if span else None
        if span and until is None:
            return Ability(how="qualified", by=span.idx)
        training = self.training_in(qualification, when)
        if training is not None:
            by, trainer = training.idx, training.trainer
            return Ability(how="supervised", by=by, trainer=trainer)
        if span:
            return Ability(how="lapsed", by=span.idx, until=until)
        return Ability(how="none")

    def training_in(self, qualification: str, when: When) -> Training | None:
        """Return the training in a work that ran at a moment, or None."""
        of_it = [t for t in self.trainings if t.qualification == qualification]
        return next(filter(lambda t: _ran(t, when), reversed(of_it)), None)

    def any_of(self, qualifications: Iterable[str], when: When) -> bool:
        """Tell whether a person had a hand in any of these works at a moment."""
        hows = (self.at(each, when).how for each in qualifications)
        return any(how not in ("none", "lapsed") for how in hows)

    def _span(self, what: str, name: str, when: When) -> AbilitySpan | None:
        named = [s for s in self.spans if (s.what, s.name) == (what, name)]
        return next(filter(lambda s: _ran(s, when), reversed(named)), None)

    def _lapsed_on(self, span: AbilitySpan, when: When) -> str | None:
        """Return the day until which a qualification counted, where that is past.

        A work that was never looked at again counts on.
        """
        looked = [
            check
            for check in self.checks
            if check.qualification == span.name
            and check.idx > span.idx
            and _is_before(check.idx, check.at, when)
        ]
        until = looked[-1].until if looked else None
        return until if until is not None and until < when.day else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What one person might do, asked of many signatures and judged between changes.

    From one entry that gives, takes or teaches anything to the next, all is as it was;
    a day past which a work counts no more, and what was entered late, is looked at
    each time.
    """

    able: Abilities
    changes: tuple[int, ...]
    found: dict[tuple[str, str, int], Ability] = field(default_factory=dict)

    @classmethod
    def of(cls, able: Abilities) -> "Judged":
        """Return this of all that somebody ever might do, with nothing judged yet."""
        rows: list[AbilitySpan | Training] = [*able.spans, *able.trainings]
        ends = (row.ended_idx for row in rows if row.ended_idx is not None)
        return cls(able=able, changes=tuple(sorted([*(r.idx for r in rows), *ends])))

    def to_say(self, meaning: str, work: str, row: SignedStep | PlainStep) -> Ability:
        """Tell how the person might say what a signature says, when it was made."""
        if self.able.checks or row.happened_at is not None:
            return self.able.to_say(meaning, work, when_signed(row))
        key = meaning, work, bisect_left(self.changes, row.idx)
        if key not in self.found:
            self.found[key] = self.able.to_say(meaning, work, when_signed(row))
        return self.found[key]


def wanted_for(meaning: str, work: str) -> str:
    """Return the qualification or role that a meaning asks for, of a step's work."""
    asked = {"inspected": INSPECT, "approved": LEAD, "assisted": ANY_BENCH}
    return asked.get(meaning, work)


def abilities_of(session: Session, subject: str | None) -> Abilities:
    """Return all that somebody ever might do; of nobody, nothing."""
    return abilities_of_each(session, [subject])[subject]


def abilities_of_each(
    session: Session, subjects: Iterable[str | None]
) -> dict[str | None, Abilities]:
    """Return the same of each of several people, asked for once."""
    wanted = dict.fromkeys(subjects)
    who = [subject for subject in wanted if subject]
    spans, trainings = spans_of(session, *who), trainings_of(session, *who)
    checks = checks_of(session, *who)
    return {
        subject: Abilities(
            spans=tuple(row for row in spans if row.subject == subject),
            trainings=tuple(row for row in trainings if row.subject == subject),
            checks=tuple(row for row in checks if row.subject == subject),
        )
        for subject in wanted
    }


def when_signed(row: SignedStep | PlainStep) -> When:
    """Return when a step was done that somebody signed."""
    return When(idx=row.idx, day=row.moment[:10], happened_at=row.happened_at)


def _ran(row: AbilitySpan | Training, when: When) -> bool:
    """Tell whether something had begun at a moment, and had not ended."""
    if not _is_before(row.idx, row.at, when):
        return False
    if row.ended_idx is None or row.ended_at is None:
        return True
    return not _is_before(row.ended_idx, row.ended_at, when)


def _is_before(idx: int, at: str, when: When) -> bool:
    if when.happened_at is None:
        return idx < when.idx
    return at <= when.happened_at
