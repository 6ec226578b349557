"""Whether a row of the listing table covers a thing in this form, on this movement."""

from dataclasses import dataclass, replace
from datetime import date

from ledger.trade.confidence import is_from_memory
from ledger.trade.listings import (
    MEXICO,
    annotation_for,
    is_from,
    is_of,
    is_stale,
    mexico_clause,
)
from ledger.trade.movement import PLAYED, Movement
from ledger.trade.question import MG_PER_KG
from ledger.trade.tables import Annotation, Listing, Name, covers

NEEDED = "needed"
NOT_NEEDED = "not needed"
ASK = "ask"
# The answer that comes first is the one that counts.
ORDER = (NEEDED, ASK, NOT_NEEDED)
BRAZIL = "BR"
LIGHT_SHIPMENT_MG = 10 * MG_PER_KG


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What one row says of a case, and why."""

    answer: str
    row: Listing
    annotation: Annotation | None
    why: str


def judge(row: Listing, case: Case) -> Finding:
    """Return what a row says of a case.

    Source: the row and its annotation; each names its own source.
    """
    if not row.is_listed:
        return _unlisted(row, case)
    if case.is_origin_presumed:
        return _presumed(row, case)
    text = _text_for(row, case)
    if text is None:
        why = f"no text of its annotation #{row.annotation} is known for {case.day}"
        return Finding(answer=ASK, row=row, annotation=None, why=why)
    return judge_text(row, text, case)


def judge_text(row: Listing, text: Annotation, case: Case) -> Finding:
    """Return what one text of an annotation says of a case.

    Source: the table of annotations, each text with its own source.
    """
    belongs = is_from(row.population, case.origin, case.name)
    where = " ".join(sorted(row.population))
    if belongs is False:
        why = (
            f"only the populations of {where} are listed, and this is of no such origin"
        )
        return _if_sound(
            Finding(answer=NOT_NEEDED, row=row, annotation=text, why=why), case
        )
    answer, why = _by_form(text, case)
    if belongs is None and answer == NEEDED:
        return Finding(
            answer=ASK,
            row=row,
            annotation=text,
            why=f"listed where it grows in {where}, and its origin is not stated",
        )
    return _if_sound(Finding(answer=answer, row=row, annotation=text, why=why), case)


def _presumed(row: Listing, case: Case) -> Finding:
    """Judge by an origin taken for granted, which may bind and never frees."""
    told = replace(case, is_origin_presumed=False)
    taken = judge(row, told)
    unknown = judge(row, replace(told, origin=None))
    if ORDER.index(taken.answer) <= ORDER.index(unknown.answer):
        return taken
    why = f"{taken.why}; but that it grew there is only taken for granted"
    return replace(taken, answer=ASK, why=why)


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
    return _if_sound(
        Finding(answer=NOT_NEEDED, row=row, annotation=None, why=why), case
    )


def _text_for(row: Listing, case: Case) -> Annotation | None:
    """Return the text that speaks of the case: for Mexican Dalbergia its clause."""
    is_mexican = case.origin == MEXICO and case.exporter == MEXICO
    is_rosewood = case.name.name.startswith("Dalbergia ")
    if row.annotation == "15" and is_rosewood and is_mexican:
        return mexico_clause(case.day)
    return annotation_for(row, case.day)


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
        why = f"{found.why}; no source was read for it"
        return replace(found, answer=ASK, why=why)
    if not all(is_stale(carrier, case.day) for carrier in carriers):
        return found
    newest = max(carrier.newest_source for carrier in carriers)
    why = (
        f"{found.why}; but the newest source seen is of {newest}, and the lists may "
        f"have changed before {case.day}: look into the Appendices of that day"
    )
    return replace(found, answer=ASK, why=why)


def _by_form(text: Annotation, case: Case) -> tuple[str, str]:
    verdict = covers(text, case.form)
    form = case.form.replace("_", " ")
    if text.id == "none":
        return NEEDED, f"listed without annotation: {text.meaning}"
    if verdict == "covered":
        return NEEDED, f"{text.label} covers {form}: {text.meaning}"
    if verdict == "outside":
        return NOT_NEEDED, f"{text.label} leaves {form} out: {text.meaning}"
    if verdict == "silent":
        return ASK, f"{text.label} does not say whether {form} is covered"
    return _DEPENDS[text.id](case)


def _first_export(case: Case) -> tuple[str, str]:
    """Annotation #10 of 2023: the first export is covered, every re-export is free."""
    if case.exporter == BRAZIL:
        return (
            NEEDED,
            "the first export from Brazil is covered by annotation #10 (2023)",
        )
    return NOT_NEEDED, "the re-export of finished things is left out of #10 (2023)"


def _played(case: Case) -> tuple[str, str]:
    """Annotation #10 of 2026: free while played, lent, shown or repaired."""
    move = case.movement
    if move.is_commercial or move.owner_changes:
        return NEEDED, "annotation #10 (2026) covers what is sold or changes its owner"
    is_kept = move.owner_changes is False or move.returns
    if is_kept and (move.purpose in PLAYED or _returns_unsold(move)):
        return (
            NOT_NEEDED,
            "annotation #10 (2026) leaves out finished things that move without "
            "commerce and keep their owner",
        )
    return ASK, "annotation #10 (2026) depends on purpose and owner; say both"


def _returns_unsold(move: Movement) -> bool:
    return move.returns and move.is_commercial is False


def _light_and_unsold(case: Case) -> tuple[str, str]:
    """Annotation #15 of 2017: free without commerce, up to 10 kg in a shipment."""
    mass = case.listed_mass_mg
    is_heavy = mass is not None and mass > LIGHT_SHIPMENT_MG
    if case.movement.is_commercial:
        return NEEDED, "annotation #15 (2017) covers every commercial shipment"
    if is_heavy:
        return NEEDED, "the shipment holds more than 10 kg of listed wood (#15 of 2017)"
    if case.movement.is_commercial is None:
        return ASK, "annotation #15 (2017) depends on the purpose, which is not stated"
    if mass is None:
        return ASK, "annotation #15 (2017) depends on the mass of listed wood; state it"
    return NOT_NEEDED, "without commerce and at most 10 kg, outside #15 (2017)"


def _light(case: Case) -> tuple[str, str]:
    """Annotation #15 of 2019: finished products, up to 10 kg of listed wood."""
    mass = case.listed_mass_mg
    if mass is None:
        return ASK, "annotation #15 b depends on the mass of listed wood; state it"
    if mass > LIGHT_SHIPMENT_MG:
        return NEEDED, "more than 10 kg of listed wood in finished products (#15 b)"
    return NOT_NEEDED, "at most 10 kg of listed wood in finished products (#15 b)"


def _retail(case: Case) -> tuple[str, str]:
    """Annotations #2 and #14: free only when packed and labelled for retail."""
    return ASK, f"free only as packed for retail; {case.name.name} must be asked about"


_DEPENDS = {
    "2": _retail,
    "14": _retail,
    "10-2023": _first_export,
    "10-2026": _played,
    "15-2017": _light_and_unsold,
    "15-2019": _light,
}
