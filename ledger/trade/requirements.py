"""What must be shown of wood, what shows it, and what to ask for while there is time.

Each requirement is met by a paper, by the shop's own book, by somebody's word, or by
nothing. What is missing is said in one sentence: until when, and what to do.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from ledger.scales import in_a_row
from ledger.trade.consignment import Shown
from ledger.trade.holding import (
    Holding,
    Paper,
    is_left_open,
    is_listed,
    is_permit,
    is_proof_of_purchase,
    names_wood,
)
from ledger.trade.listings import first_listing, members
from ledger.trade.movement import one_of_places, place_words
from ledger.trade.names import read_name
from ledger.trade.origins import odd_origins
from ledger.trade.paperkinds import is_of, kinds_of
from ledger.trade.tables import Name

Kind = Literal["permit", "purchase", "country", "acquired", "species", "plots"]
FEDERAL_RULE = "50 CFR 23.45(b)(2)"
# What to do with a paper once it is there.
JOIN = "and join it with flitchbook document add"


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """One thing to be shown: by what it is, in which paper and entry, what is missing.

    is_asked  whether it must be shown at all; where it need not, nothing is missing
    """

    kind: Kind
    is_asked: bool
    level: Shown
    paper: str = ""
    entry: int | None = None
    said: str
    missing: str = ""


def requirements(
    held: Holding,
    *,
    today: date,
    until: str = "before it is sold",
    enters_union: bool = False,
) -> tuple[Requirement, ...]:
    """Return what must be shown of wood, and how much of it is.

    until         the words that a missing thing is told to be got by
    enters_union  whether it will enter the Union as wood

    Source: Convention Articles III to V and VII; 50 CFR 23.45(b)(2); Regulation (EU)
    2023/1115, article 9; each through the tables beside this module.
    """
    each: tuple[Callable[[Holding, date], Requirement], ...] = (
        _permit,
        _purchase,
        _country,
        _acquired,
        _species,
    )
    found = [ask(held, today) for ask in each]
    found.append(_plots(held, enters_union=enters_union))
    return tuple(_by(one, until) for one in found)


def _permit(held: Holding, today: date) -> Requirement:
    """Return the permit or certificate that listed wood came in under."""
    kind: Kind = "permit"
    if read_name(held.species, held.law).name is None:
        said = f"whether {held.species} is listed cannot be told from the table"
        todo = "have the wood identified, for its name decides whether it has a permit"
        return _nothing(kind, said, todo)
    then = is_listed(held, held.acquired or today)
    found = [paper for paper in held.papers if is_permit(paper)]
    if then is False:
        return _no_permit(held, found, today)
    good = [paper for paper in found if _fault(paper, held) is None]
    good.sort(key=is_left_open)
    if good and is_left_open(good[0]):
        return _nothing(
            kind,
            f"{_words(good[0])}, whose name on file does not say which permit it is",
            f"look which one {good[0].code} is, file it again under that name, {JOIN}",
        )
    if good:
        unread = "" if good[0].woods else "; what it is for was not read off it"
        return _shown(kind, good[0], f"{_words(good[0])}{unread}")
    if found:
        said = f"{_words(found[0])} {_fault(found[0], held)}"
        todo = f"ask {held.asked_of} for the permit of this {held.species}, {JOIN}"
        return _nothing(kind, said, todo)
    day = f"on {held.acquired}" if held.acquired else "on the day it came in, not shown"
    if then is None:
        return _nothing(
            kind,
            f"whether {held.species}, {held.form}, was listed {day}, has to be asked",
            f"ask the Management Authority, and {held.asked_of} for its permit, {JOIN}",
        )
    return _nothing(
        kind,
        f"{held.species} was listed {day}",
        f"ask {held.asked_of} for a copy of the permit or certificate that "
        f"{held.species} came in under, {JOIN}",
    )


def _no_permit(held: Holding, found: Sequence[Paper], today: date) -> Requirement:
    """Say that nothing was asked for when wood came in, and what is on file anyhow."""
    now = is_listed(held, today)
    said = f"no listing of {held.species} found for {held.acquired or today}"
    if now:
        said += "; it is listed today, so that the day it was acquired counts"
    elif now is None:
        said += "; whether it is listed today has to be asked"
    if found:
        paper = found[0]
        return Requirement(
            kind="permit",
            is_asked=False,
            level="document",
            paper=paper.code,
            entry=paper.entry,
            said=f"{said}; on file all the same: {_words(paper)}",
        )
    return Requirement(kind="permit", is_asked=False, level="none", said=said)


def _purchase(held: Holding, today: date) -> Requirement:
    """Return the invoice, or other proof that wood was bought."""
    for paper in held.papers:
        if is_proof_of_purchase(paper):
            return _shown("purchase", paper, _words(paper))
    unsure = [p.code for p in held.papers if is_of(p.paper, "left open")]
    others = ", ".join(paper.code for paper in held.papers)
    look = f"look whether {in_a_row(unsure)} is one, or " if unsure else ""
    on_file = f"no invoice on file, only {others}" if others else "no paper on file"
    return Requirement(
        kind="purchase",
        is_asked=True,
        level=_without_paper(held.shown),
        entry=held.entry,
        said=f"{on_file}; {_own_words(held)}",
        missing=f"{look}ask {held.asked_of} for the invoice, or another proof of "
        f"purchase, {JOIN}",
    )


def _country(held: Holding, today: date) -> Requirement:
    """Return what shows in which country wood was harvested."""
    if held.origin is None:
        return _unknown_country(held)
    said = f"harvested in {place_words(held.origin)}"
    odd = odd_origins(held.species, [held.origin], held.law)
    said = f"{said}; {odd}" if odd else said
    for giving in held.papers:
        if giving.origin == held.origin:
            return _shown("country", giving, f"{said}, by {_words(giving)}")
    paper = _best(held)
    if held.shown == "document" and paper is not None:
        return _shown("country", paper, f"{said}, with {_words(paper)}")
    is_due = held.shown in ("none", "witness") or is_listed(held, today) is not False
    todo = f"ask {held.asked_of} for a paper that names the country of harvest, {JOIN}"
    return Requirement(
        kind="country",
        is_asked=True,
        level=_without_paper(held.shown),
        entry=held.named_in or held.entry,
        said=f"{said}; {_own_words(held)}",
        missing=todo if is_due else "",
    )


def _unknown_country(held: Holding) -> Requirement:
    """Return that nobody knows the country, and which ones it may be."""
    said = "nobody said from which country it is"
    if held.may_be_from:
        said = f"of {one_of_places(held.may_be_from)}, and nobody knows which"
    return Requirement(
        kind="country",
        is_asked=True,
        level="none",
        entry=held.named_in,
        said=said,
        missing=f"ask {held.asked_of} in writing for the country of harvest, and "
        f"record the answer with flitchbook lot harvest {held.code}",
    )


def _acquired(held: Holding, today: date) -> Requirement:
    """Return the day wood was acquired, and whether that was before any listing."""
    name = read_name(held.species, held.law).name
    first = _first(name, held) if name else None
    if held.acquired is None:
        return _acquired_by(held, first)
    is_old = first is not None and held.acquired < first
    said = f"acquired {held.acquired}{_against(held, first, is_known=name is not None)}"
    dated = [
        paper for paper in held.papers if _is_dated(paper, first if is_old else None)
    ]
    if held.shown == "document" and dated:
        paper = min(dated, key=lambda each: (each.issued_on or date.max, each.code))
        return _shown("acquired", paper, f"{said}, with {_words(paper)}")
    todo = f"ask {held.asked_of} for a paper dated"
    todo += f" before {first}, {JOIN}" if is_old else f", as the invoice is, {JOIN}"
    return Requirement(
        kind="acquired",
        is_asked=True,
        level=_without_paper(held.shown),
        entry=held.entry,
        said=f"{said}; {_own_words(held)}",
        missing=todo if is_old or held.shown == "witness" else "",
    )


def _acquired_by(held: Holding, first: date | None) -> Requirement:
    """Return the first dated paper of wood of which nobody said a day."""
    dated = [paper for paper in held.papers if paper.issued_on and paper.joined]
    if dated:
        paper = min(dated, key=lambda each: (each.issued_on or date.max, each.code))
        said = f"acquired by {paper.issued_on}"
        if first is not None and paper.issued_on and paper.issued_on < first:
            said += f", before the first listing on {first} ({FEDERAL_RULE})"
        return _shown("acquired", paper, f"{said}, with {_words(paper)}")
    return _nothing(
        "acquired",
        f"nothing shows the day; it was entered as of {held.came_in}",
        f"ask {held.asked_of} for any dated paper: invoice, letter, photograph, {JOIN}",
    )


def _first(name: Name, held: Holding) -> date | None:
    """Return the first listing of a taxon, of any species and country it may be of."""
    places = (held.origin, *(held.may_be_from if held.origin is None else ()))
    days = (
        first_listing(each, place, held.law)
        for each in (name, *members(name, held.law))
        for place in places
    )
    return min(filter(None, days), default=None)


def _against(held: Holding, first: date | None, *, is_known: bool) -> str:
    """Say how a day stands to the first listing."""
    if not is_known:
        return f"; when {held.species} was first listed cannot be told"
    if first is None:
        return "; no listing found in the table"
    if held.acquired is not None and held.acquired < first:
        return f", before the first listing on {first} ({FEDERAL_RULE})"
    return f", not before the first listing on {first} ({FEDERAL_RULE})"


def _species(held: Holding, today: date) -> Requirement:
    """Return what shows the scientific name."""
    reading = read_name(held.species, held.law)
    if held.species.casefold() == "unknown" or held.species.endswith("spp."):
        return _nothing(
            "species",
            f"the record says {held.species}, which is no species",
            f"ask {held.asked_of} for genus and species, or have the wood identified",
        )
    for paper in held.papers:
        if names_wood(paper, held.species):
            return _shown("species", paper, f"{held.species}, read off {_words(paper)}")
    doubt = "" if reading.name is not None else ", a name that is not in the table"
    is_sure = reading.name is not None and held.shown not in ("none", "witness")
    return Requirement(
        kind="species",
        is_asked=True,
        level=_without_paper(held.shown),
        entry=held.entry,
        said=f"{held.species}{doubt}; {_own_words(held)}",
        missing=""
        if is_sure
        else f"ask {held.asked_of} for a paper with the scientific name, {JOIN}",
    )


def _plots(held: Holding, *, enters_union: bool) -> Requirement:
    """Return the plots that wood for the Union was harvested on."""
    begins = held.law.rules["eudr"].valid_from or date.max
    if held.plots is not None:
        return _shown("plots", held.plots, _words(held.plots))
    name = read_name(held.species, held.law).name
    if name is not None and name.kind == "animal":
        said = "no wood: the deforestation rules of the Union do not ask for plots"
        return Requirement(kind="plots", is_asked=False, level="none", said=said)
    said = (
        f"no plots on file; they are asked of wood that enters the Union from {begins}"
    )
    if held.came_in < begins and not enters_union:
        return Requirement(kind="plots", is_asked=False, level="none", said=said)
    todo = (
        f"ask {held.asked_of} for the plots it grew on and the first and last day of "
        f"the harvest, and file them with flitchbook lot plots"
    )
    where = "" if enters_union else "where it enters the Union as wood, "
    return _nothing("plots", said, f"{where}{todo}")


def _best(held: Holding) -> Paper | None:
    """Return the paper that says most: a permit, an invoice, any other."""
    tests: tuple[Callable[[Paper], bool], ...] = (is_permit, is_proof_of_purchase)
    for test in tests:
        for paper in held.papers:
            if test(paper):
                return paper
    return held.papers[0] if held.papers else None


def _fault(paper: Paper, held: Holding) -> str | None:
    """Say why a permit on file is none for this wood, if it is not."""
    if paper.woods and not names_wood(paper, held.species):
        return f"was issued for {', '.join(paper.woods)}"
    if paper.expires_on and paper.expires_on < held.came_in:
        return f"ended on {paper.expires_on}, before {held.came_in}"
    # What wood crosses a border with comes before it; what certifies old wood, after.
    is_for_a_border = any(kind.is_for_a_border for kind in kinds_of(paper.paper))
    if is_for_a_border and paper.issued_on and paper.issued_on > held.came_in:
        return f"was issued after {held.came_in}, when it came in"
    return None


def _is_dated(paper: Paper, before: date | None) -> bool:
    if before is None:
        return True
    return paper.issued_on is not None and paper.issued_on < before


def _shown(kind: Kind, paper: Paper, said: str) -> Requirement:
    return Requirement(
        kind=kind,
        is_asked=True,
        level="document",
        paper=paper.code,
        entry=paper.entries[-1],
        said=said,
    )


def _nothing(kind: Kind, said: str, todo: str) -> Requirement:
    return Requirement(kind=kind, is_asked=True, level="none", said=said, missing=todo)


def _by(each: Requirement, until: str) -> Requirement:
    """Return a requirement whose missing thing says until when."""
    if not each.missing:
        return each
    return Requirement(
        kind=each.kind,
        is_asked=each.is_asked,
        level=each.level,
        paper=each.paper,
        entry=each.entry,
        said=each.said,
        missing=f"{until}: {each.missing}",
    )


def _without_paper(shown: Shown) -> Shown:
    """Return how a thing is shown that the lot's papers do not speak of."""
    return "diary" if shown == "document" else shown


def _own_words(held: Holding) -> str:
    """Say what stands in for a paper."""
    word = {
        "document": "the shop's own entry",
        "diary": "the shop's own entry",
        "witness": "somebody's word",
        "none": "old stock, nothing shows it",
    }
    return word[held.shown]


def _words(paper: Paper) -> str:
    number = f" {paper.number}" if paper.number else ""
    issued = f" of {paper.issued_on}" if paper.issued_on else ""
    return f"{paper.code} ({paper.paper}{number}{issued})"


def missing_of(asked: Sequence[Requirement]) -> Iterator[Requirement]:
    """Yield what is missing of all that must be shown.

    Source: the requirements themselves.
    """
    yield from (each for each in asked if each.is_asked and each.missing)
