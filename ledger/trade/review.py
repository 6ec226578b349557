"""How the tables stand on a day: their age, how sure they are, and where not."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Literal

from ledger.trade.amendment import COLUMNS
from ledger.trade.confidence import CONFIDENCE, MEMORY
from ledger.trade.law import Law
from ledger.trade.listings import LONGEST_CHECKED_DAYS, overtaken_by
from ledger.trade.reading import raw_rows
from ledger.trade.tables import (
    Annotation,
    Listing,
    Meeting,
    Name,
    Rule,
    TradeName,
    stands,
)

Kind = Literal["from memory", "partly verified", "stale"]
_Amendable = Listing | Annotation | Rule | Name | TradeName | Meeting
KINDS: tuple[Kind, ...] = ("from memory", "partly verified", "stale")


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedRow:
    """What any row of any table says of itself.

    newest_source  the day of the newest source read; None where none is written down
    own            who adopted it and when, where it is of the shop's own
    """

    table: str
    id: str
    confidence: str
    checked_on: date
    newest_source: date | None
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weak:
    """A row that nobody should lean on without a look, and why."""

    kind: Kind
    table: str
    id: str
    reason: str
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """A table: how many rows it has, by confidence, and how many are the shop's own."""

    table: str
    rows: int
    by_confidence: Mapping[str, int]
    own: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """The tables as they stand on a day.

    compiled_on    when a compiled row was last checked
    newest_source  the newest source that any compiled row names
    age_days       from compiled_on to the day
    """

    compiled_on: date
    newest_source: date
    age_days: int
    counts: tuple[Count, ...]
    weak: tuple[Weak, ...]


def review(law: Law, *, day: date) -> Review:
    """Return how an edition of the tables stands on a day.

    Source: the columns confidence, checked_on and newest_source of each table.
    """
    rows = list(_rows(law))
    plain = [row for row in rows if not row.own]
    compiled_on = max(row.checked_on for row in plain)
    return Review(
        compiled_on=compiled_on,
        newest_source=max(row.newest_source for row in plain if row.newest_source),
        age_days=(day - compiled_on).days,
        counts=tuple(_counts(rows)),
        weak=(*_unsure(rows), *_stale(law, rows, day)),
    )


def _rows(law: Law) -> Iterator[CheckedRow]:
    """Yield every row of every table, those of the shop's own in place of others."""
    own: dict[str, Mapping[str, _Amendable]] = {
        "listings": law.listings,
        "annotations": law.annotations,
        "rules": law.rules,
        "names": law.names,
        "trade_names": law.trade_names,
        "meetings": {meeting.id: meeting for meeting in law.meetings},
    }
    for table in _tables():
        compiled = {row.id: row for row in _compiled_rows(table)}
        for mark, row in own.get(table, {}).items():
            if row.own:
                compiled[mark] = CheckedRow(
                    table=table,
                    id=mark,
                    confidence=row.confidence,
                    checked_on=row.checked_on,
                    newest_source=row.newest_source,
                    own=row.own,
                )
        yield from compiled.values()


@cache
def _tables() -> tuple[str, ...]:
    """Return the tables whose rows say how far they were checked, listings first."""
    found = sorted(
        file.name.removesuffix(".csv")
        for file in files("ledger.trade").iterdir()
        if file.name.endswith(".csv")
    )
    first = {name: place for place, name in enumerate(COLUMNS)}
    found.sort(key=lambda name: first.get(name, len(first)))
    return tuple(name for name in found if "confidence" in raw_rows(name)[0])


@cache
def _compiled_rows(table: str) -> tuple[CheckedRow, ...]:
    """Return the rows of a table by their first column, or by as many as tell apart."""
    raw = raw_rows(table)
    columns = list(raw[0])
    width = next(
        (
            n
            for n in range(1, len(columns))
            if len({tuple(row[c] for c in columns[:n]) for row in raw}) == len(raw)
        ),
        len(columns),
    )
    return tuple(
        CheckedRow(
            table=table,
            id=" ".join(filter(None, (row[column] for column in columns[:width]))),
            confidence=row["confidence"],
            checked_on=date.fromisoformat(row["checked_on"]),
            newest_source=_day(row["newest_source"]),
        )
        for row in raw
    )


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _counts(rows: list[CheckedRow]) -> Iterator[Count]:
    for table in dict.fromkeys(row.table for row in rows):
        mine = [row for row in rows if row.table == table]
        found = Counter(row.confidence for row in mine)
        yield Count(
            table=table,
            rows=len(mine),
            by_confidence={word: found[word] for word in CONFIDENCE},
            own=sum(bool(row.own) for row in mine),
        )


def _unsure(rows: list[CheckedRow]) -> Iterator[Weak]:
    """Yield the rows that were never checked whole, those from memory first."""
    for word, kind in ((MEMORY, KINDS[0]), ("partly verified", KINDS[1])):
        for row in rows:
            if row.confidence == word:
                reason = CONFIDENCE[word]
                weak = Weak(kind=kind, table=row.table, id=row.id, reason=reason)
                yield replace(weak, own=row.own)


def _stale(law: Law, rows: list[CheckedRow], day: date) -> Iterator[Weak]:
    """Yield the rows that stand on a day and may have been overtaken by then.

    A row that ended before that day says what was so, and nothing overtakes it.
    """
    dated: dict[tuple[str, str], Listing | Annotation] = {}
    dated |= {("listings", row.id): row for row in law.listings.values()}
    dated |= {("annotations", row.id): row for row in law.annotations.values()}
    for row in rows:
        listed = dated.get((row.table, row.id))
        if listed is not None and not stands(
            listed.valid_from, listed.valid_until, day
        ):
            continue
        age = (day - row.checked_on).days
        meeting = None if listed is None else overtaken_by(listed, day, law)
        if age > LONGEST_CHECKED_DAYS:
            reason = (
                f"last checked on {row.checked_on}, {age} days ago, more than "
                f"{LONGEST_CHECKED_DAYS}"
            )
        elif meeting is not None:
            reason = (
                f"no source newer than {row.newest_source}, and {meeting.id} took "
                f"effect on {meeting.took_effect}"
            )
        else:
            continue
        own = row.own or (meeting.own if meeting else "")
        yield Weak(kind="stale", table=row.table, id=row.id, reason=reason, own=own)
