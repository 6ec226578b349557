"""A shop's own rows over the compiled tables: its overlay, adopted like its rules.

    {"format":"flitchbook-law/1","id":"own","version":1,"rows":[
      {"table":"meetings","why":"…",
       "row":{"id":"CoP21","took_effect":"2028-09-01",
              "sources":"Notification to the Parties 2028/044",
              "confidence":"verified","checked_on":"2028-07-02",
              "newest_source":"2028-06-28"}}]}

A row whose id is there already takes that row's place, any other is added; a newer
version of the text takes the whole older one's place. A row has the columns of its
table, as text; a column that may be empty may be left out. Sources are marks of the
table of sources or words, with semicolons between them. What a text says by itself is
read here, the same in every edition of the tables, for each fold of the record reads it
again; `fitting` sees, when it is adopted, whether it fits the tables.
"""

import json
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, TypeVar

from ledger.codes import shown
from ledger.errors import RefusedError
from ledger.trade.confidence import CONFIDENCE, MEMORY
from ledger.trade.law import Law, law_of
from ledger.trade.overlay import LAW_FORMAT
from ledger.trade.reading import read_row
from ledger.trade.tables import (
    Annotation,
    Listing,
    Meeting,
    Name,
    Rule,
    TradeName,
    annotation_from,
)

CHECKED = ("sources", "confidence", "checked_on", "newest_source")
_STANDS = ("valid_from", "valid_until")
_STANDS_IN_UNION = ("eu_from", "eu_until")
_FORMS = (
    *("logs", "sawn_wood", "veneer_sheets", "plywood", "transformed_wood_4409"),
    *("wood_chips", "powder", "extracts", "unfinished_shaped_parts"),
    *("finished_instrument_parts", "finished_instrument_accessories"),
    *("finished_instruments", "other_finished_products"),
)
# The columns of each table that a shop may amend, the first of them its id, and those
# of them that may be empty.
COLUMNS: dict[str, tuple[str, ...]] = {
    "listings": (
        *("id", "taxon", "rank", "population", "appendix", "annotation"),
        *(*_STANDS, "eu_annex", *_STANDS_IN_UNION, "listed_by"),
        *(*CHECKED, "unchanged", "note"),
    ),
    "annotations": (
        *("id", "label", *_STANDS, *_STANDS_IN_UNION, *_FORMS, "meaning"),
        *(*CHECKED, "unchanged"),
    ),
    "rules": ("id", "law", *_STANDS, "text", *CHECKED),
    "names": (
        *("name", "accepted", "group", "kind", "grows_in", "trade_names"),
        *CHECKED,
    ),
    "trade_names": ("trade_name", "may_mean", *CHECKED),
    "meetings": ("id", "took_effect", *CHECKED),
}
_MAY_BE_EMPTY = frozenset(
    {
        *(*_STANDS, *_STANDS_IN_UNION, "population", "listed_by", "unchanged", "note"),
        *("group", "grows_in", "trade_names"),
    }
)
_DAYS = frozenset(
    {*_STANDS, *_STANDS_IN_UNION, "took_effect", "checked_on", "newest_source"}
)
_CHOICES: dict[str, Collection[str]] = {
    "rank": ("species", "genus", "family", "order"),
    "appendix": ("I", "II", "III", "none"),
    "eu_annex": ("A", "B", "C", "D", "none"),
    "kind": ("plant", "animal"),
    "confidence": tuple(CONFIDENCE),
    **dict.fromkeys(_FORMS, ("covered", "outside", "depends", "silent")),
}
_ID = re.compile(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_MOST_ROWS = 500
_LONGEST_TEXT = 600
_LARGEST_VERSION = 10**6
Row = TypeVar("Row", Listing, Annotation, Rule, Name, TradeName, Meeting)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment:
    """One row of the overlay: of which table, with every column, and why."""

    number: int  # its place in the text, from 1
    table: str
    why: str
    row: Mapping[str, str]

    @property
    def id(self) -> str:
        """The row's id in its table."""
        return self.row[COLUMNS[self.table][0]]

    @property
    def where(self) -> str:
        """The row as a refusal names it."""
        return f"row {self.number} ({self.table}, {shown(self.id)})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """A shop's own rows as one adopted text gives them."""

    id: str
    version: int
    amendments: tuple[Amendment, ...]
    text: str  # the whole text in the one spelling of RFC 8785

    @property
    def name(self) -> str:
        """The text's name and version."""
        return f"{self.id} {self.version}"


def read_overlay(said: object) -> Overlay:
    """Read a shop's own rows out of a text, strictly.

    Raises RefusedError that names the row and what is wrong in it.

    Source: the shop's own text; each row names its sources.
    """
    must = ("format", "id", "version", "rows")
    text = _members(said, must, of="a text of the law")
    if text["format"] != LAW_FORMAT:
        raise RefusedError(f"a text of the law has the format {LAW_FORMAT}")
    name, version, rows = text["id"], text["version"], text["rows"]
    if not isinstance(name, str) or _ID.match(name) is None:
        raise RefusedError(f"the text's id {_told(name)} is no name such as own")
    if type(version) is not int or not 1 <= version <= _LARGEST_VERSION:
        raise RefusedError(
            f"version is a whole number from 1 to {_LARGEST_VERSION}, not "
            f"{_told(version)}"
        )
    if not isinstance(rows, list) or len(rows) > _MOST_ROWS:
        raise RefusedError(f"rows is a list of at most {_MOST_ROWS} rows")
    amendments = tuple(_amendment(row, n) for n, row in enumerate(rows, start=1))
    _require_once(amendments)
    return Overlay(
        id=name,
        version=version,
        amendments=amendments,
        text=json.dumps(
            text, ensure_ascii=False, sort_keys=True, separators=(",", ":")
        ),
    )


def amended(law: Law, overlay: Overlay, *, own: str) -> Law:
    """Return an edition in which a shop's own rows stand in place of others.

    A meeting that the tables know takes effect no later than they say, so that no row
    is less stale by a shop's own.

    own  what marks each of them: who adopted it and when

    Source: the rows of both.
    """
    return law_of(
        listings=_over(law.listings, overlay, "listings", Listing, own),
        annotations=_over(law.annotations, overlay, "annotations", Annotation, own),
        rules=_over(law.rules, overlay, "rules", Rule, own),
        names=_over(law.names, overlay, "names", Name, own),
        trade_names=_over(law.trade_names, overlay, "trade_names", TradeName, own),
        meetings=_meetings(law, overlay, own),
        overlay=overlay.text,
    )


def _meetings(law: Law, overlay: Overlay, own: str) -> list[Meeting]:
    """Return the meetings, each on the earlier of two days."""
    known = {meeting.id: meeting for meeting in law.meetings}
    found = []
    for meeting in _over(known, overlay, "meetings", Meeting, own):
        before = known.get(meeting.id, meeting)
        first = min(before.took_effect, meeting.took_effect)
        found.append(replace(meeting, took_effect=first))
    return found


def _over(
    rows: Mapping[str, Row], overlay: Overlay, table: str, kind: type[Row], own: str
) -> list[Row]:
    """Return the rows of a table with the shop's own among them."""
    mine = {
        each.id: replace(_read(kind, each.row), own=own)
        for each in overlay.amendments
        if each.table == table
    }
    return list((dict(rows) | mine).values())


def _read(kind: type[Row], row: Mapping[str, str]) -> Row:
    if kind is Annotation:
        found: Any = annotation_from(row)
        return found  # type: ignore[no-any-return]  # kind is what it says
    return read_row(kind, row)


def _amendment(said: object, number: int) -> Amendment:
    named = _members(said, ("table", "why", "row"), of=f"row {number}")
    table, why = named["table"], named["why"]
    if not isinstance(table, str) or table not in COLUMNS:
        raise RefusedError(
            f"row {number}: {_told(table)} is no table that may be amended; those are "
            f"{', '.join(COLUMNS)}"
        )
    where = f"row {number} ({table})"
    _require_text(why, "why", where)
    given = named["row"]
    must = [column for column in COLUMNS[table] if column not in _may_be_empty(table)]
    row = _members(given, must, may=COLUMNS[table], of=f"{where}: its row")
    for column, value in row.items():
        _require_value(column, value, table, where)
    whole = {column: row.get(column, "") for column in COLUMNS[table]}
    found = Amendment(number=number, table=table, why=why, row=whole)
    _require_order(found)
    _require_sources(found)
    return found


def _may_be_empty(table: str) -> frozenset[str]:
    """Return the columns of a table that may be empty; days of sources as compiled."""
    if table in ("listings", "annotations"):
        return _MAY_BE_EMPTY
    return _MAY_BE_EMPTY | {"newest_source"}


def _require_value(column: str, value: object, table: str, where: str) -> None:
    """See that a column holds what its table has in it."""
    if value == "" and column in _may_be_empty(table):
        return
    text = _require_text(value, column, where)
    if column in _DAYS and not _is_day(text):
        raise RefusedError(
            f"{where}: {column} is {shown(text)}, which is no day; write it as "
            f"2026-10-01"
        )
    choices = _CHOICES.get(column)
    if choices is not None and text not in choices:
        raise RefusedError(
            f"{where}: {column} is {shown(text)}; it is one of: {', '.join(choices)}"
        )
    if column == "id" and _ID.match(text) is None:
        raise RefusedError(
            f"{where}: the id {shown(text)} is no name such as dalbergia-genus"
        )


def _require_text(value: object, column: str, where: str) -> str:
    if not isinstance(value, str):
        raise RefusedError(f"{where}: {column} is {_told(value)}, and must be a text")
    if not value or value != " ".join(value.split()) or not value.isprintable():
        raise RefusedError(
            f"{where}: {column} must hold one line of text, without spaces around it"
        )
    if len(value) > _LONGEST_TEXT:
        raise RefusedError(
            f"{where}: {column} has {len(value)} letters of at most {_LONGEST_TEXT}"
        )
    return value


def _require_order(said: Amendment) -> None:
    """See that no day comes before the one it must follow."""
    for first, last in (_STANDS, _STANDS_IN_UNION, ("newest_source", "checked_on")):
        begun, ended = said.row.get(first, ""), said.row.get(last, "")
        if begun and ended and ended < begun:
            raise RefusedError(
                f"{said.where}: {last} {ended} lies before {first} {begun}; write them "
                f"the other way round"
            )
    appendix, annotation = said.row.get("appendix"), said.row.get("annotation")
    if appendix == "none" and annotation != "none":
        raise RefusedError(
            f"{said.where}: what stands in no Appendix has no annotation; write none"
        )
    if appendix == "III" and not said.row["listed_by"]:
        raise RefusedError(
            f"{said.where}: listed_by is empty; name the State that put it in "
            f"Appendix III"
        )


def _require_sources(said: Amendment) -> None:
    """See that what rests on memory alone says so, and that the rest has a source."""
    from_memory = said.row["confidence"] == MEMORY
    if (said.row["sources"] == "M") != from_memory:
        raise RefusedError(
            f"{said.where}: sources M and confidence {MEMORY} go together; what was "
            f"read has a source, by its mark or in words"
        )
    if not said.row["newest_source"] and not from_memory:
        raise RefusedError(
            f"{said.where}: newest_source is empty; write the day of the newest source "
            f"that was read"
        )


def _require_once(amendments: Collection[Amendment]) -> None:
    seen: dict[tuple[str, str], Amendment] = {}
    for each in amendments:
        before = seen.setdefault((each.table, each.id), each)
        if before is not each:
            raise RefusedError(
                f"{each.where} stands in row {before.number} already: write it once"
            )


def _members(
    said: object, must: Collection[str], *, may: Collection[str] = (), of: str
) -> dict[str, Any]:
    """Return an object that has just the members it must have, and some it may."""
    listed = ", ".join(dict.fromkeys([*must, *may]))
    if not isinstance(said, dict):
        raise RefusedError(f"{of} has {listed}; {_told(said)} is no such thing")
    astray = sorted(str(name) for name in set(said) - {*must, *may})
    if astray:
        raise RefusedError(f"{of} has no {_told(astray[0])}; it has {listed}")
    lacking = [name for name in must if name not in said]
    if lacking:
        raise RefusedError(f"{of} lacks {', '.join(lacking)}: write it in")
    return said


def _told(value: object) -> str:
    """Return a value as a refusal may quote it: neither endless nor on two lines."""
    if isinstance(value, str):
        return shown(value)
    return "a number as large as that" if _is_huge(value) else shown(repr(value))[1:-1]


def _is_huge(value: object) -> bool:
    return type(value) is int and abs(value) > 10**15


def _is_day(text: str) -> bool:
    try:
        return _DAY.match(text) is not None and bool(date.fromisoformat(text))
    except ValueError:
        return False
