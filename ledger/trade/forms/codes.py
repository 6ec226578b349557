"""Letters and numbers that forms ask for: source, purpose, terms, tariffs, ports."""

from dataclasses import dataclass
from datetime import date
from functools import cache

from ledger.trade.movement import Purpose
from ledger.trade.reading import read_table
from ledger.trade.tables import ANIMAL_FORMS, FINISHED_FOR_MUSIC, form_for

# Which purpose of ours is which letter; every other one is for the authority to say.
# Common practice, no source.
_LETTERS: dict[Purpose, str] = {"sale": "T", "personal": "P"}
# The term for each form of wood. What is shaped and not finished has none of its own.
_TERMS = {
    "logs": "LOG",
    "sawn_wood": "SAW",
    "veneer_sheets": "VEN",
    "plywood": "PLY",
    "transformed_wood_4409": "TRW",
    "wood_chips": "CHP",
    "powder": "POW",
    "extracts": "EXT",
    "other_finished_products": "WPR",
    **dict.fromkeys(FINISHED_FOR_MUSIC, "WPR"),
}
_ANIMAL_TERMS = {"shell": "SHE", "skin": "SKI"}
# The beginning of the tariff number for each form.
_HEADINGS = {
    "finished_instruments": ("9202", "9207"),
    "finished_instrument_parts": ("9209",),
    "finished_instrument_accessories": ("9209",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A letter for where a specimen comes from, or what it moves for."""

    kind: str  # source or purpose
    code: str
    meaning: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """Three letters for what a specimen is, and the unit it is counted in."""

    code: str
    term: str
    unit: str
    other_units: frozenset[str]
    note: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class TariffNumber:
    """A number of a tariff, in our own words."""

    code: str
    tariff: str  # HS 2022, or HTSUS for ten digits
    what: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """A port of the United States that is designated for listed plants."""

    port: str
    state: str
    for_what: str
    note: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Designation:
    """A pair of words that stands in the cells of genus and species."""

    genus_cell: str
    species_cell: str
    when: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit that the declaration of the United States may be given in."""

    unit: str
    meaning: str
    is_metric: str  # yes or no
    sources: tuple[str, ...]
    confidence: str
    checked_on: date


@cache
def codes(kind: str) -> dict[str, Code]:
    """Return the letters for the source or for the purpose.

    Source: each row names its own.
    """
    rows = read_table(Code, "cites_codes")
    return {row.code: row for row in rows if row.kind == kind}


@cache
def terms() -> dict[str, Term]:
    """Return the terms of three letters.

    Source: each row names its own.
    """
    return {row.code: row for row in read_table(Term, "cites_terms")}


@cache
def tariff_numbers() -> dict[str, TariffNumber]:
    """Return the tariff numbers that a shop of stringed instruments meets.

    Source: each row names its own.
    """
    return {row.code: row for row in read_table(TariffNumber, "hs_codes")}


@cache
def ports() -> tuple[Port, ...]:
    """Return the designated ports for plants.

    Source: each row names its own.
    """
    return read_table(Port, "us_ports")


@cache
def designations() -> tuple[Designation, ...]:
    """Return the special designations.

    Source: each row names its own.
    """
    return read_table(Designation, "special_designations")


@cache
def lacey_units() -> dict[str, Unit]:
    """Return the units of the declaration.

    Source: each row names its own.
    """
    return {row.unit: row for row in read_table(Unit, "lacey_units")}


def purpose_letter(purpose: Purpose | None) -> Code | None:
    """Return the letter of a purpose, or nothing where the authority must say.

    Source: the table of codes.
    """
    letter = _LETTERS.get(purpose) if purpose else None
    return codes("purpose")[letter] if letter else None


def term_of(form: str, kind: str) -> Term | None:
    """Return the term of a form, or nothing where none can be told.

    No term means an instrument: finished ones go as products of wood, the term of the
    newest guide, and an older guide called them carvings.

    Source: the table of terms.
    """
    known = form_for(form) or form
    wanted = _ANIMAL_TERMS if kind == "animal" or known in ANIMAL_FORMS else _TERMS
    return terms()[wanted[known]] if known in wanted else None


def designation_of(taxon: str) -> Designation | None:
    """Return the special designation that stands in place of a name.

    Source: the table of special designations.
    """
    words = taxon.upper().split()
    pairs = {(row.genus_cell, row.species_cell): row for row in designations()}
    return pairs.get((words[0], words[1])) if len(words) == 2 else None


def tariff_offers(form: str, begun: str = "") -> tuple[TariffNumber, ...]:
    """Return the ten-digit numbers that may be meant, by form or by first digits.

    Source: the table of tariff numbers.
    """
    starts = (begun,) if begun else _HEADINGS.get(form_for(form) or form, ())
    return tuple(
        row
        for row in tariff_numbers().values()
        if row.tariff == "HTSUS" and starts and row.code.startswith(starts)
    )


def ports_for(form: str, country: str) -> tuple[Port, ...]:
    """Return the ports through which listed plants of a form come from a country.

    A port that was only proposed when it was read is left out.

    Source: 50 CFR 24.12.
    """
    wanted = {"any listed plant"}
    if country == "CA":
        wanted.add("from or to Canada")
    if form_for(form) in ("logs", "sawn_wood"):
        wanted.add("logs and lumber")
    return tuple(row for row in ports() if row.for_what in wanted and not row.note)
