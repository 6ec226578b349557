"""Texts of a shop's own rows over the tables, and questions to them, for tests."""

from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from ledger.trade.amendment import COLUMNS, amended, read_overlay
from ledger.trade.confidence import MEMORY
from ledger.trade.fitting import fitted
from ledger.trade.law import Law, LeftOut, compiled
from ledger.trade.overlay import LAW_FORMAT
from ledger.trade.reading import raw_rows
from ledger.trade.tables import names, places, wood_forms

OWN = "the shop's own row, adopted in entry 41 on 2026-12-01"
LEFT_OUT = "a row of the shop's own, adopted in entry 41 on 2026-12-01, is left out"
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


def law_in_part(*rows: tuple[str, dict[str, Any]], today: date = TODAY) -> Law:
    """Return the edition of a text that was adopted unseen, without what is unfit."""
    overlay = read_overlay(text_of(*rows))
    found = fitted(overlay, compiled(), today=today)
    law = amended(compiled(), found.fits, own=OWN)
    whole = amended(law, found.left_out, own=LEFT_OUT)
    return replace(law, left_out=LeftOut(law=whole, says=LEFT_OUT))


def row_of(table: str, mark: str, **change: str) -> dict[str, str]:
    """Return a compiled row as it lies in its table, changed where told."""
    rows = raw_rows(table)
    key = next(iter(rows[0]))
    return {**next(row for row in rows if row[key] == mark), **change}


_ROWS = [
    (table, row)
    for table in COLUMNS
    for row in raw_rows(table)
    if table != "names" or row["name"] == row["accepted"]
]
_DAYS = st.dates(date(1970, 1, 1), date(2100, 12, 31)).map(str)
_CHANGES = st.fixed_dictionaries(
    {},
    optional={
        "id": st.sampled_from(["own-1", "own-2", "15-own"]),
        "appendix": st.sampled_from(["I", "II", "none"]),
        "annotation": st.sampled_from(["none", "4", "15", "17", "10"]),
        "valid_from": _DAYS | st.just(""),
        "valid_until": _DAYS | st.just(""),
        "took_effect": _DAYS,
        "population": st.sampled_from(["", "MG", "africa", "BR IN"]),
        "confidence": st.sampled_from([MEMORY, "partly verified", "verified"]),
        "finished_instruments": st.sampled_from(["covered", "outside", "silent"]),
        "group": st.sampled_from(["", "Dalbergia spp.", "Acer spp."]),
        "grows_in": st.sampled_from(["", "MG", "neotropics", "IN US", "BR africa"]),
    },
)


@st.composite
def own_rows(draw: st.DrawFn) -> list[tuple[str, dict[str, str]]]:
    """Return a few rows that a shop might write, whether they fit the tables or not."""
    rows: dict[tuple[str, str], tuple[str, dict[str, str]]] = {}
    for _ in range(draw(st.integers(0, 4))):
        table, row = draw(st.sampled_from(_ROWS))
        told = {name: value for name, value in draw(_CHANGES).items() if name in row}
        if table == "rules":
            told.pop("id", None)
        mine = {**row, **told}
        mine["sources"] = "M" if mine["confidence"] == MEMORY else "a newer list, 2026"
        mine["newest_source"] = mine["newest_source"] or "2026-01-01"
        mine["annotation"] = (
            "none" if mine.get("appendix") == "none" else mine.get("annotation", "")
        )
        mine = {name: mine[name] for name in row}
        first, last = mine.get("valid_from", ""), mine.get("valid_until", "")
        if not (first and last and last < first):
            rows[table, next(iter(mine.values()))] = (table, mine)
    return list(rows.values())


QUESTIONS = st.fixed_dictionaries(
    {
        "taxon": st.sampled_from(sorted(names()))
        | st.sampled_from(["Acer unknownum", "Swietenia", "Caesalpinia sp.", "Taxus"]),
        "form": st.sampled_from([*wood_forms(), "inlay", "raw", "half finished"]),
        "date": _DAYS,
        "legs": st.lists(
            st.sampled_from(["US", "EU", "GB", "BR", "IN", "MG", "MX", "JP", "DE"]),
            min_size=1,
            max_size=4,
        ),
    },
    optional={
        "purpose": st.sampled_from(["sale", "no sale", "gift", "loan", "personal"]),
        "origin": st.sampled_from(sorted(places())),
        "acquired": _DAYS,
        "mass_mg": st.integers(1, 20_000_000),
        "hts_number": st.sampled_from(["9202", "9207", "4407", "9401", "4421"]),
        "plant_ppm": st.integers(0, 100_000),
        "entry_plant_mass_mg": st.integers(1, 6_000_000),
        "parts": st.lists(
            st.fixed_dictionaries(
                {
                    "taxon": st.sampled_from(sorted(names())),
                    "form": st.sampled_from(wood_forms()),
                }
            ),
            max_size=2,
        ),
    },
)
