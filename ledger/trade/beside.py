"""Other laws on the way of a thing: the Union's later days, shell, ivory, timber."""

from collections.abc import Iterator
from dataclasses import replace

from ledger.trade.answers import Determination, of_rule
from ledger.trade.coverage import (
    ASK,
    NEEDED,
    NOT_NEEDED,
    ORDER,
    Case,
    Finding,
    judge_text,
)
from ledger.trade.documents import BRITAIN, Document, authority, named
from ledger.trade.movement import UNION, crossings, is_in_union, place_words
from ledger.trade.path import Step, step_on
from ledger.trade.schedules import forms_of, taxa_of
from ledger.trade.tables import Annotation, Rule, covers, stands

STATES = "US"
NEW_BOWS = "10-2026"


def beside(case: Case, found: Finding) -> Iterator[Determination]:
    """Yield what other laws ask about a part on its movement.

    Source: each answer names its rule, and the rule its sources.
    """
    yield from _union_later(case, found)
    yield from _sold_from_home(case, found)
    if case.name.kind == "animal":
        yield from _wildlife(case)
        yield from _ivory(case)
    else:
        yield from _plant_ports(case, found)
        yield from _timber(case)


def _union_later(case: Case, found: Finding) -> Iterator[Determination]:
    """Yield what the Union still asked while its own change was not in force."""
    text = found.annotation
    if text is None or not _touches_union(case):
        return
    begun = text.eu_from or text.valid_from
    if begun is None or begun <= case.day:
        return
    for older in case.law.annotations.values():
        if _is_older(older, text) and stands(older.eu_from, older.eu_until, case.day):
            said = judge_text(found.row, older, case)
            why = f"until {begun} the Union kept the older text: {said.why}"
            steps = tuple(step for step in said.path if step.own)
            steps += _own_steps(text)
            answer = said.answer
            if ORDER.index(answer) >= ORDER.index(found.answer):
                if text.id != NEW_BOWS or covers(text, case.form) != "depends":
                    continue
                answer = ASK
                why = (
                    f"{why}; the Convention has the text of 2026: ask which is gone by"
                )
            yield _said(
                "eu-later", answer, case, authority(UNION), why=why, steps=steps
            )


def _sold_from_home(case: Case, found: Finding) -> Iterator[Determination]:
    """Ask where a thing of Annex A is offered or sold in the Union, or Britain.

    Sold into the Union the certificate is among the papers of the crossing.
    """
    if found.row.eu_annex != "A" or case.movement.is_commercial is False:
        return
    if found.answer == NOT_NEEDED:
        return
    legs = (case.exporter, *case.movement.legs[1:])
    for here, there in crossings(legs, case.day):
        if is_in_union(here, case.day):
            rule = case.law.rules["article-10"]
        elif here == BRITAIN and case.name.name not in taxa_of("uk-ivory"):
            rule = case.law.rules["article-10-uk"]
        else:
            continue
        if not stands(rule.valid_from, rule.valid_until, case.day):
            yield from _not_by_own(rule, case, authority(here))
            continue
        why = (
            f"it leaves {place_words(here)} for {place_words(there)}: {rule.text}; ask "
            f"whether it needs one"
        )
        if case.movement.is_commercial is None:
            why = f"{why}, for whether it is for sale is not stated"
        yield _said(rule.id, ASK, case, authority(here), why=why)


def _is_older(older: Annotation, text: Annotation) -> bool:
    """Tell whether one text stood before another of the same annotation."""
    family = text.id.partition("-")[0]
    return older.id.startswith(f"{family}-") and older is not text


def _touches_union(case: Case) -> bool:
    legs = (case.exporter, *case.movement.legs[1:])
    return any(
        is_in_union(here, case.day) or is_in_union(there, case.day)
        for here, there in crossings(legs, case.day)
    )


def _wildlife(case: Case) -> Iterator[Determination]:
    """Yield the wildlife declaration of the United States for shell, bone and skin."""
    if not _crosses(case, STATES):
        return
    rule = case.law.rules["us-wildlife"]
    if not stands(rule.valid_from, rule.valid_until, case.day):
        yield from _not_by_own(rule, case, "US Fish and Wildlife Service")
        return
    if case.name.name in taxa_of("us-wildlife", "leaves open"):
        why = "bone and horn of cattle are not wildlife; a broker may still want proof"
        yield _said("us-wildlife", ASK, case, "US Fish and Wildlife Service", why=why)
        return
    paper = named("wildlife declaration (Form 3-177)")
    office = "US Fish and Wildlife Service"
    yield _said("us-wildlife", NEEDED, case, office, papers=(paper,))


def _ivory(case: Case) -> Iterator[Determination]:
    """Yield what the sale of ivory inside a country or the Union asks for."""
    if case.movement.is_commercial is False:
        return
    places, name = case.movement.legs, case.name.name
    if name in taxa_of("uk-ivory-others") and BRITAIN in places:
        widened = case.law.rules["uk-ivory-others"]
        if stands(widened.valid_from, widened.valid_until, case.day):
            yield _said(widened.id, ASK, case, "Animal and Plant Health Agency")
        else:
            office = "Animal and Plant Health Agency"
            yield from _not_by_own(widened, case, office)
    if name in taxa_of("us-ivory") and set(places) == {STATES}:
        yield _dated("us-ivory", case, "US Fish and Wildlife Service", _RECORDS)
    if name in taxa_of("uk-ivory") and BRITAIN in places:
        yield _dated("uk-ivory", case, "Animal and Plant Health Agency", _REGISTRATION)
    is_there = any(is_in_union(place, case.day) for place in places)
    if name in taxa_of("eu-ivory") and is_there:
        row = case.law.rules["eu-ivory"]
        if stands(row.valid_from, row.valid_until, case.day):
            yield _said(row.id, ASK, case, authority(UNION))
        else:
            yield _older(row.id, case, authority(UNION))


def _dated(rule: str, case: Case, office: str, paper: str) -> Determination:
    """Return a rule's demand, or ask where it did not stand that day."""
    row = case.law.rules[rule]
    if stands(row.valid_from, row.valid_until, case.day):
        return _said(rule, NEEDED, case, office, papers=(named(paper),))
    return _older(rule, case, office)


def _older(rule: str, case: Case, office: str) -> Determination:
    """Ask for the rule that stood before the one in the table; no row names it.

    A row of the shop's own is named, for its day is the shop's.
    """
    row = case.law.rules[rule]
    why = f"the rule in the table stands since {row.valid_from}; ask for older"
    if row.valid_until is not None and row.valid_until < case.day:
        why = f"the rule in the table stood until {row.valid_until}; ask for newer"
    said = _said(rule, ASK, case, office, why=why)
    if row.own:
        return _apart(said)
    step = Step(at="law", says=why, decided=ASK)
    return replace(said, row="", rows=(), path=(step,))


_OF_TIMBER = ("eutr", "eudr", "eudr-small")
_RECORDS = "records of the de minimis rule"
_REGISTRATION = "Ivory Act registration"


def _plant_ports(case: Case, found: Finding) -> Iterator[Determination]:
    """Yield the ports of the United States for listed plants."""
    rule = case.law.rules["us-ports"]
    if found.answer != NEEDED or not _crosses(case, STATES):
        return
    if not stands(rule.valid_from, rule.valid_until, case.day):
        yield from _not_by_own(rule, case, "USDA-APHIS")
    else:
        papers = (
            (named("protected plant permit"),) if case.movement.is_commercial else ()
        )
        answer = NEEDED if papers else ASK
        yield _said("us-ports", answer, case, "USDA-APHIS", papers=papers)


def _timber(case: Case) -> Iterator[Determination]:
    """Yield the timber and deforestation rules on wood that enters a market."""
    legs = (case.exporter, *case.movement.legs[1:])
    entered = [there for _, there in crossings(legs, case.day)]
    yield from _british_timber(case, entered)
    if not any(is_in_union(there, case.day) for there in entered):
        return
    office = "the competent authority of the EU member State"
    if case.form in forms_of("92"):
        yield _said("eudr-outside", NOT_NEEDED, case, office)
        return
    rule, paper = _timber_rule(case)
    row = case.law.rules[rule]
    # A day of the shop's own may be why one rule stands and not the next.
    own = _own_steps(*(case.law.rules[one] for one in _OF_TIMBER if one != rule))
    if stands(row.valid_from, row.valid_until, case.day):
        said = _of_chapter_44(rule, case, office, paper)
        yield replace(said, path=(*own, *said.path))
    elif own or row.own:
        why = f"no rule on timber stands on {case.day} by the shop's own days: ask"
        yield _apart(_said(rule, ASK, case, office, why=why, steps=own))


def _british_timber(case: Case, entered: list[str]) -> Iterator[Determination]:
    """Yield the rule that Britain kept; while it was in the Union that one stood."""
    rule = case.law.rules["uk-timber"]
    if BRITAIN not in entered or case.form in forms_of("92"):
        return
    office = "the Office for Product Safety and Standards"
    if not stands(rule.valid_from, rule.valid_until, case.day):
        yield from _not_by_own(rule, case, office)
    else:
        yield _of_chapter_44(rule.id, case, office, "due diligence records (UK)")


def _of_chapter_44(rule: str, case: Case, office: str, paper: str) -> Determination:
    """Return what a rule on wood of chapter 44 demands; else ask whether it is such."""
    if case.form in forms_of("44"):
        return _dated(rule, case, office, paper)
    why = f"whether this is wood of chapter 44 decides: {case.law.rules[rule].text}"
    return _said(rule, ASK, case, office, why=why)


def _timber_rule(case: Case) -> tuple[str, str]:
    """Return the rule that stands, and its paper."""
    if not stands(case.law.rules["eudr"].valid_from, None, case.day):
        return "eutr", "due diligence records (EUTR)"
    is_for_all = stands(case.law.rules["eudr-small"].valid_from, None, case.day)
    rule = "eudr-small" if is_for_all else "eudr"
    return rule, "due diligence statement (EUDR)"


def _not_by_own(rule: Rule, case: Case, office: str) -> Iterator[Determination]:
    """Ask where a rule does not stand, and the shop's own days may be why.

    By days that are compiled there is nothing to say.
    """
    if rule.own:
        why = f"by the shop's own days it does not stand on {case.day}: {rule.text}"
        yield _apart(_said(rule.id, ASK, case, office, why=why))


def _apart(said: Determination) -> Determination:
    """Return an answer that names a row, but does not rest on it that day."""
    return replace(said, rows=())


def _own_steps(*rows: Rule | Annotation) -> tuple[Step, ...]:
    """Return that rows of the shop's own were looked at."""
    return tuple(
        step_on(row, "law", f"{row.id} was looked at") for row in rows if row.own
    )


def _crosses(case: Case, code: str) -> bool:
    legs = (case.exporter, *case.movement.legs[1:])
    return any(code in pair for pair in crossings(legs, case.day))


def _said(
    rule: str,
    answer: str,
    case: Case,
    office: str,
    papers: tuple[Document, ...] = (),
    why: str = "",
    steps: tuple[Step, ...] = (),
) -> Determination:
    name = case.name
    if name.own:
        says = f"{name.name} is read by a name of the shop's own"
        steps = (Step(at="name", says=says, row=name.name, own=name.own), *steps)
    return of_rule(
        case.law.rules[rule],
        answer=answer,
        taxon=case.name.name,
        form=case.form,
        ask_whom=office,
        documents=papers,
        day=case.day,
        why=why,
        steps=steps,
    )
