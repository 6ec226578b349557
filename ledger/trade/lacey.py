"""The import declaration of the United States for plants, and who needs none."""

from datetime import date

from ledger.quantities import kilograms, percent
from ledger.trade.answers import Determination, of_rule
from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED
from ledger.trade.documents import named
from ledger.trade.law import Law, compiled
from ledger.trade.path import Step, step_on
from ledger.trade.question import Question
from ledger.trade.schedules import forms, lacey_headings, limits
from ledger.trade.tables import Rule, stands

OFFICE = "USDA-APHIS, or a customs broker"
REST = "lacey-rest"


def lacey(
    question: Question,
    form: str,
    *,
    is_listed: bool,
    is_open: bool = False,
    law: Law | None = None,
) -> Determination:
    """Tell whether plants entering the United States need a declaration.

    is_listed  whether any of the plant material is of a CITES-listed species
    is_open    whether that cannot be told of some of it

    Source: 7 CFR 357.3 and 357.4; the phases of enforcement as APHIS published them.
    """
    law = law or compiled()
    light, day = _light(question, law), question.date
    if light is not None and not is_listed:
        rule = law.rules["lacey-de-minimis"]
        why = f"{rule.text}; whether any is cannot be told here" if is_open else ""
        return _said(
            rule, ASK if is_open else NOT_NEEDED, form, day, why=why, steps=light
        )
    rule = _rule_for(question.hts_number, form, law)
    steps = (
        *(light or ()),
        *_own_steps(rule, question, form, law),
        _heading_step(question.hts_number, rule, form),
    )
    if not stands(rule.valid_from, rule.valid_until, question.date):
        return _not_yet(rule, question, form, law, steps)
    if question.hts_number is None and not _is_sure(rule, form, question.date, law):
        why = f"{rule.text}; its heading is not stated: give the HTS number"
        return _said(rule, ASK, form, day, why=why, steps=steps)
    if question.movement is not None and question.movement.is_commercial is False:
        why = "asked on formal entry only; what moves without commerce may have none"
        return _said(rule, ASK, form, day, why=why, steps=steps)
    return _said(rule, NEEDED, form, day, steps=steps)


def _light(question: Question, law: Law) -> tuple[Step, ...] | None:
    """Return how little plant material enters, where it is too little to declare."""
    rule = law.rules["lacey-de-minimis"]
    share, entry = question.plant_ppm, question.entry_plant_mass_mg
    most_share, most_entry = limits()["lacey-share"], limits()["lacey-entry"]
    is_light = (
        stands(rule.valid_from, rule.valid_until, question.date)
        and share is not None
        and entry is not None
        and share <= most_share.amount
        and entry <= most_entry.amount
    )
    if not is_light:
        return None
    says = (
        f"plant material is {percent(share or 0)} of the product, of at most "
        f"{percent(most_share.amount)}, and {kilograms(entry or 0)} of the entry, of "
        f"at most {kilograms(most_entry.amount)}"
    )
    return (step_on(rule, "mass", says),)


def _heading_step(hts_number: str | None, rule: Rule, form: str) -> Step:
    """Return by what the heading was told."""
    spoken = form.replace("_", " ")
    says = f"heading not stated: {spoken} is taken under {rule.id}"
    if hts_number is not None:
        says = f"HTS {_shown(hts_number)} is under {rule.id}"
    return step_on(rule, "form", says)


def _own_steps(rule: Rule, question: Question, form: str, law: Law) -> tuple[Step, ...]:
    """Return that rules of the shop's own were looked at beside the one that counts."""
    others = [
        other.rule
        for heading, other in lacey_headings().items()
        if _may_be(heading, question.hts_number, form)
    ]
    looked = dict.fromkeys(["lacey-de-minimis", "lacey-9207", REST, *others])
    rows = (law.rules[mark] for mark in looked)
    return tuple(
        step_on(row, "law", f"{row.id} was looked at")
        for row in rows
        if row.own and row is not rule
    )


def _rule_for(hts_number: str | None, form: str, law: Law) -> Rule:
    if hts_number is None:
        found = forms().get(form)
        return law.rules[(found and found.lacey_rule) or REST]
    known = lacey_headings()
    fits = [start for start in known if hts_number.startswith(start)]
    return law.rules[known[max(fits, key=len)].rule if fits else REST]


def _is_sure(rule: Rule, form: str, day: date, law: Law) -> bool:
    """Tell whether the form alone decides: electric ones were enforced later."""
    if form == "finished_instruments":
        electric = law.rules["lacey-9207"]
        return stands(electric.valid_from, electric.valid_until, day)
    return _has_heading(form) and rule.id != REST


def _not_yet(
    rule: Rule, question: Question, form: str, law: Law, steps: tuple[Step, ...]
) -> Determination:
    """Say that a heading came later, or ask where another one may be meant."""
    why = f"not enforced before {rule.valid_from}: {rule.text}"
    begun = [
        _shown(heading)
        for heading, other in lacey_headings().items()
        if _may_be(heading, question.hts_number, form)
        and stands(law.rules[other.rule].valid_from, None, question.date)
    ]
    later = law.rules["lacey-not-yet"]
    if not begun:
        return _said(later, NOT_NEEDED, form, question.date, why=why, steps=steps)
    why = f"{why}; but {', '.join(begun)} were enforced already: give all ten digits"
    return _said(later, ASK, form, question.date, why=why, steps=steps)


def _may_be(heading: str, hts_number: str | None, form: str) -> bool:
    """Tell whether a thing may enter under a heading, by what is told of its own."""
    if hts_number is not None:
        return len(hts_number) < len(heading) and heading.startswith(hts_number)
    return not _has_heading(form) and heading.startswith("44")


def _has_heading(form: str) -> bool:
    """Tell whether a form is mostly entered under one heading."""
    found = forms().get(form)
    return found is not None and bool(found.lacey_rule)


def _shown(heading: str) -> str:
    """Write a heading with its points, as 9207.90.00.40."""
    pairs = (heading[place : place + 2] for place in range(4, len(heading), 2))
    return ".".join((heading[:4], *pairs))


def _said(
    rule: Rule,
    answer: str,
    form: str,
    day: date,
    *,
    steps: tuple[Step, ...],
    why: str = "",
) -> Determination:
    papers = (named("Lacey Act declaration (PPQ 505)"),) if answer == NEEDED else ()
    return of_rule(
        rule,
        answer=answer,
        taxon="",
        form=form,
        ask_whom=OFFICE,
        documents=papers,
        day=day,
        why=why,
        steps=steps,
    )
