"""Texts of a shop's own rows over the tables, for tests."""

from datetime import date
from typing import Any

from ledger.trade.amendment import amended, read_overlay
from ledger.trade.law import Law, compiled
from ledger.trade.overlay import LAW_FORMAT
from ledger.trade.reading import raw_rows

OWN = "the shop's own row, adopted in entry 41 on 2026-12-01"
TODAY = date(2026, 12, 1)
MEETING = {
    "id": "CoP21",
    "took_effect": "2028-09-01",
    "sources": "Notification to the Parties 2026/044, CITES Secretariat, 2026-11-02",
    "confidence": "verified",
    "checked_on": "2026-11-28",
    "newest_source": "2026-11-02",
}
LISTING = {
    "id": "acer-saccharum-2027",
    "taxon": "Acer saccharum",
    "rank": "species",
    "appendix": "II",
    "annotation": "17",
    "valid_from": "2027-03-01",
    "eu_annex": "B",
    "sources": "S01; Notification to the Parties 2026/044",
    "confidence": "partly verified",
    "checked_on": "2026-11-28",
    "newest_source": "2026-11-02",
}


def text_of(*rows: tuple[str, dict[str, Any]], version: int = 1) -> dict[str, Any]:
    """Return a text with rows of tables, each with a reason."""
    return {
        "format": LAW_FORMAT,
        "id": "own",
        "version": version,
        "rows": [
            {"table": table, "why": "read in a newer source", "row": row}
            for table, row in rows
        ],
    }


def law_with(*rows: tuple[str, dict[str, Any]]) -> Law:
    """Return the compiled edition with rows of a shop's own in it."""
    return amended(compiled(), read_overlay(text_of(*rows)), own=OWN)


def row_of(table: str, mark: str, **change: str) -> dict[str, str]:
    """Return a compiled row as it lies in its table, changed where told."""
    rows = raw_rows(table)
    key = next(iter(rows[0]))
    return {**next(row for row in rows if row[key] == mark), **change}
