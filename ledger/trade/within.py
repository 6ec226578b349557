"""What a part asks for that stays in one country, or in the Union."""

from collections.abc import Iterator
from dataclasses import replace

from ledger.trade.answers import Determination
from ledger.trade.beside import beside
from ledger.trade.confidence import is_from_memory, least
from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED, Case, Finding
from ledger.trade.documents import BRITAIN, Document, authority, named
from ledger.trade.listings import (
    doubt_of,
    is_stale,
    members,
    overtaken_by,
    rows_for,
)
from ledger.trade.movement import is_in_union
from ledger.trade.path import At, Step, step_on
from ledger.trade.saying import (
    from_row,
    last_steps,
    lost_step,
    no_row,
    unless_lost,
)
from ledger.trade.schedules import taxa_of
from ledger.trade.tables import Listing, Rule, stands


def inside(case: Case, steps: tuple[Step, ...]) -> Determination:
    """Answer for a part that stays in one country, or in the Union.

    steps  how it was read

    Source: the rule and the row the answer names.
    """
    rows = rows_for(case.name, case.day, case.law)
    if not rows:
        return no_row(case, steps)
    row = rows[0]
    rule, answer, papers = _inner_rule(case, row)
    why = _unsold(rule) if _is_spared(case, row, rule) else rule.text
    doubts = tuple(_doubts(case, row, rule)) if answer == ASK else ()
    told = [step.says for step in doubts[:1]]
    if answer != NEEDED and _is_barred_within(case):
        answer = ASK
        told.append(f"some species of {case.name.name} are barred: give it")
        doubts = (*doubts, Step(at="species", says=told[-1], decided=ASK))
    why = "; but ".join((why, *told))
    found = unless_lost(case, Finding(answer=answer, row=row, annotation=None, why=why))
    why, answer = found.why, found.answer
    decides = (row, rule) if _is_under_annexes(case) else (rule,)
    annex = f"{row.taxon} stood in Annex {row.eu_annex} of the Union"
    if row.eu_annex == "none":
        annex = f"{row.taxon} stood in no Annex of the Union"
    said = from_row(
        case,
        found,
        why=why,
        documents=papers,
        also=tuple(beside(case, found)),
        path=(
            *steps,
            step_on(row, "listing", annex),
            *_own_steps(case, row, rule),
            *doubts,
            step_on(rule, "law", why, answer),
            *found.path,
            *last_steps(case, found, papers, ()),
        ),
    )
    return replace(
        said,
        law=rule.law,
        confidence=least(*decides, beside=(row, case.name)),
        rule=rule.id,
        rows=(row.id, rule.id),
        sources=(*rule.sources, *said.sources),
    )


def _is_barred_within(case: Case) -> bool:
    """Tell whether a species of the genus would need papers without any border."""
    each = [replace(case, name=name) for name in members(case.name, case.law)]
    rows = (row for one in each for row in rows_for(one.name, case.day, case.law))
    return any(lost_step(one) for one in each) or any(
        _inner_rule(case, row)[1] == NEEDED for row in rows
    )


def _is_spared(case: Case, row: Listing, rule: Rule) -> bool:
    """Tell whether a thing of Annex A is spared because nobody sells it."""
    is_barring = rule.id in ("article-10", "article-10-uk")
    is_unsold = case.movement.is_commercial is False
    return is_barring and is_unsold and row.eu_annex == "A"


def _unsold(rule: Rule) -> str:
    return f"it is of Annex A and not for sale: {rule.text}; keep the proof of its age"


def _own_steps(case: Case, row: Listing, rule: Rule) -> tuple[Step, ...]:
    """Return what of the shop's own was looked at beside the rule that counts."""
    here = case.movement.legs[0]
    looked = ["article-10", "eu-inside"] if is_in_union(here, case.day) else []
    if here == BRITAIN and not looked:
        looked = ["article-10-uk"]
    rows = (case.law.rules[mark] for mark in looked)
    steps = (
        step_on(each, "law", f"{each.id} was looked at")
        for each in rows
        if each.own and each is not rule
    )
    kinds = (replace(case, name=name) for name in members(case.name, case.law))
    lost = (replace(step, decided="") for step in map(lost_step, kinds) if step)
    return (*steps, *lost)


def _doubts(case: Case, row: Listing, rule: Rule) -> Iterator[Step]:
    """Yield why nobody can tell of a thing that crosses no border, the first to say."""
    if _is_under_annexes(case):
        if row.eu_annex == "A" and case.movement.is_commercial is None:
            yield Step(
                at="purpose", says="whether it is for sale is not stated", decided=ASK
            )
        if is_from_memory(row):
            says = f"no source was read for the Annex of {case.name.name}"
            yield Step(at="confidence", says=says, decided=ASK)
        elif is_stale(row, case.day, case.law):
            says = (
                f"the newest source seen is of {row.newest_source}, and the Annexes "
                f"may have changed before {case.day}"
            )
            meeting = overtaken_by(row, case.day, case.law)
            own = row.own or (meeting.own if meeting else "")
            yield replace(step_on(row, "staleness", says, ASK), own=own)
    doubt = doubt_of(rule, case.day)
    if doubt:
        at: At = "confidence" if is_from_memory(rule) else "staleness"
        yield step_on(rule, at, doubt, ASK)
    if _is_unread(case, row, rule):
        says = f"which rule stood on {case.day} was not read"
        yield Step(at="confidence", says=says, decided=ASK)


def _is_unread(case: Case, row: Listing, rule: Rule) -> bool:
    """Tell whether the rule that counts did not stand that day, and none other is."""
    if rule.id != "no-border" or not _is_under_annexes(case):
        return False
    return is_in_union(case.movement.legs[0], case.day) or row.eu_annex == "A"


def _is_under_annexes(case: Case) -> bool:
    """Tell whether an Annex bars commerce where a thing stays."""
    here = case.movement.legs[0]
    is_british = here == BRITAIN and case.name.name not in taxa_of("uk-ivory")
    return is_british or is_in_union(here, case.day)


def _inner_rule(case: Case, row: Listing) -> tuple[Rule, str, tuple[Document, ...]]:
    """Return the rule for a movement without a border, its answer and papers."""
    here = case.movement.legs[0]
    if not _is_under_annexes(case):
        rule = case.law.rules["no-border"]
        return rule, ASK if doubt_of(rule, case.day) else NOT_NEEDED, ()
    if is_in_union(here, case.day):
        return _annex_rule(case, row, barred="article-10", free="eu-inside")
    return _annex_rule(case, row, barred="article-10-uk", free="no-border")


def _annex_rule(
    case: Case, row: Listing, *, barred: str, free: str
) -> tuple[Rule, str, tuple[Document, ...]]:
    """Return the rule where commerce in Annex A is barred without a certificate."""
    is_sold = case.movement.is_commercial
    is_of_a = row.eu_annex == "A"
    is_barred = is_of_a and is_sold is not False
    rule = case.law.rules[barred if is_of_a else free]
    if not stands(rule.valid_from, rule.valid_until, case.day):
        return case.law.rules["no-border"], ASK, ()
    if not is_barred:
        is_open = is_from_memory(row) or is_stale(row, case.day, case.law)
        is_open = is_open or bool(doubt_of(rule, case.day))
        return rule, ASK if is_open else NOT_NEEDED, ()
    if not is_sold:
        return rule, ASK, ()
    office = authority(case.movement.legs[0])
    return rule, NEEDED, (replace(named("Article 10 certificate"), issuer=office),)
