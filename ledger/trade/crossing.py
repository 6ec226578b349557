"""What a part asks for that crosses a border of the Convention."""

from dataclasses import replace

from ledger.trade.answers import Determination
from ledger.trade.beside import beside
from ledger.trade.confidence import ORDER, confidence_words
from ledger.trade.coverage import (
    ASK,
    NEEDED,
    Case,
    Finding,
    judge,
    worst,
)
from ledger.trade.documents import documents_for, is_for_playing, is_pre_convention
from ledger.trade.listings import earlier_row, first_row, members, rows_from
from ledger.trade.movement import place_words
from ledger.trade.path import Step
from ledger.trade.saying import (
    from_row,
    last_steps,
    lost_step,
    no_row,
    unless_lost,
)
from ledger.trade.tables import Listing

SURE = ORDER[-1]


def crossing(case: Case, steps: tuple[Step, ...]) -> Determination:
    """Answer for a part that crosses a border of the Convention.

    steps  how it was read

    Source: the rows the answer names; Articles III to V and VII of the Convention.
    """
    found = _found(case)
    if found is None:
        return no_row(case, steps)
    found = _of_its_kind(case, found)
    papers = documents_for(found.row, case) if found.answer == NEEDED else ()
    remarks = _remarks(case, found)
    return from_row(
        case,
        found,
        why="; ".join((found.why, *remarks)),
        documents=papers,
        also=tuple(beside(case, found)),
        path=(*steps, *found.path, *last_steps(case, found, papers, remarks)),
    )


def _found(case: Case) -> Finding | None:
    """Return what counts of all that the rows say, or nothing where there is none."""
    rows = rows_from(case.name, case.day, case.origin, case.law)
    if not rows:
        return None
    each = [judge(row, case) for row in rows]
    found = worst(each, case.origin)
    if len(each) == 1:
        return unless_lost(case, found)
    says = f"of {', '.join(row.id for row in rows)}: {found.row.id} counts"
    step = Step(at="rows", says=says, decided=found.answer, row=found.row.id)
    path = tuple(step for one in each for step in one.path)
    return unless_lost(case, replace(found, path=(*path, step)))


def _of_its_kind(case: Case, found: Finding) -> Finding:
    """Ask where only the genus is told, and a species of it is judged more strictly."""
    if found.answer == NEEDED:
        return found
    stricter = []
    for name in members(case.name, case.law):
        its = replace(case, name=name)
        other = _found(its)
        if other is None:
            continue
        lost = lost_step(its)
        if other.answer == NEEDED or lost is not None:
            mark = other.row.own or (lost.own if lost else "")
            own = f" ({mark})" if mark else ""
            stricter.append(f"{name.name}{own}")
    if not stricter:
        return found
    shown = ", ".join(stricter[:4]) + (" and others" if len(stricter) > 4 else "")
    doubt = f"{shown} would need documents: give the species"
    step = Step(at="species", says=doubt, decided=ASK)
    why = f"{found.why}; but {doubt}"
    return replace(found, answer=ASK, why=why, path=(*found.path, step))


def _remarks(case: Case, found: Finding) -> list[str]:
    """Return what must be said beside the finding."""
    said = []
    if case.is_origin_presumed and found.row.is_listed:
        place = place_words(case.exporter)
        said.append(f"origin not stated: taken to be {place}, where it grows")
    if found.answer != NEEDED:
        return said
    if is_for_playing(case):
        said.append("the certificate is for trips without commerce: no sale abroad")
        if found.row.appendix == "I" and not is_pre_convention(case):
            said.append(
                "it is given for parts of Appendix I only if they were acquired before "
                "the first listing: ask first"
            )
    said += _age(case, found)
    if _is_barred(case, found):
        said.append("wild specimens of Appendix I may not move for commerce: ask first")
    if case.movement.is_commercial and _is_new_bow(found):
        said.append(
            "no permit is given for commerce in wild-taken pernambuco (source W); wood "
            "from before 2007-09-13 may be asked for"
        )
    return said


def _age(case: Case, found: Finding) -> list[str]:
    """Say how the day of its acquisition stands to the first listing, by which row.

    Without that day, which is each lot's own: one answer may be for several.
    """
    first = first_row(case.name, case.origin, case.law)
    if first is None or case.acquired is None or first.valid_from is None:
        return []
    if case.acquired >= first.valid_from:
        return [f"acquired not before {_first_words(first, found)}"]
    earlier = earlier_row(case.name, first, case.law)
    if earlier is None or is_pre_convention(case):
        return [f"acquired before {_first_words(earlier or first, found)}"]
    return [
        f"acquired before {_first_words(first, found)} for its own origin, but not "
        f"before {_first_words(earlier, found)} for a population near it: ask whether "
        f"it is pre-Convention"
    ]


def _first_words(row: Listing, found: Finding) -> str:
    """Return a first listing, and its row where another decides or it is not sure."""
    own = f" ({row.own})" if row.own else ""
    words = f"the first listing of {row.valid_from}{own}"
    if row.confidence == SURE and row.id == found.row.id:
        return words
    return f"{words} (row {row.id}: {confidence_words(row.confidence)})"


def _is_barred(case: Case, found: Finding) -> bool:
    is_sold = case.movement.is_commercial is not False
    return found.row.appendix == "I" and is_sold and not is_pre_convention(case)


def _is_new_bow(found: Finding) -> bool:
    return found.annotation is not None and found.annotation.id == "10-2026"
