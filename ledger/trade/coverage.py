"""Whether a row of the listing table covers a thing in this form, on this movement."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import NamedTuple

from ledger.quantities import kilograms
from ledger.trade.confidence import confidence_words, is_from_memory
from ledger.trade.law import Law, compiled
from ledger.trade.listings import (
    MEXICO,
    annotation_for,
    is_from,
    is_long_unchecked,
    is_of,
    is_stale,
    mexico_clause,
    overtaken_by,
)
from ledger.trade.movement import PLAYED, Movement, where_words
from ledger.trade.origins import odd_words
from ledger.trade.path import At, Step, step_on
from ledger.trade.schedules import limits
from ledger.trade.tables import Annotation, Listing, Name, covers

NEEDED = "needed"
NOT_NEEDED = "not needed"
ASK = "ask"
# The answer that comes first is the one that counts.
ORDER = (NEEDED, ASK, NOT_NEEDED)
BRAZIL = "BR"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One part of a question, with all that the rules look at made plain."""

    name: Name
    form: str
    day: date
    movement: Movement
    exporter: str  # the first country of the movement
    origin: str | None
    acquired: date | None
    listed_mass_mg: int | None  # of finished products under #15, in the shipment
    is_origin_presumed: bool = False
    law: Law = field(default_factory=compiled)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What one row says of a case, why, and by which steps."""

    answer: str
    row: Listing
    annotation: Annotation | None
    why: str
    path: tuple[Step, ...] = field(default=(), compare=False)


class Verdict(NamedTuple):
    """What an annotation says of a form, and what it looked at."""

    answer: str
    why: str
    at: At = "covered"


def judge(row: Listing, case: Case) -> Finding:
    """Return what a row says of a case.

    Source: the row and its annotation; each names its own source.
    """
    found = _judged(row, case)
    return replace(found, path=(step_on(row, "listing", _row_words(row)), *found.path))


def _judged(row: Listing, case: Case) -> Finding:
    if not row.is_listed:
        return _unlisted(row, case)
    if case.is_origin_presumed:
        return _presumed(row, case)
    text = _text_for(row, case)
    if text is None:
        why = f"no text of its annotation #{row.annotation} is known for {case.day}"
        texts = case.law.texts_of.get(row.annotation, ())
        own = next((each.own for each in texts if each.own), "")
        path = (Step(at="annotation", says=why, decided=ASK, own=own),)
        return Finding(answer=ASK, row=row, annotation=None, why=why, path=path)
    return judge_text(row, text, case)


def _row_words(row: Listing) -> str:
    """Return what a row says by itself."""
    where = f" of {where_words(row.population)}" if row.population else ""
    if not row.is_listed:
        return f"{row.taxon}{where} stood in no Appendix"
    text = "" if row.annotation == "none" else f", annotation #{row.annotation}"
    annex = "" if row.eu_annex == "none" else f"; Annex {row.eu_annex} of the Union"
    return f"{row.taxon}{where} stood in Appendix {row.appendix}{text}{annex}"


def judge_text(row: Listing, text: Annotation, case: Case) -> Finding:
    """Return what one text of an annotation says of a case.

    Source: the table of annotations, each text with its own source.
    """
    belongs = is_from(row.population, case.origin, case.name, case.law)
    where = where_words(row.population)
    if belongs is False:
        why = (
            f"only the populations of {where} are listed, and this is of no such origin"
        )
        step = Step(at="population", says=why, decided=NOT_NEEDED, row=row.id)
        return _if_sound(
            Finding(answer=NOT_NEEDED, row=row, annotation=text, why=why, path=(step,)),
            case,
        )
    answer, why, at = _by_form(text, case)
    form = step_on(text, at, why if at != "mass" else _mass_words(why, case), answer)
    path = (*_population_steps(belongs, where), form)
    found = Finding(answer=answer, row=row, annotation=text, why=why, path=path)
    if belongs is None and answer == NEEDED:
        why = f"listed where it grows in {where}{_open_origin(case)}"
        step = Step(at="population", says=why, decided=ASK, row=row.id)
        return replace(found, answer=ASK, why=why, path=(*path, step))
    return _if_sound(found, case)


def _open_origin(case: Case) -> str:
    """Say why it is not known whether wood is of a population that is listed alone."""
    if case.origin is None:
        return ", and its origin is not stated"
    odd = odd_words(case.name, [case.origin], case.law)
    return f"; but {odd or f'where {case.name.name} grows is not in the table'}"


def _population_steps(belongs: bool | None, where: str) -> tuple[Step, ...]:
    """Return whether wood is of a population that is listed alone."""
    if not where:
        return ()
    open_words = f"whether it is of the populations of {where} is not known"
    says = f"it is of the populations of {where}" if belongs else open_words
    return (Step(at="population", says=says),)


def _mass_words(why: str, case: Case) -> str:
    """Return what a limit on mass decided, with both numbers."""
    if case.listed_mass_mg is None:
        return why
    held, limit = kilograms(case.listed_mass_mg), kilograms(_most_mg())
    return f"{why}; the shipment holds {held}, the limit is {limit}"


def _presumed(row: Listing, case: Case) -> Finding:
    """Judge by an origin taken for granted, which may bind and never frees."""
    told = replace(case, is_origin_presumed=False)
    taken = _judged(row, told)
    unknown = _judged(row, replace(told, origin=None))
    if ORDER.index(taken.answer) <= ORDER.index(unknown.answer):
        return taken
    doubt = "that it grew there is only taken for granted"
    step = Step(at="origin", says=doubt, decided=ASK)
    why = f"{taken.why}; but {doubt}"
    return replace(taken, answer=ASK, why=why, path=(*taken.path, step))


def worst(findings: list[Finding], origin: str | None) -> Finding:
    """Return the finding that counts: needed before ask before not needed.

    Of several States that listed a species, the one it comes from gives the paper.

    Source: the shop's own caution; Article V of the Convention for Appendix III.
    """

    def rank(found: Finding) -> tuple[int, bool, bool]:
        is_own = origin is not None and is_of(found.row.population, origin)
        by_them = origin in found.row.listed_by
        return ORDER.index(found.answer), not by_them, not is_own

    return min(findings, key=rank)


def _unlisted(row: Listing, case: Case) -> Finding:
    why = f"no listing of {case.name.name} found in the table dated {row.checked_on}"
    if row.note:
        why = f"{why}: {row.note}"
    path = (Step(at="listing", says=why, decided=NOT_NEEDED, row=row.id),)
    return _if_sound(
        Finding(answer=NOT_NEEDED, row=row, annotation=None, why=why, path=path), case
    )


def _text_for(row: Listing, case: Case) -> Annotation | None:
    """Return the text that speaks of the case: for Mexican Dalbergia its clause."""
    is_mexican = case.origin == MEXICO and case.exporter == MEXICO
    is_rosewood = case.name.name.startswith("Dalbergia ")
    if row.annotation == "15" and is_rosewood and is_mexican:
        return mexico_clause(case.day, case.law)
    return annotation_for(row, case.day, case.law)


def _if_sound(found: Finding, case: Case) -> Finding:
    """Return a finding, or ask where it leans on rows unread or overtaken.

    Neither changes `needed`; a newer text of the annotation carries an older row.
    """
    if found.answer != NOT_NEEDED:
        return found
    carriers: list[Listing | Annotation] = [found.row]
    if found.annotation is not None:
        carriers.append(found.annotation)
    if any(is_from_memory(carrier) for carrier in carriers):
        step = Step(at="confidence", says="no source was read for it", decided=ASK)
        why = f"{found.why}; {step.says}"
        return replace(found, answer=ASK, why=why, path=(*found.path, step))
    if not all(is_stale(carrier, case.day, case.law) for carrier in carriers):
        return _carried(found, carriers)
    newest = max(carrier.newest_source for carrier in carriers)
    doubt = (
        f"the newest source seen is of {newest}, and the lists may "
        f"have changed before {case.day}"
    )
    steps = [_stale_step(carrier, case) for carrier in carriers]
    return replace(
        found,
        answer=ASK,
        why=f"{found.why}; but {doubt}: look into the Appendices of that day",
        path=(*found.path, *steps, Step(at="staleness", says=doubt, decided=ASK)),
    )


def _carried(found: Finding, carriers: list[Listing | Annotation]) -> Finding:
    """Write down that what frees a thing was checked, and is not overtaken."""
    newest = max(carrier.newest_source for carrier in carriers)
    words = ", ".join(
        f"{carrier.id} {confidence_words(carrier.confidence)}" for carrier in carriers
    )
    says = f"{words}; newest source of {newest}, and not overtaken"
    step = Step(at="staleness", says=says, decided=found.answer)
    return replace(found, path=(*found.path, step))


def _stale_step(carrier: Listing | Annotation, case: Case) -> Step:
    """Return why a row may have been overtaken."""
    meeting = overtaken_by(carrier, case.day, case.law)
    if is_long_unchecked(carrier, case.day) or meeting is None:
        says = f"{carrier.id} was last checked on {carrier.checked_on}"
        return step_on(carrier, "staleness", says)
    says = (
        f"{carrier.id} has no source newer than {carrier.newest_source}, and "
        f"{meeting.id} took effect on {meeting.took_effect}"
    )
    step = step_on(carrier, "staleness", says)
    return replace(step, own=carrier.own or meeting.own)


def _by_form(text: Annotation, case: Case) -> Verdict:
    verdict = covers(text, case.form)
    form = case.form.replace("_", " ")
    if text.id == "none":
        return Verdict(NEEDED, f"listed without annotation: {text.meaning}")
    if verdict == "covered":
        return Verdict(NEEDED, f"{text.label} covers {form}: {text.meaning}")
    if verdict == "outside":
        return Verdict(NOT_NEEDED, f"{text.label} leaves {form} out: {text.meaning}")
    if verdict == "silent":
        return Verdict(ASK, f"{text.label} does not say whether {form} is covered")
    rule = DEPENDS.get(text.id)
    if rule is None:
        return Verdict(ASK, f"{text.label} leaves {form} to what no rule here judges")
    return rule(case)


def _first_export(case: Case) -> Verdict:
    """Annotation #10 of 2023: the first export is covered, every re-export is free."""
    if case.exporter == BRAZIL:
        why = "the first export from Brazil is covered by annotation #10 (2023)"
        return Verdict(NEEDED, why, "movement")
    why = "the re-export of finished things is left out of #10 (2023)"
    return Verdict(NOT_NEEDED, why, "movement")


def _played(case: Case) -> Verdict:
    """Annotation #10 of 2026: free while played, lent, shown or repaired."""
    move = case.movement
    if move.is_commercial or move.owner_changes:
        why = "annotation #10 (2026) covers what is sold or changes its owner"
        return Verdict(NEEDED, why, "purpose")
    is_kept = move.owner_changes is False or move.returns
    if is_kept and (move.purpose in PLAYED or _returns_unsold(move)):
        why = (
            "annotation #10 (2026) leaves out finished things that move without "
            "commerce and keep their owner"
        )
        return Verdict(NOT_NEEDED, why, "purpose")
    why = "annotation #10 (2026) depends on purpose and owner; say both"
    return Verdict(ASK, why, "purpose")


def _returns_unsold(move: Movement) -> bool:
    return move.returns and move.is_commercial is False


def _most_mg() -> int:
    """Return the listed wood that a shipment may hold outside annotation #15."""
    return limits()["shipment-15"].amount


def _light_and_unsold(case: Case) -> Verdict:
    """Annotation #15 of 2017: free without commerce, up to 10 kg in a shipment."""
    mass = case.listed_mass_mg
    is_heavy = mass is not None and mass > _most_mg()
    if case.movement.is_commercial:
        why = "annotation #15 (2017) covers every commercial shipment"
        return Verdict(NEEDED, why, "purpose")
    if is_heavy:
        why = "the shipment holds more than 10 kg of listed wood (#15 of 2017)"
        return Verdict(NEEDED, why, "mass")
    if case.movement.is_commercial is None:
        why = "annotation #15 (2017) depends on the purpose, which is not stated"
        return Verdict(ASK, why, "purpose")
    if mass is None:
        why = "annotation #15 (2017) depends on the mass of listed wood; state it"
        return Verdict(ASK, why, "mass")
    why = "without commerce and at most 10 kg, outside #15 (2017)"
    return Verdict(NOT_NEEDED, why, "mass")


def _light(case: Case) -> Verdict:
    """Annotation #15 of 2019: finished products, up to 10 kg of listed wood."""
    mass = case.listed_mass_mg
    if mass is None:
        why = "annotation #15 b depends on the mass of listed wood; state it"
        return Verdict(ASK, why, "mass")
    if mass > _most_mg():
        why = "more than 10 kg of listed wood in finished products (#15 b)"
        return Verdict(NEEDED, why, "mass")
    why = "at most 10 kg of listed wood in finished products (#15 b)"
    return Verdict(NOT_NEEDED, why, "mass")


def _retail(case: Case) -> Verdict:
    """Annotations #2 and #14: free only when packed and labelled for retail."""
    why = f"free only as packed for retail; {case.name.name} must be asked about"
    return Verdict(ASK, why)


# What a text leaves to the movement or the mass is judged by its own rule.
DEPENDS: dict[str, Callable[[Case], Verdict]] = {
    "2": _retail,
    "14": _retail,
    "10-2023": _first_export,
    "10-2026": _played,
    "15-2017": _light_and_unsold,
    "15-2019": _light,
}
