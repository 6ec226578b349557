"""The road of a build: how far each step is, and which may begin today."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from ledger.craft.seasoning import Verdict

State = Literal["open", "needs countersign", "gate shut", "done"]
OPEN: State = "open"
NEEDS_COUNTERSIGN: State = "needs countersign"
GATE_SHUT: State = "gate shut"
DONE: State = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteStep:
    """A step of a road: whose it is, what comes before it, and what it asks for.

    `gate` is what must be said of it before a later step goes on, "inspected" or
    "approved"; `rest_days` pass after it before what comes after it.
    """

    name: str
    qualification: str
    after: tuple[str, ...] = ()
    ways: tuple[str, ...] = ()
    uses_up: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    gate: str | None = None
    rest_days: int = 0
    photograph: bool = False
    marries: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """What somebody said of a step, and of which day.

    It is supervised where that person might not say it alone.
    """

    step: str
    meaning: str
    day: str
    subject: str | None
    is_supervised: bool = False


def stands(steps: Sequence[RouteStep], signed: Sequence[Signed]) -> dict[str, State]:
    """Tell of each step how far it is, in the order of the road.

    A step that was done under supervision needs the countersign of another person.

    Source: common practice, no source.
    """
    return {step.name: _state(step, signed) for step in steps}


def may_begin(
    steps: Sequence[RouteStep], signed: Sequence[Signed], step: str, *, today: str
) -> Verdict:
    """Tell whether a step may be done today, and if not, for what it waits.

    It waits for all that comes before it, however far back, for their gates and their
    days of rest, and for any gate before it on the road that was reached and is shut.

    Source: common practice, no source.
    """
    so_far, earlier = stands(steps, signed), before(steps, step)
    position = [each.name for each in steps].index(step)
    reasons, rests = [], []
    for place, each in enumerate(steps):
        state = so_far[each.name]
        is_waited_for = each.name in earlier
        if is_waited_for and state == DONE:
            rests += _rest(each, signed, today)
        elif is_waited_for or (place < position and state == GATE_SHUT):
            reasons.append(waits_words(each, state))
    words = [f"{name} rests until {day}" for name, day in rests]
    days = [day for _, day in rests]
    return Verdict(
        reasons=(*reasons, *words),
        earliest=max(days) if days and not reasons else None,
    )


def next_steps(
    steps: Sequence[RouteStep], signed: Sequence[Signed], *, today: str
) -> tuple[list[str], dict[str, tuple[str, ...]]]:
    """Return the steps that may be done today, and of the other open ones why not.

    Source: common practice, no source.
    """
    ready: list[str] = []
    blocked: dict[str, tuple[str, ...]] = {}
    for name, state in stands(steps, signed).items():
        if state != OPEN:
            continue
        verdict = may_begin(steps, signed, name, today=today)
        if verdict:
            ready.append(name)
        else:
            blocked[name] = verdict.reasons
    return ready, blocked


def behind(steps: Sequence[RouteStep], step: str) -> set[str]:
    """Return every step that comes after one, at any distance.

    Source: common practice, no source.
    """
    return {each.name for each in steps if step in before(steps, each.name)}


def waits_words(step: RouteStep, state: State) -> str:
    """Say what a step that is not done waits for.

    Source: common practice, no source.
    """
    return {
        OPEN: f"{step.name} is not done yet",
        NEEDS_COUNTERSIGN: f"{step.name} needs a countersign by a "
        f"{step.qualification}-qualified builder",
        GATE_SHUT: f"{step.name} is not {step.gate} yet",
        DONE: f"{step.name} is done",
    }[state]


def _state(step: RouteStep, signed: Sequence[Signed]) -> State:
    said = [each for each in signed if each.step == step.name]
    done = [each for each in said if each.meaning == "did"]
    if not done:
        return OPEN
    if all(each.is_supervised for each in done) and not _is_witnessed(said, done):
        return NEEDS_COUNTERSIGN
    if step.gate and not _is_passed(step.gate, said):
        return GATE_SHUT
    return DONE


def _is_witnessed(said: Sequence[Signed], done: Sequence[Signed]) -> bool:
    doers = {each.subject for each in done}
    witnesses = (s for s in said if s.meaning == "witnessed" and not s.is_supervised)
    return any(witness.subject not in doers for witness in witnesses)


def _is_passed(gate: str, said: Sequence[Signed]) -> bool:
    """Tell whether whoever may has opened a gate; nobody inspects the own work."""
    own = {s.subject for s in said if s.meaning in ("did", "assisted")}
    passing = (s for s in said if s.meaning == gate and not s.is_supervised)
    return any(gate != "inspected" or each.subject not in own for each in passing)


def before(steps: Sequence[RouteStep], step: str) -> set[str]:
    """Return every step that comes before one, at any distance.

    Source: common practice, no source.
    """
    after = {each.name: each.after for each in steps}
    found: set[str] = set()
    waiting = list(after[step])
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += after.get(name, ())
    return found - {step}


def _rest(
    step: RouteStep, signed: Sequence[Signed], today: str
) -> list[tuple[str, str]]:
    """Return the step and the first day after its rest, where that is to come."""
    if not step.rest_days:
        return []
    done = [s.day for s in signed if (s.step, s.meaning) == (step.name, "did")]
    until = date.fromisoformat(max(done)) + timedelta(days=step.rest_days)
    day = until.isoformat()
    return [(step.name, day)] if today < day else []
