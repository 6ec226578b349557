"""The loop with an instrument in hand: its steps signed, with all that they ask for.

After the name of a step comes who says it how: did, by hand, top=190 g, M26-001. What
the step asks for beyond that is asked one by one, to be scanned or typed.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from cli.build_sign import measure, pair
from cli.loop_items import items
from cli.loop_round import CANCEL, Question, Round, again, ask, confirm
from cli.loop_wood import AS_READ, is_mass
from cli.photographs import bared_lines
from ledger.acts import signoffs
from ledger.acts.asked import (
    DID,
    MEANINGS,
    SignOff,
    is_named,
    require_one_instrument,
    unmeasured,
    way_of,
)
from ledger.acts.builds import find_build
from ledger.acts.gauges import find_gauge
from ledger.acts.materials import find_batch
from ledger.acts.pictured import on_file_words
from ledger.acts.plausible import UnlikelyError
from ledger.acts.roads import next_words, road_of
from ledger.acts.rounds import BuildHeld, StepHeld, look_at_build
from ledger.benchcodes import GaugeId, MaterialId
from ledger.codes import shown
from ledger.errors import LedgerError, RefusedError
from ledger.events.build import Measure, PartWeighed
from ledger.events.route import PlannedStep
from ledger.ids import BodyId, NeckId, parse_any
from ledger.quantities import grams, mass_mg
from ledger.scales import in_a_row, some_of

BENCH_CODE = re.compile(
    r"(?<![\w/])(?:[MG][0-9]{2}-[0-9]{3}|[BN][0-9]{2}-[0-9]{4})(?![\w-])",
    re.IGNORECASE,
)
# What may be scanned at any time while a step is asked about.
OF_STEP = ("batch", "gauge", "body", "neck")

Answer = Callable[[SignOff, str], SignOff]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A step in hand: the instrument, the step's place, and what the model asks."""

    build: BuildHeld
    step: StepHeld
    plan: PlannedStep


def step_said(talk: Round, build: BuildHeld, text: str) -> list[str]:
    """Show the sentence that a key would sign, and ask who says it how."""
    step = step_named(build, text)
    with talk.shop.store.reading() as session:
        plan = road_of(session, find_build(session, build.code)).planned(step.step)
    work = Work(build=build, step=step, plan=plan)
    return _ask_meaning(talk, work, SignOff(serial=build.code, step=step.step))


def _ask_meaning(talk: Round, work: Work, said: SignOff, first: str = "") -> list[str]:
    what = f"{work.step.step} of {work.build.code}"
    sentences = " or ".join(f'"I {m}: {what}"' for m in (DID, "inspected"))
    return ask(
        talk,
        f"{talk.name} signs {sentences}: {', '.join(MEANINGS[:-1])} or {MEANINGS[-1]}?"
        f" {_asks_hint(work.plan)}{_scales_hint(work.build)}",
        partial(_meaning_said, work, said),
        takes=OF_STEP,
        first=first,
    )


def _meaning_said(work: Work, said: SignOff, talk: Round, text: str) -> list[str]:
    """Sign a step; what was weighed, measured and used may follow: did top=190 g.

    A batch or a gauge that is scanned instead goes with it.
    """
    if is_of_step(text):
        more, goes = _with_scan(talk, said, text)
        return _ask_meaning(talk, work, more, first=goes)
    word, _, rest = text.strip().partition(" ")
    meaning = next((m for m in MEANINGS if m == word.strip(",;:").casefold()), None)
    question = Question(
        text=f"{work.step.step} of {work.build.code}: {', '.join(MEANINGS)}?",
        answering=partial(_meaning_said, work, said),
        takes=OF_STEP,
    )
    if meaning is None:
        return again(talk, question, f"{shown(text)} signs nothing")
    said = replace(said, meaning=meaning)
    # Nobody reads a hygrometer for a step that is signed already.
    signoffs.require_may_sign(talk.shop, said, talk.key)
    try:
        told, read = _read(talk, work, said, rest)
    except LedgerError as refusal:
        return again(talk, question, refusal)
    return _go_on(talk, work, told, read)


def _go_on(talk: Round, work: Work, said: SignOff, read: str) -> list[str]:
    """Ask for the next thing that is wanting, or sign when nothing is."""
    wanting = _wanting(talk, work, said)
    if wanting is None:
        return _sign(talk, work, said, read)
    text, answer = wanting

    def answered(talk: Round, typed: str) -> list[str]:
        goes = ""
        try:
            if is_of_step(typed):
                more, goes = _with_scan(talk, said, typed, asked=work.plan.materials)
            else:
                more = answer(said, typed)
        except LedgerError as refusal:
            return again(talk, question, refusal)
        read_too = f"{read}, {typed.strip()}"
        before = _on_file(talk, more, said)
        if before is None:
            lines = _go_on(talk, work, more, read_too)
            # Where the same is asked once more, the scan was heard all the same.
            return [goes, *lines] if goes and lines == [text] else lines
        return confirm(
            talk,
            f"{typed.strip()} is on file already, {before}: does it go in once more",
            lambda talk: _go_on(talk, work, more, read_too),
            otherwise=f"{work.step.step} of {work.build.code}: not signed",
        )

    question = Question(text=text, answering=answered, takes=OF_STEP)
    talk.question = question
    return [text]


def _wanting(talk: Round, work: Work, said: SignOff) -> tuple[str, Answer] | None:
    """Return the question for what a step still asks for, and what its answer does."""
    return next(_asking(talk, work, said), None) if said.meaning == DID else None


def _asking(talk: Round, work: Work, said: SignOff) -> Iterator[tuple[str, Answer]]:
    plan, code = work.plan, work.build.code
    if said.way is None and len(plan.ways or ()) > 1:
        ways = " or ".join(plan.ways or ())
        yield f"how was it done, {ways}?", partial(_with_way, plan)
    if plan.marries and said.body is None:
        yield f"scan the body of {code}", _with_body
    if plan.marries and said.neck is None:
        yield f"scan the neck of {code}", _with_neck
    with talk.shop.store.reading() as session:
        for name in plan.materials or ():
            if not is_named(session, name, said.materials):
                yield f"scan the batch of {name} that went in", _with_code
        for what, band in unmeasured(session, said, plan):
            yield f"{what} of {code}{band}: what is read?", partial(_with, what)
    if plan.photograph and not said.photographs:
        yield "name the file of a photograph, for nobody sees it again", _with_file


def _on_file(talk: Round, more: SignOff, said: SignOff) -> str | None:
    """Say where a photograph that came last is on file already, if it is."""
    if more.photographs == said.photographs:
        return None
    return on_file_words(talk.shop, more.photographs[-1])


def _sign(talk: Round, work: Work, said: SignOff, read: str) -> list[str]:
    code, step = work.build.code, work.step.step
    try:
        done = signoffs.sign(talk.shop, said, talk.key)
    except UnlikelyError as unlikely:
        return _ask_as_read(talk, work, said, read, unlikely.doubt)
    talk.held = look_at_build(talk.shop, code)
    with talk.shop.store.reading() as session:
        road = road_of(session, find_build(session, code))
        left = next_words(road, today=talk.shop.today())
    words = f"{code} {step}: {said.meaning}{read}"
    talk.keep(*done.entries, what="signed", words=words)
    at = talk.shop.beside.happened_at
    late = f" as of {at}" if at else ""
    lines = [f"{words}, signed by {talk.name}{late}, entry {done.index}; {left}"]
    if done.consumed:
        lines.append(f"{', '.join(done.consumed)}: in the instrument for good")
    if done.countersign:
        lines.append(f"{step} was done under supervision and {done.countersign}")
    return [*lines, *bared_lines(said.photographs, done.photographs)]


def _ask_as_read(
    talk: Round, work: Work, said: SignOff, read: str, doubt: str
) -> list[str]:
    """Ask whether something was read so that can hardly be."""

    def answer(talk: Round, typed: str) -> list[str]:
        if typed.strip().casefold() == AS_READ:
            return _sign(talk, work, replace(said, as_read=True), read)
        return again(talk, question, f"{shown(typed)} is not '{AS_READ}'")

    question = Question(
        text=f"say '{AS_READ}' if it is so, or '{CANCEL}' and name "
        f"{work.step.step} again",
        answering=answer,
    )
    return again(talk, question, doubt)


def step_named(build: BuildHeld, text: str) -> StepHeld:
    """Return the step of this number or name, or of the beginning of just one name."""
    wanted = text.casefold()
    found = [s for s in build.steps if wanted in (str(s.number), s.step.casefold())]
    found = found or [s for s in build.steps if s.step.casefold().startswith(wanted)]
    found = found or [s for s in build.steps if wanted in s.step.casefold().split()]
    if len(found) == 1:
        return found[0]
    if found:
        fitting = some_of([f"{step.number} {step.step}" for step in found])
        raise RefusedError(
            f"{shown(text)} fits several steps of {build.code}: {fitting}: which one?"
        )
    undone = [s for s in build.steps if "did" not in s.signed] or list(build.steps)
    steps = some_of([f"{step.number} {step.step}" for step in undone])
    raise RefusedError(
        f"{shown(text)} is no step of {build.code}; to be done are {steps}: name one"
    )


def _asks_hint(plan: PlannedStep) -> str:
    """Say what a step asks for that can be said or scanned beforehand."""
    asks = []
    if plan.ways:
        asks.append(" or ".join(plan.ways))
    asks += [f"the batch of {name}" for name in plan.materials or ()]
    asks += [each.what for each in plan.measured or ()]
    if plan.marries:
        asks.append("the numbers of body and neck")
    return f"It asks for {', '.join(asks)}. " if asks else ""


def _scales_hint(build: BuildHeld) -> str:
    """Say that masses and measures may follow, and which parts nobody weighed yet."""
    if not build.not_weighed:
        return "What was measured may follow: did relief=0.18 mm"
    return (
        f"What was weighed or measured may follow: did {build.not_weighed[0]}=190 g, "
        f"relief=0.18 mm; not weighed yet: {some_of(build.not_weighed)}"
    )


def _read(talk: Round, work: Work, said: SignOff, text: str) -> tuple[SignOff, str]:
    """Read what follows a signature, and return it in words too."""
    words = ""
    for code in BENCH_CODE.findall(text):
        said, _ = _with_scan(talk, said, code)
        words = f"{words}, {code.upper()}"
    rest = BENCH_CODE.sub("", text).strip(" ,;")
    for way in work.plan.ways or ():
        if rest.casefold().startswith(way.casefold()):
            said, words = replace(said, way=way), f"{words}, {way}"
            rest = rest[len(way) :].strip(" ,;")
            break
    weighed, measures, read = _scales(work, rest)
    told = replace(said, weighed=tuple(weighed), measures=tuple(measures))
    return told, f"{words}{read}"


def _scales(work: Work, text: str) -> tuple[list[PartWeighed], list[Measure], str]:
    """Read what follows a signature: parts that were weighed, other measures, in words.

    A bare number of a part is in grams, as that of a board is.
    """
    parts = work.build.parts
    names = (*parts, *(each.what for each in work.plan.measured or ()))
    weighed: list[PartWeighed] = []
    measures: list[Measure] = []
    words = ""
    for item in items(text, names):
        name, value = pair(item)
        part = next((p for p in parts if p.casefold() == name.casefold()), None)
        if part is not None and is_mass(value):
            mass = mass_mg(value, default_unit="g")
            weighed.append(PartWeighed(part=part, mass_mg=mass))
            words += f", {part} {grams(mass)}"
        else:
            measures.append(measure(item))
            words += f", {name} {value}"
    return weighed, measures, words


def is_of_step(text: str) -> bool:
    """Tell whether a batch, a gauge, a body or a neck was typed or scanned."""
    try:
        return parse_any(text).form.noun in OF_STEP
    except RefusedError:
        return False


def _with_scan(
    talk: Round, said: SignOff, text: str, *, asked: tuple[str, ...] | None = None
) -> tuple[SignOff, str]:
    """Add what was scanned, whatever was asked, and say what goes with the step.

    asked  the materials that are asked for: then no other batch answers

    Raises LedgerError for what is not on record, or of another instrument.
    """
    code = parse_any(text)
    with talk.shop.store.reading() as session:
        match code:
            case BodyId() | NeckId():
                takes = _with_body if isinstance(code, BodyId) else _with_neck
                more = takes(said, text)
                require_one_instrument(session, find_build(session, said.serial), more)
                return more, f"{code} goes with it"
            case MaterialId():
                what = find_batch(session, str(code)).what
                if asked and not any(is_named(session, m, [str(code)]) for m in asked):
                    raise RefusedError(
                        f"{code} is {what}, and {said.step} asks for "
                        f"{in_a_row(asked)}: scan that"
                    )
            case _:
                what = find_gauge(session, str(code)).what
    return _with_code(said, text), f"{code} goes with it: {what}"


def _with_code(said: SignOff, text: str) -> SignOff:
    """Add a batch or a gauge, typed or scanned."""
    try:
        batch = str(MaterialId.parse(text))
    except RefusedError:
        gauge = str(GaugeId.parse(text))
        return replace(said, gauges=_once(said.gauges, gauge))
    return replace(said, materials=_once(said.materials, batch))


def _with_way(plan: PlannedStep, said: SignOff, text: str) -> SignOff:
    return replace(said, way=way_of(plan, text))


def _with_body(said: SignOff, text: str) -> SignOff:
    return replace(said, body=str(BodyId.parse(text)))


def _with_neck(said: SignOff, text: str) -> SignOff:
    return replace(said, neck=str(NeckId.parse(text)))


def _with(what: str, said: SignOff, text: str) -> SignOff:
    name, found, value = text.partition("=")
    is_named = found and name.strip().casefold() == what.casefold()
    read = measure(f"{what}={value if is_named else text}")
    return replace(said, measures=(*said.measures, read))


def _with_file(said: SignOff, text: str) -> SignOff:
    path = Path(text.strip())
    if not path.is_file():
        raise RefusedError(f"there is no file {shown(text)}: name a photograph")
    return replace(said, photographs=(path,))


def _once(codes: tuple[str, ...], code: str) -> tuple[str, ...]:
    return codes if code in codes else (*codes, code)
