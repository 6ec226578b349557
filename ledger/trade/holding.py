"""What is on record of wood, and of the papers that came with it: by name and day."""

from dataclasses import dataclass, field, replace
from datetime import date

from ledger.trade.confidence import is_from_memory
from ledger.trade.consignment import Shown
from ledger.trade.law import Law, compiled
from ledger.trade.listings import (
    annotation_for,
    is_from,
    is_stale,
    lost_row,
    members,
    rows_for,
    rows_from,
)
from ledger.trade.names import read_name
from ledger.trade.paperkinds import OPEN, is_of, which_of_cites
from ledger.trade.tables import Listing, Name, covers, form_for


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper on file, the entry that names it, and the woods read off it, if any.

    One that came after the wood has the entry that `joined` it, and the country of
    harvest that it gives as its `origin`, if any.
    """

    code: str
    paper: str
    number: str = ""
    issued_on: date | None = None
    expires_on: date | None = None
    entry: int
    woods: tuple[str, ...] = ()
    joined: int | None = None
    origin: str | None = None

    @property
    def entries(self) -> tuple[int, ...]:
        """The entry that filed it, and the one that joined it to wood, if any."""
        return (self.entry,) if self.joined is None else (self.entry, self.joined)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What is on record of wood that came in together, or of a batch of shell or bone.

    came_in  the day of its entry, which of old stock may be a guess
    shown    how its origin is shown as a whole
    asked_of  who can still be asked: the sawyer, or whoever had it before
    plots     the paper with the plots it grew on
    named_in  the entry that named the country, or all that it may be, afterwards
    law       the edition of the tables that it is judged by
    """

    code: str
    species: str
    form: str
    origin: str | None
    may_be_from: tuple[str, ...] = ()
    named_in: int | None = None
    came_in: date
    shown: Shown
    entry: int
    asked_of: str
    papers: tuple[Paper, ...] = ()
    plots: Paper | None = None
    law: Law = field(default_factory=compiled, repr=False)

    @property
    def acquired(self) -> date | None:
        """The day it was acquired; None where nothing shows any."""
        return None if self.shown == "none" else self.came_in


def is_listed(held: Holding, day: date) -> bool | None:
    """Tell whether wood like this stands in an Appendix on a day; None where unsure.

    Its form is looked at as the annotation of that day has it. A row that may have
    been overtaken by that day, or that nobody checked, says nothing for sure, nor does
    the table where a row of the shop's own was left out that says otherwise.

    Source: the tables of listings and annotations.
    """
    found, left = _is_listed(held, day), held.law.left_out
    if found is not False or left is None:
        return found
    return False if _is_listed(replace(held, law=left.law), day) is False else None


def _is_listed(held: Holding, day: date) -> bool | None:
    """Tell it as of each country that wood may be of, and of none; None if apart."""
    found = {_is_listed_of(held, day)} | {
        _is_listed_of(replace(held, origin=code), day)
        for code in (held.may_be_from if held.origin is None else ())
    }
    return found.pop() if len(found) == 1 else None


def _is_listed_of(held: Holding, day: date) -> bool | None:
    name = read_name(held.species, held.law).name
    rows = rows_from(name, day, held.origin, held.law) if name else ()
    if name is None or not rows:
        return None
    found = [_covers(row, name, held, day) for row in rows]
    if True in found:
        return True
    if None in found:
        return None
    if lost_row(name, day, held.law) is not None:
        return None
    # Of a genus alone, one of its species may have been listed before the rest.
    one_is = any(
        row.is_listed
        for each in members(name, held.law)
        for row in rows_for(each, day, held.law)
    )
    return None if one_is else False


def is_permit(paper: Paper) -> bool:
    """Tell whether a paper is a permit or certificate of CITES.

    It is called so, or was read line by line as what it permits; an invoice is none,
    nor is a paper about another, such as a refusal.

    Source: Articles III to VII of the Convention; names by the list of paperkinds.
    """
    if is_of(paper.paper, "CITES"):
        return True
    is_another = is_proof_of_purchase(paper) or is_of(paper.paper, "about")
    return bool(paper.woods) and not is_another


def is_left_open(paper: Paper) -> bool:
    """Tell whether somebody has to look which permit, or whether one, a paper is.

    One that was read line by line was looked at.

    Source: names by the list of paperkinds.
    """
    return not paper.woods and which_of_cites(paper.paper) is OPEN


def is_proof_of_purchase(paper: Paper) -> bool:
    """Tell whether a paper, by what it is called, shows that wood was bought.

    Source: common practice, no source.
    """
    return is_of(paper.paper, "purchase")


def names_wood(paper: Paper, species: str) -> bool:
    """Tell whether a paper that was read names a species, or its whole genus.

    Source: the paper's own lines; "spp." is common practice.
    """
    own = species.split()
    return any(
        asked.split()[:2] == own[:2] or asked.split() in (own[:1], [own[0], "spp."])
        for asked in paper.woods
    )


def _covers(row: Listing, name: Name, held: Holding, day: date) -> bool | None:
    """Tell whether a row puts wood of this origin and form in an Appendix."""
    is_unsure = is_stale(row, day, held.law) or is_from_memory(row)
    if not row.is_listed:
        return None if is_unsure else False
    is_of_it = is_from(row.population, held.origin, name, held.law)
    text, form = annotation_for(row, day, held.law), form_for(held.form)
    how = "silent" if text is None or form is None else covers(text, form)
    if is_of_it is False:
        return False
    if how == "outside":
        return None if is_unsure else False
    # Where purpose or mass decides, as under 10 kg, it is asked for all the same.
    is_in = how in ("covered", "depends") and not is_from_memory(row)
    return True if is_of_it and is_in else None
