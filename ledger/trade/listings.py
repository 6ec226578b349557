"""Which rows of the listing table speak of a taxon on a day, and which are stale.

Each question may be asked of an edition of the law; without one it is the compiled one.
"""

from datetime import date
from functools import cache
from typing import NamedTuple

from ledger.trade.confidence import is_from_memory
from ledger.trade.law import Law, compiled
from ledger.trade.names import read_name
from ledger.trade.tables import (
    Annotation,
    Listing,
    Meeting,
    Name,
    Rule,
    places,
    stands,
)

LONGEST_CHECKED_DAYS = 400
MEXICO = "MX"


def rows_for(name: Name, day: date, law: Law | None = None) -> tuple[Listing, ...]:
    """Return the rows that speak of a taxon on a day: its own, else those of its group.

    A taxon without a row of its own that day stands in its genus, family or order.

    Source: the Appendices, Interpretation: a higher taxon includes all its species.
    """
    law = law or compiled()
    return _standing(name.name, day, law) or _standing(name.group, day, law)


def rows_from(
    name: Name, day: date, origin: str | None, law: Law | None = None
) -> tuple[Listing, ...]:
    """Return the rows for a taxon of an origin, with populations of its whole group.

    A row that lists a species nowhere does not take it out of a listed population.

    Source: the Appendices, Interpretation: a higher taxon includes all its species.
    """
    law = law or compiled()
    rows = rows_for(name, day, law)
    if origin is None or any(row.is_listed for row in rows):
        return rows
    wider = (row for row in _standing(name.group, day, law) if row not in rows)
    return (*rows, *(r for r in wider if r.is_listed and is_of(r.population, origin)))


def lost_row(name: Name, day: date, law: Law | None = None) -> Listing | None:
    """Return a listing that the compiled tables have and a shop's own rows took away.

    It speaks of the taxon, or of its group, on that day, and no row of the edition
    lists then the same population, or a wider one.

    Source: the shop's own caution; a row cut short by the shop, or turned into one of
    no Appendix, frees nothing.
    """
    if law is None or not law.overlay:
        return None
    for taxon in filter(None, (name.name, name.group)):
        now = _standing(taxon, day, law)
        for row in _standing(taxon, day, compiled()):
            if row.is_listed and not any(_lists_as_much(one, row) for one in now):
                return row
    return None


def _lists_as_much(one: Listing, row: Listing) -> bool:
    """Tell whether a row lists the population of another, or a wider one."""
    if not one.is_listed or not row.population:
        return one.is_listed and not one.population
    return not one.population or _countries(row.population) <= _countries(
        one.population
    )


def members(name: Name, law: Law | None = None) -> tuple[Name, ...]:
    """Return the accepted species that the table names within a genus, family or order.

    Source: the group column of the table of names.
    """
    return (law or compiled()).within.get(name.name, ())


def is_of(population: frozenset[str], origin: str) -> bool:
    """Tell whether a country belongs to a population that is named.

    Source: the population column of the listing table.
    """
    return origin in _countries(population)


def may_be_listed(species: str, day: date, law: Law | None = None) -> bool:
    """Tell whether a species stands in an Appendix on a day, or nobody here knows.

    A row of the shop's own that is left out, or that takes a listing away, leaves it
    open.

    Source: the table of listings; a name that is not in it may be a listed one.
    """
    law = law or compiled()
    if law.left_out is not None and may_be_listed(species, day, law.left_out.law):
        return True
    name = read_name(species, law).name
    if name is None:
        return True
    rows = rows_for(name, day, law)
    is_open = not rows or lost_row(name, day, law) is not None
    return is_open or any(row.is_listed for row in rows)


def is_listed(species: str, day: date, law: Law | None = None) -> bool:
    """Tell whether a row lists a species on a day, for some population of it.

    Source: the table of listings.
    """
    name = read_name(species, law or compiled()).name
    return name is not None and any(r.is_listed for r in rows_for(name, day, law))


def annotation_for(
    row: Listing, day: date, law: Law | None = None
) -> Annotation | None:
    """Return the text of a row's annotation that stood on a day.

    Source: the table of annotations; #10 and #15 were rewritten.
    """
    return next(
        (
            text
            for text in (law or compiled()).texts_of.get(row.annotation, ())
            if stands(text.valid_from, text.valid_until, day)
        ),
        None,
    )


def mexico_clause(day: date, law: Law | None = None) -> Annotation | None:
    """Return the clause for Dalbergia grown in Mexico and exported from there.

    Source: annotation #15, point d of the 2017 text, e of the 2019 text.
    """
    return next(
        (
            text
            for text in (law or compiled()).clauses
            if stands(text.valid_from, text.valid_until, day)
        ),
        None,
    )


def is_from(
    population: frozenset[str], origin: str | None, name: Name, law: Law | None = None
) -> bool | None:
    """Tell whether wood is of a population; nothing where its origin leaves that open.

    A country where the taxon is not known to grow leaves it open: it may be that of a
    dealer. One of its plantations is of no wild population.

    Source: the population column of the listing table, the range column of the names.
    """
    if not population:
        return True
    wanted = _countries(population)
    if origin is not None:
        return True if origin in wanted else _is_outside(wanted, origin, name, law)
    if not name.grows_in:
        return None
    grown = _countries(name.grows_in)
    if grown <= wanted:
        return True
    return None if grown & wanted else False


def _is_outside(
    wanted: frozenset[str], origin: str, name: Name, law: Law | None
) -> bool | None:
    """Return False where wood of another origin is surely of no such population."""
    grown = range_of(name, law).countries
    if origin in grown or (grown and not grown & wanted):
        return False
    return None


class Range(NamedTuple):
    """Where a taxon grows: codes and regions as written, and the countries of both."""

    written: frozenset[str]
    countries: frozenset[str]


def range_of(name: Name, law: Law | None = None) -> Range:
    """Return where a taxon grows: its own range, else that of all its species.

    Source: the range column of the table of names.
    """
    written = name.grows_in or frozenset(
        code for each in members(name, law) for code in each.grows_in
    )
    return Range(written, _countries(written))


def is_grown_in(name: Name, code: str) -> bool:
    """Tell whether a taxon is known to grow in a country, wild or planted.

    Source: the range column of the table of names.
    """
    return code in _countries(name.grows_in)


def first_listing(
    name: Name, origin: str | None, law: Law | None = None
) -> date | None:
    """Return the day before which wood is pre-Convention for sure; None if it has none.

    It is that on which the taxon was first put in any Appendix, and not that of the
    present listing; where a population near its own was listed before, that day.

    Source: 50 CFR 23.45(b)(2).
    """
    first = first_row(name, origin, law)
    if first is None:
        return None
    return (earlier_row(name, first, law) or first).valid_from


def first_row(name: Name, origin: str | None, law: Law | None = None) -> Listing | None:
    """Return the row by which a taxon was first put in any Appendix, or nothing.

    Source: 50 CFR 23.45(b)(2).
    """
    known = (law or compiled()).rows_of
    rows = [
        row
        for taxon in dict.fromkeys((name.name, name.group))
        for row in known.get(taxon, ())
        if row.is_listed
        and row.valid_from is not None
        and is_from(row.population, origin, name, law) is not False
    ]
    return min(rows, key=lambda row: row.valid_from or date.max, default=None)


def earlier_row(name: Name, first: Listing, law: Law | None = None) -> Listing | None:
    """Return a listing before the first one of wood's own origin, or None.

    It is of another population within the range of the taxon, as of the State next
    door: whether its day counts is doubtful.

    Source: 50 CFR 23.45(b)(2): the first listing in any Appendix counts.
    """
    found = first_row(name, None, law)
    if found is None or found.valid_from is None or first.valid_from is None:
        return None
    return found if found.valid_from < first.valid_from else None


def is_stale(row: Listing | Annotation, day: date, law: Law | None = None) -> bool:
    """Tell whether a row may have been overtaken by the day of a movement.

    It is stale when it was checked more than 400 days before, or when a later meeting
    of the Parties took effect and no source says that it changed nothing here.

    Source: the shop's own caution; days of effect by Article XV of the Convention.
    """
    return is_long_unchecked(row, day) or overtaken_by(row, day, law) is not None


def doubt_of(rule: Rule, day: date) -> str:
    """Return why nothing is free by a rule on a day; nothing where it may be.

    Source: the shop's own caution.
    """
    if is_from_memory(rule):
        return f"no source was read for the rule {rule.id}"
    if is_long_unchecked(rule, day):
        return f"the rule {rule.id} was last checked on {rule.checked_on}"
    return ""


def is_long_unchecked(row: Listing | Annotation | Rule, day: date) -> bool:
    """Tell whether a row was checked too long before a day.

    Source: the shop's own caution.
    """
    return (day - row.checked_on).days > LONGEST_CHECKED_DAYS


def overtaken_by(
    row: Listing | Annotation, day: date, law: Law | None = None
) -> Meeting | None:
    """Return the meeting that may have changed a row by a day; nothing if none may.

    A meeting that a shop moves counts on its day in the tables too, so that no row is
    less stale by a shop's own.

    Source: days of effect by Article XV of the Convention; the column `unchanged`.
    """
    for meeting in dict.fromkeys((*(law or compiled()).meetings, *compiled().meetings)):
        if row.newest_source < meeting.took_effect <= day and not any(
            mark.startswith(f"{meeting.id}:") for mark in row.unchanged
        ):
            return meeting
    return None


def _standing(taxon: str, day: date, law: Law) -> tuple[Listing, ...]:
    rows = law.rows_of.get(taxon, ()) if taxon else ()
    return tuple(row for row in rows if stands(row.valid_from, row.valid_until, day))


@cache
def _countries(codes: frozenset[str]) -> frozenset[str]:
    """Return the countries of codes and regions."""
    return frozenset(
        place.code
        for place in places().values()
        if place.code in codes or place.region in codes
    )
