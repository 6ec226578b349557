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
from ledger.trade.movement import UNION, crossings, is_in_union
from ledger.trade.path import Step
from ledger.trade.schedules import forms_of, taxa_of
from ledger.trade.tables import Annotation, stands

STATES = "US"


def beside(case: Case, found: Finding) -> Iterator[Determination]:
    """Yield what other laws ask about a part on its movement.

    Source: each answer names its rule, and the rule its sources.
    """
    yield from _union_later(case, found)
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
            if ORDER.index(said.answer) < ORDER.index(found.answer):
                yield _said("eu-later", said.answer, case, authority(UNION), why=why)


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
    """Ask for the rule that stood before the one in the table; no row names it."""
    first = case.law.rules[rule].valid_from
    why = f"the rule in the table stands since {first}; ask for older"
    said = _said(rule, ASK, case, office, why=why)
    step = Step(at="law", says=why, decided=ASK)
    return replace(said, row="", rows=(), path=(step,))


_RECORDS = "records of the de minimis rule"
_REGISTRATION = "Ivory Act registration"


def _plant_ports(case: Case, found: Finding) -> Iterator[Determination]:
    """Yield the ports of the United States for listed plants."""
    if found.answer == NEEDED and _crosses(case, STATES):
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
    if not stands(
        case.law.rules[rule].valid_from, case.law.rules[rule].valid_until, case.day
    ):
        return
    yield _of_chapter_44(rule, case, office, paper)


def _british_timber(case: Case, entered: list[str]) -> Iterator[Determination]:
    """Yield the rule that Britain kept; while it was in the Union that one stood."""
    rule = case.law.rules["uk-timber"]
    is_there = stands(rule.valid_from, rule.valid_until, case.day)
    if BRITAIN in entered and is_there and case.form not in forms_of("92"):
        office = "the Office for Product Safety and Standards"
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
) -> Determination:
    return of_rule(
        case.law.rules[rule],
        answer=answer,
        taxon=case.name.name,
        form=case.form,
        ask_whom=office,
        documents=papers,
        day=case.day,
        why=why,
    )
