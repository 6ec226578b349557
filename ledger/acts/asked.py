"""What a step asks of whoever signs it: a way, measures, batches, gauges, two numbers.

Each check refuses in one sentence with both sides named; nothing is recorded then.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import get_args

from sqlmodel import Session, col, select

from ledger.acts import likely, plausible
from ledger.acts.conceding import amount, conceded, passes
from ledger.acts.names import checked_words
from ledger.craft.measured import UNIT_WORDS, Unit, measure_words
from ledger.craft.wares import reads
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events.build import Meaning, Measure, PartWeighed
from ledger.events.route import Characteristic, PlannedStep, unit_of
from ledger.scales import in_a_row
from ledger.views.boards import boards_in
from ledger.views.builds import Build
from ledger.views.materials import Gauge, Material, calibrations_of
from ledger.views.orders import Concession

MEANINGS: tuple[Meaning, ...] = get_args(Meaning)
DID: Meaning = "did"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """What somebody is about to sign of a step, and all that goes with it.

    `materials` and `gauges` are codes, `photographs` files, `body` and `neck` the
    numbers that stand on both. What can hardly be is taken `as_read` only.
    """

    serial: str
    step: str
    meaning: Meaning = DID
    way: str | None = None
    measures: tuple[Measure, ...] = ()
    weighed: tuple[PartWeighed, ...] = ()
    materials: tuple[str, ...] = ()
    gauges: tuple[str, ...] = ()
    photographs: tuple[Path, ...] = field(default=())
    body: str | None = None
    neck: str | None = None
    as_read: bool = False


def require_all(*checks: Callable[[], object] | None) -> None:
    """Make several checks, and refuse with all that is wrong at once."""
    faults: list[LedgerError] = []
    for check in filter(None, checks):
        try:
            check()
        except LedgerError as fault:
            faults.append(fault)
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise RefusedError("; and ".join(str(fault) for fault in faults))


def require_likely(session: Session, build: Build, said: SignOff) -> None:
    """Refuse masses and measures that no instrument has, unless they are as read."""
    for part in said.weighed:
        mass = Measure(what=part.part, mass_mg=part.mass_mg)
        plausible.require_measure(said.serial, mass, as_read=said.as_read)
    likely.require_likely(session, build, said.measures, as_read=said.as_read)


def require_wood(
    session: Session, serial: str, step: PlannedStep, optional: Sequence[str]
) -> None:
    """Refuse a step whose wood goes in with it, and is not allotted yet."""
    there = {board.part for board in boards_in(session, serial)}
    wanting = [
        part
        for part in step.uses_up or ()
        if part not in there and part not in optional
    ]
    if wanting:
        parts = in_a_row(wanting)
        raise RefusedError(
            f"{step.step} of {serial} uses up the {parts}, for which no wood is "
            f"allotted: allot it first with flitchbook build allot"
        )


def way_of(step: PlannedStep, way: str | None) -> str | None:
    """Return in which of the accepted ways a step was done; a single one is it."""
    ways = step.ways or ()
    if way is None:
        if len(ways) > 1:
            raise RefusedError(
                f"{step.step} is done {' or '.join(ways)}: say which with --way"
            )
        return ways[0] if ways else None
    said = checked_words("way", way) or ""
    found = next((w for w in ways if w.casefold() == said.casefold()), None)
    if found is None:
        accepted = " or ".join(ways) or "in no way that is named"
        raise RefusedError(
            f"{said!r} is no accepted way of {step.step}, which is done {accepted}"
        )
    return found


def require_measured(session: Session, said: SignOff, step: PlannedStep) -> None:
    """Refuse a step of which something is not measured, or not within its band.

    What a lead let pass by a concession passes, and nothing worse.
    """
    given = {measure.what: measure for measure in said.measures}
    let = conceded(session, said.serial, said.step)
    for asked in step.measured or ():
        measure = given.get(asked.what)
        if measure is not None:
            _require_unit(said.serial, asked, measure)
        if measure is not None:
            _require_in_band(said.serial, step.step, asked, measure, let)
    wanting = _unmeasured(said, step, let) if said.meaning == DID else []
    if wanting:
        asks = in_a_row([f"the {what}{band}" for what, band in wanting])
        ways = [f"--measured '{what}=…'" for what, _ in wanting]
        names = " or ".join(what for what, _ in wanting)
        raise RefusedError(
            f"{step.step} of {said.serial} measures {asks}, and no {names} is given: "
            f"give it with {' '.join(ways)}"
        )


def unmeasured(
    session: Session, said: SignOff, step: PlannedStep
) -> list[tuple[str, str]]:
    """Return what a step measures and is not given, with its band in words.

    What a lead let pass is not asked for.
    """
    return _unmeasured(said, step, conceded(session, said.serial, said.step))


def require_materials(
    session: Session,
    wanted: Sequence[str],
    codes: Sequence[str],
    *,
    day: str,
    late: bool,
) -> None:
    """Refuse batches that are unknown, used up or past their day, and one left out.

    A step that is entered late may name a batch that is finished by now.
    """
    batches = [usable_batch(session, code, day=day, late=late) for code in codes]
    for name in wanted:
        if not any(is_batch_of(batch, name) for batch in batches):
            raise RefusedError(
                f"this step takes {name}, and no batch of it is named: give its code "
                f"with --used, such as M26-001"
            )


def usable_batch(session: Session, code: str, *, day: str, late: bool) -> Material:
    """Return a batch that may be used on a day, or say why it may not.

    What is entered late may name a batch that is finished by now.
    """
    batch = session.get(Material, code)
    if batch is None:
        raise NotFoundError(
            f"there is no batch {code}: enter it with flitchbook material receive"
        )
    if batch.finished_idx is not None and not late:
        raise RefusedError(
            f"batch {code} ({batch.what}) was finished by entry {batch.finished_idx}: "
            f"scan the one that is used now"
        )
    if batch.expires_on is not None and batch.expires_on < day:
        raise RefusedError(
            f"batch {code} ({batch.what}) was good until {batch.expires_on}, and this "
            f"is of {day}: take a fresh one"
        )
    return batch


def is_batch_of(batch: Material, wanted: str) -> bool:
    """Tell whether a batch is what a step asks for, by its use or by its name."""
    name = wanted.casefold()
    return name == batch.use.casefold() or name in batch.what.casefold()


def is_named(session: Session, wanted: str, codes: Sequence[str]) -> bool:
    """Tell whether one of the batches is what a step asks for, as far as known."""
    batches = (session.get(Material, code) for code in codes)
    return any(batch is not None and is_batch_of(batch, wanted) for batch in batches)


def require_gauges(session: Session, said: SignOff, *, day: str) -> None:
    """Refuse gauges that are unknown, that failed, or that were due before the day.

    And those that read nothing of what is given: a caliper vouches for no mass.
    """
    for code in said.gauges:
        gauge = session.get(Gauge, code)
        if gauge is None:
            raise NotFoundError(
                f"there is no gauge {code}: list it with flitchbook gauge add"
            )
        _require_reads(gauge, said)
        done = [row for row in calibrations_of(session, code) if row.day <= day]
        newest = done[-1] if done else None
        if newest is None:
            continue
        if newest.outcome == "failed":
            raise RefusedError(
                f"gauge {code} ({gauge.what}) failed its calibration on {newest.day}, "
                f"entry {newest.idx}: measure with another"
            )
        if newest.until is not None and newest.until < day:
            raise RefusedError(
                f"the calibration of gauge {code} ({gauge.what}) held until "
                f"{newest.until}, and this is of {day}: measure with another, or have "
                f"it calibrated"
            )


def _require_reads(gauge: Gauge, said: SignOff) -> None:
    """Refuse a gauge that can have read none of the values that are given."""
    given: dict[str, Unit] = {part.part: "mass_mg" for part in said.weighed}
    given |= {measure.what: unit_of(measure) for measure in said.measures}
    if given and not any(reads(gauge.measures, unit) for unit in given.values()):
        units = [UNIT_WORDS[unit] for unit in dict.fromkeys(given.values())]
        raise RefusedError(
            f"gauge {gauge.gauge} ({gauge.what}) measures {gauge.measures}, and what "
            f"is given is the {in_a_row([*given])} in {in_a_row(units)}: name the "
            f"gauge that it was read with"
        )


def require_photograph(said: SignOff, step: PlannedStep) -> None:
    """Refuse a step without its picture, where it cannot be seen again later."""
    if step.photograph and not said.photographs:
        raise RefusedError(
            f"{step.step} of {said.serial} cannot be seen again later, and no "
            f"photograph is given: give one with --photo FILE"
        )


def require_marriage(
    session: Session, build: Build, step: PlannedStep, said: SignOff
) -> None:
    """Refuse to join a body and a neck that are not of one instrument."""
    if step.marries and (said.body is None or said.neck is None):
        wanting = [
            noun
            for noun, code in (("body", said.body), ("neck", said.neck))
            if code is None
        ]
        raise RefusedError(
            f"{step.step} of {said.serial} joins body and neck, and the number of the "
            f"{in_a_row(wanting)} is not given: scan both, or give --body and --neck"
        )
    require_one_instrument(session, build, said)


def require_one_instrument(session: Session, build: Build, said: SignOff) -> None:
    """Refuse the number of a body or a neck that is of another instrument."""
    body, neck = said.body or build.body, said.neck or build.neck
    if neck != build.neck:
        whose = _whose(session, neck, col(Build.neck))
        raise RefusedError(
            f"neck {neck} is of {whose}, and this body is {body}: look at both again, "
            f"nothing was recorded"
        )
    if body != build.body:
        whose = _whose(session, body, col(Build.body))
        raise RefusedError(
            f"body {body} is of {whose}, and this neck is {neck} of {build.serial}: "
            f"look at both again, nothing was recorded"
        )


def _unmeasured(
    said: SignOff, step: PlannedStep, let: Sequence[Concession]
) -> list[tuple[str, str]]:
    had = {measure.what for measure in said.measures} | {row.what for row in let}
    return [
        (asked.what, _band_words(asked) or f", in {UNIT_WORDS[asked.unit]}")
        for asked in step.measured or ()
        if asked.what not in had
    ]


def _require_unit(serial: str, asked: Characteristic, measure: Measure) -> None:
    """Refuse a mass where a size is asked for, whatever a lead let pass."""
    if getattr(measure, asked.unit) is not None:
        return
    unit = unit_of(measure)
    words = measure_words(unit, getattr(measure, unit))
    raise RefusedError(
        f"the {asked.what} of {serial} is given as {words}, which is in another unit "
        f"than it is measured in{_band_words(asked)}: read it again"
    )


def _require_in_band(
    serial: str,
    step: str,
    asked: Characteristic,
    measure: Measure,
    let: Sequence[Concession],
) -> None:
    value = getattr(measure, asked.unit)
    if passes(let, asked, value):
        return
    own = [row for row in let if row.what == asked.what and row.value is not None]
    far = ""
    if own:
        read = measure_words(asked.unit, int(own[-1].value or 0))
        far = f", and entry {own[-1].idx} lets {read} pass and nothing worse"
    raise RefusedError(
        f"the {asked.what} of {serial} is {measure_words(asked.unit, value)}, and "
        f"{step} wants{_band_words(asked)}{far}: mend it, or ask the lead: flitchbook "
        f"build concede"
    )


def _band_words(asked: Characteristic) -> str:
    """Return a band in words with a space before it, or nothing where none is set."""
    least, most = (amount(limit, asked.unit) for limit in (asked.least, asked.most))
    if least is not None and most is not None:
        low, high = (measure_words(asked.unit, v) for v in (least, most))
        return f" {low} to {high}"
    if least is not None:
        return f" at least {measure_words(asked.unit, least)}"
    if most is not None:
        return f" at most {measure_words(asked.unit, most)}"
    return ""


def _whose(session: Session, code: str, column: object) -> str:
    """Return the serial of a body's or a neck's number, or say that it has none."""
    found = session.exec(select(Build.serial).where(column == code)).first()
    return found or "no instrument of this shop"
