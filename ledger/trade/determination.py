"""What papers a thing asks for on its way: needed, not needed, or ask."""

from dataclasses import replace
from datetime import date

from ledger.trade.answers import Determination, as_whole, merged, unanswered
from ledger.trade.beside import ELEPHANT_IVORY, STATES, beside
from ledger.trade.confidence import is_from_memory, least
from ledger.trade.coverage import (
    ASK,
    NEEDED,
    NOT_NEEDED,
    Case,
    Finding,
    judge,
    worst,
)
from ledger.trade.documents import (
    BRITAIN,
    Document,
    authority,
    documents_for,
    is_for_playing,
    is_pre_convention,
    named,
)
from ledger.trade.lacey import lacey
from ledger.trade.listings import (
    annotation_for,
    first_listing,
    is_from,
    is_grown_in,
    is_stale,
    members,
    rows_for,
    rows_from,
)
from ledger.trade.movement import crossings, is_in_union, place_words
from ledger.trade.names import read_name
from ledger.trade.question import Part, Question
from ledger.trade.tables import Listing, form_for, rules, stands, wood_forms

ANYWHERE = "the CITES Management Authority of your country"


def determine(
    question: Question, *, shipment_mass_mg: int | None = None
) -> Determination:
    """Answer what a thing needs to cross the borders it crosses on a day.

    What is not understood, and what only a stale row says, is answered with ask.

    shipment_mass_mg  [mg]  the listed wood of annotation #15 in the whole shipment;
                            else that of the question's own parts

    Source: the rows the answer names; Convention Articles III to V and VII.
    """
    mass = shipment_mass_mg
    if mass is None:
        mass = limited_mass_mg(question.parts, question.date)
    each = tuple(_determine_part(question, part, mass) for part in question.parts)
    whole = as_whole(each)
    declared = tuple(_declaration(question, each))
    others = merged((replace(whole, also=(*whole.also, *declared)),))
    return replace(whole, also=others)


def limited_mass_mg(parts: tuple[Part, ...], day: date) -> int | None:
    """Return the wood that the 10 kg of annotation #15 count; nothing if not all told.

    The text of 2017 counts all its wood, that of 2019 only what is in finished products
    that are no instruments, parts or accessories.

    Source: annotation #15 b of the CITES Appendices, texts of 2017 and 2019.
    """
    masses = [part.mass_mg for part in parts if _is_limited(part, day)]
    known = [mass for mass in masses if mass is not None]
    return sum(known) if len(known) == len(masses) else None


def _is_limited(part: Part, day: date) -> bool:
    name = read_name(part.taxon).name
    rows = rows_for(name, day) if name else ()
    texts = [annotation_for(row, day) for row in rows if row.annotation == "15"]
    if not texts or texts[0] is None:
        return False
    form = form_for(part.form)
    return texts[0].id == "15-2017" or form == "other_finished_products"


def _determine_part(question: Question, part: Part, mass: int | None) -> Determination:
    reading, form = read_name(part.taxon), form_for(part.form)
    name = reading.name
    if name is None or form is None or question.movement is None:
        return _not_understood(question, part)
    if question.movement.starts and part.shipped_from is None:
        return _not_understood(question, part)
    exporter = part.shipped_from or question.movement.legs[0]
    is_home = part.origin is None and is_grown_in(name, exporter)
    case = Case(
        name=name,
        form=form,
        day=question.date,
        movement=question.movement,
        exporter=exporter,
        origin=exporter if is_home else part.origin,
        acquired=part.acquired,
        listed_mass_mg=mass,
        is_origin_presumed=is_home,
    )
    said = _crossing(case) if _borders(case) else _inside(case)
    if said.answer == NOT_NEEDED and reading.is_from_memory:
        why = f"{said.why}; that {part.taxon[:60]} is {name.name} is from memory only"
        return replace(said, answer=ASK, why=why)
    return said


def _not_understood(question: Question, part: Part) -> Determination:
    reading = read_name(part.taxon)
    form = form_for(part.form)
    if reading.name is None:
        why = reading.reason
    elif form is None:
        shown = part.form[:60]
        why = f"{shown} is no form in the table; it has: {', '.join(wood_forms())}"
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
    )


def _crossing(case: Case) -> Determination:
    """Answer for a part that crosses a border of the Convention."""
    found = _found(case)
    if found is None:
        return _no_row(case)
    found = _of_its_kind(case, found)
    papers = documents_for(found.row, case) if found.answer == NEEDED else ()
    said = _from_row(case, found)
    return replace(
        said,
        documents=papers,
        why="; ".join((found.why, *_remarks(case, found))),
        also=tuple(beside(case, found)),
    )


def _found(case: Case) -> Finding | None:
    """Return what counts of all that the rows say, or nothing where there is none."""
    rows = rows_from(case.name, case.day, case.origin)
    if not rows:
        return None
    return worst([judge(row, case) for row in rows], case.origin)


def _of_its_kind(case: Case, found: Finding) -> Finding:
    """Ask where only the genus is told, and a species of it is judged more strictly."""
    if found.answer != NOT_NEEDED:
        return found
    stricter = []
    for name in members(case.name):
        other = _found(replace(case, name=name))
        if other is not None and other.answer == NEEDED:
            stricter.append(name.name)
    if not stricter:
        return found
    shown = ", ".join(stricter[:4]) + (" and others" if len(stricter) > 4 else "")
    why = f"{found.why}; but {shown} would need documents: give the species"
    return replace(found, answer=ASK, why=why)


def _inside(case: Case) -> Determination:
    """Answer for a part that stays in one country, or in the Union."""
    rows = rows_for(case.name, case.day)
    if not rows:
        return _no_row(case)
    row = rows[0]
    rule, answer, papers = _inner_rule(case, row)
    why = rules()[rule].text
    if answer == NOT_NEEDED and _is_barred_within(case):
        answer = ASK
        why = f"{why}; but some species of {case.name.name} are barred: give it"
    elif answer == ASK:
        why = f"{why}; but {_open_within(case, row)}"
    found = Finding(answer=answer, row=row, annotation=None, why=why)
    said = _from_row(case, found)
    decides = (row, rules()[rule]) if _is_under_annexes(case) else (rules()[rule],)
    return replace(
        said,
        law=rules()[rule].law,
        documents=papers,
        confidence=least(*decides),
        rule=rule,
        rows=(row.id, rule),
        sources=(*rules()[rule].sources, *said.sources),
        also=tuple(beside(case, found)),
    )


def _is_barred_within(case: Case) -> bool:
    """Tell whether a species of the genus would need papers without any border."""
    rows = [row for name in members(case.name) for row in rows_for(name, case.day)]
    return any(_inner_rule(case, row)[1] == NEEDED for row in rows)


def _open_within(case: Case, row: Listing) -> str:
    """Return why nobody can tell of a thing that crosses no border."""
    if row.eu_annex == "A" and case.movement.is_commercial is None:
        return "whether it is for sale is not stated"
    if is_from_memory(row):
        return f"no source was read for the Annex of {case.name.name}"
    if is_stale(row, case.day):
        return (
            f"the newest source seen is of {row.newest_source}, and the Annexes may "
            f"have changed before {case.day}"
        )
    return f"which rule stood on {case.day} was not read"


def _is_under_annexes(case: Case) -> bool:
    """Tell whether an Annex bars commerce where a thing stays."""
    here = case.movement.legs[0]
    is_british = here == BRITAIN and case.name.name not in ELEPHANT_IVORY
    return is_british or is_in_union(here, case.day)


def _inner_rule(case: Case, row: Listing) -> tuple[str, str, tuple[Document, ...]]:
    """Return the rule for a movement without a border, its answer and papers."""
    here = case.movement.legs[0]
    if not _is_under_annexes(case):
        return "no-border", NOT_NEEDED, ()
    if is_in_union(here, case.day):
        return _annex_rule(case, row, barred="article-10", free="eu-inside")
    return _annex_rule(case, row, barred="article-10-uk", free="no-border")


def _annex_rule(
    case: Case, row: Listing, *, barred: str, free: str
) -> tuple[str, str, tuple[Document, ...]]:
    """Return the rule where commerce in Annex A is barred without a certificate."""
    is_sold = case.movement.is_commercial
    is_barred = row.eu_annex == "A" and is_sold is not False
    rule = barred if is_barred else free
    if not stands(rules()[rule].valid_from, rules()[rule].valid_until, case.day):
        return "no-border", ASK, ()
    if not is_barred:
        is_open = is_from_memory(row) or is_stale(row, case.day)
        return rule, ASK if is_open else NOT_NEEDED, ()
    if not is_sold:
        return rule, ASK, ()
    office = authority(case.movement.legs[0])
    return rule, NEEDED, (replace(named("Article 10 certificate"), issuer=office),)


def _from_row(case: Case, found: Finding) -> Determination:
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
        rule=label,
        row=found.row.id,
        rows=(found.row.id, text.id) if text else (found.row.id,),
        sources=tuple(dict.fromkeys(marks)),
        table_date=found.row.checked_on,
        newest_source=_newest(found),
        confidence=least(found.row, *((text,) if text else ())),
        why=found.why,
        ask_whom=_offices(case),
        note=found.row.note if found.row.is_listed else "",
        is_listed=found.row.is_listed
        and is_from(found.row.population, case.origin, case.name) is not False,
    )


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
    first = first_listing(case.name, case.origin)
    if first is not None and case.acquired is not None:
        # Without its day, which is each lot's own: one answer may be for several.
        when = "before" if is_pre_convention(case) else "not before"
        said.append(f"acquired {when} the first listing of {first}")
    if _is_barred(case, found):
        said.append("wild specimens of Appendix I may not move for commerce: ask first")
    if case.movement.is_commercial and _is_new_bow(found):
        said.append(
            "no permit is given for commerce in wild-taken pernambuco (source W); wood "
            "from before 2007-09-13 may be asked for"
        )
    return said


def _is_barred(case: Case, found: Finding) -> bool:
    is_sold = case.movement.is_commercial is not False
    return found.row.appendix == "I" and is_sold and not is_pre_convention(case)


def _is_new_bow(found: Finding) -> bool:
    return found.annotation is not None and found.annotation.id == "10-2026"


def _newest(found: Finding) -> date:
    seen = [found.row.newest_source]
    if found.annotation is not None:
        seen.append(found.annotation.newest_source)
    return max(seen)


def _no_row(case: Case) -> Determination:
    why = f"the table has no row for {case.name.name} on {case.day}"
    return unanswered(
        taxon=case.name.name, form=case.form, why=why, ask_whom=_offices(case)
    )


def _declaration(
    question: Question, each: tuple[Determination, ...]
) -> list[Determination]:
    """Return the import declaration of the United States, where plants enter them."""
    plants = [part for part in each if _is_plant(part)]
    if question.movement is None or not plants:
        return []
    entered = [there for _, there in crossings(question.movement.legs, question.date)]
    if STATES not in entered:
        return []
    is_listed = any(part.is_listed for part in plants)
    is_open = any(part.answer == ASK for part in each)
    return [lacey(question, plants[0].form, is_listed=is_listed, is_open=is_open)]


def _is_plant(part: Determination) -> bool:
    name = read_name(part.taxon).name
    return name is not None and name.kind == "plant" and form_for(part.form) is not None


def _borders(case: Case) -> tuple[tuple[str, str], ...]:
    return crossings((case.exporter, *case.movement.legs[1:]), case.day)


def _offices(case: Case) -> str:
    """Return whom to ask: the authorities at both ends."""
    ends = dict.fromkeys((case.exporter, *case.movement.legs[1:]))
    return "; ".join(authority(code) for code in ends)
