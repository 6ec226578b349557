"""What papers a thing asks for on its way: needed, not needed, or ask."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from ledger.trade.answers import Determination, as_whole, marked, merged, unanswered
from ledger.trade.beside import STATES
from ledger.trade.confidence import AND
from ledger.trade.coverage import ASK, NEEDED, Case
from ledger.trade.crossing import crossing
from ledger.trade.documents import BRITAIN
from ledger.trade.genera import of_genus
from ledger.trade.lacey import lacey
from ledger.trade.law import Law, compiled
from ledger.trade.leftout import heeding, others_heeding
from ledger.trade.listings import annotation_for, is_grown_in, rows_for
from ledger.trade.movement import crossings, is_in_union
from ledger.trade.names import Reading, meant_by, read_genus, read_name
from ledger.trade.path import Step, step_on
from ledger.trade.question import Part, Question
from ledger.trade.tables import form_for, meaning_of, stands, wood_forms
from ledger.trade.whence import of_countries
from ledger.trade.within import inside

ANYWHERE = "the CITES Management Authority of your country"


def determine(
    question: Question,
    *,
    shipment_mass_mg: int | None = None,
    law: Law | None = None,
) -> Determination:
    """Answer what a thing needs to cross the borders it crosses on a day.

    What is not understood, and what only a stale row says, is answered with ask.

    shipment_mass_mg  [mg]  the listed wood of annotation #15 in the whole shipment;
                            else that of the question's own parts
    law                     the edition of the tables; without one the compiled one

    Source: the rows the answer names; Convention Articles III to V and VII.
    """
    law, mass = law or compiled(), shipment_mass_mg
    if mass is None:
        mass = limited_mass_mg(question.parts, question.date, law)
    each = tuple(_answer(question, part, mass, law) for part in question.parts)
    whole = as_whole(each)
    declared = _declaration(question, each, law)
    if law.left_out is not None:
        other = _declaration(question, each, law.left_out.law)
        declared = others_heeding(declared, other, law.left_out.says)
    others = merged((replace(whole, also=(*whole.also, *declared)),))
    return replace(whole, also=others)


def _answer(
    question: Question, part: Part, mass: int | None, law: Law
) -> Determination:
    """Return the answer for a part, which says where a row was left out of it."""
    said = _told(_determine_part(question, part, mass, law))
    if law.left_out is None:
        return said
    whole = _told(_determine_part(question, part, mass, law.left_out.law))
    return heeding(said, whole, law.left_out.says)


def _told(said: Determination) -> Determination:
    """Return the answer for a part with every mark of the shop's own rows."""
    return replace(marked(said), also=tuple(marked(other) for other in said.also))


def limited_mass_mg(
    parts: Sequence[Part], day: date, law: Law | None = None
) -> int | None:
    """Return the wood that the 10 kg of annotation #15 count; nothing if not all told.

    The text of 2017 counts all its wood, that of 2019 only what is in finished products
    that are no instruments, parts or accessories.

    Source: annotation #15 b of the CITES Appendices, texts of 2017 and 2019.
    """
    law = law or compiled()
    # Wood of one species in one form is counted or not, whichever lot it is of.
    counted: dict[tuple[str, str], bool] = {}
    masses = []
    for part in parts:
        key = (part.taxon, part.form)
        if key not in counted:
            left = law.left_out
            counted[key] = _is_limited(part, day, law) or (
                left is not None and _is_limited(part, day, left.law)
            )
        if counted[key]:
            masses.append(part.mass_mg)
    known = [mass for mass in masses if mass is not None]
    return sum(known) if len(known) == len(masses) else None


def _is_limited(part: Part, day: date, law: Law) -> bool:
    """Tell whether wood counts; of a genus alone, whether any of its species does."""
    rows = (
        row for name in meant_by(part.taxon, law) for row in rows_for(name, day, law)
    )
    texts = (annotation_for(row, day, law) for row in rows if row.annotation == "15")
    is_product = form_for(part.form) == "other_finished_products"
    return any(text and (is_product or text.id == "15-2017") for text in texts)


def _determine_part(
    question: Question, part: Part, mass: int | None, law: Law
) -> Determination:
    """Return the answer for a part, of each country where it is of one of several."""
    unknown = _of_origin(question, part, mass, law)
    if part.origin is not None or not part.may_be_from:
        return unknown
    by_country = {
        code: _of_origin(question, replace(part, origin=code), mass, law)
        for code in part.may_be_from
    }
    return of_countries(unknown, by_country)


def _of_origin(
    question: Question, part: Part, mass: int | None, law: Law
) -> Determination:
    reading, form = read_name(part.taxon, law), form_for(part.form)
    names, movement = meant_by(part.taxon, law), question.movement
    if not names or form is None or movement is None:
        return _not_understood(question, part, reading, is_named=bool(names))
    if movement.starts and part.shipped_from is None:
        return _not_understood(question, part, reading, is_named=True)
    case = Case(
        name=names[0],
        form=form,
        day=question.date,
        movement=movement,
        exporter=part.shipped_from or movement.legs[0],
        origin=part.origin,
        acquired=part.acquired,
        listed_mass_mg=mass,
        law=law,
    )
    genus = None if reading.name is not None else read_genus(part.taxon, law)
    if genus is None:
        return _of_name(case, reading, typed=part.taxon)
    each = [
        _of_name(replace(case, name=name), read_name(name.name, law), typed=name.name)
        for name in names
    ]
    if names[0].name == genus.name:
        return each[0]
    return of_genus(genus, each, origin=part.origin, law=law)


def _of_name(case: Case, reading: Reading, *, typed: str) -> Determination:
    """Answer for wood of one name, from where it grows if nobody says otherwise."""
    if case.origin is None and is_grown_in(case.name, case.exporter):
        case = replace(case, origin=case.exporter, is_origin_presumed=True)
    borders = _borders(case)
    steps = (*reading.path, *_understood(case, borders))
    said = crossing(case, steps) if borders else inside(case, steps)
    if said.answer != NEEDED and reading.is_from_memory:
        doubt = f"that {typed[:60]} is {case.name.name} is from memory only"
        step = Step(at="confidence", says=doubt, decided=ASK)
        why = f"{said.why}; {doubt}"
        return replace(said, answer=ASK, why=why, path=(*said.path, step))
    return said


def _understood(case: Case, borders: Sequence[tuple[str, str]]) -> tuple[Step, ...]:
    """Return how form, movement and origin were read."""
    meaning = meaning_of(case.form)
    form = case.form.replace("_", " ")
    move = case.movement
    crossed = ", ".join(f"{here} to {there}" for here, there in borders)
    owner = {True: "changes", False: "does not change", None: "is not stated"}
    moves = (
        f"on {case.day} it crosses {crossed or 'no border of the Convention'}; "
        f"{move.purpose or 'purpose not stated'}, owner {owner[move.owner_changes]}"
    )
    origin = f"origin {case.origin}" if case.origin else "origin not stated"
    if case.is_origin_presumed:
        origin = f"origin not stated: taken to be {case.origin}, where it grows"
    return (
        Step(at="form", says=f"{form}: {meaning}" if meaning else form),
        Step(at="movement", says=moves),
        *_british_border(case, borders),
        Step(at="origin", says=origin),
    )


def _british_border(case: Case, borders: Sequence[tuple[str, str]]) -> tuple[Step, ...]:
    """Return the rule by which there is a border between Britain and the Union."""
    rule = case.law.rules["uk-border"]
    is_crossed = any(
        BRITAIN in pair and any(is_in_union(code, case.day) for code in pair)
        for pair in borders
    )
    if not is_crossed or not stands(rule.valid_from, rule.valid_until, case.day):
        return ()
    return (step_on(rule, "movement", rule.text),)


def _not_understood(
    question: Question, part: Part, reading: Reading, *, is_named: bool
) -> Determination:
    form = form_for(part.form)
    if not is_named:
        why = reading.reason
    elif form is None:
        shown = part.form[:60]
        why = f"{shown} is no form in the table; it has: {', '.join(wood_forms())}"
    elif question.movement is None and question.alone:
        here = question.alone
        why = f"one country only: say where it goes, or 'inside {here}'"
    elif question.movement is None:
        why = (
            f"the movement {question.unread[:80]} cannot be read; write it as "
            f"US -> EU, sale, or give legs and purpose"
        )
    else:
        why = "it sets out from several countries; ask for each thing on its own"
    return unanswered(
        taxon=reading.name.name if reading.name else part.taxon[:80],
        form=form or part.form[:60],
        why=why,
        ask_whom=ANYWHERE,
        steps=reading.path,
    )


def _declaration(
    question: Question, each: tuple[Determination, ...], law: Law
) -> tuple[Determination, ...]:
    """Return the import declaration of the United States, where plants enter them."""
    plants = [part for part in each if _is_plant(part, law)]
    if question.movement is None or not plants:
        return ()
    entered = [there for _, there in crossings(question.movement.legs, question.date)]
    if STATES not in entered:
        return ()
    is_listed = any(part.is_listed for part in plants)
    is_open = any(part.answer == ASK for part in each)
    form = plants[0].form
    said = marked(lacey(question, form, is_listed=is_listed, is_open=is_open, law=law))
    other = lacey(question, form, is_listed=not is_listed, law=law)
    is_apart = (other.rule, other.answer) != (said.rule, said.answer)
    steps = (step for part in plants for step in part.path if step.own)
    own = tuple(step for step in steps if is_apart or step.at == "name")
    if not own:
        return (said,)
    # Its own row is none of the shop's: the mark stands in the reason.
    marks = AND.join(dict.fromkeys(step.own for step in own))
    why = f"{said.why}; it also rests on {marks}"
    return (replace(said, why=why, path=(*own, *said.path)),)


def _is_plant(part: Determination, law: Law) -> bool:
    kinds = {name.kind for name in meant_by(part.taxon, law)}
    return "plant" in kinds and form_for(part.form) is not None


def _borders(case: Case) -> tuple[tuple[str, str], ...]:
    return crossings((case.exporter, *case.movement.legs[1:]), case.day)
