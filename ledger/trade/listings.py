"""Which rows of the listing table speak of a taxon on a day, and which are stale."""

from datetime import date

from ledger.trade.names import read_name
from ledger.trade.tables import (
    Annotation,
    Listing,
    Name,
    annotations,
    listings,
    meetings,
    names,
    places,
    stands,
)

LONGEST_CHECKED_DAYS = 400
MEXICO = "MX"


def rows_for(name: Name, day: date) -> tuple[Listing, ...]:
    """Return the rows that speak of a taxon on a day: its own, else those of its group.

    A taxon without a row of its own that day stands in its genus, family or order.

    Source: the Appendices, Interpretation: a higher taxon includes all its species.
    """
    own = _standing(name.name, day)
    return own or _standing(name.group, day)


def rows_from(name: Name, day: date, origin: str | None) -> tuple[Listing, ...]:
    """Return the rows for a taxon of an origin, with populations of its whole group.

    A row that lists a species nowhere does not take it out of a listed population.

    Source: the Appendices, Interpretation: a higher taxon includes all its species.
    """
    rows = rows_for(name, day)
    if origin is None or any(row.is_listed for row in rows):
        return rows
    wider = (row for row in _standing(name.group, day) if row not in rows)
    return (*rows, *(r for r in wider if r.is_listed and is_of(r.population, origin)))


def members(name: Name) -> tuple[Name, ...]:
    """Return the accepted species that the table names within a genus, family or order.

    Source: the group column of the table of names.
    """
    return tuple(row for row in names().values() if row.group == name.name)


def is_of(population: frozenset[str], origin: str) -> bool:
    """Tell whether a country belongs to a population that is named.

    Source: the population column of the listing table.
    """
    return origin in _countries(population)


def may_be_listed(species: str, day: date) -> bool:
    """Tell whether a species stands in an Appendix on a day, or nobody here knows.

    Source: the table of listings; a name that is not in it may be a listed one.
    """
    name = read_name(species).name
    if name is None:
        return True
    rows = rows_for(name, day)
    return not rows or any(row.is_listed for row in rows)


def annotation_for(row: Listing, day: date) -> Annotation | None:
    """Return the text of a row's annotation that stood on a day.

    Source: the table of annotations; #10 and #15 were rewritten.
    """
    return next(
        (
            text
            for text in annotations()
            if text.id.rpartition("-")[2] != "mexico"
            and row.annotation in (text.id, text.id.rpartition("-")[0])
            and stands(text.valid_from, text.valid_until, day)
        ),
        None,
    )


def mexico_clause(day: date) -> Annotation | None:
    """Return the clause for Dalbergia grown in Mexico and exported from there.

    Source: annotation #15, point d of the 2017 text, e of the 2019 text.
    """
    return next(
        (
            text
            for text in annotations()
            if text.id == "15-mexico" and stands(text.valid_from, None, day)
        ),
        None,
    )


def is_from(population: frozenset[str], origin: str | None, name: Name) -> bool | None:
    """Tell whether wood is of a population; nothing where its origin leaves that open.

    Source: the population column of the listing table, the range column of the names.
    """
    if not population:
        return True
    wanted = _countries(population)
    if origin is not None:
        return origin in wanted
    if not name.grows_in:
        return None
    grown = _countries(name.grows_in)
    if grown <= wanted:
        return True
    return None if grown & wanted else False


def is_grown_in(name: Name, code: str) -> bool:
    """Tell whether a taxon is known to grow in a country, wild or planted.

    Source: the range column of the table of names.
    """
    return code in _countries(name.grows_in)


def first_listing(name: Name, origin: str | None) -> date | None:
    """Return the day a taxon was first put in any Appendix; nothing if it never was.

    This day, and not that of the present listing, decides what is pre-Convention.

    Source: 50 CFR 23.45(b)(2).
    """
    days = [
        row.valid_from
        for row in listings()
        if row.is_listed
        and row.taxon in (name.name, name.group)
        and row.valid_from is not None
        and is_from(row.population, origin, name) is not False
    ]
    return min(days, default=None)


def is_stale(row: Listing | Annotation, day: date) -> bool:
    """Tell whether a row may have been overtaken by the day of a movement.

    It is stale when it was checked more than 400 days before, or when a later meeting
    of the Parties took effect and no source says that it changed nothing here.

    Source: the shop's own caution; days of effect by Article XV of the Convention.
    """
    if (day - row.checked_on).days > LONGEST_CHECKED_DAYS:
        return True
    said = {mark.partition(":")[0] for mark in row.unchanged}
    return any(
        row.newest_source < meeting.took_effect <= day and meeting.id not in said
        for meeting in meetings()
    )


def _standing(taxon: str, day: date) -> tuple[Listing, ...]:
    return tuple(
        row
        for row in listings()
        if taxon and row.taxon == taxon and stands(row.valid_from, row.valid_until, day)
    )


def _countries(codes: frozenset[str]) -> frozenset[str]:
    """Return the countries of codes and regions."""
    return frozenset(
        place.code
        for place in places().values()
        if place.code in codes or place.region in codes
    )
