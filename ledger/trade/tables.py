"""The tables of the law, read from the files beside this module."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache

from ledger.trade.reading import raw_rows, read_row, read_table

ANIMAL_FORMS = frozenset({"inlay", "part", "finished", "raw", "skin", "shell"})
FINISHED_FOR_MUSIC = frozenset(
    {
        "finished_instruments",
        "finished_instrument_parts",
        "finished_instrument_accessories",
    }
)
# What a workshop says, and what the tables call it: common practice, no source.
_SPOKEN = {
    "log": "logs",
    "bolt": "logs",
    "billet": "logs",
    "split_billet": "logs",
    "sawn": "sawn_wood",
    "board": "sawn_wood",
    "boards": "sawn_wood",
    "plank": "sawn_wood",
    "flitch": "sawn_wood",
    "cant": "sawn_wood",
    "veneer": "veneer_sheets",
    "chips": "wood_chips",
    "transformed_wood": "transformed_wood_4409",
    "unfinished_shaped_part": "unfinished_shaped_parts",
    "finished_instrument": "finished_instruments",
    "finished_musical_instrument": "finished_instruments",
    "finished_musical_instruments": "finished_instruments",
    "finished_part": "finished_instrument_parts",
    "finished_parts": "finished_instrument_parts",
    "finished_instrument_part": "finished_instrument_parts",
    "finished_accessory": "finished_instrument_accessories",
    "finished_accessories": "finished_instrument_accessories",
    "finished_instrument_accessory": "finished_instrument_accessories",
    "other_finished_product": "other_finished_products",
}
# The term of an annotation that a form stands under.
_TERMS = {
    "sawn_wood": "sawn wood",
    "veneer_sheets": "veneer sheets",
    "transformed_wood_4409": "transformed wood",
    "finished_instruments": "finished musical instrument",
    "finished_instrument_parts": "finished musical instrument part",
    "finished_instrument_accessories": "finished musical instrument accessory",
    "unfinished_shaped_parts": "finished musical instrument part",
    "other_finished_products": "ten kilograms in a shipment",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A taxon, or its population, stood in an Appendix for a time, or in none."""

    id: str
    taxon: str
    rank: str
    population: frozenset[str]  # country codes and regions; empty means everywhere
    appendix: str  # I, II, III or none
    annotation: str
    valid_from: date | None
    valid_until: date | None
    eu_annex: str
    eu_from: date | None
    eu_until: date | None
    listed_by: frozenset[str]
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date
    unchanged: frozenset[str]  # meeting:source, where a source shows no change
    note: str
    own: str = ""  # of the shop's overlay: who adopted it and when

    @property
    def is_listed(self) -> bool:
        """Tell whether the row puts the taxon in an Appendix."""
        return self.appendix != "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Annotation:
    """One text of an annotation, and which forms of wood it covers."""

    id: str
    label: str
    valid_from: date | None
    valid_until: date | None
    eu_from: date | None
    eu_until: date | None
    meaning: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date
    unchanged: frozenset[str]
    own: str = ""
    # How it takes each form of wood: covered, outside, depends or silent.
    forms: Mapping[str, str] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule beside the listings, with the days on which it stands."""

    id: str
    law: str
    valid_from: date | None
    valid_until: date | None
    text: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A scientific name: an accepted one, or a synonym of an accepted one."""

    name: str
    accepted: str
    group: str
    kind: str
    grows_in: frozenset[str]
    trade_names: tuple[str, ...]
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeName:
    """A name of the trade, and the taxa it may mean."""

    trade_name: str
    may_mean: tuple[str, ...]
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A country, its region, and when it belonged to the Union."""

    code: str
    name: str
    region: str
    eu_from: date | None
    eu_until: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A meeting of the Parties, and the day its changes took effect."""

    id: str
    took_effect: date
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A kind of document, and who gives it."""

    name: str
    issuer: str
    used_for: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Definition:
    """What a term of an annotation means."""

    term: str
    meaning: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A text that was read."""

    id: str
    title: str
    issuer: str
    date: str
    kind: str


@cache
def listings() -> tuple[Listing, ...]:
    """Return every row of the listing table.

    Source: each row names its own.
    """
    return read_table(Listing, "listings")


@cache
def annotations() -> tuple[Annotation, ...]:
    """Return every text of every annotation.

    Source: each row names its own.
    """
    return tuple(annotation_from(row) for row in raw_rows("annotations"))


def annotation_from(row: Mapping[str, str]) -> Annotation:
    """Return the text of an annotation as it stands in a row, with the forms it takes.

    A shop's own row may be older than a form of the table, and is silent about it.

    Source: the row itself.
    """
    forms = {form: row.get(form, "silent") for form in wood_forms()}
    return replace(read_row(Annotation, row), forms=forms)


@cache
def rules() -> dict[str, Rule]:
    """Return the rules beside the listings, by id.

    Source: each row names its own.
    """
    return {row.id: row for row in read_table(Rule, "rules")}


@cache
def names() -> dict[str, Name]:
    """Return every scientific name of the table, synonyms too.

    Source: each row names its own.
    """
    return {row.name: row for row in read_table(Name, "names")}


@cache
def trade_names() -> dict[str, TradeName]:
    """Return the names of the trade, in small letters.

    Source: each row names its own.
    """
    return {row.trade_name: row for row in read_table(TradeName, "trade_names")}


@cache
def places() -> dict[str, Place]:
    """Return every country by its two letters.

    Source: ISO 3166-1; membership of the Union by the treaties of accession.
    """
    return {row.code: row for row in read_table(Place, "places")}


@cache
def meetings() -> tuple[Meeting, ...]:
    """Return the meetings of the Parties that may have changed a row.

    Source: Article XV of the Convention: changes take effect after 90 days.
    """
    return read_table(Meeting, "meetings")


@cache
def papers() -> dict[str, Paper]:
    """Return the kinds of documents, by name.

    Source: each row names its own.
    """
    return {row.name: row for row in read_table(Paper, "documents")}


@cache
def definitions() -> dict[str, Definition]:
    """Return what the terms of the annotations mean, by term.

    Source: each row names its own.
    """
    return {row.term: row for row in read_table(Definition, "definitions")}


def meaning_of(form: str) -> str:
    """Return what a form means by its annotation; nothing where no text was read.

    Source: the table of definitions.
    """
    term = _TERMS.get(form)
    return f"{term}: {definitions()[term].meaning}" if term else ""


@cache
def sources() -> dict[str, Source]:
    """Return every text the rows rest on, by its mark.

    Source: the table of sources itself.
    """
    return {row.id: row for row in read_table(Source, "sources")}


@cache
def wood_forms() -> tuple[str, ...]:
    """Return the forms of wood that annotations speak of.

    Source: annotations #1 to #17 of the CITES Appendices.
    """
    head = list(raw_rows("annotations")[0])
    return tuple(head[head.index("logs") : head.index("meaning")])


def form_for(text: str) -> str | None:
    """Return the form that a word means, or nothing where it is unknown.

    Source: annotations #1 to #17 of the CITES Appendices.
    """
    word = "_".join(text.casefold().replace("-", " ").replace("_", " ").split())
    word = _SPOKEN.get(word, word)
    return word if word in wood_forms() or word in ANIMAL_FORMS else None


def covers(annotation: Annotation, form: str) -> str:
    """Tell how an annotation takes a form: covered, outside, depends or silent.

    A form of shell, bone or skin is covered by a listing without annotation, and by
    no annotation of plants.

    Source: the table of annotations.
    """
    if form in wood_forms():
        return annotation.forms[form]
    return "covered" if annotation.id == "none" else "silent"


def source_words(marks: tuple[str, ...]) -> str:
    """Return the titles of sources, each with its mark; others in their own words.

    A row of a shop's own may rest on what the table of sources lacks.

    Source: the table of sources.
    """
    known = sources()
    return "; ".join(
        f"{known[mark].title} [{mark}]" if mark in known else mark for mark in marks
    )


@cache
def table_date() -> date:
    """Return the day on which the listing table was last checked.

    Source: the newest `checked_on` of the listing rows.
    """
    return max(row.checked_on for row in listings())


def stands(first: date | None, last: date | None, day: date) -> bool:
    """Tell whether a row with these first and last days stands on a day.

    Source: the dates of the row; an empty one is open.
    """
    return (first is None or first <= day) and (last is None or day <= last)
