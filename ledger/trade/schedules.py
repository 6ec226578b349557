"""Small tables beside the listings: limits, chapters of forms, phases of a declaration.

A rule stands by its own row and dates; what is here says what it counts and where.
"""

from dataclasses import dataclass
from datetime import date
from functools import cache

from ledger.trade.reading import read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """An amount up to which something is free, in milligrams or parts per million."""

    id: str
    amount: int
    unit: str  # mg or ppm
    rows: frozenset[str]  # the texts or rules that set it
    meaning: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading of the tariff of the United States, and the rule it came under."""

    heading: str  # digits; the longest beginning that fits counts
    meaning: str
    rule: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form of wood: the chapter it is mostly entered under, empty where that varies.

    lacey_rule  the declaration's rule for it where no heading is stated
    """

    form: str
    chapter: str
    lacey_rule: str
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleTaxon:
    """A taxon that a rule speaks of by name, or leaves open."""

    rule: str
    taxon: str
    role: str  # speaks of, or leaves open
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None


@cache
def limits() -> dict[str, Limit]:
    """Return the limits that rules count by, by id.

    Source: each row names its own.
    """
    return {row.id: row for row in read_table(Limit, "limits")}


@cache
def lacey_headings() -> dict[str, Heading]:
    """Return the headings whose phase of enforcement is known, by their digits.

    Source: each row names its own.
    """
    return {row.heading: row for row in read_table(Heading, "lacey_headings")}


@cache
def rule_taxa() -> tuple[RuleTaxon, ...]:
    """Return the taxa that rules name.

    Source: each row names its own.
    """
    return read_table(RuleTaxon, "rule_taxa")


@cache
def taxa_of(rule: str, role: str = "speaks of") -> frozenset[str]:
    """Return the taxa that a rule speaks of by name, or leaves open.

    Source: the table of taxa of rules.
    """
    rows = rule_taxa()
    return frozenset(row.taxon for row in rows if (row.rule, row.role) == (rule, role))


@cache
def forms() -> dict[str, Form]:
    """Return the forms of wood with their chapters of the Harmonized System.

    Source: each row names its own.
    """
    return {row.form: row for row in read_table(Form, "forms")}


@cache
def forms_of(chapter: str) -> frozenset[str]:
    """Return the forms of wood that stand in a chapter of the Harmonized System.

    Source: the table of forms.
    """
    return frozenset(row.form for row in forms().values() if row.chapter == chapter)
