"""The law as one value: an edition of the tables that a determination is made by.

`compiled()` is the project's own. A shop that corrects rows lives by another edition,
and whoever asks says by which: `determine(question, law=law)`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import TypeVar

from ledger.trade.tables import (
    Annotation,
    Listing,
    Meeting,
    Name,
    Rule,
    TradeName,
    annotations,
    listings,
    meetings,
    names,
    rules,
    trade_names,
)

MEXICAN = "mexico"
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Law:
    """An edition of the tables, each row under its id, and indexes to find it by.

    rows_of    the listing rows of a taxon
    texts_of   the texts of an annotation, by its number and by their own ids
    clauses    the texts for Dalbergia of Mexico
    within     the accepted names and synonyms of a genus, family or order
    spoken     the scientific names that a trade name stands beside, in small letters
    table_date the day on which a listing row was last checked
    overlay    the shop's own text in one spelling; empty in the compiled edition
    left_out   the edition with the shop's own rows that this one leaves out, if any
    """

    listings: Mapping[str, Listing]
    annotations: Mapping[str, Annotation]
    rules: Mapping[str, Rule]
    names: Mapping[str, Name]
    trade_names: Mapping[str, TradeName]
    meetings: tuple[Meeting, ...]
    rows_of: Mapping[str, tuple[Listing, ...]]
    texts_of: Mapping[str, tuple[Annotation, ...]]
    clauses: tuple[Annotation, ...]
    within: Mapping[str, tuple[Name, ...]]
    spoken: Mapping[str, tuple[str, ...]]
    table_date: date
    overlay: str = ""
    left_out: "LeftOut | None" = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeftOut:
    """An edition in which rows take effect that are left out, each marked by `says`."""

    law: Law
    says: str


@cache
def compiled() -> Law:
    """Return the project's own edition of the tables.

    Source: each row names its own.
    """
    return law_of(
        listings=listings(),
        annotations=annotations(),
        rules=rules().values(),
        names=names().values(),
        trade_names=trade_names().values(),
        meetings=meetings(),
    )


def law_of(
    *,
    listings: Iterable[Listing],
    annotations: Iterable[Annotation],
    rules: Iterable[Rule],
    names: Iterable[Name],
    trade_names: Iterable[TradeName],
    meetings: Iterable[Meeting],
    overlay: str = "",
) -> Law:
    """Return an edition of these rows.

    Source: each row names its own.
    """
    rows, texts, named = tuple(listings), tuple(annotations), tuple(names)
    plain = [text for text in texts if not _is_mexican(text)]
    return Law(
        listings={row.id: row for row in rows},
        annotations={text.id: text for text in texts},
        rules={rule.id: rule for rule in rules},
        names={name.name: name for name in named},
        trade_names={each.trade_name: each for each in trade_names},
        meetings=tuple(meetings),
        rows_of=_grouped((row.taxon, row) for row in rows),
        texts_of=_grouped((mark, text) for text in plain for mark in _marks(text)),
        clauses=tuple(text for text in texts if _is_mexican(text)),
        within=_grouped((name.group, name) for name in named),
        spoken=_grouped(
            (spoken.casefold(), name.name)
            for name in named
            for spoken in dict.fromkeys(name.trade_names)
        ),
        table_date=max(row.checked_on for row in rows),
        overlay=overlay,
    )


def _is_mexican(text: Annotation) -> bool:
    return text.id.endswith(f"-{MEXICAN}")


def _marks(text: Annotation) -> set[str]:
    """Return what a listing row may call a text: its id, or the number it begins with.

    Texts that were rewritten bear their year: 15-2019.
    """
    number = text.id.rpartition("-")[0]
    return {text.id, number} if number else {text.id}


def _grouped(pairs: Iterable[tuple[str, Value]]) -> dict[str, tuple[Value, ...]]:
    found: dict[str, list[Value]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return {key: tuple(values) for key, values in found.items()}
