"""The import declaration of the United States for plants, and who needs none."""

from datetime import date

from ledger.trade.answers import Determination, of_rule
from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED
from ledger.trade.documents import named
from ledger.trade.question import Question
from ledger.trade.tables import Rule, rules, stands

LIGHT_PPM = 50_000  # 5 % of the weight of the product unit
LIGHT_ENTRY_MG = 2_900_000  # 2.9 kg of plant material under a heading, in the entry
OFFICE = "USDA-APHIS, or a customs broker"
# The rule for each heading; the longest beginning that fits counts.
_HEADINGS = {
    "9201": "lacey-9201",
    "9202": "lacey-9202",
    "9207900040": "lacey-9207",
    "920992": "lacey-9209",
    "9205902000": "lacey-wind",
    "9205904020": "lacey-wind",
    "9205904060": "lacey-wind",
    "9205904080": "lacey-wind",
    "9206002000": "lacey-wind",
    "9209992000": "lacey-wind",
    "9209994040": "lacey-wind",
    "9209998000": "lacey-wind",
    "4403": "lacey-wood",
    "4404": "lacey-wood",
    "4407": "lacey-wood",
    "4408": "lacey-wood",
    "4409": "lacey-wood",
    "4417": "lacey-wood",
    "4418": "lacey-wood",
    "4412": "lacey-plywood",
    "4414": "lacey-plywood",
    "4419": "lacey-plywood",
    "4420": "lacey-plywood",
    "4421": "lacey-4421",
}
# The heading that a form is mostly entered under.
_FORMS = {
    "logs": "lacey-wood",
    "sawn_wood": "lacey-wood",
    "veneer_sheets": "lacey-wood",
    "transformed_wood_4409": "lacey-wood",
    "plywood": "lacey-plywood",
    "finished_instruments": "lacey-9202",
    "finished_instrument_parts": "lacey-9209",
    "finished_instrument_accessories": "lacey-9209",
}


def lacey(
    question: Question, form: str, *, is_listed: bool, is_open: bool = False
) -> Determination:
    """Tell whether plants entering the United States need a declaration.

    is_listed  whether any of the plant material is of a CITES-listed species
    is_open    whether that cannot be told of some of it

    Source: 7 CFR 357.3 and 357.4; the phases of enforcement as APHIS published them.
    """
    if _is_light(question) and not is_listed:
        light = rules()["lacey-de-minimis"]
        why = f"{light.text}; whether any is cannot be told here" if is_open else ""
        return _said(light, ASK if is_open else NOT_NEEDED, form, why=why)
    rule = _rule_for(question.hts_number, form)
    if not stands(rule.valid_from, rule.valid_until, question.date):
        return _not_yet(rule, question, form)
    if question.hts_number is None and not _is_sure(rule, form, question.date):
        why = f"{rule.text}; its heading is not stated: give the HTS number"
        return _said(rule, ASK, form, why=why)
    if question.movement is not None and question.movement.is_commercial is False:
        why = "asked on formal entry only; what moves without commerce may have none"
        return _said(rule, ASK, form, why=why)
    return _said(rule, NEEDED, form)


def _is_light(question: Question) -> bool:
    """Tell whether so little plant material enters that nothing is declared."""
    rule = rules()["lacey-de-minimis"]
    share, entry = question.plant_ppm, question.entry_plant_mass_mg
    return (
        stands(rule.valid_from, rule.valid_until, question.date)
        and share is not None
        and entry is not None
        and share <= LIGHT_PPM
        and entry <= LIGHT_ENTRY_MG
    )


def _rule_for(hts_number: str | None, form: str) -> Rule:
    if hts_number is None:
        return rules()[_FORMS.get(form, "lacey-rest")]
    fits = [start for start in _HEADINGS if hts_number.startswith(start)]
    return rules()[_HEADINGS[max(fits, key=len)] if fits else "lacey-rest"]


def _is_sure(rule: Rule, form: str, day: date) -> bool:
    """Tell whether the form alone decides: electric ones were enforced later."""
    if form == "finished_instruments":
        electric = rules()["lacey-9207"]
        return stands(electric.valid_from, electric.valid_until, day)
    return form in _FORMS and rule.id != "lacey-rest"


def _not_yet(rule: Rule, question: Question, form: str) -> Determination:
    """Say that a heading came later, or ask where another one may be meant."""
    why = f"not enforced before {rule.valid_from}: {rule.text}"
    begun = [
        _shown(heading)
        for heading, other in _HEADINGS.items()
        if _may_be(heading, question.hts_number, form)
        and stands(rules()[other].valid_from, None, question.date)
    ]
    if not begun:
        return _said(rules()["lacey-not-yet"], NOT_NEEDED, form, why=why)
    why = f"{why}; but {', '.join(begun)} were enforced already: give all ten digits"
    return _said(rules()["lacey-not-yet"], ASK, form, why=why)


def _may_be(heading: str, hts_number: str | None, form: str) -> bool:
    """Tell whether a thing may enter under a heading, by what is told of its own."""
    if hts_number is not None:
        return len(hts_number) < len(heading) and heading.startswith(hts_number)
    return form not in _FORMS and heading.startswith("44")


def _shown(heading: str) -> str:
    """Write a heading with its points, as 9207.90.00.40."""
    pairs = (heading[place : place + 2] for place in range(4, len(heading), 2))
    return ".".join((heading[:4], *pairs))


def _said(rule: Rule, answer: str, form: str, why: str = "") -> Determination:
    papers = (named("Lacey Act declaration (PPQ 505)"),) if answer == NEEDED else ()
    return of_rule(
        rule,
        answer=answer,
        taxon="",
        form=form,
        ask_whom=OFFICE,
        documents=papers,
        why=why,
    )
