"""How a finding becomes an answer: its rule, rows, dates, papers and steps."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from ledger.trade.answers import Determination, unanswered
from ledger.trade.confidence import least
from ledger.trade.coverage import ASK, NOT_NEEDED, Case, Finding
from ledger.trade.documents import Document, authority
from ledger.trade.listings import is_from, lost_row
from ledger.trade.path import Step, step_on
from ledger.trade.tables import stands

_OF_THE_UNION = ("EU import permit", "import notification")


def from_row(
    case: Case,
    found: Finding,
    *,
    why: str,
    documents: tuple[Document, ...],
    also: tuple[Determination, ...],
    path: tuple[Step, ...],
) -> Determination:
    """Return a finding as an answer, with its rule, rows and dates.

    Source: the rows of the finding.
    """
    text = found.annotation
    marks = [*found.row.sources, *(text.sources if text else ())]
    label = (
        f"Appendix {found.row.appendix}, {text.label}" if text else "no listing found"
    )
    return Determination(
        law="CITES",
        taxon=case.name.name,
        form=case.form,
        answer=found.answer,
        documents=documents,
        rule=label,
        row=found.row.id,
        rows=(found.row.id, text.id) if text else (found.row.id,),
        sources=tuple(dict.fromkeys(marks)),
        table_date=found.row.checked_on,
        newest_source=_newest(found),
        confidence=least(found.row, *((text,) if text else ()), beside=(case.name,)),
        why=why,
        ask_whom=offices(case),
        note=found.row.note if found.row.is_listed else "",
        is_listed=found.row.is_listed
        and is_from(found.row.population, case.origin, case.name, case.law)
        is not False,
        also=also,
        path=path,
    )


def _newest(found: Finding) -> date:
    seen = [found.row.newest_source]
    if found.annotation is not None:
        seen.append(found.annotation.newest_source)
    return max(seen)


def no_row(case: Case, steps: tuple[Step, ...]) -> Determination:
    """Return the answer where no row stood that day: ask.

    Source: the shop's own caution; what is unknown is never free.
    """
    why = f"the table has no row for {case.name.name} on {case.day}"
    lost = lost_step(case)
    if lost is not None:
        why, steps = f"{why}: {lost.says}", (*steps, lost)
    return unanswered(
        taxon=case.name.name,
        form=case.form,
        why=why,
        ask_whom=offices(case),
        steps=steps,
    )


def last_steps(
    case: Case, found: Finding, papers: Sequence[Document], remarks: Sequence[str]
) -> tuple[Step, ...]:
    """Return what was said beside the finding, and the papers that come of it.

    Source: the finding.
    """
    told = [Step(at="acquired", says=remark, row=found.row.id) for remark in remarks]
    rule = case.law.rules["eu-import"]
    is_imported = any(paper.name in _OF_THE_UNION for paper in papers)
    if is_imported and stands(rule.valid_from, rule.valid_until, case.day):
        told.append(step_on(rule, "papers", rule.text))
    if papers:
        says = "; ".join(f"{paper.name}, from {paper.issuer}" for paper in papers)
        told.append(Step(at="papers", says=says, decided=found.answer))
    return tuple(told)


def unless_lost(case: Case, found: Finding) -> Finding:
    """Return a finding, or ask where a shop's own rows took a listing away.

    Source: the shop's own caution; a row cut short by the shop frees nothing.
    """
    step = lost_step(case)
    if step is None:
        return found
    answer = ASK if found.answer == NOT_NEEDED else found.answer
    path = (*found.path, replace(step, decided=answer))
    why = f"{found.why}; but {step.says}"
    return replace(found, answer=answer, why=why, path=path)


def lost_step(case: Case) -> Step | None:
    """Return which listing is gone by the shop's own rows, if one is.

    Source: the rows of both editions.
    """
    lost = lost_row(case.name, case.day, case.law)
    if lost is None:
        return None
    says = (
        f"the tables as compiled list {lost.taxon} on {case.day} by {lost.id}, and the "
        f"shop's own rows have it there no more"
    )
    mine = case.law.listings.get(lost.id, lost)
    return Step(at="listing", says=says, decided=ASK, row=lost.id, own=mine.own)


def offices(case: Case) -> str:
    """Return whom to ask: the authorities at both ends.

    Source: Article IX of the Convention.
    """
    ends = dict.fromkeys((case.exporter, *case.movement.legs[1:]))
    return "; ".join(authority(code) for code in ends)
